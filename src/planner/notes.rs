//! What a person should look at although no rule is broken.

use crate::chart::{BlockKind, Chart};
use crate::day::Day;
use crate::standards::Standard;
use std::sync::Arc;

/// Children from this age on are past what the figures of early childhood are for: they are at
/// school. Common practice; a room of six-year-olds before school hears nothing.
const AT_SCHOOL_YEARS: u32 = 7;

/// One sentence for each thing that is odd about a day and breaks no rule: a date so far off that
/// its children have outgrown the room, turns that begin while many are still to come, and figures
/// of binding standards that are from memory.
#[must_use]
pub fn notes(day: &Day, chart: &Chart) -> Vec<String> {
    let mut notes = outgrown(day);
    notes.extend(too_early(day, chart));
    notes.extend(from_memory(day));
    notes
}

/// The first assigned turn, where it begins before most of the children due are in and no cell is
/// kept then.
fn too_early(day: &Day, chart: &Chart) -> Option<String> {
    let turns = chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn);
    let turn = turns.map(|b| b.span).min()?;
    let (first, most_in) = (turn.from, day.most_in());
    if first >= most_in || day.kept.iter().any(|k| k.span.meets(turn)) {
        return None;
    }
    let due = day.arrivals_of_the_morning();
    let came = due.iter().filter(|from| **from <= first).count();
    Some(format!(
        "Note: turns begin at {first}, when {came} of {} children due in the morning have come; until \
         most of them are in (at {most_in}) nobody should be assigned.",
        due.len()
    ))
}

fn from_memory(day: &Day) -> Vec<String> {
    let sentence = |standard: &Arc<Standard>| {
        let mut parts = standard.from_memory();
        let last = parts.pop()?;
        let list = if parts.is_empty() { last } else { format!("{} and {last}", parts.join(", ")) };
        Some(format!(
            "Note: of `{}`, what it says of {list} is from memory and was not compared with the text.",
            standard.id
        ))
    };
    day.standards.iter().filter_map(sentence).collect()
}

fn outgrown(day: &Day) -> Vec<String> {
    let grown = day.children.iter().filter(|(c, _)| day.months(*c) >= 12 * AT_SCHOOL_YEARS);
    let count = grown.count();
    if count == 0 {
        return Vec::new();
    }
    let children =
        if count == 1 { "1 child is".to_owned() } else { format!("{count} children are") };
    vec![format!(
        "Note: on {} {children} {AT_SCHOOL_YEARS} years or older; the turns, the rests and most \
         standards here are for younger ones. Is the date right?",
        day.date.format("%-d %B %Y")
    )]
}
