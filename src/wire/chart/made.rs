//! How a chart came about, and by what it was judged: the last fields of its JSON.
#![allow(missing_docs, reason = "the fields carry the names that the file documents")]

use super::times::ClockTime;
use schemars::JsonSchema;
use serde::Serialize;

/// How the chart came about.
#[derive(Serialize, JsonSchema)]
pub struct MadeLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    pub version: &'static str,
    pub facts_digest: String,
    /// Tells a chart that somebody edited from one that stands as it was made.
    pub chart_digest: String,
    pub standards: Vec<StandardLine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub solver: Option<String>,
    pub budgets: serde_json::Map<String, serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stopped_by: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proof_scope: Option<String>,
    /// Digest of the chart that this is a repair of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parent_digest: Option<String>,
    /// What lies before is as that chart had it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub fixed_until: Option<ClockTime>,
}

/// One standard that was applied; charts of older versions do not say which edition.
#[derive(Serialize, JsonSchema)]
pub struct StandardLine {
    pub id: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edition: Option<String>,
    pub digest: String,
}
