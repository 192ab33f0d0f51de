//! Jobs: solves that wait in one queue and end once, whatever happens to who carries them out.
//!
//! Whoever takes a job up holds it for a while (a lease) under a number that grows with each taking
//! (a fence). A result is kept only under the newest number, so that one who was paused and wakes up
//! late changes nothing; a lease that ran out puts the job back into the queue.

use super::{Kept, Store, Writing, ids, maybe, text, whole};
use sqlx::Row;
use sqlx::any::AnyRow;

/// How long a job may go without a sign of life, in seconds.
pub(super) const LEASE: i64 = 20;

/// How often a job is taken up before it is given up as lost.
const MOST_ATTEMPTS: i64 = 3;

/// How long an ended job can be asked for, in seconds.
const KEPT_FOR: i64 = 24 * 60 * 60;

/// Where a job stands.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum JobState {
    /// Nobody has taken it up.
    Waiting,
    /// Somebody works on it.
    Running,
    /// It has its result.
    Done,
    /// It ended with a fault.
    Failed,
    /// Somebody called it off.
    Cancelled,
    /// Whoever had taken it up went away, too often.
    Lost,
}

impl JobState {
    const ALL: [JobState; 6] = [
        JobState::Waiting,
        JobState::Running,
        JobState::Done,
        JobState::Failed,
        JobState::Cancelled,
        JobState::Lost,
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            JobState::Waiting => "waiting",
            JobState::Running => "running",
            JobState::Done => "done",
            JobState::Failed => "failed",
            JobState::Cancelled => "cancelled",
            JobState::Lost => "lost",
        }
    }

    /// Whether nothing more will happen to it.
    #[must_use]
    pub fn is_over(self) -> bool {
        !matches!(self, JobState::Waiting | JobState::Running)
    }
}

/// A job that is to be done.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NewJob {
    /// The site that it is about.
    pub site: Option<String>,
    /// What is to be done.
    pub verb: String,
    /// The chart that it starts from.
    pub chart: Option<String>,
    /// The request's body, as JSON text.
    pub request: String,
}

/// A job as it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Job {
    /// Its id.
    pub id: String,
    /// Id of the token that asked for it.
    pub token: String,
    /// What is to be done.
    pub work: NewJob,
    /// Where it stands.
    pub state: JobState,
    /// What is being done, in a word or two.
    pub progress: String,
    /// What it has found so far, as JSON text; nothing once it is over.
    pub so_far: Option<String>,
    /// When it was asked for, in seconds since 1970.
    pub made: i64,
    /// HTTP status of its result.
    pub status: Option<u16>,
    /// Its result, as JSON text.
    pub result: Option<String>,
}

/// A job in the hands of whoever took it up.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Claim {
    /// The job.
    pub job: Job,
    /// The number under which it was taken up.
    pub fence: i64,
}

const COLUMNS: &str =
    "id, token, site, verb, chart, request, state, fence, progress, so_far, made, status, result";

fn job(row: &AnyRow) -> Kept<Job> {
    let state = text(row, "state")?;
    let state = JobState::ALL.into_iter().find(|s| s.word() == state).unwrap_or(JobState::Lost);
    let status = row.try_get::<Option<i64>, _>("status")?;
    Ok(Job {
        id: text(row, "id")?,
        token: text(row, "token")?,
        work: NewJob {
            site: maybe(row, "site")?,
            verb: text(row, "verb")?,
            chart: maybe(row, "chart")?,
            request: text(row, "request")?,
        },
        state,
        progress: text(row, "progress")?,
        so_far: maybe(row, "so_far")?,
        made: whole(row, "made")?,
        status: status.and_then(|status| u16::try_from(status).ok()),
        result: maybe(row, "result")?,
    })
}

impl Store {
    /// A job.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn job(&self, id: &str) -> Kept<Option<Job>> {
        let sql = sqlx::AssertSqlSafe(format!("SELECT {COLUMNS} FROM jobs WHERE id = $1"));
        let row = sqlx::query(sql).bind(id).fetch_optional(&self.reader).await?;
        row.as_ref().map(job).transpose()
    }

    /// How many jobs wait.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn jobs_waiting(&self) -> Kept<i64> {
        let sql = "SELECT COUNT(*) FROM jobs WHERE state = 'waiting'";
        Ok(sqlx::query(sql).fetch_one(&self.reader).await?.try_get(0)?)
    }

    /// How many jobs could be taken up now: those that wait, and those whose taker is silent.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn jobs_ready(&self) -> Kept<i64> {
        let sql = "SELECT COUNT(*) FROM jobs WHERE state = 'waiting' \
            OR (state = 'running' AND lease < $1)";
        Ok(sqlx::query(sql).bind(ids::now()).fetch_one(&self.reader).await?.try_get(0)?)
    }

    /// Takes up the oldest job that waits, or whose taker gave no sign of life.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn claim_job(&self) -> Kept<Option<Claim>> {
        let now = ids::now();
        let mut tx = self.begin_raw().await?;
        let lost = "UPDATE jobs SET state = 'lost', ended = $1, fence = fence + 1 \
            WHERE state = 'running' AND lease < $1 AND attempts >= $2";
        sqlx::query(lost).bind(now).bind(MOST_ATTEMPTS).execute(&mut *tx).await?;
        let lock = if self.sqlite { "" } else { " FOR UPDATE SKIP LOCKED" };
        let sql = format!(
            "UPDATE jobs SET state = 'running', fence = fence + 1, attempts = attempts + 1, \
            lease = $2, progress = 'started', so_far = NULL \
            WHERE id = (SELECT id FROM jobs WHERE state = 'waiting' \
            OR (state = 'running' AND lease < $1) ORDER BY id LIMIT 1{lock}) RETURNING {COLUMNS}"
        );
        let query = sqlx::query(sqlx::AssertSqlSafe(sql)).bind(now).bind(now + LEASE);
        let rows = query.fetch_all(&mut *tx).await?;
        tx.commit().await?;
        let claim = |row: &AnyRow| Ok(Claim { job: job(row)?, fence: whole(row, "fence")? });
        rows.first().map(claim).transpose()
    }

    /// A sign of life, with what has been found so far where that is new. Whether the job is still in
    /// these hands.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn hold_job(
        &self,
        claim: &Claim,
        progress: &str,
        so_far: Option<&str>,
    ) -> Kept<bool> {
        let sql = "UPDATE jobs SET lease = $3, progress = $4, so_far = COALESCE($5, so_far) \
            WHERE id = $1 AND fence = $2 AND state = 'running'";
        let query = sqlx::query(sql).bind(&claim.job.id).bind(claim.fence);
        let query = query.bind(ids::now() + LEASE).bind(progress);
        let query = query.bind(so_far.map(str::to_owned));
        Ok(query.execute(&self.writer).await?.rows_affected() == 1)
    }

    /// Puts a job back into the queue, because whoever holds it is about to go.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn return_job(&self, claim: &Claim) -> Kept<()> {
        let sql = "UPDATE jobs SET state = 'waiting', attempts = attempts - 1, progress = '', \
            so_far = NULL WHERE id = $1 AND fence = $2 AND state = 'running'";
        sqlx::query(sql).bind(&claim.job.id).bind(claim.fence).execute(&self.writer).await?;
        Ok(())
    }

    /// Puts back what the program that ended last had taken up. Only for a store that no other
    /// instance shares; there the lease decides.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn return_interrupted_jobs(&self) -> Kept<()> {
        if self.sqlite {
            let sql = "UPDATE jobs SET lease = 0 WHERE state = 'running'";
            sqlx::query(sql).execute(&self.writer).await?;
        }
        Ok(())
    }
}

impl Writing {
    /// Puts a job into the queue, unless `most` wait already; answers its id. Ended ones that are
    /// older than a day are forgotten.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn add_job(&mut self, new: &NewJob, most: i64) -> Kept<Option<String>> {
        let old = "DELETE FROM jobs WHERE ended < $1";
        sqlx::query(old).bind(self.now - KEPT_FOR).execute(&mut *self.tx).await?;
        let waiting = "SELECT COUNT(*) FROM jobs WHERE state = 'waiting'";
        let row = sqlx::query(waiting).fetch_one(&mut *self.tx).await?;
        if row.try_get::<i64, _>(0)? >= most {
            return Ok(None);
        }
        let id = ids::new_id();
        let sql = "INSERT INTO jobs (id, token, site, verb, chart, request, state, fence, lease, \
            attempts, made, progress) VALUES ($1, $2, $3, $4, $5, $6, 'waiting', 0, 0, 0, $7, '')";
        sqlx::query(sql)
            .bind(&id)
            .bind(&self.hand.token)
            .bind(new.site.clone())
            .bind(&new.verb)
            .bind(new.chart.clone())
            .bind(&new.request)
            .bind(self.now)
            .execute(&mut *self.tx)
            .await?;
        Ok(Some(id))
    }

    /// Ends a job among these writes. Whether it was still in these hands.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn end_job(
        &mut self,
        claim: &Claim,
        state: JobState,
        status: u16,
        result: &str,
    ) -> Kept<bool> {
        let sql = "UPDATE jobs SET state = $3, status = $4, result = $5, ended = $6, progress = '', \
            so_far = NULL WHERE id = $1 AND fence = $2 AND state = 'running'";
        let done = sqlx::query(sql)
            .bind(&claim.job.id)
            .bind(claim.fence)
            .bind(state.word())
            .bind(i64::from(status))
            .bind(result)
            .bind(self.now)
            .execute(&mut *self.tx)
            .await?;
        Ok(done.rows_affected() == 1)
    }

    /// Calls a job off; whoever works on it may not end it any more. Whether it was not over yet.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn cancel_job(&mut self, id: &str) -> Kept<bool> {
        let sql = "UPDATE jobs SET state = 'cancelled', fence = fence + 1, ended = $2, \
            progress = '', so_far = NULL WHERE id = $1 AND state IN ('waiting', 'running')";
        let done = sqlx::query(sql).bind(id).bind(self.now).execute(&mut *self.tx).await?;
        Ok(done.rows_affected() == 1)
    }
}
