//! No station in use while it is closed.

use super::reading::{Reading, Slice, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{Minute, Span, StationIndex, TableIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No station is used while closed, outside its opening times, while the table it stands \
           on is set up, eaten at or wiped, or while cots stand on its floor.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Stations,
    reads: Reads::Around,
    mended_by: &[],
};
const SLUG: &str = "open";

/// Minutes to wipe a table after a meal (common practice).
const WIPE_MINUTES: u16 = 5;

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices(edges(day, &reading)) {
        for (index, there) in slice.stations_in_use(&reading) {
            let station = day.station(index);
            let number = u32::try_from(there.len()).unwrap_or(u32::MAX);
            found.extend(why_closed(day, &reading, &slice, index).map(|case| Problem {
                children: there,
                space: Some(station.space),
                zone: Some(station.zone),
                at: Some(Place::Station(index)),
                present: number,
                by: number,
                unit: Unit::Children,
                ..Problem::of(SLUG, case, slice.span)
            }));
        }
    }
    merged(found)
}

/// Why a station must not be used in a slice; the first reason of the sentence.
fn why_closed(
    day: &Day,
    reading: &Reading,
    slice: &Slice,
    index: StationIndex,
) -> Option<&'static str> {
    let station = day.station(index);
    let now = slice.span.from;
    let closed = day.closed.get(index.0).is_some_and(|c| c.iter().any(|s| s.contains(now)));
    if closed {
        return Some("closed");
    }
    if !station.open.is_empty() && !station.open.iter().any(|s| s.contains(now)) {
        return Some("hours");
    }
    if let Some(table) = station.stands_on {
        for sitting in sittings(reading, table) {
            let set_up = Span { from: sitting.from.earlier(station.reset_minutes), ..sitting };
            if sitting.contains(now) {
                return Some("eaten-at");
            } else if set_up.contains(now) {
                return Some("set-up");
            } else if sitting.to <= now && now < sitting.to.later(WIPE_MINUTES) {
                return Some("wiped");
            }
        }
    }
    let resting = || slice.children_in(station.space).iter().any(|(_, s)| s.at == Place::Rest);
    (station.under_cots && resting()).then_some("cots")
}

/// When children eat at a table: each stretch in which any of them sits there.
fn sittings(reading: &Reading, table: TableIndex) -> Vec<Span> {
    let stays = reading.chart.children.iter().flat_map(|c| &c.stays);
    let eating = stays.filter(|s| s.at == Place::Table(table) && s.meal.is_some());
    let mut eaten: Vec<Span> = Vec::new();
    for span in sorted(eating.map(|s| s.span)) {
        match eaten.last_mut() {
            Some(before) if span.from <= before.to => before.to = before.to.max(span.to),
            _ => eaten.push(span),
        }
    }
    eaten
}

/// Minutes, besides those of stays and posts, at which a station closes or opens.
fn edges(day: &Day, reading: &Reading) -> Vec<Minute> {
    let closed = day.closed.iter().flatten();
    let hours = day.stations.iter().flat_map(|s| &s.open);
    let mut edges: Vec<Minute> = closed.chain(hours).flat_map(|s| [s.from, s.to]).collect();
    for station in &day.stations {
        for sitting in station.stands_on.iter().flat_map(|t| sittings(reading, *t)) {
            edges.push(sitting.from.earlier(station.reset_minutes));
            edges.push(sitting.to.later(WIPE_MINUTES));
        }
    }
    edges
}

fn words(day: &Day, problem: &Problem) -> String {
    let place = problem.at.map_or_else(|| "a station".to_owned(), |at| phrase::place(day, at));
    let who = phrase::children(day, &problem.children);
    let is = phrase::verb(problem.children.len(), "is", "are");
    let why = match problem.case {
        "closed" => "it is closed",
        "hours" => "it is not open at that time",
        "eaten-at" => "children eat at its table",
        "set-up" => "its table is set up for the meal",
        "wiped" => "its table is wiped after the meal",
        _ => "cots stand on its floor",
    };
    format!("{}, {place}: {who} {is} there while {why}", problem.span)
}
