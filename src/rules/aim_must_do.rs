//! Visits owed today are made.

use super::{Aim, Decided, rows, turns::visits};
use crate::chart::Chart;
use crate::day::Day;
use crate::site::{ChildIndex, StationIndex};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "must-do",
    says: "Every child who comes makes the visits owed today: visits owed and missed are counted \
           (a stretch of choice makes none by itself).",
    unit: "missed visits",
    unit_of_one: "missed visit",
    measure: Some(measure),
    rows: Some(rows::wishes::must_do),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    i64::try_from(missed_visits(day, chart).len()).unwrap_or(i64::MAX)
}

/// The visits owed today that the chart does not make, in the order in which they are owed.
#[must_use]
pub fn missed_visits(day: &Day, chart: &Chart) -> Vec<(ChildIndex, StationIndex)> {
    let missed = day.must_do.iter().copied().filter(|(child, station)| {
        let comes = !day.child_here(*child).is_empty();
        let made = chart
            .child(*child)
            .is_some_and(|c| visits(c).iter().any(|(visited, _)| visited == station));
        comes && !made
    });
    missed.collect()
}
