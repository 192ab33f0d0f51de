//! What is changed by a repair, in words.

use super::{Change, ChangedPlace};
use crate::day::{Day, Who};
use crate::say;
use crate::site::Minute;

/// Where somebody is, as it stands in a sentence.
#[must_use]
pub fn place_words(day: &Day, who: Who, place: &ChangedPlace) -> String {
    match who {
        Who::Adult(_) => say::place::of_adults(day, place.at, place.space, place.for_child),
        Who::Child(_) => say::place::told(day, place.at, place.space, &place.open),
    }
}

/// What is changed for whoever it is, and when: `snack table instead of art, 10:20 to 10:45`.
#[must_use]
pub fn what_words(day: &Day, change: &Change) -> String {
    let span = change.span;
    let until = if span.to == Minute::END_OF_DAY {
        format!("from {}", span.from)
    } else {
        span.to_string()
    };
    let words = |place| place_words(day, change.who, place);
    match (&change.was, &change.now) {
        (Some(was), Some(now)) => format!("{} instead of {}, {until}", words(now), words(was)),
        (None, Some(now)) => format!("{}, {until}", words(now)),
        (_, None) => format!("not here, {until}"),
    }
}

/// One change in words: `Mara: snack table instead of art, 10:20 to 10:45`.
#[must_use]
pub fn change_words(day: &Day, change: &Change) -> String {
    format!("{}: {}", say::who(day, change.who), what_words(day, change))
}
