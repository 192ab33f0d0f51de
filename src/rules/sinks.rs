//! Time and sinks to wash hands.

use super::reading::{Reading, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Mess, Minute, SpaceIndex, Span};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Hands are washed before every meal and after wet stations and outdoors, in a \
           transition that is long enough for all who wash in it at the sinks there (a space \
           without sinks uses those of the room's home); who comes straight from home to a table \
           washes at the door.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Ways,
    reads: Reads::Around,
    mended_by: &[],
};
const SLUG: &str = "sinks";

/// A child on the move who has to wash, with the sinks that it uses.
struct Wash {
    child: ChildIndex,
    span: Span,
    space: SpaceIndex,
    sinks: SpaceIndex,
}

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    let mut washes: Vec<Wash> = Vec::new();
    for child in &reading.chart.children {
        let mut stays: Vec<&Stay> = child.stays.iter().collect();
        stays.sort_by_key(|s| s.span);
        for pair in stays.windows(2) {
            let (before, after) = (pair[0], pair[1]);
            let moved_on = before.span.to == after.span.from && before.at != after.at;
            let case = if !moved_on || washes_itself(before) || washes_itself(after) {
                continue;
            } else if after.meal.is_some() {
                "before-meal"
            } else if before.at == Place::Outdoors && !day.site[after.space].outdoors {
                "after-outdoors"
            } else if is_wet(day, before) {
                "after-wet"
            } else {
                continue;
            };
            found.push(Problem {
                children: vec![child.child],
                space: Some(after.space),
                at: Some(if case == "after-wet" { before.at } else { after.at }),
                needed: 1,
                unit: Unit::Children,
                ..Problem::of(SLUG, case, Span { to: after.span.from.later(1), ..after.span })
            });
        }
        washes.extend(washes_of(day, child.child, &stays));
    }
    found = together(found);
    for sinks in sorted(washes.iter().map(|w| w.sinks)) {
        let here: Vec<&Wash> = washes.iter().filter(|w| w.sinks == sinks).collect();
        found.extend(clusters(here).into_iter().filter_map(|c| too_short(day, sinks, &c)));
    }
    merged(found)
}

/// On the move, or at care, where washing is part of it.
fn washes_itself(stay: &Stay) -> bool {
    matches!(stay.at, Place::Transition | Place::Care)
}

fn is_wet(day: &Day, stay: &Stay) -> bool {
    matches!(stay.at, Place::Station(s) if day.station(s).mess == Mess::Wet)
}

/// The times on the move in which a child has to wash: those before a meal, after a wet station
/// and after outdoors.
fn washes_of(day: &Day, child: ChildIndex, stays: &[&Stay]) -> Vec<Wash> {
    let mut washes = Vec::new();
    let mut from = 0;
    while from < stays.len() {
        let mut to = from;
        let on = |i: usize| stays[i].at == Place::Transition;
        while on(from) && to + 1 < stays.len() && on(to + 1) && adjacent(stays[to], stays[to + 1]) {
            to += 1;
        }
        if on(from) {
            let before = from.checked_sub(1).map(|i| stays[i]).filter(|s| adjacent(s, stays[from]));
            let after = stays.get(to + 1).filter(|s| adjacent(stays[to], s));
            let wet = before.is_some_and(|s| s.at == Place::Outdoors || is_wet(day, s));
            if wet || after.is_some_and(|s| s.meal.is_some()) {
                // Moving through two spaces, a child washes at the sinks where it arrives.
                let sinks = sinks_of(day, stays[to].space);
                let first = (from..=to)
                    .find(|i| stays[*i..=to].iter().all(|s| sinks_of(day, s.space) == sinks));
                let start = stays[first.unwrap_or(to)].span.from;
                let span = Span { from: start, to: stays[to].span.to };
                washes.push(Wash { child, span, space: stays[to].space, sinks });
            }
        }
        from = to + 1;
    }
    washes
}

fn adjacent(before: &Stay, after: &Stay) -> bool {
    before.span.to == after.span.from
}

/// The space whose sinks children of a space use.
fn sinks_of(day: &Day, space: SpaceIndex) -> SpaceIndex {
    if day.site[space].sinks > 0 { space } else { day.site[day.room].home }
}

/// Washes that overlap, directly or through others.
fn clusters(mut washes: Vec<&Wash>) -> Vec<Vec<&Wash>> {
    washes.sort_by_key(|w| (w.span, w.child));
    let mut clusters: Vec<Vec<&Wash>> = Vec::new();
    for wash in washes {
        match clusters.last_mut() {
            Some(c) if c.iter().any(|w| w.span.meets(wash.span)) => c.push(wash),
            _ => clusters.push(vec![wash]),
        }
    }
    clusters
}

/// The stretch of a cluster that falls shortest of what those who wash wholly inside it need.
fn too_short(day: &Day, sinks: SpaceIndex, cluster: &[&Wash]) -> Option<Problem> {
    let number = day.site[sinks].sinks;
    let starts: Vec<Minute> = sorted(cluster.iter().map(|w| w.span.from));
    let ends: Vec<Minute> = sorted(cluster.iter().map(|w| w.span.to));
    let mut worst: Option<Problem> = None;
    for span in starts.iter().flat_map(|f| ends.iter().filter_map(|t| Span::new(*f, *t))) {
        let inside: Vec<&&Wash> = cluster.iter().filter(|w| span.holds(w.span)).collect();
        let Some(first) = inside.first() else { continue };
        let children = u32::try_from(inside.len()).unwrap_or(u32::MAX);
        let minutes = children.saturating_mul(u32::from(day.site.settings.wash_minutes));
        let needed = minutes.div_ceil(number.max(1));
        // Without a sink no minute helps.
        let present = if number == 0 { 0 } else { u32::from(span.minutes()) };
        let by = needed.saturating_sub(present);
        if by > worst.as_ref().map_or(0, |w| w.by) {
            worst = Some(Problem {
                children: sorted(inside.iter().map(|w| w.child)),
                space: Some(first.space),
                at: Some(Place::Transition),
                needed,
                present,
                by,
                unit: Unit::Minutes,
                ..Problem::of(SLUG, if number == 0 { "no-sinks" } else { "too-short" }, span)
            });
        }
    }
    worst
}

/// Children who go unwashed at the same time between the same places, told as one.
fn together(problems: Vec<Problem>) -> Vec<Problem> {
    let mut told: Vec<Problem> = Vec::new();
    for problem in problems {
        let alike = |t: &&mut Problem| {
            (t.case, t.span, t.at, t.space)
                == (problem.case, problem.span, problem.at, problem.space)
        };
        match told.iter_mut().find(alike) {
            Some(one) => {
                one.children = sorted(one.children.iter().chain(&problem.children).copied());
                one.by = u32::try_from(one.children.len()).unwrap_or(u32::MAX);
                one.needed = one.by;
            }
            None => told.push(problem),
        }
    }
    told
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, .. } = problem;
    let who = phrase::children(day, &problem.children);
    let place = problem.at.map_or_else(String::new, |at| phrase::place(day, at));
    match problem.case {
        "before-meal" => format!("{}: {who} to {place} without washing hands", span.from),
        "after-outdoors" => format!("{}: {who} in from outdoors without washing hands", span.from),
        "after-wet" => format!("{}: {who} on from {place} without washing hands", span.from),
        "no-sinks" => format!("{span}: no sinks for {who} to wash at"),
        _ => {
            let space = phrase::space(day, problem.space);
            let many = problem.children.len();
            let children = phrase::verb(many, "child", "children");
            format!(
                "{span}, {space}: too short for {many} {children} at the sinks, {present} minutes \
                 where {needed} are needed"
            )
        }
    }
}
