//! What to look at although no rule is broken.

use super::{counted, list};
use crate::site::{Minute, Span};

/// Before a note where notes stand in one list.
pub fn note(words: &str) -> String {
    format!("Note: {words}")
}

/// Children in nappies whom a round leaves out.
pub fn left_out(round: Span, who: &[&str]) -> String {
    format!("find a moment to change {}: in the round of {round} nobody can be spared.", list(who))
}

/// An adult whom several rooms share, when in this one.
pub fn shared(adult: &str, room: &str, here: &[Span], plans_breaks: bool) -> String {
    if here.is_empty() {
        return format!(
            "{adult} works in several rooms, and nothing is said of when in {room} (`in_rooms`): the \
             chart counts on {adult} for nothing."
        );
    }
    let here = list(&here.iter().map(Span::to_string).collect::<Vec<_>>());
    let breaks = if plans_breaks { "" } else { ", and plans no staff break" };
    format!(
        "{adult} works in several rooms: the chart counts on {adult} {here}, as it is told{breaks}."
    )
}

/// Turns begin before most of the children are in.
pub fn too_early(first: Minute, came: usize, due: usize, most_in: Minute) -> String {
    format!(
        "turns begin at {first}, when {came} of {due} children due in the morning have come; until \
         most of them are in (at {most_in}) nobody should be assigned."
    )
}

/// Choice with few seats.
pub fn few_places(span: Span, space: &str, seats: u32, children: usize, wanted: u32) -> String {
    format!(
        "few places to choose from, {span}, {space}: {seats} for {children} children, {wanted} are \
         wished."
    )
}

/// Too little time to get dressed or undressed on the way.
pub fn too_short_to_dress(children: usize, has: u16, takes: u16, out: bool, at: Minute) -> String {
    let have = if children == 1 { "has" } else { "have" };
    let (dressed, there) = if out { ("dressed", "out") } else { ("undressed", "in") };
    format!(
        "{} {have} only {has} minutes to tidy up and get {dressed} before being {there} at {at}; it \
         takes {takes}. Start sooner, or be {there} later.",
        counted(children, "child", "children")
    )
}

/// Children who come when a meal is over.
pub fn offer_food(
    who: &[&str],
    from: Minute,
    kind: &str,
    meal: Span,
    next: Option<Minute>,
) -> String {
    let over = if from < meal.to { "nearly over" } else { "over" };
    let next = match next {
        Some(next) => format!("the next is at {next}"),
        None => "and there is no other today".to_owned(),
    };
    let who = list(who);
    format!("offer {who} food at {from}: {kind} ({meal}) is {over}, {next}.")
}

/// When nobody is free for the door.
pub fn no_door(came: &[Minute], went: &[Minute]) -> String {
    let mut times: Vec<Minute> = came.iter().chain(went).copied().collect();
    times.sort_unstable();
    times.dedup();
    let times = list(&times.iter().map(Minute::to_string).collect::<Vec<_>>());
    format!("nobody free at {times}: whoever watches the room opens")
}

/// Words for foods and materials at a station that are not known.
pub fn not_known(words: &[&String], station: &str) -> String {
    let (is, it) = if words.len() == 1 { ("is", "it") } else { ("are", "them") };
    format!(
        "{}, at {station}, {is} not known here: ask what is in {it} before a child with an allergy is \
         near.",
        list(words)
    )
}

/// Children who are too old for the figures.
pub fn outgrown(date: &str, children: usize, years: u32) -> String {
    let are = if children == 1 { "is" } else { "are" };
    format!(
        "on {date} {} {are} {years} years or older; the turns, the rests and most standards here are \
         for younger ones. Is the date right?",
        counted(children, "child", "children")
    )
}

/// A standard wants somebody who can be called while one adult works alone.
pub fn to_be_called(standard: &str, minutes_away: u16, source: &str, alone: &[Span]) -> String {
    let near = match minutes_away {
        0 => "on the premises".to_owned(),
        far => format!("within {far} minutes"),
    };
    let times = list(&alone.iter().map(Span::to_string).collect::<Vec<_>>());
    format!(
        "`{standard}` wants another adult who can be called, {near}, while one works alone \
         [{source}]: see to it {times}."
    )
}
