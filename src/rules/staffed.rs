//! Staffed stations: adults of their own while in use.

use super::reading::{Reading, Slice, is_awake, merged};
use super::{Problem, Rule, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{ChildIndex, StationIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "A staffed station in use has its counted adults at it: one for so many children there \
           (open in a choice: for as many as may sit down), a child's one-to-one adult not among \
           them; where all children awake in the space are at that one station, one adult does.",
    audit,
    words,
    rows: Some(rows::people::staffed),
};
const SLUG: &str = "staffed";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for (station, children) in slice.stations_in_use(&reading) {
            found.extend(understaffed(&reading, &slice, station, children));
        }
    }
    merged(found)
}

fn understaffed(
    reading: &Reading,
    slice: &Slice,
    at: StationIndex,
    children: Vec<ChildIndex>,
) -> Option<Problem> {
    let station = reading.day.station(at);
    let directly = slice.children_at(Place::Station(at)).len();
    let seats = usize::try_from(station.seats).unwrap_or(usize::MAX);
    // Of those who choose, no more sit down than there are seats.
    let there = directly.max(children.len().min(seats));
    let mut needed = station.supervision.adults_for(u32::try_from(there).unwrap_or(u32::MAX));
    let in_the_space = slice.children_in(station.space);
    if in_the_space.iter().all(|(_, s)| !is_awake(s) || reading.stations(s) == [at]) {
        needed = needed.min(1);
    }
    let own = slice
        .adults
        .iter()
        .filter(|(adult, post)| post.at == Place::Station(at) && reading.counts(*adult, post));
    let present = u32::try_from(own.count()).unwrap_or(u32::MAX);
    (present < needed).then(|| Problem {
        children,
        space: Some(station.space),
        zone: Some(station.zone),
        at: Some(Place::Station(at)),
        needed,
        present,
        by: needed - present,
        ..Problem::of(SLUG, "too-few", slice.span)
    })
}

fn words(day: &Day, p: &Problem) -> String {
    let station = p.at.map_or_else(String::new, |at| phrase::place(day, at));
    let (who, span) = (phrase::children(day, &p.children), p.span);
    let adults = phrase::count(p.needed, "adult");
    if p.present == 0 {
        format!("{span}, {station}: no adult at it, {adults} needed for {who}")
    } else {
        format!("{span}, {station}: {} at it, {adults} needed for {who}", p.present)
    }
}
