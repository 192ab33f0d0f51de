//! No station twice in one assigned stretch.

use super::rows;
use super::{
    Aim, Decided,
    turns::{station_in, turns_by_stretch, visits},
};
use crate::chart::Chart;
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "no-repeat",
    says: "No child is at the same station in two turns of one assigned stretch, as far as no meal, \
           rest, circle or time outdoors parts them: each turn at a station beyond the first counts.",
    unit: "repeated turns",
    unit_of_one: "repeated turn",
    measure: Some(measure),
    rows: Some(rows::wishes::no_repeat),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let stretches = turns_by_stretch(day, chart);
    let mut repeats = 0;
    for child in &chart.children {
        let visits = visits(child);
        for turns in &stretches {
            let mut seen = Vec::new();
            for station in turns.iter().filter_map(|t| station_in(&visits, t.span)) {
                if seen.contains(&station) {
                    repeats += 1;
                } else {
                    seen.push(station);
                }
            }
        }
    }
    repeats
}
