//! What is built in, as JSON for programs.

use super::command::{err, fairturn, out};
use fairturn::rules::{AIMS, RULES};
use fairturn::standards::library;
use serde_json::Value;

fn json(arguments: &[&str]) -> Value {
    let answer = fairturn(arguments);
    assert_eq!((answer.status.code(), err(&answer)), (Some(0), ""), "{arguments:?}");
    serde_json::from_str(out(&answer)).expect("only JSON on standard output")
}

#[test]
fn standards_are_a_list_in_the_order_of_the_printed_one() {
    let list = json(&["standards", "--format", "json"]);
    let list = list.as_array().expect("a list");
    let ids: Vec<&str> = list.iter().filter_map(|s| s["id"].as_str()).collect();
    assert_eq!(ids, library().iter().map(|s| s.id.as_str()).collect::<Vec<_>>());
    let one = |id: &str| list.iter().find(|s| s["id"] == id).expect("built in");
    let ontario = one("ontario");
    assert_eq!(ontario["place"], "Ontario");
    assert_eq!(
        (&ontario["method"], &ontario["tag"]),
        (&"percent_threshold".into(), &"memory".into())
    );
    let infant = &ontario["bands"][0];
    assert_eq!((&infant["from_months"], &infant["below_months"]), (&0.into(), &18.into()));
    assert_eq!((&infant["ratio"], &infant["class_size"]["children"]), (&"3/10".into(), &10.into()));
    assert_eq!(one("missouri")["method_detail"]["at_most"], 4);
    assert_eq!(one("new-zealand")["bands"][0]["ratio"]["steps"][1]["up_to"], 10);
    assert_eq!(one("england-eyfs")["bands"][2]["until"]["birthday"], 5);
    for standard in list {
        for band in standard["bands"].as_array().expect("bands") {
            let key = band["source"].as_str().expect("a key");
            assert!(standard["sources"][key]["document"].is_string(), "{} {key}", standard["id"]);
        }
    }
}

#[test]
fn one_standard_says_all_of_it() {
    for standard in library() {
        let one = json(&["standards", &standard.id, "--format", "json"]);
        assert_eq!(one["id"], standard.id.as_str());
        assert_eq!(one["figures"].as_array().map(Vec::len), Some(standard.figures().len()));
        assert_eq!(one["notes"].as_array().map(Vec::len), Some(standard.notes.len()));
    }
    let washington = json(&["standards", "washington", "--format", "json"]);
    assert_eq!(washington["staff_breaks"]["rests"]["longest_without"], 180);
    let california = json(&["standards", "california", "--format", "json"]);
    assert_eq!(california["staff_breaks"]["meals"][0]["waivable_up_to"], 360);
    assert_eq!(california["rest"]["kind"]["sleepers"]["per_adult"], 24);
    let remembered = json(&["standards", "wisconsin", "--format", "json"]);
    assert_eq!(remembered["from_memory"][0], "the ratios");
    let wrong = fairturn(&["standards", "ontaria", "--format", "json"]);
    assert_eq!((wrong.status.code(), out(&wrong)), (Some(2), ""));
}

#[test]
fn rules_and_aims_are_two_lists_in_their_order() {
    let lists = json(&["rules", "--format", "json"]);
    let slugs = |list: &str| -> Vec<String> {
        let items = lists[list].as_array().expect("a list").iter();
        items.map(|item| item["slug"].as_str().expect("a slug").to_owned()).collect()
    };
    assert_eq!(slugs("rules"), RULES.iter().map(|r| r.slug).collect::<Vec<_>>());
    assert_eq!(slugs("aims"), AIMS.iter().map(|a| a.slug).collect::<Vec<_>>());
    assert_eq!(lists["aims"][0]["unit"], AIMS[0].unit);
    assert_eq!(lists["rules"][0]["says"], RULES[0].says);
}

#[test]
fn what_is_from_memory_is_marked_where_it_is_printed() {
    let text = fairturn(&["standards", "scotland"]);
    assert!(!out(&text).contains("From memory"), "nothing of it is");
    let text = fairturn(&["standards", "california"]);
    assert!(out(&text).contains("From memory, not compared with the text"));
    assert!(out(&text).contains("Staff breaks (California)"));
    assert!(out(&text).contains("10 minutes for each 240 minutes or the greater part of it"));
}
