//! A station is reset between two groups, and wet stations take turns.

use super::reading::{Reading, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, ChoiceIndex, Place};
use crate::day::Day;
use crate::site::{ChildIndex, Mess, Span, StationIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Before other children than the last ones use a station, its reset minutes pass; and \
           unless the site allows it no two wet stations are in use at once.",
    audit,
    words,
    rows: Some(rows::places::reset),
    kept: Kept::Never,
    about: About::Stations,
    reads: Reads::Around,
    mended_by: &[],
};
const SLUG: &str = "reset";

/// One group (or one choice) at a station, without a break or a change of all its children.
struct Use {
    span: Span,
    choice: Option<ChoiceIndex>,
    /// Those who are there in the last slice read.
    now: Vec<ChildIndex>,
    /// Everybody who was there.
    all: Vec<ChildIndex>,
}

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for (index, station) in day.stations.iter().enumerate() {
        if station.reset_minutes > 0 {
            found.extend(too_soon(day, &reading, StationIndex(index)));
        }
    }
    if !day.site.settings.two_wet_stations {
        found.extend(two_wet(day, &reading));
    }
    merged(found)
}

/// Uses that start before the station is reset after another one.
fn too_soon(day: &Day, reading: &Reading, index: StationIndex) -> Vec<Problem> {
    let station = day.station(index);
    let mut found = Vec::new();
    let uses = uses(reading, index);
    for later in &uses {
        let newcomers = |before: &&Use| later.all.iter().any(|c| !before.all.contains(c));
        let done = uses.iter().filter(|u| u.span.to <= later.span.from);
        let Some(before) = done.filter(newcomers).max_by_key(|u| u.span.to) else { continue };
        let passed = later.span.from.0 - before.span.to.0;
        if passed >= station.reset_minutes {
            continue;
        }
        let reset = before.span.to.later(station.reset_minutes);
        found.push(Problem {
            children: later.all.clone(),
            space: Some(station.space),
            zone: Some(station.zone),
            at: Some(Place::Station(index)),
            needed: u32::from(station.reset_minutes),
            present: u32::from(passed),
            by: u32::from(station.reset_minutes - passed),
            unit: Unit::Minutes,
            ..Problem::of(SLUG, "reset", Span { to: reset.min(later.span.to), ..later.span })
        });
    }
    found
}

/// The uses of a station in order of their start; a choice that comes back is still the same.
fn uses(reading: &Reading, index: StationIndex) -> Vec<Use> {
    let mut uses: Vec<Use> = Vec::new();
    for slice in reading.slices([]) {
        let here = slice.children.iter().filter(|(_, s)| reading.stations(s).contains(&index));
        let choice_of = |at: Place| match at {
            Place::Choice(k) => Some(k),
            _ => None,
        };
        for choice in sorted(here.clone().map(|(_, stay)| choice_of(stay.at))) {
            let there = here.clone().filter(|(_, stay)| choice_of(stay.at) == choice);
            let there = sorted(there.map(|(child, _)| *child));
            let goes_on = |u: &&mut Use| match choice {
                Some(_) => u.choice == choice,
                None => {
                    u.choice.is_none()
                        && u.span.to == slice.span.from
                        && there.iter().any(|c| u.now.contains(c) || together(reading, *c, &u.now))
                }
            };
            match uses.iter_mut().rev().find(goes_on) {
                Some(on) => {
                    on.span.to = slice.span.to;
                    on.all = sorted(on.all.iter().chain(&there).copied());
                    on.now = there;
                }
                None => {
                    uses.push(Use { span: slice.span, choice, now: there.clone(), all: there });
                }
            }
        }
    }
    uses
}

/// Whether a child goes round in one small group with any of these: while some of a group are being
/// changed and others come back, the group still has the station.
fn together(reading: &Reading, child: ChildIndex, others: &[ChildIndex]) -> bool {
    let group = reading.chart.group_of(child);
    group.is_some_and(|group| others.iter().any(|other| group.children.contains(other)))
}

fn two_wet(day: &Day, reading: &Reading) -> Vec<Problem> {
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        let in_use = slice.stations_in_use(reading).into_iter();
        let wet: Vec<_> = in_use.filter(|(s, _)| day.station(*s).mess == Mess::Wet).collect();
        if wet.len() < 2 {
            continue;
        }
        let number = u32::try_from(wet.len()).unwrap_or(u32::MAX);
        let (last, _) = wet[wet.len() - 1];
        found.push(Problem {
            children: sorted(wet.iter().flat_map(|(_, there)| there).copied()),
            space: Some(day.station(last).space),
            at: Some(Place::Station(last)),
            needed: 1,
            present: number,
            by: number - 1,
            unit: Unit::Times,
            ..Problem::of(SLUG, "wet", slice.span)
        });
    }
    found
}

fn words(day: &Day, problem: &Problem) -> String {
    let place = problem.at.map_or_else(|| "a station".to_owned(), |at| phrase::place(day, at));
    let Problem { span, needed, present, .. } = problem;
    if problem.case == "wet" {
        return format!("{span}: {present} wet stations in use at once, {place} among them");
    }
    let who = phrase::children(day, &problem.children);
    format!(
        "{span}, {place}: not reset before {who}, {} of the {needed} minutes it takes",
        if *present == 0 { "none".to_owned() } else { present.to_string() },
    )
}
