//! What the service keeps: sites, charts, tokens, answers to repeated requests, jobs, the trail.
//!
//! SQLite in a file of its own by default (a write-ahead log, foreign keys, one writer), PostgreSQL
//! by its URL when several instances share one store. One SQL text serves both. Texts come in and
//! go out as they are: what they mean is for the rooms that call.
//!
//! Map: `sites` documents with versions, `charts` revisions with parents, `tokens` who may come in, `secret` by what,
//! `replays` one answer for one idempotency key, `jobs` solves that wait, run and end once,
//! `trail` who changed what, `names` what people were ever called, `erase` a person out of every
//! text, `backup` a copy while running, [`ids`] chance and the clock.

mod backup;
mod charts;
mod erase;
pub mod ids;
mod jobs;
mod names;
mod replays;
mod secret;
mod sites;
mod tokens;
mod trail;

pub use backup::Held;
pub use charts::{ChartLine, NewChart, StoredChart};
pub use erase::Texts;
pub use jobs::{Claim, Job, JobState, NewJob};
pub use names::{Called, Kind};
pub use replays::{Replay, ReplayKey, Stored};
pub use secret::Secret;
pub use sites::Site;
pub use tokens::{Role, Token};
pub use trail::TrailLine;

use sqlx::any::{AnyPoolOptions, AnyRow};
use sqlx::{Any, AnyPool, Connection, Executor, Row, Transaction};
use std::fmt;
use std::time::Duration;

/// Shapes of the store, oldest first; each is applied once.
const SHAPES: &[&str] = &[
    include_str!("schema.sql"),
    include_str!("schema_names.sql"),
    include_str!("schema_so_far.sql"),
];

/// Longest that a caller waits for a connection.
const PATIENCE: Duration = Duration::from_secs(8);

/// Why the store did not answer; the words are for the log of whoever runs it.
#[derive(Debug)]
pub struct StoreError(pub String);

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> StoreError {
        // Only what kind of failure it is: a database repeats values in its own words.
        StoreError(match &error {
            sqlx::Error::Database(told) => {
                let code = told.code().unwrap_or_default();
                format!("the database refused (code {code}): {}", plain(&code))
            }
            sqlx::Error::PoolTimedOut => "no connection was free in time".into(),
            sqlx::Error::Io(told) => format!("the database cannot be reached: {}", told.kind()),
            sqlx::Error::ColumnDecode { index, .. } => format!("column {index} cannot be read"),
            sqlx::Error::Configuration(_) => "the database's URL is wrong".into(),
            _ => "the database did not answer".into(),
        })
    }
}

/// The failures that happen to people, by the code that SQLite gives them.
fn plain(code: &str) -> &'static str {
    match code.parse::<u32>().map(|code| code & 0xff) {
        Ok(5 | 6) => "it is locked by another program",
        Ok(8) => "the file is read-only",
        Ok(10) => "reading or writing the disk failed",
        Ok(11 | 26) => "the file is damaged or is no database",
        Ok(13) => "the disk is full",
        Ok(14) => "the file cannot be opened",
        _ => "see the code",
    }
}

/// What every function of the store answers.
pub type Kept<T> = Result<T, StoreError>;

/// An open store.
#[derive(Clone, Debug)]
pub struct Store {
    reader: AnyPool,
    writer: AnyPool,
    sqlite: bool,
}

/// Whose hand writes: for the trail.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hand {
    /// Id of the token, or `nobody`, or `command`.
    pub token: String,
    /// Id of the request.
    pub request: String,
}

/// Several writes that are kept together or not at all.
pub struct Writing {
    tx: Transaction<'static, Any>,
    hand: Hand,
    /// The time of all of them.
    pub now: i64,
    sqlite: bool,
}

impl Store {
    /// Opens the store at a URL, `sqlite://FILE` or `postgres://...`, and brings it to today's shape.
    ///
    /// # Errors
    /// When it cannot be opened or is of a later shape than this program knows. It never opens
    /// another store instead.
    pub async fn open(url: &str) -> Kept<Store> {
        sqlx::any::install_default_drivers();
        let sqlite = url.starts_with("sqlite:");
        if !sqlite && !url.starts_with("postgres:") && !url.starts_with("postgresql:") {
            return Err(StoreError("give sqlite://FILE or postgres://...".into()));
        }
        let full = match (sqlite, url.contains('?')) {
            (true, false) => format!("{url}?mode=rwc"),
            _ => url.to_owned(),
        };
        let writer = pool(sqlite, if sqlite { 1 } else { 8 }).connect(&full).await?;
        let store = Store { reader: writer.clone(), writer, sqlite };
        store.migrate().await?;
        if !sqlite {
            return Ok(store);
        }
        let reader = pool(true, 8).connect(&full).await?;
        Ok(Store { reader, ..store })
    }

    /// Whether this is SQLite in a file.
    #[must_use]
    pub fn is_sqlite(&self) -> bool {
        self.sqlite
    }

    async fn migrate(&self) -> Kept<()> {
        let table = "CREATE TABLE IF NOT EXISTS shapes (shape BIGINT PRIMARY KEY)";
        let mut tx = self.begin_raw().await?;
        if !self.sqlite {
            // Two instances that start at once take turns; any fixed number serves.
            tx.execute("SELECT CAST(pg_advisory_xact_lock(72117) AS TEXT)").await?;
        }
        tx.execute(table).await?;
        let row =
            sqlx::query("SELECT COALESCE(MAX(shape), 0) FROM shapes").fetch_one(&mut *tx).await?;
        let have = usize::try_from(row.try_get::<i64, _>(0)?).unwrap_or(usize::MAX);
        if have > SHAPES.len() {
            return Err(StoreError(
                "the store was written by a later version of this program".into(),
            ));
        }
        for (at, shape) in SHAPES.iter().enumerate().skip(have) {
            for statement in shape.split(';').map(str::trim).filter(|s| !s.is_empty()) {
                let statement = sqlx::AssertSqlSafe(statement.to_owned());
                sqlx::query(statement).execute(&mut *tx).await?;
            }
            let number = i64::try_from(at + 1).unwrap_or(i64::MAX);
            sqlx::query("INSERT INTO shapes (shape) VALUES ($1)")
                .bind(number)
                .execute(&mut *tx)
                .await?;
        }
        Ok(tx.commit().await?)
    }

    async fn begin_raw(&self) -> Kept<Transaction<'static, Any>> {
        let begin = if self.sqlite { "BEGIN IMMEDIATE" } else { "BEGIN" };
        Ok(self.writer.begin_with(begin).await?)
    }

    /// Starts a set of writes.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn write(&self, hand: &Hand) -> Kept<Writing> {
        let tx = self.begin_raw().await?;
        Ok(Writing { tx, hand: hand.clone(), now: ids::now(), sqlite: self.sqlite })
    }

    /// Whether the store answers: reads from it.
    ///
    /// # Errors
    /// When it does not.
    pub async fn answers(&self) -> Kept<()> {
        sqlx::query("SELECT COUNT(*) FROM shapes").fetch_one(&self.reader).await?;
        Ok(())
    }

    /// Closes every connection, after what is being written.
    pub async fn close(&self) {
        self.reader.close().await;
        self.writer.close().await;
    }
}

impl Writing {
    /// Keeps everything that was written.
    ///
    /// # Errors
    /// When it could not be kept; then nothing was.
    pub async fn commit(self) -> Kept<()> {
        Ok(self.tx.commit().await?)
    }
}

/// How each connection to SQLite is set up.
const SQLITE: [&str; 6] = [
    "PRAGMA busy_timeout = 5000",
    "PRAGMA journal_mode = WAL",
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    "PRAGMA secure_delete = ON",
    "PRAGMA temp_store = MEMORY",
];

/// How each connection to PostgreSQL is set up: an instance that was paused in the middle of a set of
/// writes loses it, or it would keep a job from all others for as long as it sleeps.
const POSTGRES: [&str; 2] =
    ["SET idle_in_transaction_session_timeout = '15s'", "SET lock_timeout = '10s'"];

/// Connections that are set up alike.
fn pool(sqlite: bool, most: u32) -> AnyPoolOptions {
    let options = AnyPoolOptions::new().max_connections(most).acquire_timeout(PATIENCE);
    // A full disk or a broken link ends a transaction without the connection counting it as ended;
    // such a connection would refuse every later one.
    let options = options.before_acquire(|connection, _| {
        let usable = !connection.is_in_transaction();
        Box::pin(async move { Ok(usable) })
    });
    options.after_connect(move |connection, _| {
        Box::pin(async move {
            let settings: &[&'static str] = if sqlite { &SQLITE } else { &POSTGRES };
            for setting in settings {
                connection.execute(*setting).await?;
            }
            Ok(())
        })
    })
}

/// A text of a row.
fn text(row: &AnyRow, name: &str) -> Kept<String> {
    Ok(row.try_get::<String, _>(name)?)
}

/// A text that may be missing.
fn maybe(row: &AnyRow, name: &str) -> Kept<Option<String>> {
    Ok(row.try_get::<Option<String>, _>(name)?)
}

/// A whole number of a row.
fn whole(row: &AnyRow, name: &str) -> Kept<i64> {
    Ok(row.try_get::<i64, _>(name)?)
}
