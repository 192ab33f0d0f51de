//! The fields of the chart's JSON, in the order in which they are written.
//!
//! `None` is left out of the file. Every id is one that the scenario gives; choices have the ids of
//! their own list, staff breaks are counted from 1 in the adult's list, `24:00` is only ever an end.
#![allow(missing_docs, reason = "the fields carry the names that the file documents")]

pub use super::made::{MadeLine, StandardLine};
pub use super::repaired::{ChangeLine, RepairLine};
pub use super::times::{Clock, ClockTime};
use crate::wire::repair::FixesLine;
use schemars::JsonSchema;
use serde::Serialize;

/// A whole chart file.
#[derive(Serialize, JsonSchema)]
pub struct ChartFile {
    pub format: u32,
    pub site: String,
    pub date: String,
    pub safe_to_run: bool,
    pub caution: &'static str,
    pub indoor_day: Indoor,
    /// In a repaired chart: what was moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairLine>,
    /// In a repaired chart: every change.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changes: Option<Vec<ChangeLine>>,
    /// In a repaired chart on which a rule is broken: what would mend it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fixes: Option<FixesLine>,
    pub problems: Vec<ProblemLine>,
    pub aims: Vec<AimLine>,
    pub rooms: Vec<RoomDay>,
    pub groups: Vec<GroupDay>,
    pub children: Vec<ChildStays>,
    pub adults: Vec<AdultPosts>,
    pub day: DayApplied,
    pub ratio: Vec<RatioLine>,
    pub head_counts: Vec<HeadCountLine>,
    pub minutes: Vec<ChildMinutes>,
    pub choice: Vec<ChoiceShareLine>,
    pub room_for: Vec<RoomForLine>,
    pub notes: Vec<String>,
    pub assumed: Vec<String>,
    pub made: MadeLine,
}

/// Whether the children stay in, and why.
#[derive(Serialize, JsonSchema)]
pub struct Indoor {
    pub value: bool,
    pub shorten: bool,
    pub why: String,
    /// The figures that were compared, not rounded.
    pub inputs: Vec<InputLine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub formula: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub threshold: Option<String>,
    pub movement_target: u32,
    pub movement_minutes: u16,
    pub longest_still: u16,
    pub clothing: String,
    pub dressing_minutes: u16,
}

/// One figure that was compared.
#[derive(Serialize, JsonSchema)]
pub struct InputLine {
    pub name: String,
    pub value: f64,
    pub unit: String,
}

/// One broken rule.
#[derive(Serialize, JsonSchema)]
pub struct ProblemLine {
    pub rule: &'static str,
    pub kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standard: Option<String>,
    #[serde(flatten)]
    pub clock: Clock,
    pub who: Who,
    #[serde(rename = "where")]
    pub place: Whereabouts,
    pub needed: u32,
    pub present: u32,
    pub by: u32,
    pub unit: &'static str,
    pub words: String,
}

/// The people that a problem is about.
#[derive(Serialize, JsonSchema)]
pub struct Who {
    pub children: Vec<String>,
    pub adults: Vec<String>,
}

/// The place that a problem is about; empty: the premises.
#[derive(Serialize, JsonSchema)]
pub struct Whereabouts {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub space: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// How well one aim is served.
#[derive(Serialize, JsonSchema)]
pub struct AimLine {
    pub slug: &'static str,
    pub value: i64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bound: Option<i64>,
    pub unit: &'static str,
    pub direction: &'static str,
    pub given: &'static str,
}

/// What somebody is at.
#[derive(Serialize, JsonSchema)]
pub struct At {
    pub kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
}

/// One room's blocks and stretches of choice.
#[derive(Serialize, JsonSchema)]
pub struct RoomDay {
    pub id: String,
    pub blocks: Vec<BlockLine>,
    pub choices: Vec<ChoiceLine>,
}

/// One block of a room.
#[derive(Serialize, JsonSchema)]
pub struct BlockLine {
    pub id: String,
    pub kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meal: Option<&'static str>,
    #[serde(flatten)]
    pub clock: Clock,
}

/// One stretch of choice.
#[derive(Serialize, JsonSchema)]
pub struct ChoiceLine {
    pub id: String,
    #[serde(flatten)]
    pub clock: Clock,
    pub space: String,
    pub open: Vec<OpenStation>,
}

/// A station that is open in a choice.
#[derive(Serialize, JsonSchema)]
pub struct OpenStation {
    pub station: String,
    pub seats: u32,
}

/// One small group.
#[derive(Serialize, JsonSchema)]
pub struct GroupDay {
    pub id: String,
    pub label: String,
    pub picture: String,
    pub children: Vec<String>,
    pub cells: Vec<CellLine>,
}

/// One place of a small group.
#[derive(Serialize, JsonSchema)]
pub struct CellLine {
    pub block: String,
    #[serde(flatten)]
    pub clock: Clock,
    pub space: String,
    pub at: At,
    /// `assigned` or `choice`, at stations only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<&'static str>,
}

/// One child's day.
#[derive(Serialize, JsonSchema)]
pub struct ChildStays {
    pub id: String,
    pub stays: Vec<StayLine>,
}

/// One child at one place.
#[derive(Serialize, JsonSchema)]
pub struct StayLine {
    #[serde(flatten)]
    pub clock: Clock,
    pub space: String,
    pub at: At,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    pub state: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meal: Option<&'static str>,
    /// Whether the stay is a visit for the visit record; written when it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub visit: Option<bool>,
    /// Why the child is not where its group is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exception: Option<&'static str>,
}

/// One adult's day.
#[derive(Serialize, JsonSchema)]
pub struct AdultPosts {
    pub id: String,
    pub posts: Vec<PostLine>,
}

/// One adult at one post.
#[derive(Serialize, JsonSchema)]
pub struct PostLine {
    #[serde(flatten)]
    pub clock: Clock,
    pub space: String,
    pub at: At,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// Whether the adult counts in the ratio of the space meanwhile.
    pub counts: bool,
    /// What the adult counts as, where a standard asks for it.
    #[serde(rename = "as", skip_serializing_if = "Vec::is_empty")]
    pub counts_as: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub for_child: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub covers: Option<String>,
    /// `paid` or `unpaid`, on a staff break.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub staff_break: Option<&'static str>,
    pub on_premises: bool,
}

/// The day as it was applied: what the scenario says, laid out for this date.
#[derive(Serialize, JsonSchema)]
pub struct DayApplied {
    pub schedule: String,
    pub open: Clock,
    pub children: Vec<Presence>,
    pub adults: Vec<Presence>,
    pub stations: Vec<StationToday>,
    pub kept: Vec<KeptLine>,
    pub must_do: Vec<MustDoLine>,
    /// What has happened since the chart was posted.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub happened: Vec<serde_json::Value>,
}

/// When somebody is here.
#[derive(Serialize, JsonSchema)]
pub struct Presence {
    pub id: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    pub here: Vec<Clock>,
}

/// A station as it stands today.
#[derive(Serialize, JsonSchema)]
pub struct StationToday {
    pub id: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub activity: Option<String>,
    pub from_months: u32,
    pub hazards: Vec<&'static str>,
    pub allergens: Vec<String>,
    pub closed: Vec<Clock>,
}

/// A cell that the teacher keeps.
#[derive(Serialize, JsonSchema)]
pub struct KeptLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub child: Option<String>,
    pub station: String,
    #[serde(flatten)]
    pub clock: Clock,
}

/// A visit owed today.
#[derive(Serialize, JsonSchema)]
pub struct MustDoLine {
    pub child: String,
    pub station: String,
}

/// Children of an age range, in whole months.
#[derive(Serialize, JsonSchema)]
pub struct BandLine {
    pub from_months: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub below_months: Option<u32>,
    pub children: u32,
}

/// Who was needed and who is there, by one standard.
#[derive(Serialize, JsonSchema)]
pub struct RatioLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub space: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    #[serde(flatten)]
    pub clock: Clock,
    pub by_band: Vec<BandLine>,
    pub asleep: u32,
    pub standard: String,
    pub needed: u32,
    pub present: u32,
    pub words: String,
}

/// Whom to count on the move.
#[derive(Serialize, JsonSchema)]
pub struct HeadCountLine {
    #[serde(flatten)]
    pub clock: Clock,
    pub space: String,
    pub heads: usize,
    pub children: Vec<String>,
    pub adults: Vec<String>,
}

/// Where a child's minutes go.
#[derive(Serialize, JsonSchema)]
pub struct ChildMinutes {
    pub child: String,
    #[serde(flatten)]
    pub by_kind: serde_json::Map<String, serde_json::Value>,
}

/// How much of a day a child chooses freely.
#[derive(Serialize, JsonSchema)]
pub struct ChoiceShareLine {
    pub child: String,
    pub minutes: u32,
    pub of: u32,
    pub percent: u32,
    pub good_third: bool,
    pub third_of_session: u32,
}

/// How many more could join.
#[derive(Serialize, JsonSchema)]
pub struct RoomForLine {
    pub space: String,
    #[serde(flatten)]
    pub clock: Clock,
    pub more: Vec<BandLine>,
}
