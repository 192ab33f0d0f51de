//! A seat for everybody.

use super::reading::{Reading, Slice, merged, sorted};
use super::{Problem, Rule, Unit, phrase, rows};
use crate::chart::{Chart, ChoiceIndex, Place};
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex, StationIndex, ZoneIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No station, table or choice holds more children than it has seats, and nobody is \
           unplaced.",
    audit,
    words,
    rows: Some(rows::places::seats),
};
const SLUG: &str = "seats";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        let places = sorted(slice.children.iter().map(|(_, stay)| stay.at));
        for place in places {
            let there = slice.children_at(place);
            match place {
                Place::Station(s) => {
                    let station = day.station(s);
                    let (space, zone) = (station.space, station.zone);
                    found.extend(over(&slice, place, space, Some(zone), there, station.seats));
                }
                Place::Table(t) => {
                    let table = &day.site[t];
                    let (space, zone) = (table.space, table.zone);
                    found.extend(over(&slice, place, space, Some(zone), there, table.seats));
                }
                Place::Choice(k) => found.extend(choice(day, &reading, &slice, k, there)),
                _ => {}
            }
        }
        found.extend(unplaced(&slice));
    }
    merged(found)
}

/// More children in a choice than seats left at its stations, by itself or together with the
/// choices of that time which share a station with it.
fn choice(
    day: &Day,
    reading: &Reading,
    slice: &Slice,
    k: ChoiceIndex,
    there: Vec<ChildIndex>,
) -> Option<Problem> {
    let choices = &reading.chart.choices;
    let seats = |open: &[StationIndex]| -> u32 {
        let left = |s: StationIndex| {
            let assigned = slice.children_at(Place::Station(s)).len();
            day.station(s).seats.saturating_sub(u32::try_from(assigned).unwrap_or(u32::MAX))
        };
        sorted(open.iter().copied()).into_iter().map(left).sum()
    };
    let place = Place::Choice(k);
    let own = &choices[k.0];
    if let Some(alone) = over(slice, place, own.space, None, there.clone(), seats(&own.open)) {
        return Some(alone);
    }
    let in_use = sorted(slice.children.iter().filter_map(|(_, stay)| match stay.at {
        Place::Choice(other) => Some(other),
        _ => None,
    }));
    let sharing: Vec<ChoiceIndex> = in_use
        .into_iter()
        .filter(|other| choices[other.0].open.iter().any(|s| own.open.contains(s)))
        .collect();
    // Told once, by the first of them.
    if sharing.len() < 2 || sharing[0] != k {
        return None;
    }
    let open: Vec<StationIndex> =
        sharing.iter().flat_map(|other| choices[other.0].open.clone()).collect();
    let all = sorted(sharing.iter().flat_map(|other| slice.children_at(Place::Choice(*other))));
    over(slice, place, own.space, None, all, seats(&open))
}

fn over(
    slice: &Slice,
    at: Place,
    space: SpaceIndex,
    zone: Option<ZoneIndex>,
    there: Vec<ChildIndex>,
    seats: u32,
) -> Option<Problem> {
    let number = u32::try_from(there.len()).unwrap_or(u32::MAX);
    (number > seats).then(|| Problem {
        children: there,
        space: Some(space),
        zone,
        at: Some(at),
        needed: number,
        present: seats,
        by: number - seats,
        unit: Unit::Children,
        ..Problem::of(SLUG, "seats", slice.span)
    })
}

fn unplaced(slice: &Slice) -> Vec<Problem> {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let children = slice.children_at(Place::Unplaced);
    let adults =
        sorted(slice.adults.iter().filter(|(_, post)| post.at == Place::Unplaced).map(|(a, _)| *a));
    let problem =
        Problem { at: Some(Place::Unplaced), ..Problem::of(SLUG, "unplaced", slice.span) };
    let mut found = Vec::new();
    if !children.is_empty() {
        let by = number(children.len());
        let problem = problem.clone();
        found.push(Problem { children, needed: by, by, unit: Unit::Children, ..problem });
    }
    if !adults.is_empty() {
        let by = number(adults.len());
        found.push(Problem { adults, needed: by, by, unit: Unit::Adults, ..problem });
    }
    found
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, by, .. } = problem;
    if problem.case == "unplaced" {
        let who = if problem.children.is_empty() {
            phrase::adults(day, &problem.adults)
        } else {
            phrase::children(day, &problem.children)
        };
        let has = phrase::verb(problem.children.len() + problem.adults.len(), "has", "have");
        return format!("{span}: {who} {has} no place");
    }
    let place = problem.at.map_or_else(String::new, |at| phrase::place(day, at));
    let short = if *by == 1 { "one seat".to_owned() } else { format!("{by} seats") };
    let seats = phrase::count(*present, "seat");
    format!("{span}, {place}: {short} short, {needed} children, {seats}")
}
