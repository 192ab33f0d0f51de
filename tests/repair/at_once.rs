//! What has to happen at once: who is called back, who turns round on the way out, and what is no
//! longer anybody's to mend.

use super::mornings::wall;
use super::safest::{said, split_at};

/// On a break, out of the house, and needed: the chart cannot hold before she is back.
#[test]
fn who_is_on_a_staff_break_and_needed_is_called_back_first() {
    let day = wall("mixed-age-room", "called-back");
    let text = said(&day, &["--at", "13:25", "--away", "sal:13:25-14:30"]);
    assert!(text.contains("Call Deniz back from the staff break before anything else"), "{text}");
    let text = said(&day, &["--at", "13:25", "--held-up", "deniz:13:25-13:45"]);
    assert!(!text.contains("Call Deniz back"), "who is held up knows it: {text}");
    let text = said(&day, &["--at", "13:25", "--close", "book-boat"]);
    assert!(!text.contains("back from the staff break"), "{text}");
}

/// Half into their boots when it is said that they stay in.
#[test]
fn nobody_goes_out_who_is_getting_ready_when_the_children_are_to_stay_in() {
    for (room, yard, times) in [
        ("preschool-room", "Yard", ["10:30", "10:40"]),
        ("hall-and-loft", "Slipway garden", ["10:45", "10:50"]),
    ] {
        let day = wall(room, "turn-round");
        for at in times {
            let text = said(&day, &["--at", at, "--indoors"]);
            assert!(!text.contains(yard), "{at}: {text}");
        }
    }
}

/// Both times outdoors are over: the day has had its movement out of doors.
#[test]
fn an_indoor_day_asks_only_for_the_times_outdoors_that_are_lost() {
    let day = wall("preschool-room", "late-in");
    let text = said(&day, &["--at", "15:45", "--indoors"]);
    assert!(text.starts_with("Safe to run"), "{text}");
    let text = said(&day, &["--at", "09:00", "--indoors"]);
    assert!(text.contains("14:35-14:55 movement instead of outdoors"), "{text}");
    assert_eq!(text.matches("movement instead of").count(), 4, "{text}");
}

/// Whoever goes home in the middle of a staff break: nobody can give the rest of it, and what can be
/// mended is.
#[test]
fn a_staff_break_cut_off_by_going_home_hides_nothing_that_can_be_mended() {
    let day = wall("preschool-room", "goes-home");
    let text = said(&day, &["--at", "12:50", "--leaving", "lowen:13:05"]);
    assert!(text.contains("1 problem."), "{text}");
    assert!(text.contains("Before 12:50, and past: Lowen has only 25"), "{text}");
    assert!(text.contains("1 One more adult from 13:20 to 13:50, who counts in ratio."), "{text}");
    let day = wall("mixed-age-room", "goes-home");
    let text = said(&day, &["--at", "13:25", "--leaving", "deniz:13:40"]);
    assert!(text.starts_with("Safe to run from 13:25"), "{text}");
}

/// While nobody is with the children it is no worse that nobody is in two spaces.
#[test]
fn a_part_is_mended_with_nothing_that_makes_another_part_worse() {
    let day = split_at("in-part", "09:10", "sanne:09:30-10:20");
    let told = ["--at", "09:20", "--held-up", "ravi:09:40-11:10", "--held-up", "tove:09:40-09:50"];
    let text = said(&day, &told);
    assert!(
        text.contains("1 One more adult from 09:50 to 11:10, who counts in ratio and"),
        "{text}"
    );
    assert!(!text.contains("nobody in Sail loft"), "{text}");
    let mended = said(&day, &[&told[..], &["--fix", "1"]].concat());
    assert!(mended.contains("1 problem."), "{mended}");
    assert!(mended.contains("! 09:40 to 09:50: no adult is with the 12 children"), "{mended}");
}
