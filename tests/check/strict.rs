//! Blocks of the shipped rooms that were a go once and are none, and the other way round.

use crate::faces::command::{err, fairturn, one_line, out};

/// What is said of stations of a shipped room, from then to then; with its posted chart, or by the facts.
fn said(room: &str, posted: bool, (from, to): (&str, &str), stations: &[&str]) -> String {
    let scenario = format!("scenarios/{room}.scenario.json");
    let chart = format!("scenarios/{room}.posted.json");
    let mut args = vec!["check", &scenario, "--from", from, "--to", to, "--station"];
    args.extend(stations);
    if posted {
        args.extend(["--chart", &chart]);
    }
    let done = fairturn(&args);
    assert!(done.status.code() != Some(2), "{}", err(&done));
    one_line(out(&done))
}

/// The audit of a chart refuses what is loud beside the cots; so does the check, and offers it never.
#[test]
fn nothing_loud_runs_beside_sleeping_children() {
    for posted in [true, false] {
        let text = said("mixed-age-room", posted, ("13:15", "13:45"), &["drums-and-bells"]);
        assert!(!text.starts_with("Go"), "{text}");
        assert!(text.contains("too loud beside the cots"), "{text}");
        assert!(!text.contains("sleep."), "{text}");
    }
}

/// Whichever of two wet stations is asked about, the other one is in use.
#[test]
fn a_wet_station_does_not_run_while_the_chart_has_another_one() {
    let text = said("mixed-age-room", true, ("11:00", "11:15"), &["art"]);
    assert!(!text.starts_with("Go:"), "{text}");
    assert!(text.contains("2 wet stations in use at once, Art and Water table"), "{text}");
}

/// Crabs are kept at the letters then.
#[test]
fn nobody_is_called_from_where_the_teacher_keeps_a_child() {
    let text = said("preschool-room", true, ("09:20", "09:35"), &["dough"]);
    assert!(!text.contains("from Letters and labels"), "{text}");
}

/// What does not hold is not said to, and nobody is spared where somebody is missing.
#[test]
fn where_an_adult_is_missing_no_ratio_holds_and_nobody_can_be_spared() {
    let text = said("mixed-age-room-cfoc", false, ("10:20", "10:55"), &["water-table"]);
    assert!(text.contains("NOT ENOUGH"), "{text}");
    // From 10:52 on as many are there as are needed.
    assert!(!text.contains("Keep them close (10:2"), "{text}");
    assert!(!text.contains("Keep them close (10:3"), "{text}");
    assert!(!text.contains("one adult can be spared for it at any time"), "{text}");
}

/// Every stretch in which few are left to somebody is told, not one of them.
#[test]
fn children_to_be_kept_close_are_told_all_through() {
    let text = said("mixed-age-room", true, ("09:15", "09:50"), &["dough"]);
    let told = text.matches("Keep them close").count();
    assert!(told == 0 || text.contains("Keep them close (09:35 to 09:45)"), "{text}");
}

/// A block that ends when a meal has to begin leaves no time to wash for it.
#[test]
fn a_block_leaves_time_to_wash_before_the_meal() {
    let text = said("mixed-age-room", false, ("11:35", "12:15"), &["water-table"]);
    assert!(!text.starts_with("Go:"), "{text}");
    assert!(text.contains("of the 30 minutes of lunch"), "{text}");
    let text = said("mixed-age-room", false, ("11:20", "12:00"), &["water-table"]);
    assert!(!text.contains("minutes of lunch"), "{text}");
}

/// One who may lead is asked for where that is all that is missing.
#[test]
fn somebody_who_may_lead_is_asked_for() {
    let text = said("short-staffed", false, ("10:30", "11:00"), &["art"]);
    let asked = "another adult who counts and may be alone with children, who may lead the room and \
                 holds a first-aid certificate";
    assert!(text.contains(asked), "{text}");
}

/// While some play out of doors others sleep, and somebody is with them too.
#[test]
fn who_sleeps_indoors_while_the_others_are_out_is_shown_with_an_adult() {
    let text = said("preschool-room", false, ("13:05", "13:40"), &["sand-pit"]);
    assert!(text.contains("4 children, Classroom: 4 aged 3, 4 asleep"), "{text}");
    assert!(text.contains("All, 4 children: "), "{text}");
    assert!(text.contains("Everybody who is awake goes to Yard for it."), "{text}");
}

#[test]
fn a_station_is_named_once() {
    let room = "scenarios/mixed-age-room.scenario.json";
    let at = ["--from", "10:00", "--to", "10:30", "--station", "art", "art"];
    let done = fairturn(&[&["check", room], &at[..]].concat());
    assert_eq!(done.status.code(), Some(2), "{}", out(&done));
    assert!(err(&done).contains("Art is named twice"), "{}", err(&done));
}

/// Who goes to the sand in the yard is out already, and comes in for nothing.
#[test]
fn a_station_in_the_yard_can_begin_while_the_children_are_out() {
    let text = said("preschool-room", true, ("11:10", "11:30"), &["sand-pit"]);
    assert!(text.starts_with("Go: Sand pit, 11:10 to 11:30"), "{text}");
    // Sand is no movement: who goes to it for longer has none of the time outdoors that counts.
    assert!(text.contains("It could go on until 11:30. Then: Bram"), "{text}");
    assert!(text.contains("have 1 movement break today, 2 wanted"), "{text}");
}
