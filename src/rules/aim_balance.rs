//! A child's day goes up and down: sitting, moving, calming.

use super::rows;
use super::{
    Aim, Decided,
    turns::{station_in, turns_by_stretch, visits},
};
use crate::chart::{Chart, ChildDay, Place};
use crate::day::Day;
use crate::site::{Energy, Mess};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "balance",
    says: "No child has three still turns in a row, something vigorous (outdoors and movement \
           breaks too) right before rest, or a wet station right before circle: each time that a \
           child does counts.",
    unit: "times",
    unit_of_one: "time",
    measure: Some(measure),
    rows: Some(rows::wishes::balance),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let stretches = turns_by_stretch(day, chart);
    let mut times = 0;
    for child in &chart.children {
        let visits = visits(child);
        for turns in &stretches {
            let still: Vec<bool> = turns
                .iter()
                .map(|t| station_in(&visits, t.span))
                .map(|s| s.and_then(|s| day.stations.get(s.0)))
                .map(|s| s.is_some_and(|s| s.energy == Energy::Still))
                .collect();
            times += still.windows(3).filter(|three| three.iter().all(|s| *s)).count();
        }
        times += bad_order(day, child);
    }
    i64::try_from(times).unwrap_or(i64::MAX)
}

/// Rests that begin out of breath and circles that begin wet.
fn bad_order(day: &Day, child: &ChildDay) -> usize {
    let on_the_way = |at| matches!(at, Place::Transition | Place::Care);
    let mut stays: Vec<_> = child.stays.iter().filter(|s| !on_the_way(s.at)).collect();
    stays.sort_by_key(|s| s.span);
    let station = |at| match at {
        Place::Station(s) => day.stations.get(s.0),
        _ => None,
    };
    let bad = stays.windows(2).filter(|pair| {
        let (before, after) = (pair[0].at, pair[1].at);
        match after {
            Place::Rest => {
                matches!(before, Place::Movement | Place::Outdoors)
                    || station(before).is_some_and(|s| s.energy == Energy::Vigorous)
            }
            Place::WholeGroup => station(before).is_some_and(|s| s.mess == Mess::Wet),
            _ => false,
        }
    });
    bad.count()
}
