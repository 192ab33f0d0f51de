//! Rest: sleepers long enough and in one piece, the others something quiet.

use super::pieces::{for_each_child, stay_pieces};
use super::reading::{Reading, merged};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{BlockKind, Chart, ChildDay, Place, State, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Noise, Sleep, SpaceIndex, Span};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Who sleeps rests long enough in one piece, in the rest's window or at the own times; \
           who does not sleep, or wakes, has something quiet once awake for the longest minutes, \
           and while the room rests nothing but quiet stations is used beside the cots, at other \
           times nothing loud beside a child asleep; nobody is put down as asleep who does not sleep here, \
           is still settling or should have woken. Who is changed in the settling minutes, which begin \
           with the rest or on coming into it, rests meanwhile.",
    audit,
    words,
    rows: None,
    kept: Kept::Cases(&["short-rest", "nothing-quiet"]),
    about: About::Day,
    reads: Reads::Around,
    mended_by: &[],
};
const SLUG: &str = "rest";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let chart = &*reading.chart;
    let mut found = Vec::new();
    for (child, here) in &day.children {
        let stays = chart.child(*child).map_or(&[][..], |d| &d.stays);
        let lying = lying(day, chart, *child, stays);
        for (within, minutes) in sleeps_due(day, *child, here) {
            found.extend(short_rest(*child, within, minutes, &lying));
        }
    }
    for child in &chart.children {
        found.extend(not_asleep(day, chart, child));
        found.extend(nothing_quiet(day, child));
    }
    found.extend(loud(&reading));
    for_each_child(found)
}

/// Stretches in which a child lies down: on the cot, or being changed while it settles there.
fn lying(day: &Day, chart: &Chart, child: ChildIndex, stays: &[Stay]) -> Vec<Span> {
    let settling = day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
    let rests = chart.blocks.iter().filter(|b| b.kind == BlockKind::Rest).map(|b| b.span);
    let own = match &day.site[child].sleep {
        Sleep::At(own) => &own[..],
        Sleep::None | Sleep::InRest { .. } => &[],
    };
    // Who comes inside a rest settles from then on.
    let begins = |rest: Span| day.child_here(child).iter().filter_map(move |h| h.meet(rest));
    let settles: Vec<Span> = rests
        .chain(own.iter().copied())
        .flat_map(begins)
        .map(|here| Span { from: here.from, to: here.from.later(settling) })
        .collect();
    let lies = |s: &Stay| match s.at {
        Place::Rest => s.state != State::Awake,
        Place::Care => settles.iter().any(|settle| settle.holds(s.span)),
        _ => false,
    };
    stay_pieces(stays, |s| lies(s).then_some(())).into_iter().map(|(_, span)| span).collect()
}

/// The sleeps that a child is owed: where each must lie, and how long it is. Who comes or goes so
/// that no whole one fits is owed none; none is longer than the room's rest.
fn sleeps_due(day: &Day, child: ChildIndex, here: &[Span]) -> Vec<(Span, u16)> {
    let due: Vec<(Span, u16)> = match (&day.site[child].sleep, &day.schedule.rest) {
        (Sleep::None, _) | (Sleep::InRest { .. }, None) => Vec::new(),
        (Sleep::InRest { minutes }, Some(rest)) => {
            vec![(rest.window, (*minutes).min(rest.minutes))]
        }
        (Sleep::At(own), _) => own.iter().map(|s| (*s, s.minutes())).collect(),
    };
    let fits = |(within, minutes): &(Span, u16)| {
        here.iter().filter_map(|h| h.meet(*within)).any(|h| h.minutes() >= *minutes)
    };
    due.into_iter().filter(fits).collect()
}

fn short_rest(child: ChildIndex, within: Span, minutes: u16, lying: &[Span]) -> Option<Problem> {
    let longest = lying.iter().filter_map(|l| l.meet(within)).map(Span::minutes).max().unwrap_or(0);
    (longest < minutes).then(|| Problem {
        children: vec![child],
        needed: u32::from(minutes),
        present: u32::from(longest),
        by: u32::from(minutes - longest),
        unit: Unit::Minutes,
        ..Problem::of(SLUG, if longest == 0 { "no-rest" } else { "short-rest" }, within)
    })
}

/// Stretches put down as sleep that the facts do not bear out.
fn not_asleep(day: &Day, chart: &Chart, child: &ChildDay) -> Vec<Problem> {
    let sleep = &day.site[child.child].sleep;
    let settling = day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
    let lying = lying(day, chart, child.child, &child.stays);
    let asleep =
        stay_pieces(&child.stays, |s| (s.state == State::Asleep).then_some(s.at == Place::Rest));
    let mut found = Vec::new();
    let mut report = |case, from: Minute, to: Minute| {
        let span = Span::new(from, to);
        found.extend(span.map(|span| Problem {
            children: vec![child.child],
            present: 1,
            unit: Unit::Children,
            ..Problem::of(SLUG, case, span)
        }));
    };
    for (at_rest, span) in asleep {
        if !at_rest {
            report("asleep-elsewhere", span.from, span.to);
            continue;
        }
        let Some(piece) = lying.iter().find(|l| l.holds(span)) else { continue };
        let settled = piece.from.later(settling);
        let night = match sleep {
            Sleep::InRest { minutes } if day.schedule.rest.is_some() => {
                Some((settled, piece.from.later(*minutes)))
            }
            Sleep::None | Sleep::InRest { .. } => None,
            Sleep::At(own) => own
                .iter()
                .find(|o| o.meets(span))
                .map(|o| (settled.max(o.from.later(settling)), o.to)),
        };
        match night {
            None => report("does-not-sleep", span.from, span.to),
            Some((first, last)) => {
                report("settling", span.from, first.min(span.to));
                report("past-waking", last.max(span.from), span.to);
            }
        }
    }
    found
}

/// Stretches in which a child lies awake for longer than it is asked to.
fn nothing_quiet(day: &Day, child: &ChildDay) -> Vec<Problem> {
    let Some(rest) = &day.schedule.rest else { return Vec::new() };
    let pieces =
        stay_pieces(&child.stays, |s| (s.at == Place::Rest).then_some(s.state == State::Asleep));
    let awake = pieces.iter().filter(|(asleep, _)| !asleep).map(|(_, span)| *span);
    awake
        .filter_map(|span| {
            let falls_asleep = pieces.iter().any(|(asleep, s)| *asleep && s.from == span.to);
            let longest = if falls_asleep {
                rest.awake_longest.max(rest.settling_minutes)
            } else {
                rest.awake_longest
            };
            let over = Span::new(span.from.later(longest), span.to)?;
            Some(Problem {
                children: vec![child.child],
                space: Some(rest.space),
                needed: u32::from(longest),
                present: u32::from(span.minutes()),
                by: u32::from(over.minutes()),
                unit: Unit::Minutes,
                ..Problem::of(SLUG, "nothing-quiet", over)
            })
        })
        .collect()
}

/// Children who are loud beside others on the cots while the room rests, and at any other time beside
/// somebody who is asleep.
fn loud(reading: &Reading) -> Vec<Problem> {
    let rests: Vec<Span> =
        reading.chart.blocks.iter().filter(|b| b.kind == BlockKind::Rest).map(|b| b.span).collect();
    let mut found: Vec<Problem> = Vec::new();
    for slice in reading.slices(rests.iter().flat_map(|r| [r.from, r.to])) {
        let rests = rests.iter().any(|r| r.holds(slice.span));
        let beside =
            |space, such: fn(&Stay) -> bool| slice.children_in(space).iter().any(|(_, s)| such(s));
        let is_too_loud = |stay: &Stay| match rests {
            true => {
                let noise =
                    stay.at == Place::Movement || noisy(reading, stay, |n| n != Noise::Quiet);
                noise && beside(stay.space, |s| s.at == Place::Rest)
            }
            false => {
                let noise = noisy(reading, stay, |n| n == Noise::Loud);
                noise && beside(stay.space, |s| s.state == State::Asleep)
            }
        };
        let mut noisy: Vec<(SpaceIndex, Place, ChildIndex)> = slice
            .children
            .iter()
            .filter(|(_, s)| is_too_loud(s))
            .map(|(c, s)| (s.space, s.at, *c))
            .collect();
        noisy.sort_unstable();
        for place in noisy.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            let many = u32::try_from(place.len()).unwrap_or(u32::MAX);
            found.push(Problem {
                children: place.iter().map(|(_, _, c)| *c).collect(),
                space: Some(place[0].0),
                at: Some(place[0].1),
                present: many,
                by: many,
                unit: Unit::Children,
                ..Problem::of(SLUG, "loud", slice.span)
            });
        }
    }
    merged(found)
}

/// Whether a stay may bring a child to a station of such noise.
fn noisy(reading: &Reading, stay: &Stay, such: fn(Noise) -> bool) -> bool {
    reading.stations(stay).iter().any(|s| such(reading.day.station(*s).noise))
}

fn words(day: &Day, p: &Problem) -> String {
    let (who, many, span) = (phrase::children(day, &p.children), p.children.len(), p.span);
    let is = phrase::verb(many, "is", "are");
    let minutes = phrase::count(p.needed, "minute");
    match p.case {
        "no-rest" => format!(
            "{who} {} no rest: {minutes} are due between {} and {}",
            phrase::verb(many, "has", "have"),
            span.from,
            span.to
        ),
        "short-rest" => format!(
            "{who} {} for {} in one piece: {minutes} are due between {} and {}",
            phrase::verb(many, "rests", "rest"),
            phrase::count(p.present, "minute"),
            span.from,
            span.to
        ),
        "nothing-quiet" => format!(
            "{who} still {} awake with nothing to do {span}: after {minutes} something quiet is due",
            phrase::verb(many, "lies", "lie"),
        ),
        "loud" => format!(
            "{who} {is} at {} {span}, too loud beside the cots",
            p.at.map_or_else(String::new, |at| phrase::place(day, at))
        ),
        "does-not-sleep" => format!(
            "{who} {is} down as asleep {span} but {} not sleep here: counts as awake",
            phrase::verb(many, "does", "do")
        ),
        "settling" => {
            format!("{who} {is} down as asleep {span} but {is} still settling: counts as awake")
        }
        "past-waking" => {
            format!("{who} {is} down as asleep {span}, past the usual waking: counts as awake")
        }
        _ => format!("{who} {is} down as asleep {span} but not on a cot: counts as awake"),
    }
}
