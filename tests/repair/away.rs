//! Adults who are away for a while: nobody is left alone in the stretches that follow one another, and
//! the staff break that it takes from them is still owed.

use super::mornings::wall;
use super::safest::{said, split, split_at};

/// The hall loses its adult, then the loft its own, with no minute in which nobody is there.
#[test]
fn two_adults_away_one_after_the_other_leave_nobody_alone() {
    let day = split("after");
    let told = ["--at", "09:40", "--away", "tove:09:40-09:50", "--away", "ravi:09:55-10:10"];
    let text = said(&day, &told);
    assert!(text.contains("! 09:40 to 09:50, Hall: 2 adults short, 1 on duty, 3 needed"), "{text}");
    assert!(text.contains("! 09:55 to 10:00, Hall: 2 adults short, 1 on duty, 3 needed"), "{text}");
    assert!(!text.contains("0 on duty") && !text.contains("nobody has it in sight"), "{text}");
}

/// For five minutes nobody is in the house: before and after them all are where somebody is.
#[test]
fn two_adults_away_at_times_that_overlap_leave_alone_only_while_nobody_is_there() {
    let day = split_at("overlap", "09:10", "sanne:09:30-10:20");
    let told = ["--at", "09:35", "--away", "tove:09:35-09:50", "--away", "ravi:09:45-10:10"];
    let text = said(&day, &told);
    assert!(text.contains("! 09:45 to 09:50: no adult is with the 12 children"), "{text}");
    assert!(text.contains("! 09:35 to 09:45, Hall: 2 adults short, 1 on duty, 3 needed"), "{text}");
    assert!(text.contains("! 09:50 to 10:10, Hall: 2 adults short, 1 on duty, 3 needed"), "{text}");
    assert!(!text.contains("0 on duty") && !text.contains("nobody has it in sight"), "{text}");
}

/// There was time for it before it was to begin; there is none in its window any more, and there is
/// some after it.
#[test]
fn a_staff_break_is_owed_while_its_window_is_open_and_its_adult_comes_back() {
    for away in ["runa:13:10-13:35", "runa:13:05-13:35"] {
        let at = &away[5..10];
        let day = wall("preschool-room", &format!("owed-{}", at.replace(':', "")));
        let told = ["--at", at, "--away", away];
        let text = said(&day, &told);
        assert!(text.starts_with("SAFE, BUT NOT EVERYTHING IS KEPT"), "{text}");
        let lacks = "Runa has no staff break of 30 minutes: 11:45 to 14:00 is the time for it";
        assert!(text.contains(lacks), "{text}");
        assert!(text.contains("Runa takes the staff break, 13:35 to 14:05, outside"), "{text}");
        let mended = said(&day, &[&told[..], &["--fix", "1"]].concat());
        assert!(mended.starts_with("Safe to run"), "{mended}");
        assert!(mended.contains("Runa 13:35-14:05"), "{mended}");
    }
}

/// Nobody begins a staff break that cannot be whole, or goes back to the rest of one.
#[test]
fn being_away_leaves_no_crumbs_of_a_staff_break() {
    let day = wall("preschool-room", "crumbs");
    let text = said(&day, &["--at", "12:35", "--away", "lowen:12:45-13:05"]);
    assert!(!text.contains("12:40-12:45"), "{text}");
    assert!(!text.contains("13:05-13:10"), "{text}");
    assert!(text.contains("Lowen takes the staff break, 13:35 to 14:05, outside"), "{text}");
    let text = said(&day, &["--at", "13:20", "--away", "runa:13:20-13:35"]);
    assert!(!text.contains("13:35-13:40"), "{text}");
}

/// Missed and away: it is had after that, whichever is said first.
#[test]
fn a_missed_staff_break_is_had_when_its_adult_is_back() {
    let day = wall("preschool-room", "back");
    let told = ["--at", "13:20", "--away", "runa:13:20-13:35", "--missed-break", "runa"];
    let text = said(&day, &told);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("Runa 13:35-14:05"), "{text}");
    assert!(!text.contains("13:35-13:40"), "{text}");
    let missed_first = r#"{ "format": 1, "at": "13:20", "happenings": [
        { "what": "missed_break", "adult": "runa" },
        { "what": "away", "adult": "runa", "from": "13:20", "to": "13:35" }
    ] }"#;
    let list = day.1.replace(".json", "-list.json");
    std::fs::write(&list, missed_first).expect("the list is written");
    let listed = said(&day, &["--happenings", &list]);
    assert!(listed.contains("Runa 13:35-14:05"), "{listed}");
}

/// What is gone from the rest of the day is not as posted, and what is shorter is said to be.
#[test]
fn what_is_said_of_blocks_is_so() {
    let text = said(&wall("mixed-age-room", "gone"), &["--at", "08:00", "--outdoors"]);
    let (_, stays) = text.split_once("What does not change").expect("what stays");
    assert!(
        stays.contains("Arrival, circle, morning snack, rest, afternoon snack and going home"),
        "{text}"
    );
    let text = said(&wall("preschool-room", "shorter"), &["--at", "13:30", "--indoors"]);
    assert!(text.contains("turns, at another time and 20 minutes shorter"), "{text}");
}

/// Whoever is late stands with the children as many minutes after coming as at the start of a shift.
#[test]
fn who_comes_late_reaches_the_children_like_everybody() {
    let day = wall("mixed-age-room", "reach");
    let text = said(&day, &["--at", "07:45", "--late", "oona:09:30"]);
    assert!(text.contains("Oona comes only at 09:30, with the children at 09:35."), "{text}");
    assert!(
        text.contains("09:30 to 09:35, Classroom: one adult short, 2 on duty, 3 needed"),
        "{text}"
    );
}

/// Children on the way stand on somebody's paper, also where no adult goes along.
#[test]
fn heads_on_the_way_are_on_an_adults_paper() {
    let day = wall("mixed-age-room", "heads");
    let text = said(&day, &["--at", "10:15", "--away", "deniz"]);
    assert!(text.contains("count 3"), "{text}");
    let own = said(&day, &["--at", "10:15", "--away", "deniz", "--adult", "oona"]);
    assert!(own.contains("14:40 also count 3 who move"), "{own}");
    let (_, heads) = own.split_once("Whose heads to count").expect("a list of them");
    assert!(heads.contains("14:40-14:45 Pip, Nell and Lotte"), "{own}");
}

/// The ratio of the whole room can hang on it, so it is said for as long as the day lasts.
#[test]
fn what_an_adult_who_comes_in_is_qualified_for_is_said() {
    let day = wall("preschool-room", "qualified");
    let extra = "Ruth:10:45-16:00,lead,Level-6";
    let text = said(&day, &["--at", "10:15", "--away", "osk", "--extra-adult", extra]);
    let told = "Ruth comes in from 10:45 to 16:00 (never alone with children, may lead the room, is \
                qualified (level-6))";
    assert!(text.contains(told), "{text}");
}
