//! An adult whom several rooms share counts in a room only when it is told that the adult is there.

use fairturn::day::Day;
use fairturn::planner::{Options, Plan, make};
use fairturn::site::{AdultIndex, RoomIndex, Span};
use fairturn::wire::scenario::read;
use serde_json::{Value, json};

/// Two rooms of two children each, with one adult each and one who floats.
fn site() -> Value {
    json!({
        "format": 1,
        "about": "Invented: two rooms by the water and somebody who floats between them.",
        "site": { "label": "Two rooms", "time_zone": "Europe/Dublin", "standards": ["ireland-full-day"] },
        "rooms": [
            { "id": "gull", "label": "Gull room", "home": "gull", "schedule": "short" },
            { "id": "tern", "label": "Tern room", "home": "tern", "schedule": "short" }
        ],
        "spaces": [{ "id": "gull", "label": "Gull" }, { "id": "tern", "label": "Tern" }],
        "stations": [
            { "id": "blocks", "preset": "blocks", "space": "gull" },
            { "id": "books", "preset": "books", "space": "tern" }
        ],
        "children": [
            { "label": "Ada", "born": "2021-05-02", "room": "gull" },
            { "label": "Bo", "born": "2021-06-02", "room": "gull" },
            { "label": "Cy", "born": "2021-05-12", "room": "tern" },
            { "label": "Di", "born": "2021-06-12", "room": "tern" }
        ],
        "adults": [
            { "label": "Rune", "shift": "09:00-11:00", "rooms": ["gull"], "lead": true, "breaks": [] },
            { "label": "Siv", "shift": "09:00-11:00", "rooms": ["tern"], "lead": true, "breaks": [] },
            {
                "label": "Oona", "shift": "09:00-11:00", "floater": true,
                "breaks": [{ "minutes": 10, "window": "09:00-11:00" }]
            }
        ],
        "schedules": [{ "id": "short", "open": "09:00-11:00", "care_rounds": [] }],
        "days": [{ "date": "2026-04-14", "indoor": true }]
    })
}

fn open(scenario: &Value, room: usize) -> Day {
    let read = read(scenario.to_string().as_bytes()).unwrap_or_else(|f| panic!("{f:#?}"));
    read.open(RoomIndex(room), read.date).unwrap_or_else(|f| panic!("{f:#?}"))
}

fn plan(scenario: &Value, room: usize) -> (Day, Plan) {
    let day = open(scenario, room);
    let plan = make(&day, &Options::default());
    (day, plan)
}

const OONA: AdultIndex = AdultIndex(2);

fn here(day: &Day) -> Vec<String> {
    day.adult_here(OONA).iter().map(Span::to_string).collect()
}

#[test]
fn untold_a_floater_is_counted_nowhere_and_the_chart_says_so() {
    for (room, label) in ["Gull room", "Tern room"].iter().enumerate() {
        let (day, plan) = plan(&site(), room);
        assert_eq!(here(&day), Vec::<String>::new());
        assert!(plan.chart.adult(OONA).is_none());
        let said = format!(
            "Note: Oona works in several rooms, and nothing is said of when in {label} \
             (`in_rooms`): the chart counts on Oona for nothing."
        );
        assert!(plan.notes.contains(&said), "{:?}", plan.notes);
    }
}

#[test]
fn told_it_is_counted_there_and_then_and_in_one_room_at_a_time() {
    let mut told = site();
    told["adults"][2]["in_rooms"] = json!({ "gull": "09:00-10:00", "tern": ["10:00-11:00"] });
    let [gull, tern] = [0, 1].map(|room| plan(&told, room));
    assert_eq!([here(&gull.0), here(&tern.0)], [["09:00 to 10:00"], ["10:00 to 11:00"]]);
    for (day, plan) in [gull, tern] {
        assert!(day.site[OONA].breaks.is_empty(), "where the break is, no room can say");
        assert!(plan.problems.is_empty(), "{:?}", plan.problems);
        let said = format!(
            "Note: Oona works in several rooms: the chart counts on Oona {}, as it is told, and \
             plans no staff break.",
            here(&day)[0]
        );
        assert!(plan.notes.contains(&said), "{:?}", plan.notes);
    }
    // A date may say otherwise; whoever is in one room for a whole shift has the break there.
    told["days"][0]["in_rooms"] = json!({ "oona": { "tern": "08:00-12:00" } });
    let [gull, tern] = [0, 1].map(|room| open(&told, room));
    assert_eq!((here(&gull).len(), here(&tern)), (0, vec!["09:00 to 11:00".to_owned()]));
    assert_eq!(tern.site[OONA].breaks.len(), 1);
}

#[test]
fn in_a_site_of_one_room_a_floater_is_always_there() {
    let mut one = site();
    for list in ["rooms", "spaces", "stations"] {
        one[list].as_array_mut().expect("a list").truncate(1);
    }
    one["children"].as_array_mut().expect("a list").truncate(2);
    one["adults"].as_array_mut().expect("a list").remove(1);
    let day = open(&one, 0);
    assert_eq!(day.adult_here(AdultIndex(1)).len(), 1);
    assert!(make(&day, &Options::default()).notes.iter().all(|n| !n.contains("several rooms")));
}

#[test]
fn who_is_told_to_be_in_two_rooms_at_once_is_a_fault() {
    let mut told = site();
    told["adults"][2]["in_rooms"] = json!({ "gull": "09:00-10:00", "tern": "09:30-11:00" });
    let faults = read(told.to_string().as_bytes()).expect_err("a fault");
    let fault = faults.iter().find(|f| f.pointer == "/adults/2/in_rooms/tern").expect("its place");
    assert_eq!(fault.cause, "Oona is in `gull` and in `tern` at once, 09:30 to 10:00");
    let mut unknown = site();
    unknown["days"][0]["in_rooms"] = json!({ "oona": { "lark": "09:00-10:00" } });
    assert!(read(unknown.to_string().as_bytes()).is_err(), "no such room");
}
