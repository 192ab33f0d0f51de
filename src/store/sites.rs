//! Sites: one document each, with the version that a change must name.

use super::{Kept, Store, Writing, ids, text, whole};

/// A site as it is kept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Site {
    /// Its id.
    pub id: String,
    /// The scenario, as JSON text.
    pub document: String,
    /// Another one after every change.
    pub version: String,
    /// When it was last changed, in seconds since 1970.
    pub changed: i64,
    /// How often somebody was erased: what was begun before the last time may not be kept after it.
    pub erasures: i64,
}

const COLUMNS: &str = "SELECT id, document, version, changed, erasures FROM sites WHERE id = $1";

fn site(row: &sqlx::any::AnyRow) -> Kept<Site> {
    Ok(Site {
        id: text(row, "id")?,
        document: text(row, "document")?,
        version: text(row, "version")?,
        changed: whole(row, "changed")?,
        erasures: whole(row, "erasures")?,
    })
}

impl Store {
    /// A site.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn site(&self, id: &str) -> Kept<Option<Site>> {
        let row = sqlx::query(COLUMNS).bind(id).fetch_optional(&self.reader).await?;
        row.as_ref().map(site).transpose()
    }

    /// Ids and versions of sites after `after`, in order of id; only `only` where it is given.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn sites(&self, after: &str, only: Option<&str>, most: i64) -> Kept<Vec<Site>> {
        let sql = "SELECT id, '' AS document, version, changed, erasures FROM sites \
            WHERE id > $1 AND (id = $2 OR $3 = 1) ORDER BY id LIMIT $4";
        let rows = sqlx::query(sql)
            .bind(after)
            .bind(only.unwrap_or(""))
            .bind(i64::from(only.is_none()))
            .bind(most)
            .fetch_all(&self.reader)
            .await?;
        rows.iter().map(site).collect()
    }
}

impl Writing {
    /// A site, as it stands among these writes; until they are kept nobody else changes it.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn site(&mut self, id: &str) -> Kept<Option<Site>> {
        // SQLite has one writer; PostgreSQL holds the row.
        let lock = if self.sqlite { "" } else { " FOR UPDATE" };
        let sql = sqlx::AssertSqlSafe(format!("{COLUMNS}{lock}"));
        let row = sqlx::query(sql).bind(id).fetch_optional(&mut *self.tx).await?;
        row.as_ref().map(site).transpose()
    }

    /// Keeps a document. `before` is the version that it takes the place of, `None` for a new site.
    /// Answers the new version, or `None` when another change came first.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn keep_site(
        &mut self,
        id: &str,
        document: &str,
        before: Option<&str>,
    ) -> Kept<Option<String>> {
        let version = ids::chance(12);
        let now = self.now;
        let done = match before {
            None => {
                let sql = "INSERT INTO sites (id, document, version, changed) VALUES ($1, $2, $3, $4) \
                    ON CONFLICT (id) DO NOTHING";
                sqlx::query(sql).bind(id).bind(document).bind(&version).bind(now)
            }
            Some(before) => {
                let sql = "UPDATE sites SET document = $2, version = $3, changed = $4 \
                    WHERE id = $1 AND version = $5";
                sqlx::query(sql).bind(id).bind(document).bind(&version).bind(now).bind(before)
            }
        };
        let done = done.execute(&mut *self.tx).await?;
        Ok((done.rows_affected() == 1).then_some(version))
    }

    /// Removes a site with its charts, jobs and kept answers. Whether it was there in that version.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn remove_site(&mut self, id: &str, before: &str) -> Kept<bool> {
        let sql = "DELETE FROM sites WHERE id = $1 AND version = $2";
        let done = sqlx::query(sql).bind(id).bind(before).execute(&mut *self.tx).await?;
        if done.rows_affected() == 0 {
            return Ok(false);
        }
        for sql in ["DELETE FROM jobs WHERE site = $1", "DELETE FROM replays WHERE site = $1"] {
            sqlx::query(sql).bind(id).execute(&mut *self.tx).await?;
        }
        self.owe_forgetting().await?;
        Ok(true)
    }
}
