//! A fix taken with the command, and the day going on from it.

use crate::faces::command::{err, fairturn, file, folder, out};
use serde_json::Value;
use std::fs;

const SCENARIO: &str = "scenarios/mixed-age-room.scenario.json";
const POSTED: &str = "scenarios/mixed-age-room.posted.json";
const LOFT: &str = "scenarios/hall-and-loft.scenario.json";
const LOFT_POSTED: &str = "scenarios/hall-and-loft.posted.json";
/// Oona has to go, and says so an hour before.
const SHORT: [&str; 4] = ["--at", "09:25", "--away", "oona:10:30-12:00"];

fn repair(more: &[&str]) -> std::process::Output {
    fairturn(&[&["repair", SCENARIO, POSTED], more].concat())
}

fn json(done: &std::process::Output) -> Value {
    serde_json::from_slice(&done.stdout).unwrap_or_else(|_| panic!("JSON: {}", err(done)))
}

#[test]
fn a_fix_is_taken_by_its_number_and_the_day_goes_on_from_it() {
    let told = json(&repair(&[&SHORT[..], &["--format", "json"]].concat()));
    let fixes = &told["fixes"];
    assert_eq!(fixes["mends"], "all", "{fixes:#}");
    let offered = fixes["offered"].as_array().expect("a list");
    assert!(!offered.is_empty() && offered.len() <= 5);
    for (n, fix) in offered.iter().enumerate() {
        assert_eq!(fix["number"], n + 1);
        let number = (n + 1).to_string();
        let take = [&SHORT[..], &["--fix", &number, "--format", "json"]].concat();
        let done = repair(&take);
        assert_eq!(done.status.code(), Some(0), "{}", err(&done));
        let taken = json(&done);
        assert_eq!((&taken["safe_to_run"], taken.get("fixes")), (&Value::Bool(true), None));
        assert_eq!(taken["repair"]["fix_taken"]["words"], fix["words"]);
        assert_eq!(taken["repair"]["moved"]["value"], fix["moved"]);
        // What hangs on the wall now is audited, and left as it is until something happens.
        let path = folder("taken").join(format!("fix-{number}.json")).display().to_string();
        fs::write(&path, &done.stdout).expect("a file");
        assert_eq!(fairturn(&["audit", SCENARIO, &path]).status.code(), Some(0));
        let next = ["repair", SCENARIO, &path, "--at", "10:05", "--format", "json"];
        let same = json(&fairturn(&next));
        for part in ["children", "adults", "groups", "rooms"] {
            assert!(same[part] == taken[part], "fix {number}: {part}");
        }
        let more = json(&fairturn(&[&next[..], &["--leaving", "kit:11:00"]].concat()));
        let kinds = more["day"]["happened"].as_array().expect("a list").len();
        assert_eq!(kinds, taken["day"]["happened"].as_array().expect("a list").len() + 1);
    }
}

#[test]
fn the_floor_next_door_is_still_open_in_the_repair_after_it() {
    let told =
        ["--happenings", "scenarios/hall-and-loft.dentist.happenings.json", "--format", "json"];
    let path = folder("taken").join("loft.json").display().to_string();
    let take = [&["repair", LOFT, LOFT_POSTED, "--fix", "1", "--out", &path], &told[..]].concat();
    assert_eq!(fairturn(&take).status.code(), Some(0));
    let next = ["repair", LOFT, &path, "--at", "09:40", "--leaving", "jory:10:00"];
    let done = fairturn(&next);
    assert!(out(&done).starts_with("Safe to run"), "{}{}", out(&done), err(&done));
    assert!(out(&done).contains("Nothing: everybody who is here goes on"), "{}", out(&done));
    assert!(out(&done).contains("Hammock"), "{}", out(&done));
}

#[test]
fn a_number_that_is_not_offered_is_said_to_be_none() {
    let done = repair(&[&SHORT[..], &["--fix", "9"]].concat());
    assert_eq!((done.status.code(), out(&done)), (Some(2), ""));
    assert!(err(&done).contains("--fix 9: "), "{}", err(&done));
    let done = repair(&["--at", "12:30", "--fix", "1"]);
    assert!(err(&done).contains("--fix 1: no fix is offered"), "{}", err(&done));
}

#[test]
fn a_staff_break_is_moved_because_somebody_agreed() {
    let done = repair(&["--at", "10:00", "--break-at", "mara:12:20", "--format", "json"]);
    let told = json(&done);
    let mara = told["adults"].as_array().expect("a list").iter().find(|a| a["id"] == "mara");
    let posts = mara.expect("she is here")["posts"].as_array().expect("a list").clone();
    let first = posts.iter().find(|p| p["at"]["kind"] == "staff_break").expect("a break");
    assert_eq!(first["from"], "12:20");
    let about = told["problems"]
        .as_array()
        .expect("a list")
        .iter()
        .find(|p| p["rule"] == "staff-break" && p["who"]["adults"][0] == "mara");
    assert_eq!(about, None, "it is due when it was agreed");
    for (flag, said) in [
        ("mara:09:00", "09:00 is before 10:00"),
        ("mara:15:55:2", "Mara is not here for 30 minutes from 15:55 on"),
        ("mara:12:20:7", "name one that is, counted from 1"),
        ("mara", "no time is given"),
        ("mara:12:20:x", "count the staff breaks due from 1"),
    ] {
        let done = repair(&["--at", "10:00", "--break-at", flag]);
        assert_eq!(done.status.code(), Some(2), "{flag}");
        assert!(err(&done).contains(said), "{flag}: {}", err(&done));
    }
    let text = r#"{ "format": 1, "at": "10:00", "happenings": [
        { "what": "break_at", "adult": "mara", "at": "12:20", "break": 1 } ] }"#;
    let filed = repair(&["--happenings", &file("break-at.json", text), "--format", "json"]);
    assert_eq!(json(&filed)["adults"], told["adults"]);
}
