//! The chart as JSON: ids instead of positions, clock times as `HH:MM`, lists in a stable order.
//!
//! Map: [`shape`] the fields, [`write_chart`] from a plan, [`read_chart`] back to a chart, `name` the
//! words for kinds, `place` what somebody is at.
#![doc = ""]
#![doc = include_str!("format.md")]

mod day;
mod made;
mod name;
mod place;
mod read;
mod record;
mod repaired;
pub mod shape;
mod times;
mod write;

pub(in crate::wire) use name::{block_kind as block_word, meal_kind as meal_word};
pub use read::{ChartDay, read_chart, read_chart_day};
pub(in crate::wire) use read::{TOP as CHART_FIELDS, chart as chart_of};
pub use write::{chart_json, write_chart};
pub(super) use write::{place_json, problem_json};

/// The number of this shape of the file.
pub const FORMAT: u32 = 1;
