//! Where somebody is: stations, zones, tables, and what is done together.

use super::list;
use crate::chart::Place;
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex, StationIndex, ZoneIndex};

/// Floors and corners that one is on or at, by the last word of their label.
const ON: [&str; 12] = [
    "rug", "carpet", "mat", "mats", "deck", "floor", "stage", "lawn", "grass", "terrace", "steps",
    "platform",
];
const AT: [&str; 8] = ["side", "end", "table", "tables", "corner", "wall", "window", "shelf"];

/// A place by its label: `on the Big rug`, `in the Cabin`, `at the Quiet side`.
pub fn within(label: &str) -> String {
    let lower = label.to_lowercase();
    let word = |at: Option<&str>| at.unwrap_or_default().to_owned();
    let (first, last) = (word(lower.split(' ').next()), word(lower.split(' ').next_back()));
    if ["at", "by", "in", "near", "on", "under"].contains(&first.as_str()) {
        return label.to_owned();
    }
    let how = match last.as_str() {
        last if ON.contains(&last) => "on",
        last if AT.contains(&last) => "at",
        _ => "in",
    };
    let the = if first == "the" || first == "our" { "" } else { "the " };
    format!("{how} {the}{label}")
}

/// A zone whose adult sees it.
pub fn zone(day: &Day, zone: ZoneIndex) -> String {
    within(&day.site[zone].label)
}

/// A station with what stands there today.
pub fn with_activity(day: &Day, at: StationIndex) -> String {
    let name = &day.station(at).label;
    match day.activities.get(at.0).and_then(Option::as_ref) {
        Some(activity) if activity != name => format!("{name} ({activity})"),
        _ => name.clone(),
    }
}

/// The stations that somebody chooses from, where they are few enough to be named.
pub fn choice(day: &Day, open: &[StationIndex]) -> String {
    let names: Vec<&str> = open.iter().map(|s| day.station(*s).label.as_str()).collect();
    match names.len() {
        1..=3 => names.join(", "),
        _ => "choice".into(),
    }
}

/// A place for children as it stands in a sentence: a choice says that it is one.
pub fn told(day: &Day, at: Place, space: SpaceIndex, open: &[StationIndex]) -> String {
    let named = |what: &str| elsewhere(day, &format!("choice of {what}"), space);
    match at {
        Place::Choice(_) if (1..=3).contains(&open.len()) => {
            let names: Vec<&str> = open.iter().map(|s| &*day.station(*s).label).collect();
            named(&list(&names))
        }
        at => of_children(day, at, space, open),
    }
}

/// A place for children; `open` is what a choice has.
pub fn of_children(day: &Day, at: Place, space: SpaceIndex, open: &[StationIndex]) -> String {
    let plain = match at {
        Place::Station(s) => return day.station(s).label.clone(),
        Place::Table(t) => return day.site[t].label.clone(),
        Place::Zone(z) => return day.site[z].label.clone(),
        Place::Outdoors => return within(&day.site[space].label),
        Place::Choice(_) => &choice(day, open),
        Place::WholeGroup => "circle",
        Place::Movement => "movement",
        Place::Rest => "rest",
        Place::Transition => "on the way",
        Place::Care => "nappies and toilet",
        Place::Door => "at the door",
        Place::Preparation => "sets up or clears away",
        Place::Task(_) => "task",
        Place::StaffBreak(_) => "staff break",
        Place::Unplaced => "NO PLACE FOUND",
    };
    elsewhere(day, plain, space)
}

/// A post of an adult; `beside`: the child whom the adult is there for.
pub fn of_adults(day: &Day, at: Place, space: SpaceIndex, beside: Option<ChildIndex>) -> String {
    let words = match at {
        Place::Station(s) => format!("at {}", day.station(s).label),
        Place::Table(t) => format!("at {}", day.site[t].label),
        Place::Zone(z) => zone(day, z),
        Place::Rest => elsewhere(day, "by the cots", space),
        Place::Task(t) => elsewhere(day, task(day, t), space),
        Place::Unplaced => "no post".into(),
        // Where a staff break is had is the adult's own affair.
        Place::StaffBreak(_) => "staff break".into(),
        at => of_children(day, at, space, &[]),
    };
    match beside {
        Some(child) => self::beside(day, child, &words),
        None => words,
    }
}

/// At a post for one child alone.
pub fn beside(day: &Day, child: ChildIndex, words: &str) -> String {
    format!("beside {}: {words}", day.site[child].label)
}

/// A task.
fn task(day: &Day, task: usize) -> &str {
    let busy = day.held_up().iter().any(|held| held.1 == task);
    let label = day.schedule.tasks.get(task).map_or("task", |t| t.label.as_str());
    if busy { "busy" } else { label }
}

fn elsewhere(day: &Day, what: &str, space: SpaceIndex) -> String {
    if space == day.site[day.room].home {
        return what.to_owned();
    }
    format!("{what} ({})", day.site[space].label)
}
