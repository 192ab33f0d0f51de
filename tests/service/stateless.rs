//! Whole scenarios in, charts out, nothing kept.

use super::{Rig, home, rig, rig_with, scenario};
use serde_json::{Value, json};

#[tokio::test]
async fn a_chart_is_made_and_judged_again_alike() {
    let rig = rig().await;
    let chart = rig.post("/v1/charts", &home()).await.is(200).json();
    assert_eq!(chart["site"], "gull-steps-family-home");
    assert!(chart["children"].as_array().is_some_and(|list| !list.is_empty()));
    assert_eq!(
        rig.post("/v1/charts", &home()).await.json(),
        chart,
        "the same seed, the same chart"
    );
    let judged = json!({"scenario": scenario("family-home"), "chart": chart});
    let audited = rig.post("/v1/audits", &judged).await.is(200).json();
    for field in ["safe_to_run", "problems", "children", "adults", "ratio"] {
        assert_eq!(audited[field], chart[field], "{field}");
    }
}

#[tokio::test]
async fn a_chart_goes_out_in_the_form_that_is_asked_for() {
    let rig = rig().await;
    let ask = |accept: &'static str| {
        let (asker, body) = (rig.asker(), home().to_string());
        async move { asker.send("POST", "/v1/charts", &[("accept", accept)], Some(&body)).await }
    };
    let text = ask("text/plain").await.is(200);
    assert!(text.text.contains("count the children"), "{}", text.text);
    let csv = ask("text/csv").await.is(200);
    let chart = rig.post("/v1/charts", &home()).await.json();
    let lines: usize = [("children", "stays"), ("adults", "posts")]
        .iter()
        .flat_map(|(list, inner)| {
            let people = chart[*list].as_array().expect("people");
            people.iter().map(move |person| person[*inner].as_array().map_or(0, Vec::len))
        })
        .sum();
    assert_eq!(csv.text.lines().count(), lines + 1);
    ask("image/png").await.is(406);
    // A list may stand in several lines.
    let (asker, lines) = (rig.asker(), [("accept", "image/png"), ("accept", "text/csv")]);
    let told = asker.send("POST", "/v1/charts", &lines, Some(&home().to_string())).await.is(200);
    assert!(told.header("content-type").starts_with("text/csv"));
}

#[tokio::test]
async fn a_calendar_has_its_time_zone_and_every_post() {
    let rig = rig().await;
    let told = rig
        .asker()
        .send("POST", "/v1/charts", &[("accept", "text/calendar")], Some(&home().to_string()))
        .await
        .is(200);
    let chart = rig.post("/v1/charts", &home()).await.json();
    let posts = chart["adults"].as_array().expect("adults").iter();
    let posts: usize = posts.map(|adult| adult["posts"].as_array().map_or(0, Vec::len)).sum();
    assert_eq!(told.text.matches("BEGIN:VEVENT").count(), posts);
    assert!(told.text.lines().all(|line| line.len() <= 75), "folded lines");
    assert!(told.text.split("\r\n").all(|line| !line.contains('\n')), "CRLF alone");
    // Halifax: clocks go forward on 8 March 2026 at 02:00 and back on 1 November.
    for line in [
        "TZID:America/Halifax",
        "DTSTART:20260308T020000\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0300",
        "DTSTART:20261101T020000\r\nTZOFFSETFROM:-0300\r\nTZOFFSETTO:-0400",
        "DTSTART;TZID=America/Halifax:20260414T",
    ] {
        assert!(told.text.contains(line), "{line} in {}", told.text);
    }
}

/// An offset such as `-0330`, in minutes.
fn minutes_of(offset: &str) -> i64 {
    let (hours, minutes) = offset[1..].split_at(2);
    let number = |text: &str| text.parse::<i64>().expect("a number");
    let all = number(hours) * 60 + number(minutes);
    if offset.starts_with('-') { -all } else { all }
}

/// A local time of a calendar, in minutes since 1970 by UTC, as RFC 5545 reads it: the offset is that of
/// the last change whose own local time, by the clocks before it, is not after it.
fn minutes_by_utc(calendar: &str, local: &str) -> i64 {
    let read = |text: &str| {
        let time = chrono::NaiveDateTime::parse_from_str(text, "%Y%m%dT%H%M%S").expect("a time");
        time.and_utc().timestamp() / 60
    };
    let mut changes: Vec<(i64, i64)> = Vec::new();
    for kind in ["STANDARD", "DAYLIGHT"] {
        for part in calendar.split(&format!("BEGIN:{kind}\r\n")).skip(1) {
            let field = |name: &str| {
                let line = part.lines().find_map(|line| line.strip_prefix(name));
                line.expect("a field of the change").trim().to_owned()
            };
            changes.push((read(&field("DTSTART:")), minutes_of(&field("TZOFFSETTO:"))));
        }
    }
    changes.sort_unstable();
    let at = read(local);
    let last = changes.iter().rev().find(|(onset, _)| *onset <= at).expect("a change before it");
    at - last.1
}

/// Dublin's clocks go back at 02:00 on 25 October 2026: the posts of the night follow each other without a
/// gap or an overlap, over nine hours, and those in the hour say that it comes twice.
#[tokio::test]
async fn a_calendar_of_the_night_on_which_clocks_go_back_is_right() {
    let rig = rig().await;
    let night: Value = serde_json::from_str(crate::clocks::NIGHT).expect("JSON");
    let body = json!({ "scenario": night }).to_string();
    let lines = [("accept", "text/calendar")];
    let told = rig.asker().send("POST", "/v1/charts", &lines, Some(&body)).await.is(200);
    let text = told.text.replace("\r\n ", "");
    let (zone, _) = text.split_once("BEGIN:VEVENT").expect("events");
    let mut by_adult: std::collections::BTreeMap<String, Vec<(i64, i64)>> = Default::default();
    for event in text.split("BEGIN:VEVENT").skip(1) {
        let field = |name: &str| {
            let line = event.lines().find_map(|line| line.strip_prefix(name));
            line.map(|line| line.trim().to_owned())
        };
        let time = |name: &str| {
            let local = field(&format!("{name};TZID=Europe/Dublin:")).expect("a local time");
            let at = minutes_by_utc(zone, &local);
            let naive = chrono::NaiveDateTime::parse_from_str(&local, "%Y%m%dT%H%M%S");
            let zoned = naive.expect("a time").and_local_timezone(chrono_tz::Europe::Dublin);
            let first = zoned.earliest().expect("it is there");
            assert_eq!(at, first.timestamp() / 60, "{local}");
            (at, local)
        };
        let ((from, starts), (to, ends)) = (time("DTSTART"), time("DTEND"));
        let within = starts.as_str() < "20261025T020000" && ends.as_str() > "20261025T010000";
        let told = field("DESCRIPTION:").unwrap_or_default();
        assert_eq!(told.contains("01:00 to 02:00 comes twice"), within, "{event}");
        let who = field("SUMMARY:").expect("a summary");
        let who = who.split(':').next().unwrap_or_default().to_owned();
        by_adult.entry(who).or_default().push((from, to));
    }
    assert_eq!(by_adult.len(), 2);
    for (who, posts) in by_adult {
        assert!(posts.windows(2).all(|two| two[0].1 == two[1].0), "{who}: {posts:?}");
        let all = posts.last().expect("posts").1 - posts[0].0;
        assert_eq!(all, 9 * 60, "{who}: eight hours by the clock");
    }
}

#[tokio::test]
async fn every_fault_is_told_with_its_pointer() {
    let rig = rig().await;
    let mut body = home();
    body["scenario"]["children"][0]["born"] = json!("soon");
    body["scenario"]["stations"][0]["seats"] = json!(-1);
    let told = rig.post("/v1/charts", &body).await.is(422);
    assert_eq!(told.problem(), "facts");
    let faults = told.json()["faults"].as_array().cloned().expect("faults");
    let pointers: Vec<&str> = faults.iter().filter_map(|fault| fault["pointer"].as_str()).collect();
    assert!(pointers.contains(&"/scenario/children/0/born"), "{pointers:?}");
    assert!(pointers.contains(&"/scenario/stations/0/seats"), "{pointers:?}");
    let told = rig.post("/v1/charts", &json!({"scenari": {}, "seed": "one"})).await.is(422);
    let faults = told.json()["faults"].as_array().map(Vec::len);
    assert_eq!(faults, Some(3), "{}", told.text);
}

async fn broken(rig: &Rig, body: &str) -> Value {
    let told = rig.asker().send("POST", "/v1/charts", &[], Some(body)).await.is(422);
    assert_eq!(told.problem(), "facts");
    told.json()
}

#[tokio::test]
async fn what_is_no_request_is_refused_and_changes_nothing() {
    let rig = rig_with(&[("search-percent", "2"), ("body-kib", "64")]).await;
    for body in ["", "{", "[]", "null", "{\"scenario\": {}}", "{\"seed\": 1, \"seed\": 2}", "\u{0}"]
    {
        broken(&rig, body).await;
    }
    broken(&rig, &("[".repeat(20_000))).await;
    let asker = rig.asker();
    let long = format!("{{\"scenario\": \"{}\"}}", "x".repeat(70_000));
    let told = asker.send("POST", "/v1/charts", &[], Some(&long)).await.is(413);
    assert_eq!(told.problem(), "body-too-long");
    let plain = [("content-type", "text/plain")];
    asker.send("POST", "/v1/charts", &plain, Some("{}")).await.is(415);
    let packed = [("content-encoding", "gzip")];
    asker.send("POST", "/v1/charts", &packed, Some("{}")).await.is(415);
    let told = asker.send("DELETE", "/v1/charts", &[], None).await.is(405);
    assert_eq!(told.header("allow"), "POST");
    assert_eq!(asker.send("GET", "/v2", &[], None).await.is(404).problem(), "missing");
    asker.send("GET", "/v1/rules?verbose=1", &[], None).await.is(400);
    asker.send("GET", "/v1/sites?limit=0", &[], None).await.is(400);
    let sites = rig.get("/v1/sites").await.is(200).json();
    assert_eq!(sites, json!({"sites": []}));
}

#[tokio::test]
async fn what_is_built_in_can_be_read() {
    let rig = rig().await;
    let rules = rig.get("/v1/rules").await.is(200).json();
    assert_eq!(rules["rules"].as_array().map(Vec::len), Some(fairturn::rules::RULES.len()));
    let standards = rig.get("/v1/standards").await.is(200).json();
    for standard in standards.as_array().expect("a list") {
        let id = standard["id"].as_str().expect("an id");
        let one = rig.get(&format!("/v1/standards/{id}")).await.is(200).json();
        assert_eq!(one["title"], standard["title"]);
        assert!(one["sources"].as_object().is_some_and(|list| !list.is_empty()), "{id}");
    }
    rig.get("/v1/standards/nowhere").await.is(404);
}

#[tokio::test]
async fn standards_are_found_by_place() {
    let rig = rig().await;
    let ids = |list: &Value| -> Vec<String> {
        let list = list.as_array().expect("a list").iter();
        list.map(|s| s["id"].as_str().expect("an id").to_owned()).collect()
    };
    for (words, found) in [
        ("texas", vec!["texas"]),
        ("new%20york", vec!["new-york", "new-york-city"]),
        ("Qu%C3%A9bec", vec!["quebec"]),
        ("deutschland", vec![]),
        ("", vec![]),
    ] {
        let list = rig.get(&format!("/v1/standards?place={words}")).await.is(200).json();
        assert_eq!(ids(&list), found, "{words}");
    }
    let asker = rig.asker();
    let text = [("accept", "text/plain")];
    let none = asker.send("GET", "/v1/standards?place=danmark", &text, None).await.is(200);
    assert!(none.text.starts_with("No standard of Denmark is built in, because"), "{}", none.text);
    let two = asker.send("GET", "/v1/standards?place=york", &text, None).await.is(200);
    assert!(two.text.starts_with("2 standards fit `york`"), "{}", two.text);
    let long = "x".repeat(81);
    asker.send("GET", &format!("/v1/standards?place={long}"), &[], None).await.is(400);
    asker.send("GET", "/v1/standards?plaice=texas", &[], None).await.is(400);
}

#[tokio::test]
async fn what_would_mend_a_day_is_answered_and_taken_by_its_number() {
    let rig = rig().await;
    let file = |name: &str| -> serde_json::Value {
        let path = format!("{}/scenarios/{name}", env!("CARGO_MANIFEST_DIR"));
        serde_json::from_str(&std::fs::read_to_string(path).expect("it")).expect("JSON")
    };
    let told = file("hall-and-loft.dentist.happenings.json");
    let mut ask = json!({"scenario": scenario("hall-and-loft"), "at": told["at"],
        "chart": file("hall-and-loft.posted.json"), "happenings": told["happenings"]});
    let broken = rig.post("/v1/repairs", &ask).await.is(200).json();
    let fixes = &broken["fixes"];
    assert_eq!((&broken["safe_to_run"], &fixes["mends"]), (&json!(false), &json!("all")));
    assert_eq!(fixes["offered"][0]["steps"][0]["what"], "floor_split", "{fixes:#}");
    ask["fix"] = json!(1);
    let mended = rig.post("/v1/repairs", &ask).await.is(200).json();
    assert_eq!(mended["safe_to_run"], json!(true));
    assert_eq!(mended["repair"]["fix_taken"]["words"], fixes["offered"][0]["words"]);
    ask["fix"] = json!(5);
    let refused = rig.post("/v1/repairs", &ask).await.is(422);
    assert_eq!(refused.json()["faults"][0]["pointer"], "/fix", "{}", refused.text);
}
