//! What a person should know on the night on which clocks go back.

use super::list;
use crate::day::Day;
use crate::site::{AdultIndex, Minute, Span};

/// What the chart means in the time that comes twice, and what lasts longer than it counts; `None` where
/// nobody is here then. A sentence without the word that begins a note.
#[must_use]
pub fn clocks_go_back(day: &Day) -> Option<String> {
    let twice = day.comes_twice()?;
    let meets = |here: &[Span]| here.iter().any(|span| span.meets(twice));
    let children = day.children.iter().filter(|(_, here)| meets(here)).count();
    let adults: Vec<&(AdultIndex, Vec<Span>)> =
        day.adults.iter().filter(|(_, here)| meets(here)).collect();
    if children == 0 && adults.is_empty() {
        return None;
    }
    let counted = |n: usize, one: &str, more: &str| {
        if n == 1 { format!("1 {one}") } else { format!("{n} {more}") }
    };
    let here = [counted(children, "child", "children"), counted(adults.len(), "adult", "adults")];
    let (again, end) = (twice.minutes(), twice.to);
    let mut said = format!(
        "CLOCKS GO BACK: {twice} comes twice, while {} are here. The chart has it once: do what stands in \
         it the first time, then leave everybody as they are just before {end} until it is {end} for good. \
         Whatever goes on over it lasts {again} minutes longer than the clock shows: time meals, changes \
         and staff breaks after it by the minutes that have passed, and look at who sleeps both times.",
        here.join(" and ")
    );
    let at_work = adults.iter().map(|(adult, here)| {
        let minutes: u32 = here.iter().map(|span| day.minutes_in(*span)).sum();
        format!("{} ({minutes} minutes)", day.site[*adult].label)
    });
    let at_work: Vec<String> = at_work.collect();
    if !at_work.is_empty() {
        let who = list(&at_work);
        said += &format!(
            " With the children so much longer, which may make another staff break due: {who}."
        );
    }
    let times = said_within(day, twice);
    if !times.is_empty() {
        let times = list(&times.iter().map(Minute::to_string).collect::<Vec<_>>());
        said += &format!(" What is said of {times} is taken to be of the first time.");
    }
    Some(said)
}

/// Times within what comes twice at which something has happened, or somebody comes or goes by what has
/// happened.
fn said_within(day: &Day, twice: Span) -> Vec<Minute> {
    let here =
        day.children.iter().map(|(_, here)| here).chain(day.adults.iter().map(|(_, here)| here));
    let edges = here.flatten().flat_map(|span| [span.from, span.to]);
    let edges = edges.filter(|at| twice.from < *at && *at < twice.to);
    let happened = day.happened.iter().map(|h| h.at).filter(|at| twice.contains(*at));
    let mut times: Vec<Minute> = happened.chain(edges).collect();
    times.sort_unstable();
    times.dedup();
    // An adult is with the children some minutes after the shift begins: nobody said that time.
    if day.happened.is_empty() { Vec::new() } else { times }
}
