//! From a scenario to a chart and back, through the command.

use super::command::{err, fairturn, file, folder, out};
use fairturn::page::text::WIDTH;
use fairturn::wire::pretty::pretty;
use serde_json::Value;
use std::fs;

/// The scenario that the README makes first, and one that cannot be safe.
const SAFE: &str = "scenarios/half-day.scenario.json";
const UNSAFE: &str = "scenarios/short-staffed.scenario.json";

#[test]
fn the_exit_code_and_the_first_line_say_the_same() {
    for scenario in [SAFE, UNSAFE] {
        let made = fairturn(&["make", scenario]);
        let first = out(&made).lines().next().expect("a first line");
        match made.status.code() {
            Some(0) => assert!(first.starts_with("Safe to run: "), "{first}"),
            Some(1) => assert!(first.starts_with("NOT SAFE TO RUN: "), "{first}"),
            code => panic!("{scenario}: exit {code:?}"),
        }
        assert_eq!(err(&made), "", "no word beside the chart");
        let wide = out(&made).lines().find(|line| line.chars().count() > WIDTH);
        assert_eq!(wide, None, "a line is too wide");
        assert!(out(&made).contains("the licensed person in the room decide"));
    }
    assert_eq!(fairturn(&["make", UNSAFE]).status.code(), Some(1));
}

#[test]
fn an_audit_of_a_chart_that_was_made_finds_what_was_said() {
    for scenario in [SAFE, UNSAFE] {
        let made = fairturn(&["make", scenario, "--format", "json"]);
        let chart = file("made.json", out(&made));
        let judged = fairturn(&["audit", scenario, &chart, "--format", "json"]);
        assert_eq!(judged.status.code(), made.status.code(), "{}", err(&judged));
        let read = |text: &str| serde_json::from_str::<Value>(text).expect("only JSON");
        let (mut made, mut judged) = (read(out(&made)), read(out(&judged)));
        assert_eq!(made["made"]["seed"], 1);
        made["made"] = Value::Null;
        judged["made"] = Value::Null;
        // Whoever only judges a chart shows no bounds.
        for aims in [&mut made["aims"], &mut judged["aims"]] {
            for aim in aims.as_array_mut().expect("a list") {
                aim.as_object_mut().expect("an aim").shift_remove("bound");
            }
        }
        assert_eq!(pretty(&made), pretty(&judged));
    }
}

#[test]
fn an_adult_taken_off_by_hand_is_missed() {
    let made = fairturn(&["make", SAFE, "--format", "json"]);
    let mut chart: Value = serde_json::from_str(out(&made)).expect("JSON");
    chart["adults"].as_array_mut().expect("a list").truncate(1);
    let edited = file("one-adult.json", &chart.to_string());
    let judged = fairturn(&["audit", SAFE, &edited]);
    assert_eq!(judged.status.code(), Some(1));
    assert!(out(&judged).starts_with("NOT SAFE TO RUN: "));
    assert!(out(&judged).contains("adult short"), "{}", out(&judged));
}

#[test]
fn the_same_seed_gives_the_same_bytes_into_a_file_too() {
    let once = fairturn(&["make", SAFE, "--seed", "5", "--format", "json"]);
    let path = folder("charts").join("chart.json");
    let name = path.display().to_string();
    let again = fairturn(&["make", SAFE, "--seed", "5", "--format", "json", "--out", &name]);
    assert_eq!(again.status.code(), once.status.code());
    assert_eq!(fs::read(&path).expect("the file"), once.stdout);
}

#[test]
fn what_cannot_be_made_is_wrong_input() {
    let codes = [
        (vec!["make", SAFE, "--date", "2026-02-30"], "write a date of the calendar"),
        (vec!["make", SAFE, "--date", "2026-04-26"], "is closed on Sunday 26 April 2026"),
        (vec!["make", SAFE, "--room", "attic"], "there is no room `attic`"),
        (vec!["make", SAFE, "--adult", "nobody"], "there is no adult `nobody`"),
        (vec!["make", "scenarios"], "cannot be read"),
        (vec!["audit", "-", "-"], "cannot both be read"),
    ];
    for (args, said) in codes {
        let made = fairturn(&args);
        assert_eq!((made.status.code(), out(&made)), (Some(2), ""), "{args:?}");
        assert!(err(&made).contains(said), "{args:?}: {}", err(&made));
    }
}

#[test]
fn one_adults_paper_is_that_adults_alone() {
    let all = fairturn(&["make", SAFE, "--format", "json"]);
    let json: Value = serde_json::from_str(out(&all)).expect("JSON");
    let id = json["adults"][0]["id"].as_str().expect("an id");
    let paper = fairturn(&["make", SAFE, "--adult", id]);
    assert_eq!(paper.status.code(), all.status.code());
    assert!(!out(&paper).contains("Small groups"));
    assert!(out(&paper).lines().count() < 40, "{}", out(&paper));
}
