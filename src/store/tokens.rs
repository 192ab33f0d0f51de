//! Tokens: who may come in, what for, and to which site. The secret itself is never kept.

use super::{Kept, Secret, Store, Writing, ids, maybe, text, whole};
use sqlx::Row;

/// What a token may be used for; each includes those before it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Role {
    /// Reads.
    Look,
    /// Makes, repairs and checks charts; says what a day brings.
    Plan,
    /// Changes sites, erases, reads the trail.
    Run,
}

impl Role {
    /// Every role with its word, least first.
    pub const ALL: [(Role, &'static str); 3] =
        [(Role::Look, "look"), (Role::Plan, "plan"), (Role::Run, "run")];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Role::Look => "look",
            Role::Plan => "plan",
            Role::Run => "run",
        }
    }

    /// The role of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Role> {
        Role::ALL.iter().find(|(_, known)| *known == word).map(|(role, _)| *role)
    }
}

/// A token, without its secret.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Token {
    /// Its id, the part of the token that may be told.
    pub id: String,
    /// What whoever added it called it.
    pub label: String,
    /// What it may be used for.
    pub role: Role,
    /// The one site that it opens; `None`: all.
    pub site: Option<String>,
    /// When it was added, in seconds since 1970.
    pub made: i64,
    /// When it was revoked.
    pub revoked: Option<i64>,
}

/// What every token starts with.
const START: &str = "fairturn_";

fn token(row: &sqlx::any::AnyRow) -> Kept<Token> {
    Ok(Token {
        id: text(row, "id")?,
        label: text(row, "label")?,
        role: Role::of(&text(row, "role")?).unwrap_or(Role::Look),
        site: maybe(row, "site")?,
        made: whole(row, "made")?,
        revoked: row.try_get::<Option<i64>, _>("revoked")?,
    })
}

impl Store {
    /// The token whose whole text this is, unless it is unknown or revoked.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn token(&self, given: &str) -> Kept<Option<Token>> {
        let Some((id, _)) = given.strip_prefix(START).and_then(|rest| rest.split_once('_')) else {
            return Ok(None);
        };
        let sql = "SELECT id, digest, label, role, site, made, revoked FROM tokens \
            WHERE id = $1 AND revoked IS NULL";
        let Some(row) = sqlx::query(sql).bind(id).fetch_optional(&self.reader).await? else {
            return Ok(None);
        };
        let kept = Secret::kept(text(&row, "digest")?);
        if kept.is(&Secret::of(given)) { token(&row).map(Some) } else { Ok(None) }
    }

    /// Every token, oldest first.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn tokens(&self) -> Kept<Vec<Token>> {
        let sql = "SELECT id, label, role, site, made, revoked FROM tokens ORDER BY made, id";
        sqlx::query(sql).fetch_all(&self.reader).await?.iter().map(token).collect()
    }

    /// Whether there is a token that has not been revoked.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn has_tokens(&self) -> Kept<bool> {
        let sql = "SELECT COUNT(*) FROM tokens WHERE revoked IS NULL";
        Ok(sqlx::query(sql).fetch_one(&self.reader).await?.try_get::<i64, _>(0)? > 0)
    }
}

impl Writing {
    /// Adds a token and answers its whole text, which is nowhere to be had again.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn add_token(
        &mut self,
        label: &str,
        role: Role,
        site: Option<&str>,
    ) -> Kept<(Token, String)> {
        let id = ids::chance(6);
        let whole = format!("{START}{id}_{}", ids::chance(32));
        let sql = "INSERT INTO tokens (id, digest, label, role, site, made) \
            VALUES ($1, $2, $3, $4, $5, $6)";
        sqlx::query(sql)
            .bind(&id)
            .bind(Secret::of(&whole).to_keep())
            .bind(label)
            .bind(role.word())
            .bind(site.map(str::to_owned))
            .bind(self.now)
            .execute(&mut *self.tx)
            .await?;
        let (label, site) = (label.to_owned(), site.map(str::to_owned));
        Ok((Token { id, label, role, site, made: self.now, revoked: None }, whole))
    }

    /// Revokes a token; whether it was there and open.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn revoke_token(&mut self, id: &str) -> Kept<bool> {
        let sql = "UPDATE tokens SET revoked = $2 WHERE id = $1 AND revoked IS NULL";
        let done = sqlx::query(sql).bind(id).bind(self.now).execute(&mut *self.tx).await?;
        Ok(done.rows_affected() == 1)
    }
}
