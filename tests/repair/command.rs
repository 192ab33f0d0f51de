//! The command as a person or a script calls it: what is asked for, and what is wrong with it.

use crate::faces::command::{err, fairturn, file, folder, out};
use serde_json::Value;
use std::fs;
use std::io::Read as _;
use std::process::{Command, Stdio};

const SCENARIO: &str = "scenarios/mixed-age-room.scenario.json";
const POSTED: &str = "scenarios/mixed-age-room.posted.json";

fn repair(more: &[&str]) -> std::process::Output {
    fairturn(&[&["repair", SCENARIO, POSTED], more].concat())
}

#[test]
fn the_answer_says_what_changes_and_what_does_not() {
    let done = repair(&["--at", "09:25", "--close", "water-table"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let text = out(&done);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("  09:25  Closed for the rest of the day: Water table.\n"), "{text}");
    assert!(text.contains(" instead of Water table, 11:00 to 11:15\n"), "{text}");
    assert!(text.contains("Boats, Gulls and Shells: nothing changes."), "{text}");
    assert!(!text.contains("09:00-09:15"), "what is past is not printed: {text}");
}

/// What the command prints to somebody who sits at a terminal.
fn at_a_terminal(args: &[&str]) -> String {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    let host = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a terminal");
    grantpt(&host).and_then(|()| unlockpt(&host)).expect("a terminal");
    let name = ptsname(&host, Vec::new()).expect("its name").into_string().expect("plain");
    let screen = fs::File::options().write(true).open(name).expect("a screen");
    let mut command = Command::new(env!("CARGO_BIN_EXE_fairturn"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .stdout(screen)
        .stderr(Stdio::null())
        .spawn()
        .expect("the command starts");
    // The screen is gone when the command is: reading then ends with a fault.
    let (mut host, mut told) = (fs::File::from(host), Vec::new());
    let mut some = [0; 4096];
    while let Ok(n @ 1..) = host.read(&mut some) {
        told.extend_from_slice(&some[..n]);
    }
    assert_eq!(command.wait().expect("it ends").code(), Some(1));
    String::from_utf8(told).expect("UTF-8").replace("\r\n", "\n")
}

#[test]
fn at_a_terminal_the_repair_is_read_before_what_would_mend_it() {
    let (scenario, posted) =
        ("scenarios/hall-and-loft.scenario.json", "scenarios/hall-and-loft.posted.json");
    let args = ["repair", scenario, posted, "--at", "09:10", "--away", "sanne:09:30-10:20"];
    let (told, piped) = (at_a_terminal(&args), fairturn(&args));
    let piped = out(&piped);
    let (first, then) = told.split_once("What would mend it\n").expect("it is said");
    assert!(first.contains("is being looked for") && first.contains("The rest of the day"));
    let fixes: Vec<&str> = then.lines().filter(|line| !line.is_empty()).collect();
    assert!(fixes.len() > 2 && !then.contains("The rest of the day"), "{then}");
    for line in told.lines().filter(|line| !line.contains("is being looked for")) {
        assert!(piped.lines().any(|l| l == line), "only at a terminal: {line}");
    }
    for line in piped.lines() {
        assert!(told.lines().any(|l| l == line), "only in a pipe: {line}");
    }
    assert!(!piped.contains("is being looked for"), "{piped}");
}

#[test]
fn a_repair_of_a_repair_is_audited_and_keeps_what_happened() {
    let path = folder("repairs").join("once.json").display().to_string();
    let once =
        repair(&["--at", "09:25", "--close", "water-table", "--format", "json", "--out", &path]);
    assert_eq!(once.status.code(), Some(0), "{}", err(&once));
    assert_eq!(fairturn(&["audit", SCENARIO, &path]).status.code(), Some(0));
    let extra = "Ruth:10:30-12:00,may-be-alone";
    let more = ["--at", "10:05", "--extra-adult", extra, "--away", "oona:10:30-11:00"];
    let twice = fairturn(&[&["repair", SCENARIO, &path, "--format", "json"], &more[..]].concat());
    let json: Value = serde_json::from_slice(&twice.stdout).expect("JSON");
    let told = json["day"]["happened"].as_array().expect("what happened");
    let kinds: Vec<&str> = told.iter().filter_map(|h| h["what"].as_str()).collect();
    assert_eq!(kinds, ["closed", "away", "extra_adult"]);
    assert_eq!(json["made"]["fixed_until"], "10:05");
    let again = folder("repairs").join("twice.json");
    fs::write(&again, &twice.stdout).expect("a file");
    let judged = fairturn(&["audit", SCENARIO, &again.display().to_string(), "--format", "json"]);
    let judged: Value = serde_json::from_slice(&judged.stdout).expect("JSON");
    assert_eq!(judged["problems"], json["problems"]);
}

#[test]
fn what_is_taken_back_in_time_gives_the_old_chart_back() {
    let path = folder("repairs").join("taken-back.json").display().to_string();
    let away = ["--at", "09:40", "--away", "deniz:10:35-11:30", "--close", "art:10:40-11:30"];
    let once = repair(&[&away[..], &["--format", "json", "--out", &path]].concat());
    assert_eq!(err(&once), format!("{path} written: safe to run\n"));
    let old: Value = serde_json::from_str(&fs::read_to_string(POSTED).expect("it")).expect("JSON");
    let back = [
        "--back",
        "deniz:10:35",
        "--open",
        "art:10:40-11:30",
        "--before",
        POSTED,
        "--format",
        "json",
    ];
    let again = |at: &str| -> Value {
        let done = fairturn(&[&["repair", SCENARIO, &path, "--at", at], &back[..]].concat());
        assert!(err(&done).is_empty(), "{}", err(&done));
        serde_json::from_slice(&done.stdout).expect("JSON")
    };
    let in_time = again("09:45");
    for part in ["children", "adults", "groups", "rooms"] {
        assert!(in_time[part] == old[part], "{part} are as they were");
    }
    let repaired: Value =
        serde_json::from_str(&fs::read_to_string(&path).expect("it")).expect("JSON");
    assert!(repaired["children"] != old["children"], "somebody had been moved");
}

#[test]
fn everything_that_is_wrong_is_told_at_once_and_no_file_is_touched() {
    let path = folder("repairs").join("kept.json");
    fs::write(&path, "as it was").expect("a file");
    let to = path.display().to_string();
    for (flags, said) in [
        (&["--away", "dennis"][..], "--away dennis: there is no child or adult `dennis`"),
        (&["--late", "arlo:930"], "--late arlo:930: `930` is not a clock time"),
        (&["--late", "arlo"], "--late arlo: no time is given"),
        (&["--late", "arlo:09:00"], "--late arlo:09:00: 09:00 is not after 10:15"),
        (&["--away", "mara:09:00-11:00"], "09:00 is before 10:15"),
        (&["--back", "mara"], "Mara is here at 10:15 anyway"),
        (&["--staying", "mara:15:00"], "Mara stays until 16:00 anyway"),
        (&["--held-up", "mara"], "from when to when is not said"),
        (&["--missed-break", "mara"], "it is still to come"),
        (&["--close", "art:12:00-11:00"], "`12:00-11:00`: 11:00 is not after 12:00"),
        (&["--close", "art:noon"], "`noon` is no stretch of the day"),
        (
            &["--away", "mara:11:00"],
            "write it as mara:11:00-HH:MM, or, not to come back, --leaving",
        ),
        (&["--open", "art"], "Art is not closed then"),
        (&["--indoors"], "the children stay in today anyway"),
        (&["--extra-adult", "Mara"], "Mara is on the team already"),
        (&["--away", "mara", "--leaving", "mara:12:00"], "contradicts what was said before"),
        (&["--indoors", "--outdoors"], "contradicts what was said before"),
    ] {
        let done = repair(&[&["--at", "10:15", "--out", &to], flags].concat());
        assert_eq!(done.status.code(), Some(2), "{flags:?}: {}", out(&done));
        assert!(err(&done).contains(said), "{flags:?}: {}", err(&done));
        assert_eq!(fs::read_to_string(&path).expect("the file"), "as it was");
    }
    let both = repair(&["--at", "10:15", "--away", "dennis", "--close", "the-moon"]);
    assert_eq!(err(&both).lines().count(), 2, "{}", err(&both));
    assert!(err(&repair(&["--away", "mara"])).contains("--at: it is not said from when on"));
    let three = repair(&["--at", "25:15", "--away", "dennis", "--close", "the-moon"]);
    assert_eq!(three.status.code(), Some(2));
    assert_eq!(err(&three).lines().count(), 3, "{}", err(&three));
    assert!(err(&three).contains("--at: `25:15` is not a clock time"), "{}", err(&three));
    let night = repair(&["--at", "21:00", "--away", "mara"]);
    assert!(err(&night).contains("the room has closed"), "{}", err(&night));
}

#[test]
fn a_file_of_happenings_tells_its_faults_with_their_places() {
    let text = r#"{ "format": 1, "at": "10:15", "happenings": [
        { "what": "away", "adult": "deniz", "form": "10:15" },
        { "what": "melted", "station": "art" },
        { "what": "late", "at": "10:40" } ] }"#;
    let path = file("three-faults.json", text);
    let done = repair(&["--happenings", &path]);
    assert_eq!((done.status.code(), out(&done)), (Some(2), ""));
    assert!(!err(&done).contains("--at"), "the file says it: {}", err(&done));
    for (place, said) in [
        ("line 2, column", "did you mean `from`?"),
        ("line 3, column", "`melted` is not known"),
        ("line 4, column", "it is not said who"),
    ] {
        let line = err(&done).lines().find(|l| l.contains(place)).unwrap_or_default();
        assert!(line.contains(said), "{}", err(&done));
    }
    let late = r#"{ "format": 1, "at": "10:15", "happenings": [
        { "what": "staying", "adult": "mara", "until": "12:00" } ] }"#;
    let done = repair(&["--happenings", &file("too-early.json", late)]);
    assert_eq!(done.status.code(), Some(2));
    let said = "line 2, column 9 (/happenings/0): Mara stays until 16:00 anyway";
    assert!(err(&done).contains(said), "{}", err(&done));
}

#[test]
fn a_chart_that_somebody_edited_is_said_to_be() {
    let text = fs::read_to_string(POSTED).expect("the chart");
    let edited = text.replacen("\"id\": \"dough\"}", "\"id\": \"art\"}", 1);
    assert_ne!(text, edited);
    let path = file("edited.json", &edited);
    let done = fairturn(&["repair", SCENARIO, &path, "--at", "12:30", "--away", "sal"]);
    let said = "The chart on the wall was edited after it was made";
    assert!(out(&done).contains(said), "{}{}", out(&done), err(&done));
    let plain = repair(&["--at", "12:30", "--away", "sal"]);
    assert!(!out(&plain).contains(said));
}

/// Whoever is said to be a volunteer does not pass for an adult who counts by a word that nobody knows.
#[test]
fn a_word_that_says_nothing_of_an_adult_who_comes_in_is_refused() {
    for word in ["volunteer", "not-in-ratio", "level-66", "notcounted"] {
        let extra = format!("Ruth:10:30-12:00,lead,{word}");
        let done = repair(&["--at", "10:15", "--extra-adult", &extra]);
        assert_eq!(done.status.code(), Some(2), "{word}: {}", out(&done));
        assert!(err(&done).contains("not-counted"), "{word}: {}", err(&done));
        assert!(err(&done).contains(word), "{word}: {}", err(&done));
    }
}

/// Whoever reads the same chart twice reads the same verdict.
#[test]
fn an_audit_of_a_repaired_chart_says_what_the_repair_said() {
    let shipped = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/short-staffed.scenario.json");
    let text = fs::read_to_string(shipped).expect("a shipped scenario");
    let mut scenario: Value = serde_json::from_str(&text).expect("JSON");
    for adult in scenario["adults"].as_array_mut().expect("adults") {
        adult["breaks"] = serde_json::json!([]);
        adult["lead"] = true.into();
    }
    let path = |name: &str| folder("repairs").join(name).display().to_string();
    let (facts, posted, repaired) =
        (path("few.json"), path("few-posted.json"), path("few-at-ten.json"));
    fs::write(&facts, scenario.to_string()).expect("the facts are written");
    let made = fairturn(&["make", &facts, "--format", "json", "--out", &posted]);
    assert_eq!(made.status.code(), Some(1), "one adult is alone with ten until half past nine");
    let told = ["repair", &facts, &posted, "--at", "10:00", "--close", "art"];
    let said = fairturn(&told);
    let json = fairturn(&[&told[..], &["--format", "json", "--out", &repaired]].concat());
    let judged = fairturn(&["audit", &facts, &repaired]);
    for done in [&said, &json, &judged] {
        assert_eq!(done.status.code(), Some(0), "{}{}", out(done), err(done));
    }
    let verdict = |text: &str| text.lines().take(5).map(str::to_owned).collect::<Vec<_>>();
    assert!(out(&said).starts_with("Safe to run from 10:00: "), "{}", out(&said));
    assert!(out(&said).contains("Before 10:00, and past: 08:00 to 09:00"), "{}", out(&said));
    assert_eq!(verdict(out(&said)), verdict(out(&judged)));
}
