//! The shapes of what is answered, besides charts.

use crate::store::{ChartLine, Job, TrailLine};
use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Seconds since 1970 as RFC 3339.
#[must_use]
pub fn time(seconds: i64) -> String {
    DateTime::<Utc>::from_timestamp(seconds, 0).unwrap_or_default().format("%FT%TZ").to_string()
}

/// One page of a list.
#[derive(Serialize, JsonSchema)]
pub struct SitesPage {
    /// In order of id.
    pub sites: Vec<SiteLine>,
    /// Give it as `after` to read on; not there on the last page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// A site in a list.
#[derive(Serialize, JsonSchema)]
pub struct SiteLine {
    /// Its id.
    pub id: String,
    /// The ETag of its document.
    pub version: String,
    /// When it was last changed.
    pub changed: String,
}

/// One page of a list.
#[derive(Serialize, JsonSchema)]
pub struct ChartsPage {
    /// Newest first.
    pub charts: Vec<RevisionLine>,
    /// Give it as `before` to read on; not there on the last page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// What is known of a chart that is kept.
#[derive(Serialize, JsonSchema)]
#[schemars(extend("additionalProperties" = false))]
pub struct RevisionLine {
    /// Its id; later ones sort after earlier ones.
    pub id: String,
    /// The site.
    pub site: String,
    /// The room.
    pub room: String,
    /// The date.
    #[schemars(extend("format" = "date"))]
    pub date: String,
    /// The chart that it came from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// `made`, `repaired` or `brought`.
    pub verb: String,
    /// Whether no rule is broken.
    pub safe_to_run: bool,
    /// Id of the token that asked for it.
    pub made_by: String,
    /// When.
    pub made: String,
    /// The chart itself, when one is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(schema_with = "chart_schema")]
    pub chart: Option<Value>,
}

/// Refers to the chart, whose own types are in another room.
fn chart_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({"$ref": "#/components/schemas/Chart"})
}

impl RevisionLine {
    /// The line of a revision, with its chart where it is given.
    #[must_use]
    pub fn new(site: &str, line: ChartLine, chart: Option<&str>) -> RevisionLine {
        RevisionLine {
            id: line.id,
            site: site.to_owned(),
            room: line.room,
            date: line.date,
            parent: line.parent,
            verb: line.verb,
            safe_to_run: line.safe_to_run,
            made_by: line.made_by,
            made: time(line.made),
            chart: chart.and_then(|text| serde_json::from_str(text).ok()),
        }
    }
}

/// The ratio record of a day: who was needed and who was there, from each room's newest chart.
#[derive(Serialize, JsonSchema)]
pub struct RatioRecord {
    /// The site.
    pub site: String,
    /// The date.
    #[schemars(extend("format" = "date"))]
    pub date: String,
    /// What stands wherever a person sees a plan.
    pub caution: String,
    /// Each room.
    pub rooms: Vec<RatioOfRoom>,
}

/// The ratio record of one room.
#[derive(Serialize, JsonSchema)]
pub struct RatioOfRoom {
    /// The room.
    pub room: String,
    /// The chart that it was read from.
    pub chart: String,
    /// Whether no rule is broken.
    pub safe_to_run: bool,
    /// Lines as in a chart's `ratio`.
    #[schemars(schema_with = "objects")]
    pub ratio: Value,
}

fn objects(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({"type": "array", "items": {"type": "object"}})
}

/// Who did what.
#[derive(Serialize, JsonSchema)]
pub struct VisitsAnswer {
    /// Entries in the form of a scenario's `visits`, in the order in which they were kept.
    #[schemars(schema_with = "objects")]
    pub visits: Value,
    /// Give it as `after` to read on; not there on the last page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// One page of the trail.
#[derive(Serialize, JsonSchema)]
pub struct TrailPage {
    /// Newest first.
    pub trail: Vec<Change>,
    /// Give it as `before` to read on; not there on the last page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// One change.
#[derive(Serialize, JsonSchema)]
pub struct Change {
    /// Its id.
    pub id: String,
    /// When.
    pub at: String,
    /// Id of the token.
    pub token: String,
    /// Id of the request, as in the log.
    pub request: String,
    /// The site that it was done to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// What was done.
    pub did: String,
    /// To what.
    pub about: String,
}

impl From<TrailLine> for Change {
    fn from(line: TrailLine) -> Change {
        let TrailLine { id, at, token, request, site, did, about } = line;
        Change { id, at: time(at), token, request, site, did, about }
    }
}

/// What an erasure reached.
#[derive(Serialize, JsonSchema)]
pub struct Erased {
    /// How many charts were changed.
    pub charts: usize,
    /// Whether the free pages and the log are known to be clean; else they are when it starts next.
    pub forgotten: bool,
    /// Copies that are known; none of them was touched.
    pub backups: Vec<KnownBackup>,
}

/// A copy that was made.
#[derive(Serialize, JsonSchema)]
pub struct KnownBackup {
    /// When.
    pub at: String,
    /// Its file.
    pub file: String,
}

/// A job.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Job")]
pub struct JobAnswer {
    /// Its id.
    pub id: String,
    /// What is done.
    pub verb: String,
    /// `waiting`, `running`, `done`, `failed`, `cancelled` or `lost`.
    pub state: String,
    /// What is being done, in a word or two.
    pub progress: String,
    /// What has been found before the job is over: a repaired day, while what would mend it is still
    /// looked for. It says nothing of fixes, and it is not kept as a chart of the site.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub so_far: Option<Value>,
    /// When it was asked for.
    pub made: String,
    /// The HTTP status that the call would have answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub status: Option<u16>,
    /// What the call would have answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub result: Option<Value>,
}

impl From<Job> for JobAnswer {
    fn from(job: Job) -> JobAnswer {
        JobAnswer {
            id: job.id,
            verb: job.work.verb,
            state: job.state.word().to_owned(),
            progress: job.progress,
            so_far: job.so_far.and_then(|text| serde_json::from_str(&text).ok()),
            made: time(job.made),
            status: job.status,
            result: job.result.and_then(|text| serde_json::from_str(&text).ok()),
        }
    }
}

/// How the service is.
#[derive(Serialize, JsonSchema)]
pub struct Health {
    /// `ok`.
    pub status: String,
}
