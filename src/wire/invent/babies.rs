//! What is otherwise for babies: they sleep by a clock of their own, and have stations of their own.

use super::Shape;
use super::chance::Chance;
use serde_json::{Value, json};

/// The youngest and the oldest baby, in months.
pub(super) const MONTHS: (usize, usize) = (6, 17);

/// Whether a child of so many months is one.
pub(super) fn is_baby(months: usize) -> bool {
    months <= MONTHS.1
}

/// What a room with babies has for them, as preset (none: like blocks) and label.
pub(super) const STATIONS: [(Option<&str>, &str); 5] = [
    (Some("books"), "Book boat"),
    (Some("blocks"), "Quay blocks"),
    (Some("cosy-corner"), "Cushion bay"),
    (None, "Mirrors and rattles"),
    (None, "Treasure baskets"),
];

/// Months from which nobody uses what has no preset any more.
pub(super) const THINGS_BELOW: u32 = 24;

/// Presets of small parts, sharp tools and heights, which no room of babies and toddlers has.
pub(super) const FOR_OLDER: [&str; 5] =
    ["small-building", "collage", "beads", "discovery", "woodwork"];

/// When a baby sleeps by the clock: in the morning and after lunch. On a half day the second time is
/// at home.
pub(super) fn sleep(day: Shape, chance: &mut Chance) -> Value {
    let clock = |minute: usize| format!("{:02}:{:02}", minute / 60, minute % 60);
    let mut span = |first: usize, last: usize, least: usize, most: usize| {
        let from = chance.between(first / 5, last / 5) * 5;
        let to = from + chance.between(least / 5, most / 5) * 5;
        json!(format!("{}-{}", clock(from), clock(to)))
    };
    // No baby comes when a time is over or is gone before it begins.
    if day.is_half() {
        json!([span(575, 595, 40, 60)])
    } else {
        json!([span(540, 585, 40, 75), span(735, 760, 75, 120)])
    }
}
