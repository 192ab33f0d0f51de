//! A chart that is written and read is the same chart; a damaged one says where.

use super::quay;
use fairturn::planner;
use fairturn::wire::Fault;
use fairturn::wire::chart::{read_chart, read_chart_day, write_chart};
use serde_json::Value;

fn written() -> String {
    let day = quay::day();
    write_chart(&day, &planner::audit(&day, quay::chart()))
}

/// The faults of the written chart after one change to its JSON.
fn faults_after(change: impl FnOnce(&mut Value)) -> Vec<Fault> {
    let mut json: Value = serde_json::from_str(&written()).expect("what we write is JSON");
    change(&mut json);
    read_chart(json.to_string().as_bytes(), &quay::day()).expect_err("the change is a fault")
}

#[test]
fn what_is_written_reads_back_as_the_same_chart() {
    let text = written();
    let read = read_chart(text.as_bytes(), &quay::day()).expect("no fault in what we write");
    assert_eq!(read, quay::chart());
    assert_eq!(written(), text, "the same plan, the same bytes");
    let of = read_chart_day(text.as_bytes()).expect("room and date");
    assert_eq!((of.room.as_str(), of.date), ("quay-room", quay::date()));
}

#[test]
fn ids_stand_for_people_and_places_and_the_clock_for_minutes() {
    let json: Value = serde_json::from_str(&written()).expect("JSON");
    let cleo = json["children"].as_array().expect("a list").iter().find(|c| c["id"] == "cleo");
    let stay = cleo.expect("Cleo comes")["stays"]
        .as_array()
        .expect("a list")
        .iter()
        .find(|s| s["from"] == "09:30")
        .expect("a stay at 9:30");
    assert_eq!(stay["at"], serde_json::json!({"kind": "station", "id": "books"}));
    assert_eq!(stay["exception"], "barred");
    let minutes = &json["minutes"][2];
    assert_eq!(minutes["child"], "cleo");
    let total: u64 = minutes.as_object().expect("kinds").values().filter_map(Value::as_u64).sum();
    assert_eq!(total, 360, "every minute of the six hours goes somewhere");
    let moves = json["head_counts"].as_array().expect("a list");
    assert_eq!(moves[0]["from"], "08:45");
    assert_eq!(moves[0]["heads"], 5, "one child comes after the first tidying");
    assert_eq!(moves[1]["adults"], serde_json::json!(["marit", "jonas"]));
}

#[test]
fn an_adult_counts_only_while_free_for_all_children() {
    let json: Value = serde_json::from_str(&written()).expect("JSON");
    let counts = |adult: usize, from: &str| {
        let posts = json["adults"][adult]["posts"].as_array().expect("a list");
        posts.iter().find(|p| p["from"] == from).expect("a post then")["counts"].clone()
    };
    assert_eq!(counts(0, "10:40"), true, "the changing place is in sight");
    assert_eq!(counts(0, "13:00"), false, "on a staff break");
    assert_eq!(counts(1, "11:20"), false, "setting out cots");
    assert_eq!(counts(2, "08:00"), false, "beside one child alone");
    assert_eq!(counts(2, "12:10"), true);
}

#[test]
fn every_fault_of_an_edited_chart_is_told_with_its_place() {
    let faults = faults_after(|json| {
        json["children"][0]["stays"][3]["at"]["id"] = "artt".into();
        json["children"][1]["stays"][0]["to"] = "08:00".into();
        json["adults"][0]["posts"][1]["at"] = serde_json::json!({"kind": "station"});
        json["groups"][0]["cells"][2]["block"] = "circle".into();
        json["adults"][2]["id"] = "jonas".into();
    });
    let told: Vec<(&str, &str)> =
        faults.iter().map(|f| (f.pointer.as_str(), f.mend.as_str())).collect();
    assert_eq!(
        told,
        [
            ("/groups/0/cells/2/block", "did you mean `circle-1`?"),
            ("/children/0/stays/3/at/id", "did you mean `art`?"),
            ("/children/1/stays/0", "let it end after it starts, on the same day"),
            ("/adults/0/posts/1/at", "add `id`"),
            ("/adults/2/id", "let each have its own"),
        ]
    );
}

#[test]
fn a_chart_of_another_day_or_shape_is_not_read() {
    let wrong_day = faults_after(|json| json["date"] = "2026-04-15".into());
    assert_eq!(wrong_day[0].pointer, "/date");
    let newer = faults_after(|json| json["format"] = 2.into());
    assert_eq!(newer[0].pointer, "/format");
    let misspelt = faults_after(|json| json["adultz"] = json["adults"].clone());
    assert_eq!(misspelt[0].pointer, "/adultz");
    let broken = faults_after(|json| json["adults"][0]["posts"][16]["at"]["id"] = "2".into());
    assert_eq!(broken[0].pointer, "/adults/0/posts/16/at/id", "only one staff break is due");
    let child = faults_after(|json| {
        json["children"][0]["stays"][0]["at"] =
            serde_json::json!({"kind": "staff_break", "id": "1"});
    });
    assert_eq!(child[0].pointer, "/children/0/stays/0/at/id", "children have no staff breaks");
}
