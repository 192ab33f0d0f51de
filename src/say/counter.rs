//! The page for the counter: the first lines, the grid, and what stands under it.

use super::{clock, clocks, counted, list};
use crate::chart::BlockKind;
use crate::day::Day;
use crate::site::{Minute, Span};

/// Where an adult is missing before anybody who is called can be there.
pub const HELP: &str =
    "Call for help now and keep the children together with you: do not wait for this chart.";

/// How safe a day is.
pub fn grade(safe: bool, kept: bool) -> &'static str {
    match (safe, kept) {
        (true, true) => "Safe to run",
        (true, false) => "SAFE, BUT NOT EVERYTHING IS KEPT",
        (false, _) => "NOT SAFE TO RUN",
    }
}

/// How safe a day is, from a moment on where something was wrong before.
pub fn verdict(day: &Day, safe: bool, problems: usize, from: Option<Minute>) -> String {
    let date = day.date.format("%A %-d %B %Y");
    let room = format!("{}, {date}", day.site[day.room].label);
    let count = counted(problems, "problem", "problems");
    let grade = grade(safe, problems == 0);
    match (problems, from) {
        (0, None) => format!("{grade}: {room}."),
        (0, Some(from)) => format!("{grade} from {from}: {room}."),
        _ => format!("{grade}: {room}: {count}."),
    }
}

/// Who is needed from a staff break at once.
pub fn call_back(who: &str, at: Minute) -> String {
    format!(
        "Call {who} back from the staff break before anything else: the chart counts on them from {at}."
    )
}

/// All that follows from nobody being there.
pub fn no_adult(span: Span, children: usize) -> String {
    format!("{span}: no adult is with the {}", counted(children, "child", "children"))
}

/// Where no adult is with the children of one space: too few adults are better than none.
pub fn take_them(problem: &str) -> String {
    format!("{problem}: nobody is with the children there, take them to where an adult is")
}

/// One cause and what comes of it, or how much `more` comes of it.
pub fn cause(words: &str, varies: bool, with: &[String], more: usize) -> String {
    let worst = if varies { ", at the worst" } else { "" };
    let with = with.iter().map(|with| format!("; with it {with}"));
    let more = match more {
        0 => String::new(),
        1 => "; 1 more problem comes of it: --verbose says which".to_owned(),
        n => format!("; {n} more problems come of it: --verbose says which"),
    };
    format!("{words}{worst}{}{more}", with.collect::<String>())
}

/// Problems of one kind that are not told one by one.
pub fn more_alike(more: usize) -> String {
    format!("and {more} more of this kind: --verbose lists them")
}

/// What was wrong, and is past.
pub fn past(at: Minute, problems: &[String]) -> String {
    format!("Before {at}, and past: {}.", problems.join("; "))
}

/// Who is here, and whether they go out.
pub fn heads(day: &Day, children: usize, adults: usize) -> String {
    let children = counted(children, "child", "children");
    let adults = match adults {
        0 => "no adult".to_owned(),
        n => counted(n, "adult", "adults"),
    };
    let indoor = match (day.indoor.value, day.indoor.shorten) {
        (true, _) => "Indoor day. ",
        (false, true) => "Outdoors, but for a shorter time. ",
        (false, false) => "",
    };
    format!("{children}, {adults}. {indoor}{}", day.indoor.why)
}

/// Free choice, where what is open is told beside it.
pub const CHOICE: &str = "choice";

/// A small group with its children.
pub fn group(label: &str, children: &[&str]) -> String {
    format!("{label}: {}", children.join(", "))
}

/// What is open while only some choose.
pub fn open(stations: &str) -> String {
    format!("choice: {stations}")
}

/// Stations open from a minute on, and in a space that is not the room's own until when.
pub fn open_from(
    from: Option<Minute>,
    space: Option<(&str, Option<Minute>)>,
    stations: &[&str],
) -> String {
    let from = from.map_or(String::new(), |from| format!("{from} "));
    let space = space.map_or(String::new(), |(space, to)| {
        let to = to.map_or(String::new(), |to| format!(" to {to}"));
        format!("{}{to}: ", super::place::within(space))
    });
    format!("{from}{space}{}", stations.join(", "))
}

/// What all groups do in a block; `usual`: how it is called, `open`: what there is to choose.
pub fn everybody(kind: BlockKind, usual: &str, open: &str) -> String {
    match (kind, open) {
        (BlockKind::Circle | BlockKind::Movement, _) if usual == super::block::of_the_day(kind) => {
            "all together".to_owned()
        }
        (BlockKind::Rest, "") => "all lie down".to_owned(),
        (BlockKind::Rest, open) => format!("all lie down; who is up: {open}"),
        (_, "") => format!("all: {usual}"),
        (BlockKind::Choice, open) => open.to_owned(),
        (_, open) => format!("choice: {open}"),
    }
}

/// The one group that does otherwise.
pub fn but(group: &str, does: &[String]) -> String {
    format!("{group} {}", does.join(", "))
}

/// What all do and what one group does otherwise, as one line.
pub fn parts(all: &str, others: &[String]) -> String {
    std::iter::once(all.to_owned()).chain(others.iter().cloned()).collect::<Vec<_>>().join("; ")
}

/// A place in a cell, from and until when where that is not the row's time.
pub fn in_cell(place: &str, from: Option<Minute>, to: Option<Minute>) -> String {
    let from = from.map_or(String::new(), |from| format!("{from} "));
    let to = to.map_or(String::new(), |to| format!(" to {to}"));
    format!("{from}{place}{to}")
}

/// Names of what stands under the grid.
pub const CARE: &str = "Nappies and toilet";
/// Who sleeps.
pub const SLEEP: &str = "Sleep";
/// Who is not where the group is.
pub const OWN_PLAN: &str = "On their own plan";
/// Who is allergic to what.
pub const ALLERGIES: &str = "Allergies";
/// Children who are never to be together.
pub const KEEP_APART: &str = "Keep apart";
/// Children who always have an own adult.
pub const ALWAYS_WITH: &str = "Always with an own adult";
/// Adults who may not be alone with children.
pub const NEVER_ALONE: &str = "Never alone with children";
/// Staff breaks.
pub const STAFF_BREAKS: &str = "Staff breaks";
/// Who is at the door.
pub const DOOR: &str = "The door";
/// Who comes late.
pub const COMES: &str = "Come later";
/// Who goes early, or is away in between.
pub const GOES: &str = "Picked up";
/// What stands at the stations.
pub const SET_OUT: &str = "Set out today";
/// Whose must-dos are not on the chart.
pub const STILL_TO_HAVE: &str = "Still to have a turn";

/// Children who are changed or taken to the toilet one after another.
pub fn round(span: Span, with: &str, children: &str) -> String {
    let with = if with.is_empty() { String::new() } else { format!("{with}: ") };
    format!("{} {with}{children}", span.from)
}

/// A wait that is too long: minutes awake.
pub fn wait(child: &str, span: Span, awake: u32) -> String {
    format!("{child} {} ({awake})", clock(span))
}

/// Who waits too long.
pub fn waits(interval: u16, waits: &[String]) -> String {
    format!("awake for more than {interval} minutes without a change: {}", waits.join(", "))
}

/// Something, with its time before it.
pub fn from_to(span: Span, what: &str) -> String {
    format!("{} {what}", clock(span))
}

/// Children of no small group.
pub fn no_group(children: &str) -> String {
    format!("in no group: {children}")
}

/// What a child is allergic to, and what it keeps the child from today.
pub fn allergy(child: &str, to: &[String], not_at: &[&str], ask: &[&str]) -> String {
    let keep = match (not_at.is_empty(), ask.is_empty()) {
        (true, true) => String::new(),
        (false, true) => format!(" (keep from {})", list(not_at)),
        (true, false) => format!(" (ask before {})", list(ask)),
        (false, false) => format!(" (keep from {}; ask before {})", list(not_at), list(ask)),
    };
    format!("{child}: {}{keep}", list(to))
}

/// A child with the own adult.
pub fn own_adult(child: &str, adult: &str) -> String {
    format!("{child} with {adult}")
}

/// Somebody with times.
pub fn when(who: &str, spans: &[Span]) -> String {
    format!("{who} {}", clocks(spans))
}

/// The staff breaks of somebody, and whether each is had in the building.
pub fn breaks(who: &str, spans: &[(Span, bool)]) -> String {
    let told = spans.iter().map(|(span, stays)| {
        format!("{}{}", clock(*span), if *stays { " (in the building)" } else { "" })
    });
    format!("{who} {}", list(&told.collect::<Vec<_>>()))
}

/// When somebody comes.
pub fn comes(at: Minute) -> String {
    at.to_string()
}

/// When somebody goes.
pub fn picked_up(at: Minute) -> String {
    at.to_string()
}

/// When somebody is away in between.
pub fn away(from: Minute, to: Minute) -> String {
    format!("{from} (back at {to})")
}

/// Where a standard says more than is judged, or its figures are from memory.
pub const OF_STANDARDS: &str = "Some figures are from memory, or a standard asks for more than is judged: --verbose says which.";

/// Where to find what was assumed.
pub fn assumed(things: usize) -> String {
    let things = counted(things, "thing was", "things were");
    format!("{things} assumed where nothing was said: --verbose says which.")
}
