//! No request stops the others: every list has a limit that is published and kept, and every stage asks
//! whether to go on.

use fairturn::chart::Chart;
use fairturn::day::{Day, limits as of_a_room};
use fairturn::http::openapi;
use fairturn::planner::{Options, Plan, make};
use fairturn::site::RoomIndex;
use fairturn::steps::{self, Stage, Stopped};
use fairturn::wire::limits::{LIMITS, Limit, figure};
use fairturn::wire::scenario::read;
use serde_json::{Map, Value, json};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

fn shipped(name: &str) -> Value {
    let path = format!("{}/scenarios/{name}.scenario.json", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("a shipped scenario");
    serde_json::from_str(&text).expect("it is JSON")
}

fn open(scenario: &Value) -> Day {
    let read = read(scenario.to_string().as_bytes()).unwrap_or_else(|f| panic!("{f:#?}"));
    read.open(RoomIndex(0), read.date).unwrap_or_else(|f| panic!("{f:#?}"))
}

/// Lists without a limit in a schema and what it refers to.
fn without_limit(
    document: &Value,
    schema: &Value,
    at: &str,
    seen: &mut BTreeSet<String>,
) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(name) = schema["$ref"].as_str() {
        if seen.insert(name.to_owned()) {
            let pointer = name.trim_start_matches('#');
            let target = document.pointer(pointer).expect("it leads somewhere");
            found.extend(without_limit(document, target, name, seen));
        }
        return found;
    }
    let is_list = schema["type"] == "array";
    let is_named = schema["additionalProperties"].is_object();
    if (is_list && !schema["maxItems"].is_u64()) || (is_named && !schema["maxProperties"].is_u64())
    {
        found.push(at.to_owned());
    }
    let under: Box<dyn Iterator<Item = (String, &Value)>> = match schema {
        Value::Object(fields) => Box::new(fields.iter().map(|(k, v)| (k.clone(), v))),
        Value::Array(items) => Box::new(items.iter().enumerate().map(|(i, v)| (i.to_string(), v))),
        _ => Box::new(std::iter::empty()),
    };
    for (name, value) in under {
        found.extend(without_limit(document, value, &format!("{at}/{name}"), seen));
    }
    found
}

#[test]
fn every_list_that_a_request_may_have_is_described_with_its_limit() {
    let document = openapi::document();
    let (mut seen, mut found, mut bodies) = (BTreeSet::new(), Vec::new(), 0);
    for (path, calls) in document["paths"].as_object().expect("paths") {
        for (verb, call) in calls.as_object().expect("calls") {
            let Some(body) = call.get("requestBody") else { continue };
            bodies += 1;
            found.extend(without_limit(&document, body, &format!("{verb} {path}"), &mut seen));
        }
    }
    assert!(bodies > 5 && seen.len() > 10, "{bodies} bodies, {seen:?}");
    assert_eq!(found, [""; 0]);
}

/// Where an object of a limit's name stands in the scenario below.
fn place(object: &str) -> Option<&'static str> {
    Some(match object {
        "Scenario" => "",
        "SiteFacts" => "/site",
        "Room" => "/rooms/0",
        "Space" => "/spaces/0",
        "CarePlace" => "/spaces/0/care_place",
        "Station" => "/stations/0",
        "Child" => "/children/0",
        "OneToOne" => "/children/0/one_to_one",
        "Adult" => "/adults/0",
        "Schedule" => "/schedules/0",
        "Meal" => "/schedules/0/meals/0",
        "DayOfScenario" => "/days/0",
        "Offer" => "/days/0/offers/0",
        "Visit" => "/visits/0",
        _ => return None,
    })
}

fn with_each_object() -> Value {
    let mut scenario = shipped("half-day");
    let fields: [(&str, Value); 4] = [
        ("rooms", json!([{ "id": "one", "label": "One" }])),
        (
            "schedules",
            json!([{ "id": "s", "open": "09:00-12:00", "meals": [{ "kind": "lunch", "window": "10:00-10:30" }] }]),
        ),
        (
            "days",
            json!([{ "date": "2026-04-14", "offers": [{ "station": "art", "activity": "Paint" }] }]),
        ),
        ("visits", json!([{ "date": "2026-04-13", "station": "art", "children": [] }])),
    ];
    let object = scenario.as_object_mut().expect("an object");
    object.extend(fields.map(|(name, value)| (name.to_owned(), value)));
    let adult = scenario["adults"][0]["label"].as_str().expect("a label").to_lowercase();
    scenario["children"][0]["one_to_one"] = json!({ "adult": adult });
    scenario
}

/// What is said of a scenario that has so many entries in a list, and as names of an object.
fn causes(limit: &Limit, count: usize) -> Vec<String> {
    let place = place(limit.object).expect("it stands somewhere");
    let names: Map<String, Value> = (0..count).map(|n| (format!("n{n}"), Value::Null)).collect();
    let mut said = Vec::new();
    for many in [Value::Array(vec![Value::Null; count]), Value::Object(names)] {
        let mut scenario = with_each_object();
        if limit.field == "times" {
            // Only a preset has them.
            scenario["schedules"][0] = json!({ "id": "s", "preset": "full-day" });
        }
        let object = scenario.pointer_mut(place).and_then(Value::as_object_mut);
        let object = object.expect(limit.object);
        object.insert(limit.field.to_owned(), many);
        if limit.field == "all_but" {
            // It is one or the other.
            object.remove("children");
        }
        let faults = read(scenario.to_string().as_bytes()).err().unwrap_or_default();
        said.extend(faults.into_iter().map(|fault| fault.cause));
    }
    said
}

#[test]
fn one_entry_more_than_a_list_may_have_is_told_and_as_many_as_it_may_have_are_not() {
    let mut tried = 0;
    for limit in LIMITS.iter().filter(|limit| place(limit.object).is_some()) {
        let (object, field) = (limit.object, limit.field);
        let many = causes(limit, limit.most + 1);
        let told = limit.cause(limit.most + 1);
        assert!(many.contains(&told), "{object}.{field}: {told} is not in {many:#?}");
        let enough = causes(limit, limit.most);
        let told = enough.iter().find(|c| c.starts_with(&format!("`{field}` has ")));
        assert_eq!(told, None, "{object}.{field}");
        tried += 1;
    }
    assert!(tried > 40, "{tried} of {}", LIMITS.len());
}

#[test]
fn the_formats_print_every_limit() {
    let formats = [
        include_str!("../src/wire/scenario/format.md"),
        include_str!("../src/wire/chart/format.md"),
        include_str!("../src/wire/repair/format.md"),
        include_str!("../src/wire/check/format.md"),
    ];
    let told = |words: &str| formats.iter().any(|format| format.contains(words));
    for limit in LIMITS {
        let words = format!("`{}` {}", limit.field, figure(limit.most));
        let in_a_sentence = format!("at most {} {}", figure(limit.most), limit.field);
        let is_told = told(&words) || told(&in_a_sentence);
        assert!(is_told, "{words} of {} is in no format", limit.object);
    }
    for limit in of_a_room::LIMITS {
        let words = format!("| {} | {} |", limit.what, figure(limit.most));
        assert!(told(&words), "{words} is in no format");
    }
}

#[test]
fn a_room_with_more_adults_or_stations_than_can_be_planned_is_told_so() {
    let mut scenario = shipped("half-day");
    let adults = scenario["adults"].as_array_mut().expect("adults");
    let more = (0..of_a_room::ADULTS.most)
        .map(|n| json!({ "id": format!("extra-{n}"), "label": format!("Extra {n}"), "shift": "09:00-12:00" }));
    adults.extend(more);
    let faults = read(scenario.to_string().as_bytes()).expect_err("too many adults");
    let causes: Vec<&str> = faults.iter().map(|fault| fault.cause.as_str()).collect();
    assert!(causes.iter().any(|c| c.ends_with("adults on that date, at most 40")), "{causes:?}");
}

/// Everything that is done for a chart.
fn whole(scenario: &Value) -> Plan {
    let day = open(scenario);
    let options = Options { seed: 0, ..Options::default() };
    make(&day, &options)
}

#[test]
fn whoever_says_stop_is_heard_at_every_stage_and_nothing_is_changed_by_asking() {
    let mut heard = BTreeSet::new();
    for name in ["hall-and-loft", "mixed-age-room"] {
        let scenario = shipped(name);
        let undisturbed: Chart = whole(&scenario).chart;
        // What was asked at, and the most steps between two questions: counted, so that both are the
        // same on every machine.
        let asked: Rc<RefCell<(BTreeSet<Stage>, u64)>> = Rc::default();
        let (told, mut last) = (Rc::clone(&asked), steps::done());
        let ask = move |stage| {
            let now = steps::done();
            let mut told = told.borrow_mut();
            told.0.insert(stage);
            told.1 = told.1.max(now - last);
            last = now;
            false
        };
        let done = steps::until(ask, || whole(&scenario)).expect("nobody says stop");
        assert_eq!(done.chart, undisturbed, "{name}");
        let (stages, most) = asked.take();
        assert!(most < 4 * steps::BETWEEN, "{name}: {most} steps without a question");
        for stage in stages.iter().copied() {
            let stopped = steps::until(move |at| at == stage, || whole(&scenario));
            assert_eq!(stopped.err(), Some(Stopped), "{name}: {stage:?}");
        }
        assert_eq!(whole(&scenario).chart, undisturbed, "{name}: what was left harms nothing");
        heard.extend(stages);
    }
    for stage in [Stage::Model, Stage::Search, Stage::Posts, Stage::Audit] {
        assert!(heard.contains(&stage), "{stage:?} is never asked at: {heard:?}");
    }
}
