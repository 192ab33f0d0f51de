//! Meals of children who come and go at other times than posted.

use super::mornings::wall;
use super::safest::said;

/// A child who is fetched before lunch is over has it five minutes sooner; the morning stays as it is.
#[test]
fn who_is_fetched_before_a_meal_is_over_has_it_sooner() {
    let day = wall("mixed-age-room", "fetched");
    for told in [["--away", "fern:12:30-12:40"], ["--leaving", "fern:12:30"]] {
        let text = said(&day, &[&["--at", "09:20"], &told[..]].concat());
        assert!(text.starts_with("Safe to run"), "{text}");
        assert!(text.contains("12:00-12:30 Fern: lunch, Long table"), "{text}");
        assert!(
            text.contains("2 turns of children change, and with whole groups fewer would not do"),
            "{text}"
        );
    }
}

/// Told too late for that, 25 of the 30 minutes are lunch enough: nobody is in danger.
#[test]
fn who_is_fetched_from_the_table_has_eaten() {
    let day = wall("mixed-age-room", "at-the-table");
    let text = said(&day, &["--at", "12:10", "--leaving", "ines:12:30"]);
    assert!(text.starts_with("Safe to run"), "{text}");
}

/// The window of lunch is too short for it by then, so no rule is broken: that it is missed is said.
#[test]
fn who_comes_when_a_meal_is_over_is_offered_food() {
    let day = wall("mixed-age-room", "hungry");
    let text = said(&day, &["--at", "11:00", "--away", "juno:11:06-13:06"]);
    let told = "Offer Juno food at 13:06: lunch (12:05 to 12:35) is over, the next is at 14:55.";
    assert!(text.contains(told), "{text}");
    let text = said(&day, &["--at", "11:00", "--away", "juno:11:06-11:50"]);
    assert!(!text.contains("Offer Juno food"), "in time for lunch: {text}");
    let day = wall("hall-and-loft", "hungry-too");
    let text = said(&day, &["--at", "09:00", "--away", "gil:10:25-10:50"]);
    assert!(text.contains("is over, and there is no other today."), "{text}");
}
