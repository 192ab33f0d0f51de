//! Ids that labels make.

use fairturn::wire::scenario::read;
use serde_json::{Value, json};

fn id_of(label: &str) -> Option<String> {
    let text = include_str!("../../scenarios/half-day.scenario.json");
    let mut scenario: Value = serde_json::from_str(text).expect("JSON");
    let new = json!({ "label": label, "born": "2022-01-01" });
    scenario["children"].as_array_mut().expect("children").push(new);
    let read = read(scenario.to_string().as_bytes()).ok()?;
    read.site.children.last().map(|child| child.id.clone())
}

#[test]
fn a_label_makes_an_id_that_can_be_typed() {
    assert_eq!(id_of("  The Big Boat (red)! ").as_deref(), Some("the-big-boat-red"));
    assert_eq!(id_of("\u{c9}t\u{e9}").as_deref(), Some("\u{e9}t\u{e9}"));
    assert_eq!(id_of("!!").as_deref(), Some("child-14"), "there is nothing to type of it");
}
