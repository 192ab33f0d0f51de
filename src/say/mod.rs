//! Everything that a person reads on the printed chart and its repair, as functions of facts.
//!
//! Whoever prints chooses and formats, and words nothing: a change of wording, or a second language,
//! touches one file here.
//!
//! Map: `place` where somebody is, `block` the parts of the day, `counter` the page for the counter,
//! `adult` one adult's day, `child` what one child does otherwise, `happening` what has happened, `note` what to look at,
//! `repair` what changes and what would mend it.

pub mod adult;
pub mod block;
pub mod child;
pub mod counter;
pub mod happening;
pub mod note;
pub mod place;
pub mod repair;

pub use crate::site::list;

use crate::day::{Day, Who};
use crate::site::{AdultIndex, ChildIndex, Span};

/// A span as papers have it: `09:05-09:25`.
pub fn clock(span: Span) -> String {
    format!("{}-{}", span.from, span.to)
}

/// Several of them.
pub fn clocks(spans: &[Span]) -> String {
    list(&spans.iter().map(|span| clock(*span)).collect::<Vec<_>>())
}

/// `1 child`, `2 children`.
pub fn counted(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// The same words with a capital first.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// Labels of children, in order.
pub fn children(day: &Day, who: &[ChildIndex]) -> String {
    list(&who.iter().map(|c| day.site[*c].label.as_str()).collect::<Vec<_>>())
}

/// Labels of adults, in order.
pub fn adults(day: &Day, who: &[AdultIndex]) -> String {
    list(&who.iter().map(|a| day.site[*a].label.as_str()).collect::<Vec<_>>())
}

/// What somebody is called on paper.
pub fn who(day: &Day, who: Who) -> String {
    match who {
        Who::Child(child) => day.site[child].label.clone(),
        Who::Adult(adult) => day.site[adult].label.clone(),
    }
}
