//! The chart as JSON: ids instead of positions, clock times as `HH:MM`, lists in a stable order.
//!
//! What a person may change and bring back is the room, its blocks and choices, the groups with
//! their cells, the stays of the children and the posts of the adults. Everything else in the file
//! is read off these and the scenario; it is there so that an outsider can recheck every rule, and
//! is passed over when a chart is read.
//!
//! Map: [`shape`] the fields, [`write_chart`] from a plan, [`read_chart`] back to a chart, `name` the
//! words for kinds, `place` what somebody is at.

mod day;
mod name;
mod place;
mod read;
mod record;
pub mod shape;
mod write;

pub use read::{ChartDay, read_chart, read_chart_day};
pub use write::{chart_json, write_chart};

/// The number of this shape of the file.
pub const FORMAT: u32 = 1;
