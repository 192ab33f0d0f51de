//! Judging a chart, however it came about.

use super::{AimValue, Made, Plan, notes, room_for};
use crate::{
    chart::Chart,
    day::Day,
    rules::{self, AIMS},
};

/// Judges a chart that was brought along, for instance one that a person edited by hand.
#[must_use]
pub fn audit(day: &Day, chart: Chart) -> Plan {
    judge(day, chart, &[], Made::brought_along(day))
}

/// Puts everything that can be read from a chart beside it: its problems, aims and room for more.
///
/// `bounds` are the least values shown to be possible, by the position of the aim; it may be short.
#[must_use]
pub fn judge(day: &Day, chart: Chart, bounds: &[Option<i64>], made: Made) -> Plan {
    let problems = rules::audit(day, &chart);
    let values = rules::measure(day, &chart);
    let aims = AIMS
        .iter()
        .zip(values)
        .enumerate()
        .map(|(at, (aim, value))| AimValue {
            slug: aim.slug,
            value,
            bound: bounds.get(at).copied().flatten(),
            unit: aim.unit,
            unit_of_one: aim.unit_of_one,
        })
        .collect();
    let room_for = room_for(day, &chart);
    let notes = notes(day, &chart);
    Plan { chart, problems, aims, room_for, notes, assumed: Vec::new(), made }
}
