//! What is built in, as JSON for programs.

use super::command::{err, fairturn, file, one_line, out};
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

#[test]
fn standards_are_found_by_place_and_plain_words() {
    let one = fairturn(&["standards", "norge"]);
    assert_eq!((one.status.code(), err(&one)), (Some(0), ""));
    assert_eq!(out(&one), out(&fairturn(&["standards", "norway"])), "one is printed whole");
    let json_of = json(&["standards", "norge", "--format", "json"]);
    assert_eq!(json_of["id"], "norway");
    let two = fairturn(&["standards", "new", "york"]);
    assert!(out(&two).starts_with("2 standards fit `new york`; "), "{}", out(&two));
    assert!(out(&two).contains("  new-york-city  ") && !out(&two).contains("  texas"));
    let two = json(&["standards", "new york", "--format", "json"]);
    let ids: Vec<&str> =
        two.as_array().expect("a list").iter().filter_map(|s| s["id"].as_str()).collect();
    assert_eq!(ids, ["new-york", "new-york-city"]);
}

#[test]
fn where_no_standard_fits_it_is_said_what_to_do() {
    for (words, cause) in [
        ("deutschland", "no standard that is built in fits `deutschland`; "),
        ("danmark", "no standard of Denmark is built in, because its law (Dagtilbudsloven, "),
    ] {
        for format in ["text", "json"] {
            let none = fairturn(&["standards", words, "--format", format]);
            assert_eq!((none.status.code(), out(&none)), (Some(2), ""), "{words}");
            assert!(err(&none).starts_with(&format!("standards: {cause}")), "{}", err(&none));
            assert!(err(&none).contains("`fairturn standards --template` prints local limits"));
            assert_eq!(err(&none).lines().count(), 1);
        }
    }
    let list = fairturn(&["standards"]);
    assert!(out(&list).contains("\nNot built in although some of its figures were at hand\n"));
}

/// The template binds a site as it is, its example is worked with its own figures, and limits that are filled
/// in are read in its place.
#[test]
fn the_template_can_be_filled_in_and_says_what_is_nearest() {
    let printed = fairturn(&["standards", "--template"]);
    assert_eq!((printed.status.code(), err(&printed)), (Some(0), ""));
    let text = one_line(out(&printed));
    assert!(text.contains("put this object under `site` in the scenario, as `local_limits`"));
    assert!(
        text.contains(
            "Our own limits: 4 of under 3 years at 1:4, 8 of 3 years and over at 1:8: together 2, \
             rounded up 2 adults; at most 12 together, 12 here: within."
        ),
        "{text}"
    );
    assert!(text.contains("The built-in rule set that is nearest by figures `"), "{text}");
    let template = fairturn(&["standards", "--template", "--format", "json"]);
    assert_eq!(out(&template), fairturn::standards::local_limits_example());
    let filled = out(&template).replace("\"per_adult\": 8", "\"per_adult\": 12");
    let name = file("limits.json", &filled);
    let own = one_line(out(&fairturn(&["standards", "--template", &name])));
    assert!(
        own.contains("12 of 3 years and over at 1:12") && !own.contains("put this object"),
        "{own}"
    );
    assert!(
        own.contains("`head-start`, Head Start, centre classes: 2 stretches of ages differ"),
        "{own}"
    );
    let near = json(&["standards", "--template", &name, "--format", "json"]);
    assert_eq!(near["nearest"]["id"], "head-start");
    assert_eq!(near["nearest"]["differs"][1]["there"], "2/20");
    let wrong = file("wrong-limits.json", &filled.replace("\"per_adult\": 4", "\"per_adult\": 0"));
    let told = fairturn(&["standards", "--template", &wrong]);
    assert_eq!((told.status.code(), out(&told)), (Some(2), ""));
    assert!(err(&told).contains("wrong-limits.json: these limits cannot be read: bands[0].ratio"));
    assert_eq!(
        fairturn(&["standards", "texas", "--template"]).status.code(),
        Some(2),
        "one or the other"
    );
}

#[test]
fn a_text_that_another_one_has_replaced_is_named_so() {
    let replaced: Vec<&str> =
        library().iter().filter(|s| !s.replaced_by.is_empty()).map(|s| s.id.as_str()).collect();
    assert_eq!(
        replaced,
        [
            "georgia",
            "ohio",
            "oregon",
            "virginia",
            "washington",
            "alberta",
            "scotland",
            "scotland-sessional"
        ]
    );
    let list = one_line(out(&fairturn(&["standards"])));
    assert!(
        list.contains("an older text, since renumbered (law where it applies), since replaced")
    );
    let one = one_line(out(&fairturn(&["standards", "scotland"])));
    assert!(one.contains(
        "In its place stands the Health and Social Care Standards, in force 1 April 2018"
    ));
    let one = json(&["standards", "washington", "--format", "json"]);
    assert!(one["replaced_by"].as_str().is_some_and(|by| by.starts_with("WAC 110-300-0356")));
}

/// The README names every set, in the order of the list, with a star where a part of it is from memory.
#[test]
fn the_readme_says_which_places_are_there_and_which_are_from_memory() {
    let path = format!("{}/README.md", env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(path).expect("the README");
    let lists = readme.lines().filter(|line| line.starts_with("- ") && line.contains(": `"));
    let named = lists.flat_map(|line| line.split_once(": ").expect("a colon").1.split(", "));
    let mut named: Vec<(&str, bool)> = named
        .map(|item| {
            let id = item.trim_start_matches('`').split('`').next().expect("an id");
            (id, item.ends_with("\\*"))
        })
        .collect();
    let mut built_in: Vec<(&str, bool)> =
        library().iter().map(|s| (s.id.as_str(), !s.from_memory().is_empty())).collect();
    named.sort_unstable();
    built_in.sort_unstable();
    assert_eq!(named, built_in);
    assert!(readme.contains("Fifty-nine published rule sets") && built_in.len() == 59);
}
