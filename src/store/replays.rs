//! One answer for one idempotency key, kept for a day and written together with what it did.

use super::{Kept, Store, Writing, ids, maybe, text};
use sqlx::Row;

/// How long an answer is kept, in seconds.
const KEPT_FOR: i64 = 24 * 60 * 60;

/// After how many seconds a request that never ended may be taken up by another.
const GIVEN_UP: i64 = 15 * 60;

/// What a repeated request is known by. Digests: a key may hold anything.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReplayKey {
    /// Id of the token.
    pub token: String,
    /// Method and path.
    pub route: String,
    /// Digest of the key.
    pub key: String,
    /// Digest of the body and of what else shapes the answer.
    pub body: String,
    /// The site that it is about.
    pub site: Option<String>,
}

/// An answer as it was given.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stored {
    /// HTTP status.
    pub status: u16,
    /// Header lines, `name: value`.
    pub headers: String,
    /// The body; `None` when somebody in it was erased since.
    pub body: Option<String>,
}

/// What is known of a key.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Replay {
    /// It is new: go on, and finish or drop it with this mark.
    New(String),
    /// It was answered before.
    Again(Stored),
    /// It was used with another body.
    Other,
    /// The first request with it has not been answered yet.
    Busy,
}

impl Store {
    /// Takes a key for a request that is about to be carried out.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn take_key(&self, key: &ReplayKey) -> Kept<Replay> {
        let mut tx = self.begin_raw().await?;
        let (now, owner) = (ids::now(), ids::chance(12));
        let old = "DELETE FROM replays WHERE made < $1 OR (status IS NULL AND made < $2)";
        sqlx::query(old).bind(now - KEPT_FOR).bind(now - GIVEN_UP).execute(&mut *tx).await?;
        let new = "INSERT INTO replays (token, route, key_digest, body_digest, owner, site, made) \
            VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT (token, route, key_digest) DO NOTHING";
        let done = sqlx::query(new)
            .bind(&key.token)
            .bind(&key.route)
            .bind(&key.key)
            .bind(&key.body)
            .bind(&owner)
            .bind(key.site.clone())
            .bind(now)
            .execute(&mut *tx)
            .await?;
        if done.rows_affected() == 1 {
            tx.commit().await?;
            return Ok(Replay::New(owner));
        }
        let sql = "SELECT body_digest, status, headers, body FROM replays \
            WHERE token = $1 AND route = $2 AND key_digest = $3";
        let query = sqlx::query(sql).bind(&key.token).bind(&key.route).bind(&key.key);
        let row = query.fetch_optional(&mut *tx).await?;
        tx.commit().await?;
        let Some(row) = row else { return Ok(Replay::Busy) };
        if text(&row, "body_digest")? != key.body {
            return Ok(Replay::Other);
        }
        let Some(status) = row.try_get::<Option<i64>, _>("status")? else {
            return Ok(Replay::Busy);
        };
        Ok(Replay::Again(Stored {
            status: u16::try_from(status).unwrap_or(500),
            headers: maybe(&row, "headers")?.unwrap_or_default(),
            body: maybe(&row, "body")?,
        }))
    }

    /// Lets a key go whose request did nothing.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn drop_key(&self, owner: &str) -> Kept<()> {
        let sql = "DELETE FROM replays WHERE owner = $1 AND status IS NULL";
        sqlx::query(sql).bind(owner).execute(&self.writer).await?;
        Ok(())
    }

    /// Lets every key go whose request ended with the program that had taken it up. Only for a store
    /// that no other instance shares.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn drop_unfinished_keys(&self) -> Kept<()> {
        if self.sqlite {
            let sql = "DELETE FROM replays WHERE status IS NULL";
            sqlx::query(sql).execute(&self.writer).await?;
        }
        Ok(())
    }
}

impl Writing {
    /// Keeps the answer of a key among these writes. Whether the key was still this request's.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn keep_answer(&mut self, owner: &str, answer: &Stored) -> Kept<bool> {
        let sql = "UPDATE replays SET status = $2, headers = $3, body = $4 \
            WHERE owner = $1 AND status IS NULL";
        let done = sqlx::query(sql)
            .bind(owner)
            .bind(i64::from(answer.status))
            .bind(&answer.headers)
            .bind(answer.body.clone())
            .execute(&mut *self.tx)
            .await?;
        Ok(done.rows_affected() == 1)
    }
}
