//! What a call is: its path, its body, its answer, who may make it.

use super::call::{Answer, Call};
use super::form::Form;
use super::media::Media::{self, Json, Text};
use crate::store::Role;
use std::pin::Pin;

/// What a call does with a request.
pub type Run = fn(Call) -> Pin<Box<dyn Future<Output = Answer> + Send>>;

/// What a call takes as its body.
#[derive(Clone, Copy, Debug)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// A form.
    Form(&'static Form),
    /// A text that the call reads itself, described under this name.
    Text(&'static str),
}

/// A parameter after the path.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name.
    pub name: &'static str,
    /// What its value looks like: a JSON Schema.
    pub schema: &'static str,
    /// What it means.
    pub says: &'static str,
}

/// One call.
#[derive(Debug)]
pub struct Operation {
    /// Its name in the description.
    pub id: &'static str,
    /// The method.
    pub method: &'static str,
    /// The path, with `{name}` for a variable step.
    pub path: &'static str,
    /// What it does.
    pub says: &'static str,
    /// The role it needs; `None`: whoever asks.
    pub role: Option<Role>,
    /// Parameters after the path.
    pub query: &'static [Parameter],
    /// Its body.
    pub takes: Takes,
    /// The forms of its answer; the first is the usual one.
    pub media: &'static [Media],
    /// Statuses of a good answer.
    pub status: &'static [u16],
    /// The name of the shape of its JSON answer.
    pub answers: &'static str,
    /// Whether a repeated request with the same `Idempotency-Key` gets the same answer.
    pub keyed: bool,
    /// Whether it needs `If-Match` or `If-None-Match`.
    pub versioned: bool,
    /// Whether `Prefer: respond-async` makes a job of it.
    pub job: bool,
    /// What it does with a request.
    pub run: Run,
}

/// How long a page of a list may be.
pub(super) const LIMIT: Parameter = Parameter {
    name: "limit",
    schema: r#"{"type": "integer", "minimum": 1, "maximum": 200, "default": 50}"#,
    says: "How many at most.",
};

/// Reads on in a list that is newest first.
pub(super) const BEFORE: Parameter = Parameter {
    name: "before",
    schema: r#"{"type": "string", "pattern": "^[0-9a-f]{32}$"}"#,
    says: "Reads on: the `next` of the page before.",
};

/// Reads on in a list by id.
pub(super) const AFTER: Parameter = Parameter {
    name: "after",
    schema: r#"{"type": "string", "maxLength": 80}"#,
    says: "Reads on: the `next` of the page before.",
};

/// Reads on in a list by position.
pub(super) const AFTER_NUMBER: Parameter =
    Parameter { schema: r#"{"type": "string", "pattern": "^[0-9]{1,9}$"}"#, ..AFTER };

/// Of a date alone.
pub(super) const DATE: Parameter = Parameter {
    name: "date",
    schema: r#"{"type": "string", "format": "date"}"#,
    says: "Only what is of this date.",
};

/// Words that a rule set is looked for with.
pub(super) const PLACE: Parameter = Parameter {
    name: "place",
    schema: r#"{"type": "string", "maxLength": 80}"#,
    says: "Only those that fit these words: a country, state or city, in English or its own language, whole \
           or begun, or words of a title; where none fits the list is empty, and a site writes local limits.",
};

/// A call without a body that reads.
pub(super) const fn get(
    id: &'static str,
    path: &'static str,
    says: &'static str,
    answers: &'static str,
    run: Run,
) -> Operation {
    Operation {
        id,
        method: "GET",
        path,
        says,
        role: Some(Role::Look),
        query: &[],
        takes: Takes::Nothing,
        media: &[Json],
        status: &[200],
        answers,
        keyed: false,
        versioned: false,
        job: false,
        run,
    }
}

/// A call that takes a form.
pub(super) const fn post(
    id: &'static str,
    path: &'static str,
    says: &'static str,
    form: &'static Form,
    answers: &'static str,
    run: Run,
) -> Operation {
    let plain = get(id, path, says, answers, run);
    Operation { method: "POST", role: Some(Role::Plan), takes: Takes::Form(form), ..plain }
}

/// The same call, whose answer people may read too.
pub(super) const fn in_text(call: Operation) -> Operation {
    Operation { media: &[Json, Text], ..call }
}
