//! Mornings as they happen: a call before opening, a child who comes into its sleep, smoke outside.

use crate::faces::command::{err, fairturn, folder, one_line, out};
use std::path::Path;

/// The scenario and the chart on its wall: the one that stands beside it as posted, so that a better
/// chart changes no morning; else one made of it, whose text is kept in a file of the test's own.
pub fn wall(room: &str, test: &str) -> (String, String) {
    let scenario = format!("scenarios/{room}.scenario.json");
    let posted =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{room}.posted.json"));
    let chart = folder("mornings").join(format!("{room}-{test}.json")).display().to_string();
    if posted.exists() {
        std::fs::copy(&posted, &chart).expect("a copy of the posted chart");
        return (scenario, chart);
    }
    let made = fairturn(&["make", &scenario, "--format", "json", "--out", &chart]);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    (scenario, chart)
}

fn repaired(wall: &(String, String), more: &[&str]) -> (String, String, Option<i32>) {
    let done = fairturn(&[&["repair", &wall.0, &wall.1], more].concat());
    (out(&done).to_owned(), err(&done).to_owned(), done.status.code())
}

#[test]
fn children_who_stay_in_eat_the_posted_snack_first() {
    let wall = wall("family-home", "smoke");
    for at in ["09:30", "09:50", "09:55", "10:00", "10:05"] {
        let (text, wrong, exit) = repaired(&wall, &["--at", at, "--indoors"]);
        assert_eq!(exit, Some(0), "{at}: {text}{wrong}");
        let snack = text.lines().find(|l| l.contains(" Snack ")).unwrap_or_default();
        assert!(snack.starts_with("10:05-10:20 Snack "), "{at}: {text}");
    }
}

#[test]
fn a_child_who_comes_late_settles_before_it_sleeps() {
    let wall = wall("family-home", "late");
    for (late, sleep) in [("bo:09:15", "09:30-10:00"), ("bo:09:20", "09:35-10:00")] {
        let (text, wrong, exit) = repaired(&wall, &["--at", "08:20", "--late", late]);
        assert_eq!(exit, Some(0), "{late}: {text}{wrong}");
        assert!(
            one_line(&text).contains(&format!("{sleep} Bo: asleep (own sleep time)")),
            "{text}"
        );
        assert!(!text.contains("laid out anew"), "{late}: {text}");
        // Nobody is at the changing place then.
        assert!(text.contains("Yara: in the Playroom instead of nappies"), "{late}: {text}");
        assert!(text.contains("No child is moved."), "{late}: {text}");
    }
}

#[test]
fn who_is_away_before_opening_is_away_all_day() {
    let wall = wall("family-home", "early");
    for at in ["07:00", "07:50", "07:59"] {
        let more = [
            "--at",
            at,
            "--late",
            "bo:09:15",
            "--extra-adult",
            "Ruth:07:45-17:15,may-be-alone,lead",
        ];
        let (text, wrong, _) = repaired(&wall, &[&more[..], &["--away", "yara"]].concat());
        assert!(text.contains("6 children, 1 adult."), "{at}: {text}{wrong}");
        assert!(!text.contains("Yara: "), "{at}: {text}{wrong}");
    }
    let (text, ..) = repaired(&wall, &["--at", "08:00", "--away", "yara"]);
    assert!(text.contains("6 children, no adult."), "{text}");
    let (_, wrong, exit) = repaired(&wall, &["--at", "17:00", "--away", "yara"]);
    assert_eq!(exit, Some(2));
    assert!(wrong.contains("at 17:00 the room has closed"), "{wrong}");
}

#[test]
fn what_is_past_is_no_problem_of_the_rest_of_the_day() {
    let (scenario, chart) = wall("family-home", "past");
    let alone = folder("mornings").join("alone.json").display().to_string();
    let away = ["--at", "09:00", "--away", "yara:09:00-09:15", "--format", "json", "--out", &alone];
    let (_, said, exit) = repaired(&(scenario.clone(), chart), &away);
    assert_eq!(exit, Some(1));
    assert!(said.starts_with(&format!("{alone} written: NOT SAFE TO RUN, ")), "{said}");
    let wall = (scenario, alone);
    let (text, said, exit) = repaired(&wall, &["--at", "12:00", "--leaving", "rafi:13:00"]);
    assert_eq!(exit, Some(0), "{text}{said}");
    assert!(
        text.starts_with("Safe to run from 12:00: Our room, Tuesday 14 April 2026.\n"),
        "{text}"
    );
    assert!(text.contains("\nBefore 12:00, and past: "), "{text}");
    let more = ["--at", "12:00", "--leaving", "rafi:13:00", "--format", "json"];
    let json: serde_json::Value = serde_json::from_str(&repaired(&wall, &more).0).expect("JSON");
    assert_eq!(json["safe_to_run"], true);
    assert!(json["problems"].as_array().is_some_and(|all| !all.is_empty()), "they are still told");
}

#[test]
fn who_is_here_already_does_not_come_late() {
    let wall = wall("family-home", "here");
    let (_, wrong, exit) = repaired(&wall, &["--at", "10:00", "--late", "rafi:11:00"]);
    assert_eq!(exit, Some(2));
    let words = "by the chart Rafi is here since 09:00; if Rafi has not come, or goes and comes back, \
        say away, Rafi from 10:00 to 11:00";
    assert!(wrong.contains(words), "{wrong}");
    // For half an hour the child may not have come.
    for at in ["09:00", "09:30"] {
        let (text, wrong, exit) = repaired(&wall, &["--at", at, "--late", "rafi:11:00"]);
        assert_eq!(exit, Some(0), "{text}{wrong}");
    }
}

#[test]
fn a_garden_is_closed_by_keeping_the_children_in() {
    let wall = wall("family-home", "garden");
    let (_, wrong, exit) = repaired(&wall, &["--at", "10:00", "--close", "garden"]);
    assert_eq!(exit, Some(2));
    assert!(wrong.contains("; to keep the children in, say --indoors"), "{wrong}");
    let (_, wrong, exit) = repaired(&wall, &["--at", "10:00", "--indoors:10:00-12:00"]);
    assert_eq!(exit, Some(2));
    assert!(
        wrong.starts_with("--indoors: it holds from --at on for the rest of the day"),
        "{wrong}"
    );
}

#[test]
fn a_station_that_is_closed_for_the_rest_of_the_day_is_not_on_offer() {
    let wall = ("scenarios/mixed-age-room.scenario.json", "scenarios/mixed-age-room.posted.json");
    let wall = (wall.0.to_owned(), wall.1.to_owned());
    let offered = |more: &[&str]| {
        let text = repaired(&wall, more).0;
        let (_, after) = text.split_once("Set out today: ").expect("what is on offer");
        after.split_once('.').expect("an end").0.to_owned()
    };
    let open = offered(&["--at", "09:25", "--leaving", "pip:13:00"]);
    assert!(open.contains("Water table"), "{open}");
    assert!(!offered(&["--at", "09:25", "--close", "water-table"]).contains("Water table"));
}

#[test]
fn a_block_is_checked_against_a_repaired_chart_as_it_stands() {
    let wall = wall("mixed-age-room", "checked");
    let repaired = |name: &str, more: &[&str]| {
        let path = folder("mornings").join(format!("{name}.json")).display().to_string();
        let args = ["repair", &wall.0, &wall.1, "--format", "json", "--out", &path];
        let done = fairturn(&[&args[..], more].concat());
        assert!(done.status.code() < Some(2), "{}", err(&done));
        path
    };
    let check = |chart: &str, from: &str, to: &str, station: &str| {
        let of = ["check", &wall.0, "--chart", chart, "--from", from, "--to", to];
        fairturn(&[&of[..], &["--station", station]].concat())
    };
    let closed = repaired("closed", &["--at", "09:25", "--close", "water-table"]);
    let refused = check(&closed, "10:40", "10:55", "water-table");
    assert_eq!(refused.status.code(), Some(2), "{}", out(&refused));
    assert!(err(&refused).contains("Water table is closed from"), "{}", err(&refused));
    let more =
        ["--at", "11:50", "--held-up", "sal:11:55-12:10", "--extra-adult", "Ruth:11:55-13:00"];
    let short = repaired("held-up", &more);
    let told = check(&short, "11:55", "12:00", "blocks");
    assert!(told.status.code() != Some(2), "{}", err(&told));
    assert!(out(&told).contains("by the posted chart"), "{}", out(&told));
}
