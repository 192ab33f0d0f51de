//! Names and numbers as a colleague says them.

use crate::chart::Place;
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, MealKind, SpaceIndex, ZoneIndex};

/// Children's labels in a row: `Ola`, `Ola and Kim`, `Ola, Kim and Jo`; past six the rest is a
/// number.
pub(super) fn children(day: &Day, who: &[ChildIndex]) -> String {
    row(who.iter().map(|c| child(day, *c)).collect(), "and", "children")
}

/// Adults' labels in a row.
pub(super) fn adults(day: &Day, who: &[AdultIndex]) -> String {
    row(who.iter().map(|a| adult(day, *a)).collect(), "and", "adults")
}

/// Adults' labels of whom one is enough.
pub(super) fn any_adult(day: &Day, who: &[AdultIndex]) -> String {
    row(who.iter().map(|a| adult(day, *a)).collect(), "or", "adults")
}

fn row(mut names: Vec<&str>, and: &str, all: &str) -> String {
    let many = names.len();
    if many > 6 {
        names.truncate(5);
        return format!("{} {and} {} more {all}", names.join(", "), many - 5);
    }
    match names.pop() {
        None => format!("no {all}"),
        Some(last) if names.is_empty() => last.to_owned(),
        Some(last) => format!("{} {and} {last}", names.join(", ")),
    }
}

/// A child's label.
pub(super) fn child(day: &Day, who: ChildIndex) -> &str {
    day.site.children.get(who.0).map_or("a child not enrolled", |c| &c.label)
}

/// An adult's label.
pub(super) fn adult(day: &Day, who: AdultIndex) -> &str {
    day.site.adults.get(who.0).map_or("an adult not in the team", |a| &a.label)
}

/// A space's label; the premises where there is none.
pub(super) fn space(day: &Day, at: Option<SpaceIndex>) -> &str {
    at.and_then(|s| day.site.spaces.get(s.0)).map_or("the premises", |s| &s.label)
}

/// A zone's label; the space's where there is none.
pub(super) fn zone(day: &Day, zone: Option<ZoneIndex>, at: Option<SpaceIndex>) -> &str {
    zone.and_then(|z| day.site.zones.get(z.0)).map_or_else(|| space(day, at), |z| &z.label)
}

/// What somebody is at.
pub(super) fn place(day: &Day, at: Place) -> String {
    match at {
        Place::Station(s) => day.stations.get(s.0).map_or("a station", |s| &s.label).to_owned(),
        Place::Table(t) => day.site.tables.get(t.0).map_or("a table", |t| &t.label).to_owned(),
        Place::Zone(z) => zone(day, Some(z), None).to_owned(),
        Place::Task(t) => day.schedule.tasks.get(t).map_or("a task", |t| &t.label).to_owned(),
        Place::Choice(_) => "free choice".to_owned(),
        Place::WholeGroup => "circle".to_owned(),
        Place::Movement => "the movement break".to_owned(),
        Place::Outdoors => "outdoors".to_owned(),
        Place::Rest => "the rest".to_owned(),
        Place::Transition => "the transition".to_owned(),
        Place::Care => "the changing place".to_owned(),
        Place::Door => "the door".to_owned(),
        Place::Preparation => "getting the room ready".to_owned(),
        Place::StaffBreak(_) => "a staff break".to_owned(),
        Place::Unplaced => "no place".to_owned(),
    }
}

/// A meal's name.
pub(super) fn meal(kind: MealKind) -> &'static str {
    match kind {
        MealKind::Breakfast => "breakfast",
        MealKind::MorningSnack => "morning snack",
        MealKind::Lunch => "lunch",
        MealKind::AfternoonSnack => "afternoon snack",
    }
}

/// `one` for one of them, else `many`.
pub(super) fn verb(count: usize, one: &'static str, many: &'static str) -> &'static str {
    if count == 1 { one } else { many }
}

/// `1 minute`, `5 minutes`.
pub(super) fn count(number: u32, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// ` (asked by ...)` with the standard's name; nothing where no standard asks.
pub(super) fn asked_by(day: &Day, standard: Option<&str>) -> String {
    let Some(id) = standard else { return String::new() };
    let label = day.standards.iter().find(|s| s.id == id).map_or(id, |s| &s.label);
    format!(" (asked by {label})")
}
