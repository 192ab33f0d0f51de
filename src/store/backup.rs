//! A copy of the store while it is in use, and which copies are known.

use super::{Kept, Store, StoreError, ids, text, whole};
use sqlx::any::AnyPoolOptions;
use sqlx::{AnyPool, Row};

/// What a copy was found to hold, by reading the copy itself.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Held {
    /// Tables and how many rows each has.
    pub rows: Vec<(&'static str, i64)>,
}

const TABLES: [&str; 7] = ["sites", "charts", "names", "tokens", "jobs", "replays", "trail"];

impl Store {
    /// Copies the whole store into a new file, checks the copy and says what is in it.
    ///
    /// # Errors
    /// When the copy cannot be written or does not pass the check; for PostgreSQL, whose own tools
    /// are to be used.
    pub async fn backup(&self, file: &str) -> Kept<Held> {
        if !self.sqlite {
            return Err(StoreError(
                "PostgreSQL is copied with its own tools, such as pg_dump".into(),
            ));
        }
        // Known before it exists: a copy that nobody knows of is worse than a line too many.
        let sql = "INSERT INTO backups (id, at, file) VALUES ($1, $2, $3)";
        let (id, now) = (ids::new_id(), ids::now());
        sqlx::query(sql).bind(&id).bind(now).bind(file).execute(&self.writer).await?;
        let written = sqlx::query("VACUUM INTO $1").bind(file).execute(&self.reader).await;
        if let Err(error) = written {
            let sql = "DELETE FROM backups WHERE id = $1";
            sqlx::query(sql).bind(&id).execute(&self.writer).await?;
            return Err(error.into());
        }
        let url = format!("sqlite://{file}?mode=ro");
        let copy: AnyPool = AnyPoolOptions::new().max_connections(1).connect(&url).await?;
        let found = sqlx::query("PRAGMA integrity_check").fetch_one(&copy).await?;
        if found.try_get::<String, _>(0)? != "ok" {
            return Err(StoreError("the copy does not pass the database's own check".into()));
        }
        let mut rows = Vec::new();
        for table in TABLES {
            let sql = sqlx::AssertSqlSafe(format!("SELECT COUNT(*) FROM {table}"));
            rows.push((table, sqlx::query(sql).fetch_one(&copy).await?.try_get::<i64, _>(0)?));
        }
        copy.close().await;
        Ok(Held { rows })
    }

    /// Copies that were made and may still be somewhere: when, in seconds since 1970, and the file.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn known_backups(&self) -> Kept<Vec<(i64, String)>> {
        let rows =
            sqlx::query("SELECT at, file FROM backups ORDER BY id").fetch_all(&self.reader).await?;
        rows.iter().map(|row| Ok((whole(row, "at")?, text(row, "file")?))).collect()
    }
}
