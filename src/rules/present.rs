//! Everybody is somewhere, once, exactly while here.

use super::reading::{merged, post_is_known, sorted, stay_is_known};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute, Site, SpaceIndex, Span, ZoneIndex, slices};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Stays tile the time in which each child is here, posts the time in which each adult \
           is; nobody is placed while away, at two places at once, or at a place that is not \
           there.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Day,
    reads: Reads::Day,
    mended_by: &[],
};
const SLUG: &str = "present";

/// Whose day it is.
#[derive(Clone, Copy)]
enum Who {
    Child(ChildIndex),
    Adult(AdultIndex),
}

/// A stay or post as this rule reads it.
struct Listed {
    span: Span,
    space: SpaceIndex,
    at: Place,
    zone: Option<ZoneIndex>,
    known: bool,
    fits: bool,
}

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let mut found = Vec::new();
    let due = day.children.iter().map(|(c, _)| *c);
    for child in sorted(due.chain(chart.children.iter().map(|c| c.child))) {
        let enrolled = child.0 < day.site.children.len();
        let days = chart.children.iter().filter(|c| c.child == child);
        let listed = days.flat_map(|c| &c.stays).map(|s| Listed {
            span: s.span,
            space: s.space,
            at: s.at,
            zone: s.zone,
            known: enrolled && stay_is_known(day, chart, s),
            fits: fits_a_child(s),
        });
        found.extend(read(day, chart, Who::Child(child), &listed.collect::<Vec<_>>()));
    }
    let due = day.adults.iter().map(|(a, _)| *a);
    for adult in sorted(due.chain(chart.adults.iter().map(|a| a.adult))) {
        let on_the_team = adult.0 < day.site.adults.len();
        let days = chart.adults.iter().filter(|a| a.adult == adult);
        let listed = days.flat_map(|a| &a.posts).map(|p| Listed {
            span: p.span,
            space: p.space,
            at: p.at,
            zone: p.zone,
            known: on_the_team && post_is_known(day, chart, adult, p),
            fits: !matches!(p.at, Place::Choice(_)),
        });
        found.extend(read(day, chart, Who::Adult(adult), &listed.collect::<Vec<_>>()));
    }
    merged(found)
}

fn read(day: &Day, chart: &Chart, who: Who, listed: &[Listed]) -> Vec<Problem> {
    let here = match who {
        Who::Child(child) => day.child_here(child),
        Who::Adult(adult) => day.adult_here(adult),
    };
    let mut found = tiles(who, &listed.iter().map(|l| l.span).collect::<Vec<_>>(), here);
    for one in listed {
        let case = if !one.known {
            "unknown"
        } else if !one.fits {
            "unfit"
        } else if is_elsewhere(&day.site, chart, one) {
            "elsewhere"
        } else {
            continue;
        };
        let problem = Problem::of(SLUG, case, readable(one.span));
        found.push(of(who, Problem { space: Some(one.space), at: Some(one.at), ..problem }));
    }
    found
}

/// How the spans of somebody's day miss the time in which that one is here.
fn tiles(who: Who, listed: &[Span], here: &[Span]) -> Vec<Problem> {
    let mut found = Vec::new();
    for pair in listed.windows(2) {
        if pair[1].from < pair[0].from {
            found.push(of(who, Problem::of(SLUG, "order", readable(pair[1]))));
        }
    }
    let readable: Vec<Span> = listed.iter().filter(|s| s.from < s.to).copied().collect();
    let edges = readable.iter().chain(here).flat_map(|s| [s.from, s.to]);
    for slice in slices(edges) {
        let times = readable.iter().filter(|s| s.holds(slice)).count();
        let is_here = here.iter().any(|h| h.holds(slice));
        let case = match (is_here, times) {
            (true, 0) => "missing",
            (false, n) if n > 0 => "away",
            (true, n) if n > 1 => "twice",
            _ => continue,
        };
        found.push(of(who, Problem::of(SLUG, case, slice)));
    }
    merged(found)
}

/// A span that a problem may carry: an empty one becomes a minute, what passes midnight is cut.
fn readable(span: Span) -> Span {
    let from = span.from.min(Minute(Minute::END_OF_DAY.0 - 1));
    let to = span.to.min(Minute::END_OF_DAY).max(from.later(1));
    Span { from, to }
}

/// The problem as one of this person, by one.
fn of(who: Who, problem: Problem) -> Problem {
    let (needed, present) = match problem.case {
        "missing" => (1, 0),
        "twice" => (1, 2),
        _ => (0, 1),
    };
    let problem = Problem { needed, present, by: 1, ..problem };
    match who {
        Who::Child(c) => Problem { children: vec![c], unit: Unit::Children, ..problem },
        Who::Adult(a) => Problem { adults: vec![a], unit: Unit::Adults, ..problem },
    }
}

/// Not a place for adults alone, and with the zone that together-time needs.
fn fits_a_child(stay: &Stay) -> bool {
    use Place::{Door, Movement, Outdoors, Preparation, Rest, StaffBreak, Task, WholeGroup, Zone};
    match stay.at {
        Zone(_) | Door | Preparation | Task(_) | StaffBreak(_) => false,
        WholeGroup | Movement | Outdoors | Rest => stay.zone.is_some(),
        _ => true,
    }
}

/// The place or the zone is in another space than the one that is named.
fn is_elsewhere(site: &Site, chart: &Chart, one: &Listed) -> bool {
    let place = match one.at {
        Place::Station(s) => site[s].space,
        Place::Table(t) => site[t].space,
        Place::Zone(z) => site[z].space,
        Place::Choice(k) => {
            let choice = &chart.choices[k.0];
            let strayed = choice.open.iter().map(|s| site[*s].space).find(|s| *s != choice.space);
            strayed.unwrap_or(choice.space)
        }
        _ => one.space,
    };
    place != one.space || one.zone.is_some_and(|z| site[z].space != one.space)
}

fn words(day: &Day, problem: &Problem) -> String {
    let who = if problem.children.is_empty() {
        phrase::adults(day, &problem.adults)
    } else {
        phrase::children(day, &problem.children)
    };
    let span = problem.span;
    let place = problem.at.map_or_else(String::new, |at| phrase::place(day, at));
    let space = phrase::space(day, problem.space);
    match problem.case {
        "missing" => format!("{span}: {who} is here, and the chart gives no place"),
        "away" => format!("{span}: {who} is away, and the chart gives a place"),
        "twice" => format!("{span}: {who} is at two places at once"),
        "order" => format!("{span}: the day of {who} is not in order of time from here"),
        "unfit" => format!("{span}: {place} is not a place for {who}"),
        "elsewhere" => format!("{span}: {who} is said to be in {space}, where {place} is not"),
        _ => format!("{span}: what the chart gives for {who} cannot be read"),
    }
}
