//! Clock times of the file.
#![allow(missing_docs, reason = "the fields carry the names that the file documents")]

use schemars::JsonSchema;
use serde::Serialize;

/// A span of the day.
#[derive(Serialize, JsonSchema, Clone, Copy)]
pub struct Clock {
    #[schemars(with = "String")]
    pub from: ClockTime,
    #[schemars(with = "String")]
    pub to: ClockTime,
}

/// A clock time, written `HH:MM`.
#[derive(Clone, Copy)]
pub struct ClockTime(pub crate::site::Minute);

impl Serialize for ClockTime {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.0)
    }
}

impl From<crate::site::Span> for Clock {
    fn from(span: crate::site::Span) -> Clock {
        Clock { from: ClockTime(span.from), to: ClockTime(span.to) }
    }
}
