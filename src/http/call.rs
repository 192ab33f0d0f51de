//! A request that has been let in, and the answer that it gets.

use super::answers::RevisionLine;
use super::form::{Form, Given};
use super::media::Media;
use super::operation::Operation;
use super::problem::{CONFLICT, FACTS, FORBIDDEN, LOST_RACE, MISSING, PRECONDITION, Problem};
use super::service::Service;
use super::work::Outcome;
use crate::store::{ChartLine, Hand, Kept, NewChart, Role, Site, Stored, StoredChart, Writing};
use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, header};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Who asks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Caller {
    /// Id of the token, or `nobody` on a service without tokens.
    pub token: String,
    /// What the token may be used for.
    pub role: Role,
    /// The one site that it opens; `None`: all.
    pub site: Option<String>,
}

/// A request that has been let in.
#[derive(Debug)]
pub struct Call {
    /// The service.
    pub service: Arc<Service>,
    /// What is asked for.
    pub operation: &'static Operation,
    /// The variable steps of the path.
    pub path: BTreeMap<&'static str, String>,
    /// The parameters after the path, each one known.
    pub query: BTreeMap<String, String>,
    /// The headers.
    pub headers: HeaderMap,
    /// The body.
    pub body: Bytes,
    /// Who asks.
    pub who: Caller,
    /// The request's id.
    pub request: String,
    /// The form of the answer.
    pub media: Media,
    /// The mark of its idempotency key.
    pub key: Option<String>,
}

/// What is sent back.
#[derive(Debug)]
pub struct Reply {
    /// HTTP status.
    pub status: u16,
    /// Header lines besides those that every answer has.
    pub headers: Vec<(&'static str, String)>,
    /// The whole `Content-Type`.
    pub media: &'static str,
    /// The body.
    pub body: Sent,
}

/// A body.
#[derive(Debug)]
pub enum Sent {
    /// All of it.
    Whole(String),
    /// Piece by piece.
    Stream(Body),
}

impl Reply {
    /// A whole text in a form.
    #[must_use]
    pub fn new(status: u16, media: Media, body: String) -> Reply {
        Reply { status, headers: Vec::new(), media: media.header(), body: Sent::Whole(body) }
    }

    /// JSON of a value.
    #[must_use]
    pub fn json(status: u16, body: &impl serde::Serialize) -> Reply {
        let body = serde_json::to_string(body).expect("plain fields with text for keys");
        Reply::new(status, Media::Json, body)
    }

    /// Nothing but that it was done.
    #[must_use]
    pub fn done() -> Reply {
        Reply::new(204, Media::Json, String::new())
    }

    /// With one more header.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Into<String>) -> Reply {
        self.headers.push((name, value.into()));
        self
    }

    /// As it is kept for whoever sends the same request again.
    #[must_use]
    pub fn stored(&self) -> Stored {
        let form = format!("content-type: {}\n", self.media);
        let lines = self.headers.iter().map(|(name, value)| format!("{name}: {value}\n"));
        let lines = std::iter::once(form).chain(lines);
        let body = match &self.body {
            Sent::Whole(body) => body.clone(),
            Sent::Stream(_) => String::new(),
        };
        Stored { status: self.status, headers: lines.collect(), body: Some(body) }
    }
}

/// What a call answers.
pub type Answer = Result<Reply, Problem>;

impl Call {
    /// A step of the path.
    #[must_use]
    pub fn step(&self, name: &str) -> &str {
        self.path.get(name).map_or("", String::as_str)
    }

    /// A parameter.
    #[must_use]
    pub fn parameter(&self, name: &str) -> Option<&str> {
        self.query.get(name).map(String::as_str)
    }

    /// The body in its form.
    ///
    /// # Errors
    /// Every fault.
    pub fn given(&self, form: &Form) -> Result<Given, Problem> {
        form.read(&self.body).map_err(|faults| Problem::faults(FACTS, "", &faults))
    }

    /// The site of the path.
    ///
    /// # Errors
    /// When it is not there.
    pub async fn site(&self) -> Result<Site, Problem> {
        let site = self.service.store.site(self.step("site")).await?;
        site.ok_or_else(|| Problem::plain(MISSING))
    }

    /// The chart of the path.
    ///
    /// # Errors
    /// When it is not there.
    pub async fn chart(&self) -> Result<StoredChart, Problem> {
        let chart = self.service.store.chart(self.step("site"), self.step("chart")).await?;
        chart.ok_or_else(|| Problem::plain(MISSING))
    }

    /// Whose hand writes.
    #[must_use]
    pub fn hand(&self) -> Hand {
        Hand { token: self.who.token.clone(), request: self.request.clone() }
    }

    /// Starts a set of writes.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn write(&self) -> Kept<Writing> {
        self.service.store.write(&self.hand()).await
    }

    /// Keeps what was written, together with the answer to this request's key.
    ///
    /// # Errors
    /// When it could not be kept, or the key went to another request meanwhile.
    pub async fn keep(&self, mut writing: Writing, reply: Reply) -> Answer {
        if let Some(key) = &self.key
            && !writing.keep_answer(key, &reply.stored()).await?
        {
            return Err(Problem::about(CONFLICT, "The key was taken by another request."));
        }
        writing.commit().await?;
        Ok(reply)
    }

    /// Whether somebody who may only do so much asks for it.
    ///
    /// # Errors
    /// When the role is too small.
    pub fn needs(&self, role: Role) -> Result<(), Problem> {
        if self.who.role < role { Err(Problem::plain(FORBIDDEN)) } else { Ok(()) }
    }

    /// Checks the version that a change names against the one that is kept.
    ///
    /// # Errors
    /// 428 when none is named, 412 when it is another, 400 when what is named is no version at all.
    pub fn version(&self, kept: Option<&str>) -> Result<(), Problem> {
        let header = |name: header::HeaderName| listed(&self.headers, name);
        let (same, none) = (header(header::IF_MATCH), header(header::IF_NONE_MATCH));
        let (same, none) = (same.as_deref(), none.as_deref());
        let names = |list: &str, version: &str| {
            list.split(',').any(|tag| tag.trim() == format!("\"{version}\""))
        };
        if let Some(list) = same.filter(|list| *list != "*" && !list.split(',').all(is_tag)) {
            let cause = format!("this is no ETag, or list of them: {} characters", list.len());
            return Err(Problem::parameter("If-Match", cause, "send the ETag as it was read"));
        }
        if none.is_some_and(|none| none != "*") {
            let (cause, mend) = ("a change takes none but `*` here", "send `*` for something new");
            return Err(Problem::parameter("If-None-Match", cause, mend));
        }
        match (kept, same, none) {
            (_, None, None) => Err(Problem::plain(PRECONDITION)),
            (Some(_), Some("*"), None) | (None, None, Some("*")) => Ok(()),
            (Some(version), Some(list), None) if names(list, version) => Ok(()),
            _ => Err(Problem::plain(LOST_RACE)),
        }
    }

    /// Whether the asker already has this version.
    #[must_use]
    pub fn has_version(&self, version: &str) -> bool {
        let tags = listed(&self.headers, header::IF_NONE_MATCH);
        let same = |tag: &str| {
            let tag = tag.trim();
            tag == "*" || tag.trim_start_matches("W/") == format!("\"{version}\"")
        };
        tags.is_some_and(|tags| tags.split(',').any(same))
    }
}

/// All lines of a header that is a list, as one; `None` when there is none.
#[must_use]
pub fn listed(headers: &HeaderMap, name: header::HeaderName) -> Option<String> {
    let lines = headers.get_all(name).iter().filter_map(|value| value.to_str().ok());
    lines.map(|line| line.trim().to_owned()).reduce(|list, line| format!("{list}, {line}"))
}

/// Whether this is an entity tag: quoted, perhaps weak.
fn is_tag(text: &str) -> bool {
    let text = text.trim();
    let quoted = text.strip_prefix("W/").unwrap_or(text);
    let inside = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    inside.is_some_and(|tag| tag.bytes().all(|b| b > b' ' && b != b'"' && b != 0x7f))
}

/// Keeps the chart of an outcome, and notes that. The answer's body, or `None` when its site is gone
/// or somebody was erased since the site was read.
///
/// # Errors
/// When the store does not answer.
pub async fn keep_chart(
    writing: &mut Writing,
    (site, erasures): (&str, i64),
    parent: Option<&str>,
    verb: &'static str,
    outcome: &Outcome,
) -> Kept<Option<(ChartLine, RevisionLine)>> {
    let new = NewChart {
        site: site.to_owned(),
        erasures,
        room: outcome.room.clone(),
        date: outcome.date.clone(),
        parent: parent.map(str::to_owned),
        verb,
        safe_to_run: outcome.safe_to_run,
        chart: outcome.body.clone(),
    };
    let Some(line) = writing.keep_chart(&new).await? else { return Ok(None) };
    writing.note(Some(site), &format!("chart {verb}"), &line.id).await?;
    let answer = RevisionLine::new(site, line.clone(), Some(&outcome.body));
    Ok(Some((line, answer)))
}
