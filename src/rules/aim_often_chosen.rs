//! Turns at what a child often chooses.

use super::rows;
use super::{
    Aim, Decided,
    turns::{station_in, turns_by_stretch, visits},
};
use crate::chart::Chart;
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "often-chosen",
    says: "Children are at stations that they often choose: the turns count in which a child who \
           has such stations is at another.",
    unit: "turns elsewhere",
    unit_of_one: "turn elsewhere",
    measure: Some(measure),
    rows: Some(rows::wishes::often_chosen),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let stretches = turns_by_stretch(day, chart);
    let mut elsewhere = 0;
    for child in &chart.children {
        let Some(facts) = day.site.children.get(child.child.0) else { continue };
        if facts.often_chosen.is_empty() {
            continue;
        }
        let visits = visits(child);
        let at = stretches.iter().flatten().filter_map(|t| station_in(&visits, t.span));
        elsewhere += at.filter(|s| !facts.often_chosen.contains(s)).count();
    }
    i64::try_from(elsewhere).unwrap_or(i64::MAX)
}
