//! Visits owed today are made.

use super::{Aim, rows, turns::visits};
use crate::chart::Chart;
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "must-do",
    says: "Every child who comes makes the visits owed today: visits owed and missed are counted \
           (a stretch of choice makes none by itself).",
    unit: "missed visits",
    measure,
    rows: Some(rows::wishes::must_do),
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let missed = day.must_do.iter().filter(|(child, station)| {
        let comes = !day.child_here(*child).is_empty();
        let made = chart
            .child(*child)
            .is_some_and(|c| visits(c).iter().any(|(visited, _)| visited == station));
        comes && !made
    });
    i64::try_from(missed.count()).unwrap_or(i64::MAX)
}
