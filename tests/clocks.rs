//! The night on which clocks go back: an hour of local time comes twice.

use crate::audits::build::{Build, CLASSROOM};
use crate::faces::command::{err, fairturn, file, folder, one_line, out};
use chrono::NaiveDate;
use chrono_tz::Tz;
use fairturn::day::comes_twice;
use fairturn::planner;
use fairturn::site::{Minute, Sleep, Span};
use fairturn::wire::scenario::read;
use serde_json::Value;

/// A night room in which two children sleep and two adults stay; the clocks of Dublin go back at 02:00.
pub const NIGHT: &str = r#"{
  "format": 1,
  "about": "Invented: a night room above the harbour.",
  "site": { "label": "Night light", "time_zone": "Europe/Dublin", "standards": ["ireland-full-day"] },
  "stations": [{ "preset": "books" }, { "preset": "blocks" }],
  "schedules": [{ "id": "night", "open": "00:00-08:00",
    "meals": [{ "kind": "breakfast", "window": "06:45-07:40", "minutes": 20 }] }],
  "children": [
    { "label": "Ola", "born": "2023-09-01", "times": "00:00-08:00", "toileting": "alone",
      "sleep": ["00:00-06:30"] },
    { "label": "Kim", "born": "2022-05-01", "times": "00:00-08:00", "toileting": "alone",
      "sleep": ["00:00-06:30"] }
  ],
  "adults": [
    { "label": "Ray", "shift": "00:00-08:00", "lead": true, "first_aid": true,
      "breaks": [{ "minutes": 20, "window": "03:00-04:30" }] },
    { "label": "Sol", "shift": "00:00-08:00", "lead": true, "first_aid": true,
      "breaks": [{ "minutes": 20, "window": "04:30-06:00" }] }
  ],
  "days": [{ "date": "2026-10-25", "schedule": "night",
    "children": { "ola": "00:00-08:00", "kim": "00:00-08:00" },
    "adults": { "ray": "00:00-08:00", "sol": "00:00-08:00" } }]
}"#;

/// The night with some of its text replaced; what is replaced must stand there once.
fn night(edits: &[(&str, &str)]) -> String {
    let mut text = NIGHT.to_owned();
    for (from, to) in edits {
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in the night");
        text = text.replace(from, to);
    }
    text
}

fn causes(edits: &[(&str, &str)]) -> Vec<(String, String, String)> {
    match read(night(edits).as_bytes()) {
        Ok(_) => Vec::new(),
        Err(faults) => faults.into_iter().map(|f| (f.pointer, f.cause, f.mend)).collect(),
    }
}

#[test]
fn the_hour_that_comes_twice_is_that_of_the_sites_own_zone() {
    let twice = |zone: Tz, (y, m, d): (i32, u32, u32)| {
        let date = NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        comes_twice(zone, date).map(|span| span.to_string())
    };
    let said = |text: &str| Some(text.to_owned());
    assert_eq!(twice(Tz::Europe__Dublin, (2026, 10, 25)), said("01:00 to 02:00"));
    assert_eq!(twice(Tz::Europe__Berlin, (2026, 10, 25)), said("02:00 to 03:00"));
    assert_eq!(twice(Tz::America__New_York, (2026, 11, 1)), said("01:00 to 02:00"));
    assert_eq!(twice(Tz::America__Havana, (2026, 11, 1)), said("00:00 to 01:00"));
    assert_eq!(twice(Tz::Australia__Lord_Howe, (2026, 4, 5)), said("01:30 to 02:00"));
    assert_eq!(twice(Tz::Pacific__Auckland, (2026, 4, 5)), said("02:00 to 03:00"));
    assert_eq!(twice(Tz::America__Anchorage, (2026, 11, 1)), said("01:00 to 02:00"));
    assert_eq!(twice(Tz::Europe__Dublin, (2026, 10, 26)), None);
    assert_eq!(twice(Tz::Europe__Dublin, (2026, 3, 29)), None, "an hour is left out then");
    assert_eq!(twice(Tz::Asia__Tokyo, (2026, 10, 25)), None);
}

/// What is counted in minutes over the hour would be counted wrong: a fault, as for the missing hour.
#[test]
fn what_is_counted_in_minutes_over_the_hour_is_a_fault() {
    assert_eq!(
        causes(&[]),
        [],
        "who sleeps all through it, and whose breaks lie elsewhere, is fine"
    );
    let one = |edits: &[(&str, &str)], pointer: &str, cause: &str, mend: &str| {
        let found = causes(edits);
        let [(at, why, what)] = &found[..] else { panic!("{edits:?}: {found:?}") };
        assert_eq!(at, pointer);
        assert!(why.contains(cause), "{why}");
        assert!(what.contains(mend), "{what}");
    };
    let elsewhere = "give a time up to 01:00 or from 02:00 on";
    one(
        &[(r#""ola": "00:00-08:00""#, r#""ola": "01:30-08:00""#)],
        "/days/0/children/ola",
        "clocks go back: 01:30 comes twice, between 01:00 and 02:00 for Ola",
        elsewhere,
    );
    one(
        &[(r#""sol": "00:00-08:00""#, r#""sol": "00:00-01:15""#)],
        "/days/0/adults/sol",
        "clocks go back: 01:15 comes twice",
        elsewhere,
    );
    one(
        &[(r#""window": "03:00-04:30""#, r#""window": "01:30-04:30""#)],
        "/days/0/adults/ray",
        "a staff break of Ray from 01:30 to 04:30 may lie in it",
        elsewhere,
    );
    let sleep = r#""born": "2022-05-01", "times": "00:00-08:00", "toileting": "alone",
      "sleep": ["00:00-06:30"]"#;
    let kim = |sleep: &str| {
        format!(
            r#""born": "2022-05-01", "times": "00:00-08:00", "toileting": "alone",
      "sleep": {sleep}"#
        )
    };
    // Who is up for any of it, or may be: in the rest, before an own sleep, all night long.
    let rest = r#""rest": { "window": "00:30-03:00", "minutes": 90 }, "meals""#;
    for (said, schedule) in [
        (r#"["01:20-06:30"]"#, r#""meals""#),
        (r#"["00:00-01:40", "02:00-06:30"]"#, r#""meals""#),
        (r#""none""#, r#""meals""#),
        ("60", rest),
    ] {
        one(
            &[(sleep, &kim(said)), (r#""meals""#, schedule)],
            "/days/0/children/kim",
            "01:00 to 02:00 comes twice: Kim is here and not asleep all through it",
            "give times for this date up to 01:00 and from 02:00 on",
        );
    }
    // Who goes before it and comes back after it is here in none of it.
    let around = r#""kim": ["00:00-01:00", "02:00-08:00"]"#;
    assert_eq!(causes(&[(sleep, &kim(r#""none""#)), (r#""kim": "00:00-08:00""#, around)]), []);
    // On another night none of it is a fault.
    assert_eq!(
        causes(&[
            (r#""ola": "00:00-08:00""#, r#""ola": "01:30-08:00""#),
            (r#""window": "03:00-04:30""#, r#""window": "01:30-04:30""#),
            ("2026-10-25", "2026-10-24"),
        ]),
        []
    );
}

/// Make, audit and repair, on paper and as JSON: a note, before all others, with what to do.
#[test]
fn every_chart_of_that_night_says_what_it_means_and_what_to_do() {
    let scenario = file("night.scenario.json", NIGHT);
    let chart = folder("inputs").join("night.chart.json").display().to_string();
    let words = "Note: CLOCKS GO BACK: 01:00 to 02:00 comes twice, while 2 children and 2 adults are here. \
                 The chart has it once: do what stands in it the first time, then leave everybody as they \
                 are just before 02:00 until it is 02:00 for good.";
    let longer = "With the children so much longer, which may make another staff break due: Ray (540 \
                  minutes) and Sol (540 minutes).";
    let said = |args: &[&str]| {
        let text = fairturn(args);
        assert!(text.status.code() != Some(2), "{args:?}: {}", err(&text));
        let paper = one_line(out(&text));
        assert!(
            paper.contains(&words["Note: ".len()..]) && paper.contains(longer),
            "{args:?}: {paper}"
        );
        let json = fairturn(&[args, &["--format", "json"]].concat());
        let json: Value = serde_json::from_str(out(&json)).expect("JSON");
        let first = json["notes"][0].as_str().expect("a note");
        assert!(first.starts_with(words) && first.contains(longer), "{first}");
        first.to_owned()
    };
    said(&["make", &scenario]);
    let made = fairturn(&["make", &scenario, "--format", "json", "--out", &chart]);
    assert!(made.status.code() != Some(2), "{}", err(&made));
    said(&["audit", &scenario, &chart]);
    let later = said(&["repair", &scenario, &chart, "--at", "00:30", "--close", "books"]);
    assert!(!later.contains("taken to be of the first time"), "{later}");
    let leaves = said(&["repair", &scenario, &chart, "--at", "00:30", "--leaving", "kim:01:20"]);
    assert!(
        leaves.ends_with("What is said of 01:20 is taken to be of the first time."),
        "{leaves}"
    );
    let within = said(&["repair", &scenario, &chart, "--at", "01:30", "--close", "books"]);
    assert!(
        within.ends_with("What is said of 01:30 is taken to be of the first time."),
        "{within}"
    );
    let past = fairturn(&["repair", &scenario, &chart, "--at", "06:40", "--close", "books"]);
    assert!(!one_line(out(&past)).contains("CLOCKS GO BACK"), "it is past: {}", out(&past));
    let other = file("other-night.scenario.json", &night(&[("2026-10-25", "2026-10-18")]));
    assert!(!out(&fairturn(&["make", &other])).contains("CLOCKS"), "another night");
}

#[test]
fn a_block_in_that_hour_is_to_be_moved_out_of_it() {
    let scenario = file("night-block.scenario.json", NIGHT);
    let said = |from: &str, to: &str| {
        let args = ["check", &scenario, "--from", from, "--to", to, "--station", "blocks"];
        let text = fairturn(&args);
        assert!(text.status.code() != Some(2), "{}", err(&text));
        one_line(out(&text))
    };
    let words = "Mind: Clocks go back: 01:00 to 02:00 comes twice, and the block is judged as it runs the \
                 first time. Have it end before 01:00, or begin at 02:00.";
    assert!(said("00:45", "01:15").contains(words), "{}", said("00:45", "01:15"));
    assert!(!said("06:40", "07:10").contains("Clocks go back"));
}

/// What comes twice counts twice, also in how long a child stays.
#[test]
fn minutes_of_that_night_are_those_that_pass() {
    let mut b = Build::new();
    b.standards = vec![fairturn::standards::find("scotland-sessional").expect("built in")];
    let ada = b.child("Ada", 40, "00:30-03:45");
    b.site.children[ada.0].sleep = Sleep::None;
    b.adult("Ina", "00:00-08:00");
    b.station("books", CLASSROOM);
    let mut day = b.day();
    day.site = std::sync::Arc::new(fairturn::site::Site {
        time_zone: Tz::Europe__London,
        ..(*day.site).clone()
    });
    let stay = Span::new(Minute::hm(0, 30), Minute::hm(3, 45)).expect("a span");
    assert_eq!((day.minutes_in(stay), planner::longer_than_a_session(&day)), (195, Vec::new()));
    day.date = NaiveDate::from_ymd_opt(2026, 10, 25).expect("a date");
    assert_eq!(day.minutes_in(stay), 255);
    let half = Span::new(Minute::hm(1, 30), Minute::hm(3, 0)).expect("a span");
    assert_eq!(day.minutes_in(half), 120);
    let told = planner::longer_than_a_session(&day);
    assert!(
        matches!(&told[..], [one] if one.contains("Ada stays 240 minutes or more")),
        "{told:?}"
    );
}
