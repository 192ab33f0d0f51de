//! Nobody where age, a hazard, an allergy or "not for" forbids it.

use super::reading::{Reading, Slice, is_awake, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{ChildIndex, Station, StationIndex};
use crate::standards::hazards::caution;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No child is where age, a hazard, an allergy or \"not for\" forbids it, nor in a choice \
           in which such a station is open; small parts stay closed while a child too young for \
           them is awake in the same space, unless they are out of reach.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Stations,
    reads: Reads::Minute,
    mended_by: &[Mend::OutOfReach],
};
const SLUG: &str = "barred";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for (index, there) in slice.stations_in_use(&reading) {
            let station = day.station(index);
            for (case, forbids) in BARS {
                let who = there.iter().copied().filter(|c| forbids(day, index, *c)).collect();
                found.extend(problem(day, &slice, index, case, who));
            }
            if !station.out_of_reach {
                let who = small_ones_awake(day, &slice, station);
                found.extend(problem(day, &slice, index, "awake", who));
            }
        }
    }
    merged(found)
}

/// Whether something keeps a child from a station.
type Bar = fn(&Day, StationIndex, ChildIndex) -> bool;

const BARS: [(&str, Bar); 5] = [
    ("too-young", |day, s, child| day.months(child) < day.station(s).from_months),
    ("too-old", |day, s, child| {
        day.station(s).below_months.is_some_and(|m| day.months(child) >= m)
    }),
    ("hazard", |day, s, child| {
        let barred = |h| caution(h).barred_under_months;
        day.station(s).hazards.iter().any(|h| barred(*h).is_some_and(|m| day.months(child) < m))
    }),
    ("allergy", |day, s, child| {
        day.station(s).allergens.iter().any(|a| day.site[child].is_allergic_to(a))
    }),
    ("not-for", |day, s, child| day.site[child].not_for.contains(&s)),
];

/// Children awake in the station's space who are too young for what lies there within reach.
fn small_ones_awake(day: &Day, slice: &Slice, station: &Station) -> Vec<ChildIndex> {
    let closed_under = |h| caution(h).closed_while_awake_under;
    let under = station.hazards.iter().filter_map(|h| closed_under(*h)).max().unwrap_or(0);
    let awake = slice.children_in(station.space).into_iter().filter(|(_, stay)| is_awake(stay));
    awake.map(|(child, _)| child).filter(|c| day.months(*c) < under).collect()
}

fn problem(
    day: &Day,
    slice: &Slice,
    station: StationIndex,
    case: &'static str,
    mut who: Vec<ChildIndex>,
) -> Option<Problem> {
    who.sort_unstable();
    let number = u32::try_from(who.len()).unwrap_or(u32::MAX);
    (number > 0).then(|| Problem {
        children: who,
        space: Some(day.station(station).space),
        zone: Some(day.station(station).zone),
        at: Some(Place::Station(station)),
        present: number,
        by: number,
        unit: Unit::Children,
        ..Problem::of(SLUG, case, slice.span)
    })
}

fn words(day: &Day, problem: &Problem) -> String {
    let who = phrase::children(day, &problem.children);
    let is = phrase::verb(problem.children.len(), "is", "are");
    let place = problem.at.map_or_else(|| "a station".to_owned(), |at| phrase::place(day, at));
    let head = format!("{}, {place}", problem.span);
    let station = match problem.at {
        Some(Place::Station(s)) => day.stations.get(s.0),
        _ => None,
    };
    match problem.case {
        "too-young" => {
            let from = station.map_or(0, |s| s.from_months);
            format!("{head}: {who} {is} too young, it is for {from} months and older")
        }
        "too-old" => {
            let below = station.and_then(|s| s.below_months).unwrap_or(0);
            format!("{head}: {who} {is} too old, it is for children under {below} months")
        }
        "hazard" => format!("{head}: {who} {is} too young for what is used there"),
        "allergy" => format!("{head}: {who} {is} allergic to something there"),
        "not-for" => format!("{head}: it is not for {who}"),
        _ => {
            let space = phrase::space(day, problem.space);
            format!("{head}: it stays closed while {who} {is} awake in {space}, too young for it")
        }
    }
}
