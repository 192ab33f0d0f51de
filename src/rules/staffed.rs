//! Staffed stations: adults of their own while in use.

use super::reading::{Reading, Slice, is_awake, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{ChildIndex, Hazard, StationIndex};
use crate::standards::{Head, Outing};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "A staffed station in use has its counted adults at it: one for so many children there \
           (open in a choice: for as many as may sit down), a child's one-to-one adult not among \
           them; where all children awake in the space are at that one station, one adult does. \
           Water to play in has the counted adults at it whom each standard asks for there.",
    audit,
    words,
    rows: Some(rows::people::staffed),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::Adults],
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
    let day = reading.day;
    let station = day.station(at);
    let directly = slice.children_at(Place::Station(at));
    let seats = usize::try_from(station.seats).unwrap_or(usize::MAX);
    // Of those who choose, no more sit down than there are seats.
    let there = directly.len().max(children.len().min(seats));
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
    let problem = |case, needed: u32, standard| Problem {
        standard,
        children: children.clone(),
        space: Some(station.space),
        zone: Some(station.zone),
        at: Some(Place::Station(at)),
        needed,
        present,
        by: needed - present,
        ..Problem::of(SLUG, case, slice.span)
    };
    match at_water(day, at, &directly, &children) {
        Some((wanted, id)) if wanted > present.max(needed) => {
            Some(problem("water", wanted, Some(id)))
        }
        _ if needed > present => Some(problem("too-few", needed, None)),
        _ => None,
    }
}

/// The most counted adults that a standard asks for at water with the children who may be there, and
/// which one: whoever chooses it is taken for the youngest as far as there are seats.
fn at_water(
    day: &Day,
    at: StationIndex,
    directly: &[ChildIndex],
    children: &[ChildIndex],
) -> Option<(u32, String)> {
    let station = day.station(at);
    if !station.hazards.contains(&Hazard::Water) {
        return None;
    }
    let mut others: Vec<ChildIndex> =
        children.iter().copied().filter(|c| !directly.contains(c)).collect();
    others.sort_by_key(|c| day.months(*c));
    let left = usize::try_from(station.seats).unwrap_or(usize::MAX).saturating_sub(directly.len());
    let who = directly.iter().chain(others.iter().take(left));
    let heads: Vec<Head> = who.map(|c| day.head(*c, false)).collect();
    let mut most: Option<(u32, String)> = None;
    for standard in &day.standards {
        let Some(adults) = standard.activity_adults(Outing::Water, &heads, true) else { continue };
        if most.as_ref().is_none_or(|(known, _)| adults > *known) {
            most = Some((adults, standard.id.clone()));
        }
    }
    most
}

fn words(day: &Day, p: &Problem) -> String {
    let station = p.at.map_or_else(String::new, |at| phrase::place(day, at));
    let (who, span) = (phrase::children(day, &p.children), p.span);
    let adults = phrase::count(p.needed, "adult");
    let (it, asked) = match p.case {
        "water" => ("the water", phrase::asked_by(day, p.standard.as_deref())),
        _ => ("it", String::new()),
    };
    if p.present == 0 {
        format!("{span}, {station}: no adult at {it}, {adults} needed for {who}{asked}")
    } else {
        format!("{span}, {station}: {} at {it}, {adults} needed for {who}{asked}", p.present)
    }
}
