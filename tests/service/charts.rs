//! Charts that are kept, and what is read off them.

use super::{rig, scenario};
use serde_json::json;

const DATE: &str = "2026-04-14";

#[tokio::test]
async fn a_chart_is_kept_and_read_in_every_form() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let told = rig.post(&path, &json!({"date": DATE})).await.is(201);
    let made = told.json();
    let place = told.header("location").to_owned();
    assert_eq!(place, format!("{path}/{}", made["id"].as_str().expect("an id")));
    assert_eq!((&made["verb"], &made["site"]), (&json!("made"), &json!(site)));
    assert_eq!(rig.get(&place).await.is(200).json(), made);
    for (accept, start) in
        [("text/plain", ""), ("text/csv", "date,who"), ("text/calendar", "BEGIN:")]
    {
        let told = rig.asker().send("GET", &place, &[("accept", accept)], None).await.is(200);
        assert!(told.text.starts_with(start) && told.header("content-type").starts_with(accept));
        let tag = told.header("etag").to_owned();
        let again = [("accept", accept), ("if-none-match", tag.as_str())];
        let told = rig.asker().send("GET", &place, &again, None).await.is(304);
        assert_eq!((told.header("etag"), told.text.as_str()), (tag.as_str(), ""));
        let other = [("if-none-match", tag.as_str())];
        rig.asker().send("GET", &place, &other, None).await.is(200);
    }
    let adult = made["chart"]["adults"][0]["id"].as_str().expect("an adult");
    let calendar = rig.get(&format!("{place}/calendars/{adult}")).await.is(200);
    let posts = made["chart"]["adults"][0]["posts"].as_array().map(Vec::len);
    assert_eq!(Some(calendar.text.matches("BEGIN:VEVENT").count()), posts);
    rig.get(&format!("{place}/calendars/nobody")).await.is(404);
    let list = rig.get(&format!("{path}?date={DATE}")).await.is(200).json();
    assert_eq!(list["charts"][0]["id"], made["id"]);
    assert!(list["charts"][0].get("chart").is_none());
    let none = rig.get(&format!("{path}?date=2026-04-15")).await.is(200).json();
    assert_eq!(none, json!({"charts": []}));
}

#[tokio::test]
async fn an_edited_chart_is_judged_and_kept_with_its_parent() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let made = rig.post(&path, &json!({"date": DATE})).await.is(201).json();
    let mut chart = made["chart"].clone();
    chart["children"][0]["stays"] = json!([]);
    let sent = json!({"chart": chart, "parent": made["id"]});
    let kept = rig.post(&path, &sent).await.is(201).json();
    assert_eq!((&kept["verb"], &kept["parent"]), (&json!("brought"), &made["id"]));
    assert_eq!(kept["safe_to_run"], json!(false), "a child without stays");
    let again = format!("{path}/{}/audits", kept["id"].as_str().expect("an id"));
    let audited = rig.post(&again, &json!({})).await.is(200).json();
    assert_eq!(audited["problems"], kept["chart"]["problems"]);
    rig.post(&path, &json!({"chart": chart, "parent": "nobody"})).await.is(404);
    rig.post(&path, &json!({"chart": chart, "date": DATE})).await.is(422);
    rig.post(&path, &json!({})).await.is(422);
    rig.post(&path, &json!({"date": "2026-04-12"})).await.is(409);
}

#[tokio::test]
async fn the_ratio_record_is_that_of_the_newest_chart() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let record = format!("/v1/sites/{site}/ratio-records/{DATE}");
    rig.get(&record).await.is(404);
    let path = format!("/v1/sites/{site}/charts");
    rig.post(&path, &json!({"date": DATE})).await.is(201);
    let newest = rig.post(&path, &json!({"date": DATE, "seed": 2})).await.is(201).json();
    let told = rig.get(&record).await.is(200).json();
    assert_eq!(told["rooms"][0]["chart"], newest["id"]);
    assert_eq!(told["rooms"][0]["ratio"], newest["chart"]["ratio"]);
    let csv = rig.asker().send("GET", &record, &[("accept", "text/csv")], None).await.is(200);
    let lines = newest["chart"]["ratio"].as_array().map_or(0, Vec::len);
    assert_eq!(csv.text.lines().count(), lines + 1);
}

#[tokio::test]
async fn the_newest_chart_is_the_one_made_last_also_when_the_clock_was_set_back() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let made = rig.post(&path, &json!({"date": DATE})).await.is(201).json();
    let id = made["id"].as_str().expect("an id");
    // As if it had been made an hour from now.
    let ahead = u64::from_str_radix(&id[..14], 16).expect("a time") + 3_600_000_000;
    let ahead = format!("{ahead:014x}{}", &id[14..]);
    let pool = sqlx::AnyPool::connect(&rig.service.settings.database).await.expect("the database");
    let sql = "UPDATE charts SET id = $1 WHERE id = $2";
    sqlx::query(sql).bind(&ahead).bind(id).execute(&pool).await.expect("written");
    pool.close().await;
    let last = rig.post(&path, &json!({"date": DATE, "seed": 2})).await.is(201).json();
    assert!(last["id"].as_str() > Some(ahead.as_str()));
    let record = rig.get(&format!("/v1/sites/{site}/ratio-records/{DATE}")).await.is(200).json();
    assert_eq!(record["rooms"][0]["chart"], last["id"]);
}

#[tokio::test]
async fn visits_are_added_by_hand_and_from_a_chart() {
    let rig = rig().await;
    let site = rig.with_site("preschool-room").await;
    let path = format!("/v1/sites/{site}/visits");
    let before = rig.get(&path).await.is(200).json()["visits"].as_array().map_or(0, Vec::len);
    let facts = scenario("preschool-room");
    let child = facts["children"][0]["id"]
        .as_str()
        .map(str::to_owned)
        .unwrap_or_else(|| facts["children"][0]["label"].as_str().expect("a label").to_lowercase());
    let date = facts["days"][0]["date"].as_str().expect("a date");
    let wrong = json!({"date": date, "station": "moon", "children": [child]});
    let told = rig.post(&path, &wrong).await.is(422);
    assert_eq!(told.json()["faults"][0]["pointer"], "/station", "{}", told.text);
    let charts = format!("/v1/sites/{site}/charts");
    let chart = rig.post(&charts, &json!({"date": date})).await.is(201).json();
    let added = rig.post(&path, &json!({"chart": chart["id"]})).await.is(201).json();
    let added = added["visits"].as_array().map_or(0, Vec::len);
    assert!(added > 0);
    let after = rig.get(&path).await.is(200).json()["visits"].as_array().map_or(0, Vec::len);
    assert_eq!(after, before + added);
    // Page by page and of one date it is the same record.
    let (mut found, mut next) = (Vec::new(), String::new());
    loop {
        let page = rig.get(&format!("{path}?limit=2&date={date}{next}")).await.is(200).json();
        found.extend(page["visits"].as_array().cloned().expect("visits"));
        match page["next"].as_str() {
            Some(after) => next = format!("&after={after}"),
            None => break,
        }
    }
    let whole = rig.get(&format!("{path}?limit=200")).await.is(200).json();
    let whole = whole["visits"].as_array().expect("visits").iter();
    let of_date: Vec<_> = whole.filter(|visit| visit["date"] == date).cloned().collect();
    assert_eq!(found, of_date);
    rig.get(&format!("{path}?after=soon")).await.is(400);
    let trail = rig.get(&format!("/v1/sites/{site}/trail")).await.is(200).json();
    let did: Vec<&str> = trail["trail"]
        .as_array()
        .expect("lines")
        .iter()
        .filter_map(|l| l["did"].as_str())
        .collect();
    assert_eq!(did, ["visits added", "chart made", "site put"]);
}

#[tokio::test]
async fn a_running_day_is_repaired_and_repaired_again() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let made = rig.post(&path, &json!({"date": DATE})).await.is(201).json();
    let repairs =
        |id: &serde_json::Value| format!("{path}/{}/repairs", id.as_str().expect("an id"));
    let leaving = json!([{"what": "leaving", "child": "bo", "at": "14:00"}]);
    let told =
        rig.post(&repairs(&made["id"]), &json!({"at": "10:15", "happenings": leaving})).await;
    let first = told.is(201).json();
    assert_eq!((&first["verb"], &first["parent"]), (&json!("repaired"), &made["id"]));
    assert_eq!(first["chart"]["made"]["fixed_until"], "10:15");
    let indoors = json!({"at": "11:00", "happenings": [{"what": "indoors"}]});
    let second = rig.post(&repairs(&first["id"]), &indoors).await.is(201).json();
    assert_eq!(second["parent"], first["id"]);
    let happened = second["chart"]["day"]["happened"].as_array().map(Vec::len);
    assert_eq!(happened, Some(2), "what happened before stays");
    let nobody = json!([{"what": "leaving", "child": "nobody", "at": "14:00"}]);
    let told = rig
        .post(&repairs(&made["id"]), &json!({"at": "10:15", "happenings": nobody}))
        .await
        .is(422);
    assert_eq!(told.json()["faults"][0]["pointer"], "/happenings/0/child", "{}", told.text);
    // In words: the same when it is made and when it is read again.
    let ask = json!({"at": "10:15", "happenings": leaving}).to_string();
    let words = [("accept", "text/plain"), ("idempotency-key", "once")];
    let place = repairs(&made["id"]);
    let said = rig.asker().send("POST", &place, &words, Some(&ask)).await.is(201);
    let replayed = rig.asker().send("POST", &place, &words, Some(&ask)).await.is(201);
    assert_eq!(replayed.header("content-type"), said.header("content-type"));
    assert_eq!(replayed.text, said.text);
    assert_eq!(replayed.header("idempotency-replayed"), "true");
    assert!(
        said.text.contains("What has happened\n  10:15  Bo leaves at 14:00.\n"),
        "{}",
        said.text
    );
    assert!(said.text.contains("\nWhat changes from 10:15 on\n"), "{}", said.text);
    let kept = said.header("location").to_owned();
    let again = rig.asker().send("GET", &kept, &words[..1], None).await.is(200);
    assert_eq!(again.text, said.text);
    // Without a store: the same answer.
    let sent = json!({"scenario": scenario("family-home"), "chart": made["chart"], "at": "10:15",
        "happenings": leaving});
    let stateless = rig.post("/v1/repairs", &sent).await.is(200).json();
    assert_eq!(stateless["children"], first["chart"]["children"]);
}

#[tokio::test]
async fn a_block_is_checked_with_a_chart_and_without() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let (path, block) = (
        format!("/v1/sites/{site}"),
        json!({"from": "09:40", "to": "10:00", "stations": ["blocks"]}),
    );
    let mut bare = block.clone();
    bare["date"] = json!(DATE);
    let told = rig.post(&format!("{path}/checks"), &bare).await.is(200).json();
    assert_eq!((&told["date"], &told["with_chart"]), (&json!(DATE), &json!(false)));
    bare["scenario"] = scenario("family-home");
    assert_eq!(rig.post("/v1/checks", &bare).await.is(200).json(), told);
    let made = rig.post(&format!("{path}/charts"), &json!({"date": DATE})).await.is(201).json();
    let checks = format!("{path}/charts/{}/checks", made["id"].as_str().expect("an id"));
    let told = rig.post(&checks, &block).await.is(200).json();
    assert_eq!(told["with_chart"], json!(true));
    let wrong = json!({"from": "10:00", "to": "09:00", "stations": ["moon"]});
    let told = rig.post(&checks, &wrong).await.is(422).json();
    assert_eq!(told["faults"].as_array().map(Vec::len), Some(2), "{told}");
}

#[tokio::test]
async fn why_a_group_is_where_it_is_can_be_asked() {
    let rig = rig().await;
    let site = rig.with_site("preschool-room").await;
    let date = scenario("preschool-room")["days"][0]["date"].clone();
    let path = format!("/v1/sites/{site}/charts");
    let made = rig.post(&path, &json!({"date": date})).await.is(201).json();
    let group = &made["chart"]["groups"][0];
    let cell =
        group["cells"].as_array().expect("cells").iter().find(|cell| cell["by"] == "assigned");
    let ask = json!({"group": group["id"], "at": cell.expect("an assigned turn")["from"]});
    let whys = format!("{path}/{}/whys", made["id"].as_str().expect("an id"));
    let told = rig.post(&whys, &ask).await.is(200).json();
    assert_eq!(told["group"], group["id"]);
    assert!(told["others"].as_array().is_some_and(|list| !list.is_empty()), "{told}");
    let nobody = json!({"group": "nobody", "at": "10:00"});
    let told = rig.post(&whys, &nobody).await.is(422).json();
    assert_eq!(told["faults"][0]["pointer"], "/group");
}
