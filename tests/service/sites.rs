//! Sites and their days: documents with versions.

use super::{rig, rig_with, scenario, scenario_text};
use fairturn::store::Role;
use serde_json::json;

#[tokio::test]
async fn a_site_is_put_read_changed_and_removed_by_its_version() {
    let rig = rig().await;
    let (asker, text) = (rig.asker(), scenario_text("family-home"));
    let path = "/v1/sites/gull-steps-family-home";
    asker.send("GET", path, &[], None).await.is(404);
    let told = asker.send("PUT", path, &[], Some(&text)).await.is(428);
    assert_eq!(told.problem(), "version-needed");
    for (name, wrong) in
        [("if-match", "#~"), ("if-match", "abc"), ("if-none-match", ""), ("if-none-match", "\"a\"")]
    {
        let told = asker.send("PUT", path, &[(name, wrong)], Some(&text)).await.is(400);
        assert_eq!(told.problem(), "request", "{name}: {wrong}");
    }
    asker.send("PUT", path, &[("if-match", "\"a\", W/\"b\"")], Some(&text)).await.is(412);
    let none = [("if-none-match", "*")];
    let told = asker.send("PUT", path, &none, Some(&text)).await.is(201);
    let first = told.header("etag").to_owned();
    assert_eq!(told.header("location"), path);
    let read = asker.send("GET", path, &[], None).await.is(200);
    assert_eq!((read.text.as_str(), read.header("etag")), (text.as_str(), first.as_str()));
    asker.send("GET", path, &[("if-none-match", &first)], None).await.is(304);
    asker.send("PUT", path, &none, Some(&text)).await.is(412);
    let told = asker.send("PUT", path, &[("if-match", &first)], Some(&text)).await.is(200);
    let second = told.header("etag").to_owned();
    assert_ne!(first, second);
    let lost = asker.send("PUT", path, &[("if-match", &first)], Some(&text)).await.is(412);
    assert_eq!(lost.problem(), "changed-meanwhile");
    let wrong = asker.send("PUT", "/v1/sites/elsewhere", &none, Some(&text)).await.is(422);
    assert_eq!(wrong.json()["faults"][0]["pointer"], "/site/id");
    let broken = asker.send("PUT", path, &[("if-match", &second)], Some("{\"format\": 2}")).await;
    broken.is(422);
    assert_eq!(asker.send("GET", path, &[], None).await.header("etag"), second);
    asker.send("DELETE", path, &[("if-match", &first)], None).await.is(412);
    asker.send("DELETE", path, &[("if-match", &second)], None).await.is(204);
    asker.send("GET", path, &[], None).await.is(404);
}

#[tokio::test]
async fn of_many_who_change_at_once_one_wins() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}");
    let version = rig.get(&path).await.header("etag").to_owned();
    let tries = (0..12).map(|_| {
        let (asker, path, version) = (rig.asker(), path.clone(), version.clone());
        tokio::spawn(async move {
            let text = scenario_text("family-home");
            asker.send("PUT", &path, &[("if-match", &version)], Some(&text)).await.status.as_u16()
        })
    });
    let mut told = Vec::new();
    for one in tries.collect::<Vec<_>>() {
        told.push(one.await.expect("an answer"));
    }
    told.sort_unstable();
    assert_eq!(told[0], 200, "{told:?}");
    assert!(told[1..].iter().all(|status| *status == 412), "{told:?}");
}

#[tokio::test]
async fn many_who_change_other_days_are_not_in_each_others_way() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let days = || (4..=8).chain(11..=15).map(|day| format!("2027-01-{day:02}"));
    let tries = days().map(|date| {
        let (asker, path) = (rig.asker(), format!("/v1/sites/{site}/days/{date}"));
        tokio::spawn(async move {
            let new = [("if-none-match", "*")];
            asker.send("PUT", &path, &new, Some("{\"about\": \"Here.\"}")).await.is(201)
        })
    });
    for one in tries.collect::<Vec<_>>() {
        one.await.expect("an answer");
    }
    for date in days() {
        rig.get(&format!("/v1/sites/{site}/days/{date}")).await.is(200);
    }
}

#[tokio::test]
async fn a_day_says_who_is_away_and_its_faults_are_told_in_its_own_terms() {
    let rig = rig().await;
    let site = rig.with_site("mixed-age-room").await;
    let adult =
        scenario("mixed-age-room")["adults"][0]["label"].as_str().expect("a label").to_lowercase();
    let (asker, path) = (rig.asker(), format!("/v1/sites/{site}/days/2026-05-05"));
    asker.send("GET", &path, &[], None).await.is(404);
    let new = [("if-none-match", "*")];
    let nobody = json!({"adults": {"nobody-at-all": "away"}}).to_string();
    let wrong = asker.send("PUT", &path, &new, Some(&nobody)).await.is(422);
    assert_eq!(wrong.json()["faults"][0]["pointer"], "/adults/nobody-at-all", "{}", wrong.text);
    let away = json!({"adults": {adult.clone(): "away"}}).to_string();
    let told = asker.send("PUT", &path, &new, Some(&away)).await.is(201);
    let tag = told.header("etag").to_owned();
    let read = asker.send("GET", &path, &[], None).await.is(200);
    assert_eq!(read.json(), json!({"date": "2026-05-05", "adults": {adult: "away"}}));
    assert_eq!(read.header("etag"), tag);
    asker.send("PUT", &path, &new, Some("{}")).await.is(412);
    asker.send("PUT", &path, &[("if-match", &tag)], Some("{\"indoor\": true}")).await.is(200);
    let elsewhere = [("if-match", tag.as_str())];
    asker.send("PUT", &path, &elsewhere, Some("{\"date\": \"2026-05-06\"}")).await.is(422);
    let whole = rig.get(&format!("/v1/sites/{site}")).await.json();
    let days = whole["days"].as_array().expect("days");
    assert_eq!(days.last(), Some(&json!({"date": "2026-05-05", "indoor": true})));
}

#[tokio::test]
async fn a_document_does_not_grow_beyond_what_can_be_put() {
    let rig = rig_with(&[("search-percent", "2"), ("body-kib", "32")]).await;
    let site = rig.with_site("family-home").await;
    let about = json!({"about": "x".repeat(2_000)}).to_string();
    let mut told = None;
    for day in 1..=30 {
        let path = format!("/v1/sites/{site}/days/2027-01-{day:02}");
        let new = [("if-none-match", "*")];
        let answer = rig.asker().send("PUT", &path, &new, Some(&about)).await;
        if answer.status == 413 {
            told = Some(answer);
            break;
        }
    }
    assert_eq!(told.expect("it does not grow for ever").problem(), "body-too-long");
    let whole = rig.get(&format!("/v1/sites/{site}")).await.is(200);
    let (tag, path) = (whole.header("etag").to_owned(), format!("/v1/sites/{site}"));
    rig.asker().send("PUT", &path, &[("if-match", &tag)], Some(&whole.text)).await.is(200);
}

#[tokio::test]
async fn a_list_is_read_page_by_page() {
    let rig = rig().await;
    let mut all = Vec::new();
    for name in ["family-home", "half-day", "mixed-age-room", "preschool-room", "short-staffed"] {
        all.push(rig.with_site(name).await);
    }
    all.sort();
    let (mut found, mut after) = (Vec::new(), String::new());
    loop {
        let page = rig.get(&format!("/v1/sites?limit=2&after={after}")).await.is(200).json();
        let sites = page["sites"].as_array().expect("sites").iter();
        found.extend(sites.filter_map(|site| site["id"].as_str().map(str::to_owned)));
        match page["next"].as_str() {
            Some(next) => after = next.to_owned(),
            None => break,
        }
    }
    assert_eq!(found, all);
}

#[tokio::test]
async fn the_trail_of_everything_is_for_who_runs_everything() {
    let rig = rig().await;
    let (one, two) = (rig.with_site("family-home").await, rig.with_site("half-day").await);
    let run = rig.with_token(Role::Run, None).await;
    let told = run.send("GET", "/v1/trail?limit=1", &[], None).await.is(200).json();
    assert_eq!(
        (&told["trail"][0]["did"], &told["trail"][0]["site"]),
        (&json!("site put"), &json!(two))
    );
    let next = format!("/v1/trail?before={}", told["next"].as_str().expect("more"));
    let told = run.send("GET", &next, &[], None).await.is(200).json();
    assert_eq!(told["trail"][0]["site"], json!(one));
    let bound = rig.with_token(Role::Run, Some(&one)).await;
    bound.send("GET", "/v1/trail", &[], None).await.is(403);
    let plan = rig.with_token(Role::Plan, None).await;
    plan.send("GET", "/v1/trail", &[], None).await.is(403);
}
