//! The description says what the service does.

use fairturn::http::facts::{FACTS, fields};
use fairturn::http::openapi;
use fairturn::http::operations::OPERATIONS;
use fairturn::http::settings::SETTINGS;
use fairturn::wire::scenario::read;
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn file(name: &str) -> String {
    let path = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{name}: {e}"))
}

#[test]
fn the_committed_description_is_today_s() {
    assert!(
        file("api/openapi.json") == openapi::text(),
        "serve, and fetch it anew: curl -s localhost:7117/openapi.json > api/openapi.json"
    );
}

#[test]
fn every_reference_in_it_leads_somewhere() {
    let document = openapi::document();
    let mut seen = BTreeSet::new();
    fn walk(value: &Value, seen: &mut BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                if let Some(Value::String(to)) = fields.get("$ref") {
                    seen.insert(to.clone());
                }
                fields.values().for_each(|field| walk(field, seen));
            }
            Value::Array(items) => items.iter().for_each(|item| walk(item, seen)),
            _ => {}
        }
    }
    walk(&document, &mut seen);
    assert!(seen.len() > 20, "{seen:?}");
    for to in seen {
        let place = to.strip_prefix('#').expect("inside");
        assert!(document.pointer(place).is_some(), "{to}");
    }
    let ids: BTreeSet<&str> = OPERATIONS.iter().map(|operation| operation.id).collect();
    assert_eq!(ids.len(), OPERATIONS.len(), "each name once");
}

/// The names that the reader knows at a place, as it tells them about one that it does not.
fn known(document: &Value, place: &str) -> Option<Vec<String>> {
    let mut document = document.clone();
    document.pointer_mut(place)?.as_object_mut()?.insert("zzqqzzqqzz".into(), json!(1));
    let faults = read(document.to_string().as_bytes()).err()?;
    let fault = faults.iter().find(|fault| fault.pointer == format!("{place}/zzqqzzqqzz"))?;
    let list = fault.mend.strip_prefix("remove it; known here are ")?;
    Some(list.split(", ").map(str::to_owned).collect())
}

#[test]
fn the_shapes_of_a_scenario_have_the_fields_that_are_read() {
    let document = json!({
        "format": 1, "site": {"label": "A", "time_zone": "Europe/Dublin", "standards": ["ireland-full-day"],
            "settings": {"meal_interval": {"least": 90, "most": 240}}},
        "rooms": [{"id": "r", "home": "s", "groups": [{"id": "g", "children": []}]}],
        "spaces": [{"id": "s", "care_place": {"seen_from": []}}],
        "zones": [{"id": "z", "label": "Z"}], "tables": [{"id": "t", "seats": 4}],
        "stations": [{"preset": "blocks"}],
        "children": [{"label": "C", "born": "2022-01-01", "one_to_one": {"adult": "a"},
            "settling_in": {"until": "2026-05-01", "with": "a"}}],
        "adults": [{"id": "a", "label": "A", "shift": "08:00-16:00",
            "breaks": [{"minutes": 10, "window": "10:00-11:00"}]}],
        "schedules": [{"open": "08:00-16:00", "parts": [{"kind": "circle", "when": "09:00-09:15"}],
            "stretches": [{"kind": "choice", "when": "09:15-10:00"}],
            "meals": [{"kind": "lunch", "window": "11:00-12:00"}], "rest": {"window": "12:00-14:00"},
            "tasks": [{"label": "T", "minutes": 10, "window": "12:00-14:00"}], "movement": {},
            "turn_minutes": [{"minutes": 10}]}],
        "days": [{"date": "2026-04-14", "kept": [{"child": "c", "station": "blocks", "when": "09:15-09:30"}],
            "weather": {"celsius": 10}, "offers": [{"station": "blocks", "activity": "Piers"}]}],
        "visits": [{"date": "2026-04-13", "station": "blocks", "children": []}],
    });
    let places = [
        ("Scenario", ""),
        ("SiteFacts", "/site"),
        ("SiteSettings", "/site/settings"),
        ("LeastMost", "/site/settings/meal_interval"),
        ("Room", "/rooms/0"),
        ("StandingGroup", "/rooms/0/groups/0"),
        ("Space", "/spaces/0"),
        ("CarePlace", "/spaces/0/care_place"),
        ("Zone", "/zones/0"),
        ("Table", "/tables/0"),
        ("Station", "/stations/0"),
        ("Child", "/children/0"),
        ("OneToOne", "/children/0/one_to_one"),
        ("SettlingIn", "/children/0/settling_in"),
        ("Adult", "/adults/0"),
        ("StaffBreak", "/adults/0/breaks/0"),
        ("Schedule", "/schedules/0"),
        ("Part", "/schedules/0/parts/0"),
        ("Stretch", "/schedules/0/stretches/0"),
        ("Meal", "/schedules/0/meals/0"),
        ("Rest", "/schedules/0/rest"),
        ("Task", "/schedules/0/tasks/0"),
        ("Movement", "/schedules/0/movement"),
        ("MinutesByAge", "/schedules/0/turn_minutes/0"),
        ("DayOfScenario", "/days/0"),
        ("DayEntry", "/days/0"),
        ("Kept", "/days/0/kept/0"),
        ("Weather", "/days/0/weather"),
        ("Offer", "/days/0/offers/0"),
        ("Visit", "/visits/0"),
    ];
    for (name, place) in places {
        let told = FACTS.iter().find(|(facts, ..)| *facts == name).expect("a shape").2;
        let read: BTreeSet<String> = known(&document, place)
            .unwrap_or_else(|| panic!("{name}: nothing is told"))
            .into_iter()
            .collect();
        let told: BTreeSet<String> = fields(told).into_iter().map(str::to_owned).collect();
        assert_eq!(told, read, "{name}");
    }
}

#[test]
fn the_shape_of_a_chart_has_the_fields_that_are_read() {
    let chart = json!({"format": 1, "date": "2026-04-14", "rooms": [], "zzqqzzqqzz": 1});
    let faults = fairturn::wire::chart::read_chart_day(chart.to_string().as_bytes());
    let faults = faults.expect_err("a field that nobody knows");
    let fault = faults.iter().find(|fault| fault.pointer == "/zzqqzzqqzz").expect("it is told");
    let known = fault.mend.strip_prefix("remove it; known here are ").expect("a list");
    let read: BTreeSet<&str> = known.split(", ").collect();
    let told = FACTS.iter().find(|(facts, ..)| *facts == "ChartGiven").expect("a shape").2;
    assert_eq!(fields(told).into_iter().collect::<BTreeSet<&str>>(), read);
}

#[test]
fn the_readme_lists_every_setting() {
    let readme = file("README.md");
    for setting in SETTINGS {
        let line = format!(
            "| `--{}` | `{}` | `{}` | {} |",
            setting.flag,
            setting.variable(),
            setting.default,
            setting.says
        );
        assert!(readme.contains(&line), "{line}");
    }
}

#[tokio::test]
async fn what_a_repaired_chart_has_more_is_described() {
    let rig = super::rig().await;
    let chart = rig.post("/v1/charts", &super::home()).await.is(200).json();
    let happened = json!([{"what": "leaving", "child": "bo", "at": "14:00"}]);
    let sent = json!({"scenario": super::scenario("family-home"), "chart": chart, "at": "10:15",
        "happenings": happened});
    let repaired = rig.post("/v1/repairs", &sent).await.is(200).json();
    let document = openapi::document();
    let shape = |name: &str| -> BTreeSet<String> {
        let fields = document["components"]["schemas"][name]["properties"].as_object();
        fields.unwrap_or_else(|| panic!("{name}")).keys().cloned().collect()
    };
    let described = |value: &Value, name: &str| {
        let fields = value.as_object().unwrap_or_else(|| panic!("{name}"));
        let unknown: Vec<&String> = fields.keys().filter(|k| !shape(name).contains(*k)).collect();
        assert!(unknown.is_empty(), "{name}: {unknown:?}");
    };
    let whole = &document["components"]["schemas"]["ChartFile"]["properties"];
    for more in ["repair", "changes"] {
        assert!(repaired.get(more).is_some() && whole.get(more).is_some(), "{more}");
    }
    described(&repaired["repair"], "RepairLine");
    described(&repaired["repair"]["moved"], "MovedLine");
    described(&repaired["repair"]["unchanged"], "UnchangedLine");
    let changes = repaired["changes"].as_array().expect("changes");
    assert!(!changes.is_empty());
    for change in changes {
        described(change, "ChangeLine");
        for place in ["was", "now"].iter().filter_map(|name| change.get(name)) {
            described(place, "ChangedPlaceLine");
        }
    }
}
