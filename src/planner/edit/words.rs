//! What is said of a change that mends a day.

use super::floor::{Until, joins, runs};
use super::{Edit, StationEdit};
use crate::chart::{BlockKind, Chart};
use crate::day::{Day, ExtraAdult};
use crate::planner::list;
use crate::site::{MealKind, SpaceIndex, Span};

/// A set of changes as a sentence or two for a teacher.
pub(in crate::planner) fn of_all(day: &Day, posted: &Chart, edits: &[Edit]) -> String {
    let alike = |a: &Edit, b: &Edit| match (a, b) {
        (Edit::ExtraAdult(a), Edit::ExtraAdult(b)) => extra_words(a, 1) == extra_words(b, 1),
        _ => false,
    };
    let words = |some: &[Edit]| match &some[0] {
        Edit::ExtraAdult(extra) => extra_words(extra, some.len()),
        edit => edit_words(day, posted, edit),
    };
    let edits: Vec<String> = edits.chunk_by(alike).map(words).collect();
    edits.join(" And: ")
}

/// One change as a sentence; `day` is the one before the change.
#[must_use]
pub fn edit_words(day: &Day, posted: &Chart, edit: &Edit) -> String {
    let label = |id: &String| {
        posted.groups.iter().find(|g| g.id == *id).map_or_else(|| id.clone(), |g| g.label.clone())
    };
    let space = |s: &crate::site::SpaceIndex| day.site[*s].label.clone();
    match edit {
        Edit::Station { station, how } => {
            let label = &day.station(*station).label;
            match how {
                StationEdit::OutOfReach => format!("{label} is out of the young ones' reach."),
                StationEdit::AtMost(1) => format!("At most 1 child at {label}."),
                StationEdit::AtMost(most) => format!("At most {most} children at {label}."),
                StationEdit::From(months) => {
                    format!("Only children of {months} months and older at {label}.")
                }
                StationEdit::Closed(span) => format!("{label} is closed from {span}."),
            }
        }
        Edit::MoveBreak { adult, due, from } => {
            let who = &day.site[*adult];
            let whole = who.breaks.get(*due).zip(*from);
            let whole = whole.and_then(|(b, from)| Span::new(from, from.later(b.minutes)));
            let at = whole.map_or_else(String::new, |whole| format!(", {whole}"));
            let outside =
                who.breaks.get(*due).filter(|b| whole.is_none_or(|whole| !b.window.holds(whole)));
            let outside = outside.map_or_else(String::new, |b| {
                format!(", outside {} to {} when it is due: ask first", b.window.from, b.window.to)
            });
            format!("{} takes the staff break{at}{outside}.", who.label)
        }
        Edit::ShiftMeal { meal, minutes } => {
            let how = if *minutes < 0 { "earlier" } else { "later" };
            format!("{} {} minutes {how}.", meal_word(*meal), minutes.unsigned_abs())
        }
        Edit::MergeGroups { group, into } => {
            format!("{} and {} go on as one group.", label(into), label(group))
        }
        Edit::SplitFloor { groups, space: to, span } => {
            let names: Vec<String> = groups.iter().map(label).collect();
            let (names, to) = (list(&names), space(to));
            format!("{names} go to {to}, {}.", times(posted, *span))
        }
        Edit::SplitChildren { children, space: to, span } => {
            let names: Vec<&str> = children.iter().map(|c| day.site[*c].label.as_str()).collect();
            let goes = if names.len() == 1 { "goes" } else { "go" };
            format!("{} {goes} to {}, {}.", list(&names), space(to), times(posted, *span))
        }
        Edit::JoinFloor { space: left, span } => joined(day, posted, *left, *span),
        Edit::MoveCot { child, space: to } => {
            format!("The cot of {} stands in {}.", day.site[*child].label, space(to))
        }
        Edit::MoveCots { space: to } => format!("The cots stand in {}.", space(to)),
        Edit::AdultOfTheTeam { adult, span } => {
            let here = day.adult_here(*adult);
            let who = &day.site[*adult].label;
            if here.iter().any(|h| h.to == span.from) {
                format!("{who} stays {} longer, until {}.", long(*span), span.to)
            } else if here.iter().any(|h| h.from == span.to) {
                format!("{who} comes {} earlier, at {}.", long(*span), span.from)
            } else {
                format!("{who} comes in from {} to {}.", span.from, span.to)
            }
        }
        Edit::ExtraAdult(extra) => extra_words(extra, 1),
    }
}

/// Nobody is in a space in a span: who is in which one instead, and when.
fn joined(day: &Day, posted: &Chart, left: SpaceIndex, span: Span) -> String {
    let label = |space: SpaceIndex| &day.site[space].label;
    let all = joins(day, posted, left, (span, Until::TheirEnd));
    let is_rest =
        |run: Span| posted.blocks.iter().any(|b| b.kind == BlockKind::Rest && b.span.holds(run));
    let mut said = Vec::new();
    for (rest, who) in [(false, "Everybody"), (true, "Whoever is awake in the rest")] {
        let runs = all.iter().filter(|(run, _)| is_rest(*run) == rest);
        let times: Vec<String> = runs.clone().map(|(run, _)| run.to_string()).collect();
        if let Some((_, into)) = runs.clone().next() {
            let (into, left) = (label(*into), label(left));
            said.push(format!("{who} is in {into} and nobody in {left}, {}.", list(&times)));
        }
    }
    said.join(" ")
}

/// How long a span is: `40 minutes`, `2 h`, `2 h 5 min`.
fn long(span: Span) -> String {
    match (span.minutes() / 60, span.minutes() % 60) {
        (0, minutes) => format!("{minutes} minutes"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// The turns and choices of a span as clock times.
fn times(posted: &Chart, span: Span) -> String {
    let runs: Vec<String> = runs(posted, span, span.from).iter().map(Span::to_string).collect();
    list(&runs)
}

/// So many more adults who all do the same.
fn extra_words(extra: &ExtraAdult, many: usize) -> String {
    let mut able = Vec::new();
    if extra.counts {
        able.push("counts in ratio".to_owned());
    }
    if extra.may_be_alone {
        able.push("may be alone with children".to_owned());
    }
    if extra.lead {
        able.push("may lead the room".to_owned());
    }
    if extra.first_aid {
        able.push("holds a first-aid certificate".to_owned());
    }
    able.extend(extra.qualifications.iter().map(|q| format!("is qualified ({q})")));
    let when = extra.span.map_or_else(String::new, |s| format!(" from {} to {}", s.from, s.to));
    let (adults, hands, who) = match many {
        1 => ("One more adult", "One more pair of hands", "who"),
        2 => ("Two more adults", "Two more pairs of hands", "each of whom"),
        _ => ("Three more adults", "Three more pairs of hands", "each of whom"),
    };
    match able.split_last() {
        None => format!("{hands}{when}; need not count in ratio."),
        Some((last, [])) => format!("{adults}{when}, {who} {last}."),
        Some((last, first)) => format!("{adults}{when}, {who} {} and {last}.", first.join(", ")),
    }
}

pub(in crate::planner) fn meal_word(meal: MealKind) -> &'static str {
    match meal {
        MealKind::Breakfast => "Breakfast",
        MealKind::MorningSnack => "Morning snack",
        MealKind::Lunch => "Lunch",
        MealKind::AfternoonSnack => "Afternoon snack",
    }
}
