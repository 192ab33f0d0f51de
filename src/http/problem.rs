//! What went wrong, as problem details (RFC 9457) with types that stay.

use crate::store::StoreError;
use crate::wire::Fault;
use schemars::JsonSchema;
use serde::Serialize;

/// One type of problem.
#[derive(PartialEq, Eq, Debug)]
pub struct Kind {
    /// The end of its `type`, which never changes.
    pub slug: &'static str,
    /// HTTP status.
    pub status: u16,
    /// In a few words.
    pub title: &'static str,
    /// What it means and what to do, for the reference page.
    pub says: &'static str,
}

macro_rules! kinds {
    ($($name:ident $slug:literal $status:literal $title:literal $says:literal;)*) => {
        $(#[doc = $says] pub const $name: &Kind =
            &Kind { slug: $slug, status: $status, title: $title, says: $says };)*
        /// Every type of problem, by status.
        pub const KINDS: &[&Kind] = &[$($name),*];
    };
}

kinds! {
    REQUEST "request" 400 "The request cannot be read"
        "A parameter or a header is not known or has a wrong form; each fault names it.";
    TOKEN "token" 401 "A token is needed"
        "Send `Authorization: Bearer TOKEN` with a token that has been added and not revoked.";
    FORBIDDEN "forbidden" 403 "This token does not open that"
        "The token's role is too small, or it is for another site; or a page of another site asks.";
    MISSING "missing" 404 "There is no such thing"
        "Nothing is kept under this path.";
    METHOD "method" 405 "Not done with this method"
        "The `Allow` header lists the methods of this path.";
    MEDIA "not-acceptable" 406 "Not to be had in this form"
        "Ask in `Accept` for one of the forms that the reference lists for this call.";
    SLOW "body-too-slow" 408 "The body did not arrive in time"
        "Send it again, in one go.";
    CONFLICT "conflict" 409 "It does not fit what is kept"
        "What is asked for and the facts of the site do not go together; each fault says how.";
    BUSY_KEY "key-in-use" 409 "The first request with this key is not answered yet"
        "Ask again a little later with the same key.";
    ERASED "erased" 410 "The answer is gone"
        "Somebody in it was erased since it was given.";
    LOST_RACE "changed-meanwhile" 412 "It was changed meanwhile"
        "Read it again, put your change into what you then find, and send that with its ETag.";
    TOO_LONG "body-too-long" 413 "The body is too long"
        "Leave old visits out, or let whoever runs the service allow longer bodies.";
    TYPE "media-type" 415 "The body is of another type"
        "Send `Content-Type: application/json`, not compressed.";
    HOST "host" 421 "Not the name of this service"
        "Without a token only this machine's own names are answered.";
    FACTS "facts" 422 "The facts cannot be used"
        "Every fault is listed with its JSON pointer, its cause and what to do.";
    OTHER_BODY "key-with-another-body" 422 "This key was used for another request"
        "Take a new key for a new request.";
    PRECONDITION "version-needed" 428 "Say which version you change"
        "Send `If-Match` with the ETag that you read, or `If-None-Match: *` for something new.";
    RATE "too-many-requests" 429 "Too many requests"
        "Wait for as many seconds as `Retry-After` says.";
    FAULT "fault" 500 "Something is wrong here"
        "This is a fault of the program; whoever runs it finds the request's id in the log.";
    FULL "queue-full" 503 "Too much to solve at the moment"
        "Wait for as many seconds as `Retry-After` says, or ask with `Prefer: respond-async`.";
    LONG "solve-too-long" 503 "The solve took too long"
        "Ask with `Prefer: respond-async`: a job may take longer.";
    STORE "store" 503 "The store does not answer"
        "Wait for as many seconds as `Retry-After` says; whoever runs the service finds the reason in the log.";
}

/// One fault, with its place.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, JsonSchema)]
pub struct FaultLine {
    /// JSON pointer into the body that was sent; `#name` for a parameter or header.
    pub pointer: String,
    /// What is wrong.
    pub cause: String,
    /// What to do.
    pub mend: String,
}

/// A problem as it is answered.
#[derive(Debug)]
pub struct Problem {
    /// Its type.
    pub kind: &'static Kind,
    /// About this case.
    pub detail: String,
    /// Every fault.
    pub faults: Vec<FaultLine>,
    /// Seconds after which to try again.
    pub retry_after: Option<u32>,
    /// For the log, never for the answer.
    pub log: Option<String>,
}

/// The body of a problem.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Problem")]
pub struct ProblemBody {
    /// Stays the same for the same kind of problem; leads to its place in the reference.
    #[serde(rename = "type")]
    pub kind: String,
    /// The kind in a few words.
    pub title: String,
    /// The HTTP status.
    #[schemars(range(min = 400, max = 599))]
    pub status: u16,
    /// About this case.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[schemars(default)]
    pub detail: String,
    /// The id of the request, as in the log.
    pub request: String,
    /// Every fault with its place.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub faults: Vec<FaultLine>,
}

impl Problem {
    /// A problem about which nothing more is to be said.
    #[must_use]
    pub fn plain(kind: &'static Kind) -> Problem {
        Problem::about(kind, "")
    }

    /// A problem with a sentence about this case.
    #[must_use]
    pub fn about(kind: &'static Kind, detail: impl Into<String>) -> Problem {
        let retry_after = matches!(kind.status, 429 | 503).then_some(2);
        Problem { kind, detail: detail.into(), faults: Vec::new(), retry_after, log: None }
    }

    /// One fault of a parameter or header.
    #[must_use]
    pub fn parameter(name: &str, cause: impl Into<String>, mend: impl Into<String>) -> Problem {
        let line =
            FaultLine { pointer: format!("#{name}"), cause: cause.into(), mend: mend.into() };
        Problem { faults: vec![line], ..Problem::plain(REQUEST) }
    }

    /// Faults of a text that stands at `under` in the body.
    #[must_use]
    pub fn faults(kind: &'static Kind, under: &str, faults: &[Fault]) -> Problem {
        let line = |fault: &Fault| FaultLine {
            pointer: format!("{under}{}", fault.pointer),
            cause: fault.cause.clone(),
            mend: fault.mend.clone(),
        };
        Problem { faults: faults.iter().map(line).collect(), ..Problem::plain(kind) }
    }

    /// The body, for the request of an id.
    #[must_use]
    pub fn body(&self, request: &str) -> String {
        let body = ProblemBody {
            kind: format!("/reference#problem-{}", self.kind.slug),
            title: self.kind.title.to_owned(),
            status: self.kind.status,
            detail: self.detail.clone(),
            request: request.to_owned(),
            faults: self.faults.clone(),
        };
        serde_json::to_string(&body).expect("plain fields")
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Problem {
        Problem { log: Some(error.0), ..Problem::plain(STORE) }
    }
}
