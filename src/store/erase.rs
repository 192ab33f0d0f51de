//! A person out of every text that is kept, and out of the pages of the file.

use super::{Kept, Store, Writing, ids, maybe, text};
use sqlx::{Executor, Row};

/// What takes a person out of the texts.
pub struct Texts<'a> {
    /// Out of the site's document, which stays a whole scenario.
    pub document: String,
    /// Out of any other JSON text, given one that goes with it: `None` when the person is not in it.
    pub other: &'a (dyn Fn(&str, &str) -> Option<String> + Sync),
    /// Out of words of somebody's own.
    pub words: &'a (dyn Fn(&str) -> String + Sync),
}

/// Texts that were sent whole, for no site, are about this one where the sender may work on it.
const ABOUT: &str = "(site = $1 OR (site IS NULL AND (token NOT IN (SELECT id FROM tokens) \
    OR token IN (SELECT id FROM tokens WHERE tokens.site IS NULL OR tokens.site = $1))))";

impl Writing {
    /// Shows every chart that is kept of a site.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn each_chart(&mut self, site: &str, see: &mut (dyn FnMut(&str) + Send)) -> Kept<()> {
        for row in self.all("SELECT id FROM charts WHERE site = $1".into(), site).await? {
            see(&self.chart_text(&text(&row, "id")?).await?);
        }
        Ok(())
    }

    /// Puts a blank token for a person into every text about a site: its document, its charts, the
    /// jobs and kept answers of whoever may work on it, the labels of their tokens. Answers how many
    /// charts were changed, or `None` when the document was changed meanwhile.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn erase(
        &mut self,
        site: &str,
        version: &str,
        texts: &Texts<'_>,
    ) -> Kept<Option<usize>> {
        if self.keep_site(site, &texts.document, Some(version)).await?.is_none() {
            return Ok(None);
        }
        let sql = "UPDATE sites SET erasures = erasures + 1 WHERE id = $1";
        sqlx::query(sql).bind(site).execute(&mut *self.tx).await?;
        self.owe_forgetting().await?;
        let mut changed = 0;
        for row in self.all("SELECT id FROM charts WHERE site = $1".into(), site).await? {
            let id = text(&row, "id")?;
            if let Some(without) = (texts.other)(&self.chart_text(&id).await?, "") {
                let sql = "UPDATE charts SET chart = $2 WHERE id = $1";
                sqlx::query(sql).bind(&id).bind(without).execute(&mut *self.tx).await?;
                changed += 1;
            }
        }
        // Work that is under way would bring the person back.
        let stop = "UPDATE jobs SET state = 'cancelled', fence = fence + 1, ended = $2, \
            so_far = NULL WHERE site = $1 AND state IN ('waiting', 'running')";
        sqlx::query(stop).bind(site).bind(self.now).execute(&mut *self.tx).await?;
        let sql = format!("SELECT id, request, result FROM jobs WHERE {ABOUT}");
        for row in self.all(sql, site).await? {
            let id = text(&row, "id")?;
            let (request, result) = (text(&row, "request")?, maybe(&row, "result")?);
            let told = result.as_deref().and_then(|result| (texts.other)(result, &request));
            let asked = (texts.other)(&request, "");
            if asked.is_some() || told.is_some() {
                let sql = "UPDATE jobs SET request = $2, result = $3, so_far = NULL, \
                    fence = fence + 1, state = CASE WHEN state IN ('waiting', 'running') \
                    THEN 'cancelled' ELSE state END, \
                    ended = COALESCE(ended, $4) WHERE id = $1";
                sqlx::query(sql)
                    .bind(id)
                    .bind(asked.unwrap_or(request))
                    .bind(told.or(result))
                    .bind(self.now)
                    .execute(&mut *self.tx)
                    .await?;
            }
        }
        let sql = format!("SELECT owner, body FROM replays WHERE body IS NOT NULL AND {ABOUT}");
        for row in self.all(sql, site).await? {
            if (texts.other)(&text(&row, "body")?, "").is_some() {
                let sql = "UPDATE replays SET body = NULL WHERE owner = $1";
                sqlx::query(sql).bind(text(&row, "owner")?).execute(&mut *self.tx).await?;
            }
        }
        let sql = "SELECT id, label FROM tokens WHERE site IS NULL OR site = $1";
        for row in self.all(sql.into(), site).await? {
            let label = text(&row, "label")?;
            let without = (texts.words)(&label);
            if without != label {
                let sql = "UPDATE tokens SET label = $2 WHERE id = $1";
                let query = sqlx::query(sql).bind(text(&row, "id")?).bind(without);
                query.execute(&mut *self.tx).await?;
            }
        }
        Ok(Some(changed))
    }

    /// Notes that the database has to be written anew, until it has been.
    pub(super) async fn owe_forgetting(&mut self) -> Kept<()> {
        let sql = "INSERT INTO owed (id) VALUES ($1)";
        sqlx::query(sql).bind(ids::new_id()).execute(&mut *self.tx).await?;
        Ok(())
    }

    async fn chart_text(&mut self, id: &str) -> Kept<String> {
        let sql = "SELECT chart FROM charts WHERE id = $1";
        text(&sqlx::query(sql).bind(id).fetch_one(&mut *self.tx).await?, "chart")
    }

    async fn all(&mut self, sql: String, site: &str) -> Kept<Vec<sqlx::any::AnyRow>> {
        let query = sqlx::query(sqlx::AssertSqlSafe(sql)).bind(site);
        Ok(query.fetch_all(&mut *self.tx).await?)
    }
}

impl Store {
    /// Makes the database forget what was overwritten: its free pages and its log. Whether it is
    /// known to have done so; a reader that holds on to the old pages is waited for, for a while.
    ///
    /// What PostgreSQL's own log and its archives hold is out of reach here.
    ///
    /// # Errors
    /// When the store does not answer; it is still owed then, as when the answer is no.
    pub async fn forget(&self) -> Kept<bool> {
        let owed = sqlx::query("SELECT id FROM owed").fetch_all(&self.writer).await?;
        let done = self.write_anew().await?;
        for row in owed.iter().filter(|_| done) {
            let sql = "DELETE FROM owed WHERE id = $1";
            sqlx::query(sql).bind(text(row, "id")?).execute(&self.writer).await?;
        }
        Ok(done)
    }

    /// The same, where an erasure could not see to it at its time.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn forget_what_is_owed(&self) -> Kept<()> {
        let owed = sqlx::query("SELECT id FROM owed").fetch_all(&self.reader).await?;
        if !owed.is_empty() {
            self.forget().await?;
        }
        Ok(())
    }

    async fn write_anew(&self) -> Kept<bool> {
        if !self.sqlite {
            for table in ["sites", "charts", "jobs", "replays", "names", "tokens"] {
                let sql = sqlx::AssertSqlSafe(format!("VACUUM FULL {table}"));
                sqlx::query(sql).execute(&self.writer).await?;
            }
            return Ok(true);
        }
        sqlx::query("VACUUM").execute(&self.writer).await?;
        let mut done = false;
        for _ in 0..16 {
            // A writer that waits here for long would keep all others waiting.
            let mut writer = self.writer.acquire().await?;
            writer.execute("PRAGMA busy_timeout = 100").await?;
            let row = writer.fetch_one("PRAGMA wal_checkpoint(TRUNCATE)").await;
            writer.execute(super::SQLITE[0]).await?;
            done = row?.try_get::<i64, _>(0)? == 0;
            drop(writer);
            if done {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_millis(150)).await;
        }
        Ok(done)
    }
}
