//! What a repaired chart has besides: what was moved, and every change.
#![allow(missing_docs, reason = "the fields carry the names that the file documents")]

use super::shape::At;
use super::times::Clock;
use schemars::JsonSchema;
use serde::Serialize;

/// What was moved, and what was not.
#[derive(Serialize, JsonSchema)]
pub struct RepairLine {
    pub moved: MovedLine,
    pub posts_changed: u32,
    pub unchanged: UnchangedLine,
    /// The fix that was taken, where one was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fix_taken: Option<FixTakenLine>,
}

/// A fix that was taken.
#[derive(Serialize, JsonSchema)]
pub struct FixTakenLine {
    /// What it was taken by.
    pub number: usize,
    pub words: String,
}

/// Child-turns moved.
#[derive(Serialize, JsonSchema)]
pub struct MovedLine {
    pub value: u32,
    /// The fewest that was shown to be possible.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bound: Option<u32>,
}

/// What of the rest of the day is as posted.
#[derive(Serialize, JsonSchema)]
pub struct UnchangedLine {
    pub groups: Vec<String>,
    pub blocks: Vec<String>,
    pub adults: Vec<String>,
}

/// One person at another place than posted, for a while.
#[derive(Serialize, JsonSchema)]
pub struct ChangeLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub child: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub adult: Option<String>,
    #[serde(flatten)]
    pub clock: Clock,
    /// Left out: not here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was: Option<ChangedPlaceLine>,
    /// Left out: not here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub now: Option<ChangedPlaceLine>,
    pub words: String,
}

/// A place that somebody leaves or comes to.
#[derive(Serialize, JsonSchema)]
pub struct ChangedPlaceLine {
    pub space: String,
    pub at: At,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub for_child: Option<String>,
    /// Stations that are open, in a choice.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open: Option<Vec<String>>,
}
