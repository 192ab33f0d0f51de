//! A small sound scenario to break, and a way to say which faults that must give.

use fairturn::wire::Fault;
use fairturn::wire::scenario::{Scenario, read};

/// Sound, with two rooms, so that little is left to defaults.
pub const SOUND: &str = r#"{
  "format": 1,
  "about": "Invented.",
  "site": {
    "id": "mole",
    "label": "The Mole",
    "time_zone": "Europe/Dublin",
    "standards": ["ireland-full-day"],
    "settings": { "care_minutes": 5 }
  },
  "rooms": [
    { "id": "shore", "home": "den", "spaces": ["den", "yard"], "schedule": "long",
      "groups": [{ "id": "crabs", "label": "Crabs", "children": ["ada"] }] },
    { "id": "dune", "home": "loft", "schedule": "short" }
  ],
  "spaces": [
    { "id": "den", "label": "Den" },
    { "id": "loft", "label": "Loft" },
    { "id": "yard", "label": "Yard", "outdoors": true, "shared": true }
  ],
  "zones": [
    { "id": "mat", "label": "Mat", "space": "den" },
    { "id": "sill", "label": "Sill", "space": "loft" }
  ],
  "tables": [
    { "id": "oak", "label": "Oak", "zone": "mat", "seats": 4 },
    { "id": "ash", "label": "Ash", "zone": "sill", "seats": 4 }
  ],
  "stations": [
    { "id": "bricks", "preset": "blocks", "zone": "mat" },
    { "id": "paint", "preset": "art", "zone": "mat", "stands_on": "oak" },
    { "id": "tales", "preset": "books", "zone": "sill" }
  ],
  "children": [
    { "id": "ada", "label": "Ada", "born": "2022-05-01", "room": "shore", "times": "08:30-16:00" },
    { "id": "ben", "label": "Ben", "born": "2023-01-15", "room": "shore", "times": "08:30-16:00" },
    { "id": "cleo", "label": "Cleo", "born": "2021-09-09", "room": "dune", "times": "full-day" }
  ],
  "adults": [
    { "id": "dot", "label": "Dot", "shift": "08:00-16:30", "rooms": ["shore"], "lead": true },
    { "id": "eli", "label": "Eli", "shift": "08:00-16:30", "rooms": ["dune"], "lead": true }
  ],
  "schedules": [
    { "id": "long", "room": "shore", "preset": "full-day",
      "times": { "opens": "08:00", "snack": "09:45", "outdoors": "10:45", "lunch": "12:00",
        "rest": "12:45", "closes": "16:30" } },
    { "id": "short", "room": "dune", "open": "08:30-12:30",
      "parts": [
        { "kind": "arrival", "when": "08:30-09:00" },
        { "kind": "circle", "when": "09:00-09:15" }
      ],
      "stretches": [{ "kind": "assigned", "when": "09:15-10:15" }],
      "meals": [{ "kind": "morning_snack", "window": "10:15-10:45", "minutes": 15 }],
      "care_rounds": ["10:15-11:00"],
      "tasks": [{ "label": "Sweep", "minutes": 10, "window": "12:00-12:30" }],
      "movement": { "minutes": 10, "outdoor_day": 1, "indoor_day": 2 } }
  ],
  "days": [
    { "date": "2026-04-14", "children": { "ada": "09:00-15:00" }, "adults": { "eli": "away" } }
  ],
  "visits": [{ "date": "2026-04-13", "station": "bricks", "children": ["ada"] }]
}
"#;

/// The sample with some of its text replaced; what is replaced must stand there once.
pub fn sample(edits: &[(&str, &str)]) -> String {
    let mut text = SOUND.to_string();
    for (from, to) in edits {
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in the sample");
        text = text.replace(from, to);
    }
    text
}

/// The faults of the sample after some edits.
pub fn broken(edits: &[(&str, &str)]) -> (String, Vec<Fault>) {
    let text = sample(edits);
    let faults = match read(text.as_bytes()) {
        Ok(_) => panic!("this should not be read: {edits:?}"),
        Err(faults) => faults,
    };
    (text, faults)
}

/// The sample after some edits, which leave it sound.
pub fn sound(edits: &[(&str, &str)]) -> Scenario {
    let told = |faults: Vec<Fault>| faults.iter().map(|f| format!("{f}\n")).collect::<String>();
    read(sample(edits).as_bytes()).unwrap_or_else(|faults| panic!("{}", told(faults)))
}

/// What stands at a fault's line and column.
fn standing_at<'t>(text: &'t str, fault: &Fault) -> &'t str {
    let line = text.lines().nth(fault.line as usize - 1).unwrap_or_default();
    let at = line.char_indices().nth(fault.column as usize - 1).map_or(line.len(), |(at, _)| at);
    &line[at..]
}

/// Checks that some edits give exactly these faults, in the order of the text: the pointer, how the
/// text at its place begins, a part of the cause.
#[track_caller]
pub fn check(edits: &[(&str, &str)], wanted: &[(&str, &str, &str)]) {
    let (text, faults) = broken(edits);
    let told: String = faults.iter().map(|f| format!("{f}\n")).collect();
    assert_eq!(faults.len(), wanted.len(), "{told}");
    for (fault, (pointer, begins, cause)) in faults.iter().zip(wanted) {
        assert_eq!(fault.pointer, *pointer, "{told}");
        assert!(standing_at(&text, fault).starts_with(begins), "{begins} is not there:\n{told}");
        assert!(fault.cause.contains(cause), "{cause}:\n{told}");
        assert!(!fault.mend.is_empty(), "{told}");
    }
}

#[test]
fn the_sample_itself_is_sound() {
    assert_eq!(sound(&[]).site.children.len(), 3);
}
