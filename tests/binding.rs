//! What is said of the standards that bind: for whom they are, and of which edition.

use crate::audits::build::{Build, CLASSROOM, span};
use crate::faces::command::{err, fairturn, file, folder, one_line, out};
use fairturn::planner::{self, BlockQuestion};
use fairturn::standards::{SessionLength, Standard, Tag, find, library};
use serde_json::Value;
use std::sync::Arc;

/// The sets of the library that are for sessions, with what is known of their length.
fn of_sessions() -> Vec<(&'static str, SessionLength)> {
    let of = |s: &'static Arc<Standard>| Some((s.id.as_str(), s.session.as_ref()?.length));
    library().iter().filter_map(of).collect()
}

/// Only Scotland's figure was read (on a provider's page); of the others none is invented.
#[test]
fn the_length_of_a_session_stands_in_the_data_with_its_source() {
    assert_eq!(
        of_sessions(),
        [
            ("head-start-double", SessionLength::NotKnown),
            ("massachusetts-half-day", SessionLength::UpTo(240)),
            ("tennessee-drop-in", SessionLength::UpTo(420)),
            ("scotland-sessional", SessionLength::Below(240)),
            ("ireland-sessional", SessionLength::NotKnown),
            ("ireland-drop-in", SessionLength::NotKnown),
        ]
    );
    for (id, length) in of_sessions() {
        let standard = find(id).expect("built in");
        let session = standard.session.as_ref().expect("of sessions");
        let longer = session.longer.as_deref().expect("a set for longer days");
        assert!(find(longer).is_some_and(|s| s.session.is_none()), "{id}: {longer}");
        assert!(standard.source(&session.source).is_some(), "{id}");
        let figures = standard.figures();
        let figure = figures.iter().find(|(what, _)| what == "how long a session is");
        assert_eq!(figure.is_some(), length != SessionLength::NotKnown, "{id}");
    }
    let scotland = find("scotland-sessional").expect("built in");
    assert_eq!(scotland.source("session").map(|s| s.tag), Some(Tag::Secondary));
}

/// Two children and two adults from 8:00 on, under a standard.
fn morning(standard: &str, leave: [&str; 2]) -> Build {
    let mut b = Build::new();
    b.standards = vec![find(standard).expect("built in")];
    for (label, to) in ["Ada", "Bram"].iter().zip(leave) {
        b.child(label, 40, &format!("08:00-{to}"));
    }
    for label in ["Ina", "Per"] {
        b.adult(label, "08:00-16:00");
    }
    b
}

fn notes(b: &Build) -> Vec<String> {
    let notes = planner::notes(&b.day(), &b.chart).into_iter();
    notes.filter(|n| n.contains("who stay")).collect()
}

#[test]
fn children_who_stay_longer_than_a_session_are_named_with_its_length_and_its_source() {
    assert_eq!(notes(&morning("scotland-sessional", ["11:59", "11:00"])), Vec::<String>::new());
    assert_eq!(notes(&morning("scotland", ["16:00", "16:00"])), Vec::<String>::new());
    let words = |who: &str| {
        format!(
            "Note: `scotland-sessional` is for children who stay less than 240 minutes at a stretch \
             [National Care Standards, early education and childcare, 1:10 from 3 years where no child \
             stays for 4 hours or more at a stretch, as on a provider's page (from a secondary source)], \
             and {who} 240 minutes or more today: bind `scotland`, which has the figures of longer days."
        )
    };
    assert_eq!(notes(&morning("scotland-sessional", ["12:00", "11:59"])), [words("Ada stays")]);
    let both = morning("scotland-sessional", ["12:00", "16:00"]);
    assert_eq!(notes(&both), [words("Ada and Bram stay")]);
    // At a stretch: who is away in between stays twice; spans that touch are one.
    let mut away = morning("scotland-sessional", ["11:00", "11:00"]);
    away.children[0].1 = vec![span("08:00-10:30"), span("11:00-14:30")];
    assert_eq!(notes(&away), Vec::<String>::new());
    away.children[0].1 = vec![span("08:00-10:30"), span("10:30-14:30")];
    assert_eq!(notes(&away), [words("Ada stays")]);
}

#[test]
fn where_nobody_knows_how_long_a_session_is_that_is_said() {
    for (id, document, longer) in [
        ("ireland-sessional", "SI 221/2016, schedule 6, sessional services", "ireland-full-day"),
        ("ireland-drop-in", "SI 221/2016, schedule 6, drop-in centres", "ireland-full-day"),
        (
            "head-start-double",
            "45 CFR 1302.21(b)(3), majority of 3 years, double session",
            "head-start",
        ),
    ] {
        let told = notes(&morning(id, ["12:00", "12:00"]));
        let [one] = &told[..] else { panic!("{id}: {told:?}") };
        assert!(one.starts_with(&format!("Note: `{id}` is for children who stay")), "{one}");
        assert!(one.contains("session length not known here"), "{one}");
        assert!(
            one.contains(&format!("{document}. Longest here today, 240 minutes: Ada and Bram")),
            "{one}"
        );
        assert!(
            one.ends_with(&format!("bind `{longer}` where that is longer than a session.")),
            "{one}"
        );
    }
}

/// A site may write its own, with the length that it knows.
#[test]
fn a_sites_own_limits_may_be_for_sessions() {
    let own = |length: &str| {
        fairturn::standards::local_limits_example().replace(
            "\"least_adults\"",
            &format!(
                "\"session\": {{ \"length\": {length}, \"source\": \"house\" }}, \"least_adults\""
            ),
        )
    };
    let mut b = morning("scotland", ["11:30", "11:31"]);
    let up_to = Standard::from_json(&own("{ \"up_to\": 210 }")).expect("it reads");
    b.standards = vec![Arc::new(up_to)];
    let told = notes(&b);
    let [one] = &told[..] else { panic!("{told:?}") };
    assert!(one.contains("who stay at most 210 minutes at a stretch"), "{one}");
    assert!(
        one.contains("and Bram stays more than 210 minutes today: its figures are not for"),
        "{one}"
    );
    for wrong in ["{ \"up_to\": 0 }", "{ \"below\": 1441 }"] {
        let faults = Standard::from_json(&own(wrong)).expect_err("a slip");
        assert_eq!(faults, ["session.length: from 1 minute to a day"]);
    }
}

/// Whoever asks about a block reads it too.
#[test]
fn a_block_check_says_that_a_standard_is_for_sessions() {
    let mut b = morning("scotland-sessional", ["14:00", "11:00"]);
    let paint = b.station("paint", CLASSROOM);
    let question = BlockQuestion { span: span("09:00-09:30"), stations: vec![paint] };
    let check = planner::check(&b.day(), None, &question);
    let told = check.mind.iter().find(|m| m.contains("who stay less than 240 minutes"));
    assert!(told.is_some_and(|m| m.contains("Ada stays 240 minutes or more")), "{:?}", check.mind);
}

/// Wisconsin: with up to eight children a second adult can be there within five minutes.
#[test]
fn who_works_alone_is_told_that_somebody_has_to_be_within_call() {
    let told = |id: &str| -> Vec<String> {
        let mut b = morning(id, ["12:00", "12:00"]);
        b.post(fairturn::site::AdultIndex(1), "09:00-09:30", fairturn::chart::Place::Door);
        b.chart.adults[0].posts[0].span = span("09:00-16:00");
        b.chart.adults[1].posts.truncate(2);
        let notes = planner::notes(&b.day(), &b.chart).into_iter();
        notes.filter(|n| n.contains("can be called")).collect()
    };
    assert_eq!(
        told("wisconsin"),
        [
            "Note: `wisconsin` wants another adult who can be called, within 5 minutes, while one works \
          alone [Wisconsin Administrative Code, DCF 251.055, fewest workers in a center (verified)]: \
          see to it 08:00 to 09:00 and 09:30 to 12:00."
        ]
    );
    assert_eq!(told("netherlands").len(), 1);
    assert_eq!(told("missouri"), Vec::<String>::new());
}

/// What no fact of a site can answer is said wherever it bears on somebody, and nothing is called certain.
#[test]
fn what_a_standard_asks_for_and_nobody_judges_is_noted() {
    let told = |id: &str, months: u32| -> Vec<String> {
        let mut b = morning(id, ["12:00", "12:00"]);
        b.child("Cleo", months, "08:00-12:00");
        let notes = planner::notes(&b.day(), &b.chart).into_iter();
        notes.filter(|n| n.contains("asks for more than is judged here")).collect()
    };
    let georgia = told("georgia", 14);
    let [one] = &georgia[..] else { panic!("{georgia:?}") };
    assert!(one.contains("`georgia`") && one.contains("does not walk yet has the 1:6"), "{one}");
    assert!(one.ends_with("[Georgia, rules for group day care homes, staff to children (from a secondary source)]."), "{one}");
    assert!(told("georgia", 11).is_empty() && told("georgia", 24).is_empty());
    assert!(told("england-eyfs", 20).len() == 1 && told("england-eyfs", 26).is_empty());
    assert!(told("netherlands", 6).len() == 1 && told("netherlands", 14).is_empty());
    assert_eq!(told("virginia", 40).len(), 1, "whoever comes may rest");
    assert_eq!(told("massachusetts", 20).len(), 1);
    let mut b = morning("massachusetts", ["12:00", "12:00"]);
    b.child("Cleo", 10, "08:00-12:00");
    b.child("Dov", 20, "08:00-12:00");
    let twice = planner::notes(&b.day(), &b.chart).into_iter();
    assert_eq!(twice.filter(|n| n.contains("at least one walks")).count(), 1, "of two ages, once");
    let of: Vec<&str> =
        library().iter().filter(|s| !s.not_judged.is_empty()).map(|s| s.id.as_str()).collect();
    assert_eq!(
        of,
        [
            "arizona",
            "colorado",
            "georgia",
            "massachusetts",
            "massachusetts-half-day",
            "michigan",
            "minnesota",
            "new-jersey",
            "new-york-city",
            "tennessee",
            "tennessee-drop-in",
            "texas",
            "virginia",
            "alberta",
            "quebec",
            "england-eyfs",
            "northern-ireland",
            "wales",
            "netherlands",
            "finland",
            "norway",
            "singapore",
        ]
    );
}

const SESSION: &str = r#"{
  "format": 1,
  "about": "Invented: a morning by the harbour.",
  "site": { "label": "Slipway", "time_zone": "Europe/London", "standards": ["scotland-sessional"] },
  "stations": [{ "preset": "books" }, { "preset": "blocks" }],
  "schedules": [{ "id": "morning", "open": "08:30-12:30",
    "meals": [{ "kind": "morning_snack", "window": "10:00-10:40", "minutes": 15 }] }],
  "children": [
    { "label": "Ola", "born": "2022-09-01", "times": "08:30-12:30", "toileting": "alone" },
    { "label": "Kim", "born": "2022-05-01", "times": "08:30-12:00", "toileting": "alone" }
  ],
  "adults": [
    { "label": "Ray", "shift": "08:00-12:45", "lead": true, "first_aid": true, "breaks": [] },
    { "label": "Sol", "shift": "08:00-12:45", "breaks": [] }
  ],
  "days": [{ "date": "2026-04-14" }]
}"#;

/// Make, audit and repair, on paper and as JSON.
#[test]
fn every_chart_under_a_sessional_standard_says_who_stays_longer() {
    let scenario = file("session.scenario.json", SESSION);
    let chart = folder("inputs").join("session.chart.json").display().to_string();
    let words = "and Ola stays 240 minutes or more today: bind `scotland`, which has the figures of \
                 longer days.";
    let said =
        |args: &[&str]| {
            let text = fairturn(args);
            assert!(text.status.code() != Some(2), "{args:?}: {}", err(&text));
            let paper = one_line(out(&text));
            assert!(paper.contains(words), "{args:?}: {paper}");
            let json = fairturn(&[args, &["--format", "json"]].concat());
            let json: Value = serde_json::from_str(out(&json)).expect("JSON");
            let notes = json["notes"].as_array().expect("notes");
            let note = notes.iter().filter_map(Value::as_str).find(|n| n.contains(words));
            assert!(note.is_some_and(
                |n| n.contains("less than 240 minutes") && n.contains("provider's page")
            ));
            assert_eq!(json["made"]["standards"][0]["edition"], "edition not known", "{args:?}");
        };
    said(&["make", &scenario]);
    let made = fairturn(&["make", &scenario, "--format", "json", "--out", &chart]);
    assert!(made.status.code() != Some(2), "{}", err(&made));
    said(&["audit", &scenario, &chart]);
    said(&["repair", &scenario, &chart, "--at", "09:00", "--away", "kim"]);
}

/// An edition that somebody wrote down has a year in it, or is that of the page online; the others say
/// that it is not known.
#[test]
fn every_standard_has_an_edition_or_says_that_it_is_not_known() {
    let not_known: Vec<&str> =
        library().iter().filter(|s| s.edition.is_none()).map(|s| s.id.as_str()).collect();
    assert_eq!(
        not_known,
        [
            "head-start",
            "head-start-double",
            "head-start-home",
            "arizona",
            "california",
            "colorado",
            "florida",
            "georgia",
            "illinois",
            "maryland",
            "michigan",
            "missouri",
            "new-york-city",
            "north-carolina-developmental",
            "oregon",
            "pennsylvania",
            "tennessee-drop-in",
            "virginia",
            "washington",
            "wisconsin",
            "alberta",
            "british-columbia",
            "scotland",
            "scotland-sessional",
            "australia",
        ]
    );
    let list = fairturn(&["standards"]);
    let list = one_line(out(&list));
    let json = fairturn(&["standards", "--format", "json"]);
    let json: Value = serde_json::from_str(out(&json)).expect("JSON");
    for (at, standard) in library().iter().enumerate() {
        let edition = standard.edition_words();
        let years = edition.split(|c: char| !c.is_ascii_digit());
        let year = years.filter_map(|n| n.parse::<u16>().ok()).any(|n| (1990..2030).contains(&n));
        let online = edition == "online edition, year not known";
        assert!(year || online || edition == "edition not known", "{}: {edition}", standard.id);
        assert!(list.contains(&format!("{}; {edition}", standard.label)), "{}", standard.id);
        assert_eq!(json[at]["edition"], edition.as_str(), "{}", standard.id);
        let one = fairturn(&["standards", &standard.id]);
        let said = format!("({}) {edition}", standard.id).to_lowercase();
        assert!(one_line(out(&one)).to_lowercase().contains(&said), "{}", out(&one));
        let one = fairturn(&["standards", &standard.id, "--format", "json"]);
        let one: Value = serde_json::from_str(out(&one)).expect("JSON");
        assert_eq!(
            (&one["edition"], &one["as_read"]),
            (&edition.into(), &standard.as_read.as_str().into())
        );
    }
}

#[test]
fn the_notes_of_a_chart_name_the_edition_or_say_that_it_is_not_known() {
    let mut b = morning("missouri", ["12:00", "12:00"]);
    let all = ["missouri", "wisconsin", "cfoc-centre", "ireland-full-day"];
    b.standards = all.iter().map(|id| find(id).expect("built in")).collect();
    let local = Standard::from_json(fairturn::standards::local_limits_example()).expect("it reads");
    b.standards.push(Arc::new(local));
    let notes = planner::notes(&b.day(), &b.chart).into_iter();
    let of: Vec<String> = notes.filter(|n| n.starts_with("Note: of ")).collect();
    assert_eq!(
        of,
        [
            "Note: of `missouri`, edition not known here: compare its figures with the text in force.",
            "Note: of `wisconsin` (edition not known), what it says of the ratios and the class sizes is \
             from memory and was not compared with the text.",
            "Note: of `cfoc-centre` (online edition, year not known), what it says of mixed ages and \
             water play is from memory and was not compared with the text.",
        ]
    );
}

/// A chart under a text that another one has replaced says so.
#[test]
fn the_notes_of_a_chart_name_what_has_replaced_a_text() {
    let told = |id: &str| -> Vec<String> {
        let b = morning(id, ["12:00", "12:00"]);
        let notes = planner::notes(&b.day(), &b.chart).into_iter();
        notes.filter(|n| n.contains("in whose place")).collect()
    };
    assert_eq!(
        told("scotland"),
        [
            "Note: `scotland` is of a text in whose place another one stands: the Health and Social Care \
             Standards, in force 1 April 2018; the care inspectorate's guidance of that year keeps the \
             ratios."
        ]
    );
    assert_eq!(told("washington").len(), 1);
    assert_eq!(told("texas"), Vec::<String>::new());
}
