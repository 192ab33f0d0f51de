//! The command `check` as a person or a script calls it.

use crate::faces::command::{err, fairturn, folder, out};
use serde_json::Value;

const ROOM: &str = "scenarios/mixed-age-room.scenario.json";

fn checked(args: &[&str]) -> std::process::Output {
    fairturn(&[&["check"], args].concat())
}

/// Two shipped scenarios, read as the teacher would before they are written anew with
/// `fairturn check ... --out FILE`.
#[test]
fn two_blocks_of_shipped_scenarios_read_as_they_should() {
    let beads = "--from 10:00 --to 10:30 --station beads";
    let water = "--from 11:00 --to 11:40 --station water-table";
    for (scenario, asked, golden, exit) in [
        ("scenarios/half-day.scenario.json", beads, include_str!("beads.txt"), 3),
        (ROOM, water, include_str!("water.txt"), 0),
    ] {
        let args: Vec<&str> = [scenario].into_iter().chain(asked.split(' ')).collect();
        let answer = checked(&args);
        assert_eq!(out(&answer), golden, "{}", err(&answer));
        assert_eq!(answer.status.code(), Some(exit), "{scenario}");
        let wide = golden.lines().find(|line| line.chars().count() > fairturn::page::text::WIDTH);
        assert_eq!(wide, None, "a line is too wide");
    }
}

#[test]
fn every_fault_is_told_at_once_and_nothing_is_printed() {
    let answer = checked(&[
        ROOM,
        "--from",
        "930",
        "--to",
        "10:00",
        "--station",
        "art",
        "wter-table",
        "--activity",
        "Dragon masks",
        "--chart",
        "no-such-chart.json",
    ]);
    assert_eq!((answer.status.code(), out(&answer)), (Some(2), ""));
    let told = err(&answer);
    for part in [
        "--from: `930` is no clock time; write HH:MM, like 09:30",
        "no-such-chart.json: cannot be read",
        "--station: there is no station `wter-table`; did you mean `water-table`?",
        "--activity: there is no activity `Dragon masks`",
    ] {
        assert!(told.contains(part), "{part} in\n{told}");
    }
    let backwards = checked(&[ROOM, "--from", "10:45", "--to", "10:00", "--station", "art"]);
    assert_eq!(backwards.status.code(), Some(2));
    assert_eq!(err(&backwards), "--to: 10:00 is not after 10:45; give a later time\n");
    let closed = checked(&[ROOM, "--from", "07:00", "--to", "08:30", "--station", "sand-pit"]);
    assert_eq!(closed.status.code(), Some(2));
    let lines: Vec<&str> = err(&closed).lines().collect();
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!(
        lines[0].contains("outside the opening hours; ask about a time between 08:00 and 17:00")
    );
    assert!(lines[1].contains("is closed from 07:00 to 08:30: the children stay in that day"));
    assert_eq!(checked(&[ROOM, "--from", "10:00", "--to", "10:30"]).status.code(), Some(2));
}

#[test]
fn the_json_has_one_shape() {
    let asked = ["--from", "11:00", "--to", "11:40", "--format", "json"];
    let by_station = checked(&[&[ROOM][..], &asked, &["--station", "water-table"]].concat());
    let by_name = checked(&[&[ROOM][..], &asked, &["--activity", "floating and sinking"]].concat());
    assert_eq!(by_station.stdout, by_name.stdout, "by what stands there as by the station's id");
    let json: Value = serde_json::from_str(out(&by_station)).expect("only JSON");
    let keys = |value: &Value| -> Vec<String> {
        value.as_object().expect("an object").keys().cloned().collect()
    };
    let expected = [
        "format",
        "site",
        "room",
        "date",
        "caution",
        "verdict",
        "from",
        "to",
        "stations",
        "with_chart",
        "reasons",
        "offers",
        "with_first_offer",
        "slices",
        "washing",
        "care",
        "materials",
        "room_for",
        "leavers",
        "holds_until",
        "mind",
        "assumed",
    ];
    assert_eq!(keys(&json), expected);
    let slice = [
        "from",
        "to",
        "space",
        "by_band",
        "asleep",
        "needs",
        "adults",
        "counted",
        "stations",
        "elsewhere",
        "left",
    ];
    assert_eq!(keys(&json["slices"][0]), slice);
    let need = ["standard", "premises", "needed", "present", "words"];
    assert_eq!(keys(&json["slices"][0]["needs"][0]), need);
    let station = ["station", "at_the_sinks", "children", "needed", "adults"];
    assert_eq!(keys(&json["slices"][0]["stations"][0]), station);
    assert_eq!(
        keys(&json["slices"][0]["left"]),
        ["children", "adults", "in_sight", "needed_alone"]
    );
    assert_eq!((&json["verdict"], &json["format"]), (&Value::from("go"), &Value::from(1)));
    let format = include_str!("../../src/wire/check/format.md");
    for key in expected.iter().chain(&slice[3..]) {
        assert!(format.contains(&format!("`{key}`")), "{key} is not written down");
    }
    let beads = checked(&[
        "scenarios/half-day.scenario.json",
        "--from",
        "10:00",
        "--to",
        "10:30",
        "--station",
        "beads",
        "--format",
        "json",
    ]);
    let json: Value = serde_json::from_str(out(&beads)).expect("only JSON");
    assert_eq!(keys(&json), expected, "the same fields for every verdict");
    assert_eq!(json["verdict"], "go_with_changes");
    assert_eq!(json["offers"][0]["changes"][0]["kind"], "shorter");
}

#[test]
fn a_posted_chart_brings_its_own_date_and_room() {
    let chart = folder("check").join("chart.json").display().to_string();
    let made = fairturn(&["make", ROOM, "--format", "json", "--out", &chart]);
    assert_eq!(made.status.code(), Some(0));
    let asked =
        [ROOM, "--from", "11:00", "--to", "11:30", "--station", "puzzles", "--chart", &chart];
    let answer = checked(&asked);
    assert!(matches!(answer.status.code(), Some(0 | 1 | 3)), "{}", err(&answer));
    assert!(out(&answer).contains("by the posted chart"));
    let other = checked(&[&asked[..], &["--date", "2026-04-15"]].concat());
    assert_eq!(other.status.code(), Some(2));
    assert!(err(&other).contains("--date: the chart is for 2026-04-14, not 2026-04-15"));
}
