//! One adult's day.

use super::clocks;
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute};

/// What all of them do who are here.
pub const ALL: &str = "All";
/// A task that keeps its adult from the children.
pub fn not_watching(task: &str) -> String {
    format!("{task}, not with the children")
}

/// Nappies and toilet, where the children are told elsewhere.
pub const NAPPIES: &str = "nappies";
/// When heads are to be counted.
const EVERYONE_MOVES: &str = "everyone moves: ";

/// Heads that several count together, from where, and what follows; the `first` time it is told when.
pub fn all_count(heads: usize, first: bool, space: Option<&str>, then: &str) -> String {
    let moves = if first { EVERYONE_MOVES } else { "" };
    let space = space.map_or(String::new(), |space| format!(" ({space})"));
    both(&format!("{moves}count {heads}{space}"), then)
}

/// One thing, and what follows it.
pub fn both(one: &str, then: &str) -> String {
    if then.is_empty() { one.to_owned() } else { format!("{one}, {then}") }
}

/// Above whose heads one adult counts, by name.
pub const BY_NAME: &str = "Whose heads to count on the way, and whom to change";

/// Name, shift and what else is known.
pub fn heading(name: &str, known: &[String]) -> String {
    format!("{name}: {}", known.join(", "))
}

/// Before an adult's posts: the shift and what else is known.
pub fn before(known: &[String]) -> String {
    if known.is_empty() { String::new() } else { format!("{}:", known.join(", ")) }
}

/// The shift, and what a stranger must know about the adult.
pub fn known(day: &Day, adult: AdultIndex, all_day: Option<ChildIndex>) -> Vec<String> {
    let facts = &day.site[adult];
    let mut said = vec![clocks(day.adult_here(adult))];
    let known = [
        (facts.lead, "lead"),
        (!facts.counts, "does not count in ratio"),
        (!facts.may_be_alone, "never alone with children"),
    ];
    said.extend(known.iter().filter(|(so, _)| *so).map(|(_, words)| (*words).to_owned()));
    said.extend(all_day.map(|child| format!("all the time beside {}", day.site[child].label)));
    said
}

/// Nobody's paper.
pub fn not_on_shift(day: &Day, adult: AdultIndex) -> String {
    format!("{} is not on shift.", day.site[adult].label)
}

/// A meal, and the table where that is to be told.
pub fn at_table(meal: Option<&str>, table: Option<&str>) -> String {
    match (meal, table) {
        (Some(meal), Some(table)) => format!("{meal}, {table}"),
        (None, Some(table)) => format!("at {table}"),
        (meal, None) => meal.unwrap_or("at the table").to_owned(),
    }
}

/// A staff break until a minute; `short` where the rest is told with all of them.
pub fn staff_break(until: Minute, may_leave: bool, short: bool) -> String {
    if short {
        return "STAFF BREAK".to_owned();
    }
    let stays = if may_leave { "may go out" } else { "stays in the building" };
    format!("STAFF BREAK to {until}, {stays}")
}

/// Children at a place, by the names of groups or their own, and how many heads that is.
pub fn heads(names: &[&str], heads: usize) -> String {
    match names {
        [] => format!(" ({heads})"),
        names => format!(": {} ({heads})", names.join(", ")),
    }
}

/// Whose place an adult takes meanwhile.
pub fn covers(label: &str) -> String {
    format!(", for {label}")
}

/// How many heads to count on the way to a post, one after another; `short` where the heading says
/// what is counted.
pub fn way(counts: &[usize], then: Option<&str>, short: bool) -> String {
    let counts: Vec<String> = counts.iter().map(usize::to_string).collect();
    let counts = counts.join(", then ");
    match (counts.as_str(), then, short) {
        ("", then, _) => then.unwrap_or("on the way").to_owned(),
        (counts, None, true) => format!("count {counts}"),
        (counts, None, false) => format!("{EVERYONE_MOVES}count {counts}"),
        (counts, Some(then), true) => format!("count {counts}, {then}"),
        (counts, Some(then), false) => format!("{then}; {EVERYONE_MOVES}count {counts}"),
    }
}

/// Heads that somebody counts who stays.
pub fn also(count: usize) -> String {
    format!("also count {count} who move")
}
