//! What comes first when a day goes wrong: somebody is with every child; a staff break lasts as long
//! as it can; and what is left of the day is used.

use super::mornings::wall;
use crate::faces::command::{err, fairturn, one_line, out};

pub fn said(wall: &(String, String), more: &[&str]) -> String {
    let done = fairturn(&[&["repair", &wall.0, &wall.1], more].concat());
    assert!(done.status.code() != Some(2), "{}", err(&done));
    one_line(out(&done))
}

/// The boathouse with half of its children in the loft, because an adult of the hall is away.
pub fn split(test: &str) -> (String, String) {
    split_at(test, "09:00", "sanne:09:20-10:00")
}

/// As [`split`], from a moment on and for as long as is told.
pub fn split_at(test: &str, at: &str, away: &str) -> (String, String) {
    let day = wall("hall-and-loft", test);
    let split = day.1.replace(".json", "-split.json");
    let away = ["--at", at, "--away", away, "--fix", "1", "--format", "json", "--out", &split];
    fairturn(&[&["repair", &day.0, &day.1], &away[..]].concat());
    (day.0, split)
}

/// Eight without anybody are worse than twelve with one adult, though the law counts two short then
/// and one short before.
#[test]
fn children_are_not_left_alone_in_a_space_so_that_fewer_adults_are_short() {
    let text = said(&split("alone"), &["--at", "09:30", "--held-up", "ravi:09:40-09:55"]);
    assert!(text.contains("Hall: 2 adults short, 1 on duty, 3 needed"), "{text}");
    assert!(!text.contains("0 on duty"), "{text}");
    assert!(text.contains("Gulls: choice instead of choice of Hammock books"), "{text}");
    assert!(text.contains("in the Sail loft to 09:40: Hammock books, Cork blocks"), "{text}");
    assert!(!text.contains("nobody has it in sight"), "{text}");
}

/// Two who lack their staff break, where moving either of them alone makes no room for the other.
#[test]
fn two_missed_staff_breaks_are_had_together_at_another_time() {
    let day = wall("preschool-room", "two");
    let told = ["--at", "13:20", "--missed-break", "lowen", "--missed-break", "osk"];
    let text = said(&day, &told);
    let (_, fixes) = text.split_once("What would mend it").expect("fixes");
    let osk = "2 Osk takes the staff break, 13:40 to 14:10, outside 13:20 to 14:00";
    assert!(fixes.contains(osk), "{text}");
    assert!(fixes.contains("And: Lowen takes the staff break, "), "{text}");
    let mended = said(&day, &[&told[..], &["--fix", "2"]].concat());
    assert!(mended.starts_with("Safe to run"), "{mended}");
    assert!(mended.contains("Runa and Petra keep every post"), "{mended}");
}

/// Whoever is called from a staff break in ten minutes has those ten minutes of it.
#[test]
fn a_staff_break_lasts_until_its_adult_is_called_away() {
    let day = wall("preschool-room", "called");
    let text = said(&day, &["--at", "12:50", "--held-up", "osk:13:00-13:20"]);
    assert!(text.contains("Osk has only 20 of the staff break of 30 minutes"), "{text}");
    assert!(text.contains("Osk 12:50-13:00"), "{text}");
}

/// Two movement breaks of 20 minutes with ten minutes of choice between them and five on the way are
/// the 55 minutes that are left.
#[test]
fn two_movement_breaks_that_just_fit_are_both_had() {
    let day = wall("hall-and-loft", "both");
    let text = said(&day, &["--at", "10:20", "--indoors"]);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("10:50-11:10 movement"), "{text}");
    assert!(text.contains("11:25-11:45 movement"), "{text}");
}

/// Whoever is left, and wherever: all are with that adult, and apart again as soon as that is enough.
#[test]
fn all_are_with_the_one_adult_who_is_left_and_no_longer_than_it_takes() {
    let day = split("left");
    let text = said(&day, &["--at", "09:30", "--away", "tove:09:30-10:00"]);
    assert!(text.contains("! 09:30 to 10:00, Hall: 2 adults short, 1 on duty"), "{text}");
    assert!(!text.contains("0 on duty"), "{text}");
    let text = said(&day, &["--at", "09:30", "--held-up", "ravi:09:30-09:40"]);
    assert!(text.contains("1 problem."), "{text}");
    assert!(text.contains("! 09:30 to 09:40, Hall: 2 adults short"), "{text}");
    assert!(text.contains("Boats and Gulls: choice instead of choice of"), "{text}");
}

/// Who is away in the middle of a staff break and back while there is time for it has it then.
#[test]
fn a_staff_break_that_was_cut_off_by_being_away_is_had_afterwards() {
    let text =
        said(&wall("mixed-age-room", "cut"), &["--at", "13:40", "--away", "deniz:13:40-14:00"]);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("Deniz: staff break instead of by the cots, 14:"), "{text}");
    assert!(!text.contains("Deniz has "), "{text}");
}

/// A time that was agreed for a staff break and cannot be kept is not the last word.
#[test]
fn where_an_agreed_staff_break_cannot_be_another_time_is_offered() {
    let text =
        said(&wall("mixed-age-room", "agreed"), &["--at", "09:30", "--break-at", "mara:09:35"]);
    assert!(text.contains("1 Mara takes the staff break, 10:"), "{text}");
}

/// Called away at once and for twenty minutes: nobody goes back to the five that are left, and the whole
/// is offered later.
#[test]
fn a_broken_staff_break_leaves_no_crumb_and_is_offered_whole() {
    let text =
        said(&wall("preschool-room", "crumb"), &["--at", "13:15", "--held-up", "runa:13:15-13:35"]);
    assert!(!text.contains("13:35-13:40"), "{text}");
    assert!(text.contains("1 Runa takes the staff break, 13:35 to 14:05, outside"), "{text}");
}

/// A meal and the floor, where what goes wrong lies in neither turn nor choice.
#[test]
fn a_meal_later_and_another_space_mend_what_lies_between_them() {
    let text =
        said(&wall("hall-and-loft", "meal"), &["--at", "10:20", "--away", "sanne:10:25-10:35"]);
    assert!(text.contains("1 Morning snack 10 minutes later. And: "), "{text}");
    assert!(text.contains("Boats and Gulls go to Sail loft, 10:20 to 10:35."), "{text}");
}

/// Help after everybody has been alone mends nothing of it.
#[test]
fn what_changes_nothing_that_is_told_is_no_fix() {
    let text =
        said(&wall("family-home", "alone"), &["--at", "14:35", "--away", "yara:14:50-15:05"]);
    assert!(text.contains("1 problem."), "{text}");
    assert!(!text.contains("What would mend"), "{text}");
}

/// Blocks laid out anew leave room for the staff break that was agreed.
#[test]
fn a_day_laid_out_anew_has_the_agreed_staff_break() {
    let told = ["--at", "09:00", "--indoors", "--break-at", "runa:10:30"];
    let text = said(&wall("preschool-room", "agreed"), &told);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("Runa 10:30-11:00"), "{text}");
}

/// A child who is changed right before a meal that is later is back with the others until then.
#[test]
fn nobody_is_changed_for_longer_because_a_meal_is_later() {
    let told = ["--at", "10:00", "--away", "sanne:10:00-10:40", "--fix", "1"];
    let text = said(&wall("hall-and-loft", "changed"), &told);
    assert!(text.contains("Morning snack") && text.contains("later"), "{text}");
    assert!(!text.contains("10:20-10:40 Caro"), "{text}");
}

/// An adult who comes in is not called like a child.
#[test]
fn an_adult_who_comes_in_has_a_name_of_her_own() {
    let day = wall("hall-and-loft", "name");
    let done = fairturn(&["repair", &day.0, &day.1, "--at", "09:30", "--extra-adult", "Ansa"]);
    assert_eq!(done.status.code(), Some(2), "{}", out(&done));
    assert!(err(&done).contains("Ansa is the name of a child"), "{}", err(&done));
}
