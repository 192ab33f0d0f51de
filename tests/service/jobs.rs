//! Jobs: promised, carried out once, called off, and never lost in silence.

use super::{Rig, home, rig, rig_changed, rig_with, scenario};
use fairturn::store::{JobState, NewJob, Role};
use serde_json::{Value, json};
use std::time::Duration;
use tokio::time::sleep;

const ASYNC: [(&str, &str); 1] = [("prefer", "respond-async")];

async fn ended(rig: &Rig, place: &str) -> Value {
    for _ in 0..600 {
        let job = rig.get(place).await.is(200).json();
        if !["waiting", "running"].contains(&job["state"].as_str().expect("a state")) {
            return job;
        }
        sleep(Duration::from_millis(50)).await;
    }
    panic!("the job never ends");
}

#[tokio::test]
async fn a_job_gives_what_the_call_would_have_given() {
    let rig = rig().await;
    rig.works();
    let body = home().to_string();
    let told = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    assert_eq!(told.header("preference-applied"), "respond-async");
    let job = ended(&rig, told.header("location")).await;
    assert_eq!((&job["state"], &job["status"]), (&json!("done"), &json!(200)));
    for prefer in ["Respond-Async; x=1", "handling=strict, respond-async"] {
        rig.asker().send("POST", "/v1/charts", &[("prefer", prefer)], Some(&body)).await.is(202);
    }
    for prefer in ["respond-asynchronous", "wait=10", ""] {
        rig.asker().send("POST", "/v1/charts", &[("prefer", prefer)], Some(&body)).await.is(200);
    }
    assert_eq!(job["result"], rig.post("/v1/charts", &home()).await.json());
}

#[tokio::test]
async fn a_job_on_a_site_keeps_its_chart_and_a_bad_one_is_not_promised() {
    let rig = rig().await;
    rig.works();
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let body = json!({"date": "2026-04-14"}).to_string();
    let told = rig.asker().send("POST", &path, &ASYNC, Some(&body)).await.is(202);
    let job = ended(&rig, told.header("location")).await;
    assert_eq!((&job["state"], &job["status"]), (&json!("done"), &json!(201)));
    let list = rig.get(&path).await.json();
    assert_eq!(list["charts"][0]["id"], job["result"]["id"]);
    let sunday = json!({"date": "2026-04-12"}).to_string();
    let told = rig.asker().send("POST", &path, &ASYNC, Some(&sunday)).await.is(409);
    assert_eq!(told.problem(), "conflict", "faults are told before anything is promised");
}

#[tokio::test]
async fn the_same_key_gives_the_same_job() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let body = json!({"date": "2026-04-14"}).to_string();
    let headers = [("prefer", "respond-async"), ("idempotency-key", "k")];
    let one = rig.asker().send("POST", &path, &headers, Some(&body)).await.is(202);
    let two = rig.asker().send("POST", &path, &headers, Some(&body)).await.is(202);
    assert_eq!(one.header("location"), two.header("location"));
    assert_eq!(rig.service.store.jobs_waiting().await.expect("a store"), 1);
    // Without a site it is a job all the same.
    let body = home().to_string();
    let one = rig.asker().send("POST", "/v1/charts", &headers, Some(&body)).await.is(202);
    let two = rig.asker().send("POST", "/v1/charts", &headers, Some(&body)).await.is(202);
    assert_eq!(one.header("location"), two.header("location"));
    assert_eq!(two.header("idempotency-replayed"), "true");
    let other = json!({"scenario": home()["scenario"], "seed": 9}).to_string();
    rig.asker().send("POST", "/v1/charts", &headers, Some(&other)).await.is(422);
    assert_eq!(rig.service.store.jobs_waiting().await.expect("a store"), 2);
}

#[tokio::test]
async fn what_is_called_off_is_not_carried_out() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let body = json!({"date": "2026-04-14"}).to_string();
    let told = rig.asker().send("POST", &path, &ASYNC, Some(&body)).await.is(202);
    let place = told.header("location").to_owned();
    rig.asker().send("DELETE", &place, &[], None).await.is(204);
    rig.works();
    assert_eq!(ended(&rig, &place).await["state"], json!("cancelled"));
    rig.asker().send("DELETE", &place, &[], None).await.is(204);
    assert_eq!(rig.get(&path).await.json(), json!({"charts": []}));
}

/// A day that takes a while: a whole search for a big room.
fn long() -> Value {
    json!({"scenario": scenario("mixed-age-room")})
}

/// Until a job says what it is at.
async fn at_work(rig: &Rig, place: &str) -> String {
    for _ in 0..2_000 {
        let job = rig.get(place).await.is(200).json();
        let progress = job["progress"].as_str().expect("words").to_owned();
        assert_ne!(job["state"], json!("done"), "{job}");
        if progress.contains(" of ") {
            return progress;
        }
        sleep(Duration::from_millis(5)).await;
    }
    panic!("the job never starts");
}

#[tokio::test]
async fn what_is_called_off_while_it_is_solved_stops() {
    let rig = rig_with(&[("workers", "1")]).await;
    rig.works();
    let body = long().to_string();
    let told = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    let place = told.header("location").to_owned();
    assert!(at_work(&rig, &place).await.starts_with("searching, "));
    rig.asker().send("DELETE", &place, &[], None).await.is(204);
    let job = ended(&rig, &place).await;
    assert_eq!((&job["state"], job.get("result")), (&json!("cancelled"), None));
    let freed = tokio::time::timeout(Duration::from_secs(60), rig.service.solver.place()).await;
    assert!(freed.expect("its place is free again").is_some());
    assert_eq!(ended(&rig, &place).await["state"], "cancelled", "its end changes nothing");
}

#[tokio::test]
async fn a_job_that_takes_too_long_fails_and_says_so() {
    let rig = rig_changed(&[], |settings| settings.job = Duration::ZERO).await;
    rig.works();
    let body = long().to_string();
    let told = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    let job = ended(&rig, told.header("location")).await;
    assert_eq!((&job["state"], &job["status"]), (&json!("failed"), &json!(503)), "{job}");
    assert_eq!(job["result"]["type"], "/reference#problem-solve-too-long");
}

#[tokio::test]
async fn who_waits_too_long_is_told_when_to_come_back() {
    let rig = rig_changed(&[], |settings| settings.solve = Duration::ZERO).await;
    let told = rig.post("/v1/charts", &home()).await.is(503);
    assert_eq!(told.problem(), "solve-too-long");
    assert_eq!(told.header("retry-after"), "30");
}

#[tokio::test]
async fn who_follows_a_job_hears_what_it_is_at() {
    let rig = rig_with(&[("workers", "1")]).await;
    rig.works();
    let body = long().to_string();
    let told = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    let events = rig.get(&format!("{}/events", told.header("location"))).await.is(200);
    let heard: Vec<&str> = events.text.split("\n\n").filter(|e| e.contains(" of ")).collect();
    assert!(!heard.is_empty(), "{}", events.text);
    assert!(heard.iter().all(|e| e.starts_with("event: progress\n")), "{}", events.text);
}

/// A morning that is not safe, and for which much is tried, on a day that is brought along.
fn unsafe_morning() -> Value {
    let posted = std::fs::read_to_string("scenarios/mixed-age-room.posted.json").expect("a chart");
    let posted: Value = serde_json::from_str(&posted).expect("JSON");
    let away = ["mara", "deniz"].map(|adult| json!({"what": "away", "adult": adult}));
    json!({
        "scenario": scenario("mixed-age-room"), "chart": posted, "at": "08:50", "happenings": away,
    })
}

#[tokio::test]
async fn a_repair_is_told_before_what_would_mend_it() {
    let rig = rig_with(&[("workers", "1")]).await;
    rig.works();
    let body = unsafe_morning().to_string();
    let told = rig.asker().send("POST", "/v1/repairs", &ASYNC, Some(&body)).await.is(202);
    let place = told.header("location").to_owned();
    let events = rig.get(&format!("{place}/events")).await.is(200);
    let mut early = events.text.split("\n\n").filter(|e| e.starts_with("event: so_far\n"));
    let data = early.next().and_then(|e| e.split_once("data: ")).expect("it is told").1;
    assert!(early.next().is_none(), "once: {}", events.text);
    let early: Value = serde_json::from_str(data).expect("JSON");
    assert_eq!((&early["state"], early.get("result")), (&json!("running"), None));
    let job = ended(&rig, &place).await;
    assert_eq!((&job["state"], job.get("so_far")), (&json!("done"), None));
    let (early, whole) = (&early["so_far"], &job["result"]);
    assert_eq!((&early["safe_to_run"], early.get("fixes")), (&json!(false), None));
    assert!(whole["fixes"]["tried"].as_u64().is_some_and(|tried| tried > 0), "{}", whole["fixes"]);
    for part in ["problems", "changes", "children", "adults"] {
        assert!(early[part].is_array() && early[part] == whole[part], "{part}");
    }
    // Who waits for a whole answer gets it with its fixes.
    assert_eq!(rig.post("/v1/repairs", &unsafe_morning()).await.is(200).json(), *whole);
}

#[tokio::test]
async fn another_instance_tells_what_a_job_has_found_until_it_is_over() {
    let rig = rig().await;
    let id = put(&rig).await;
    let (store, place) = (&rig.service.store, format!("/v1/jobs/{id}"));
    let claim = store.claim_job().await.expect("a store").expect("a job");
    assert!(store.hold_job(&claim, "solving", Some("{\"a\": 1}")).await.expect("a store"));
    assert!(store.hold_job(&claim, "solving", None).await.expect("a store"), "nothing new");
    assert_eq!(rig.get(&place).await.json()["so_far"], json!({"a": 1}));
    store.return_job(&claim).await.expect("a store");
    assert_eq!(rig.get(&place).await.json().get("so_far"), None, "begun anew");
    let claim = store.claim_job().await.expect("a store").expect("the job again");
    assert!(store.hold_job(&claim, "solving", Some("{\"a\": 2}")).await.expect("a store"));
    rig.asker().send("DELETE", &place, &[], None).await.is(204);
    assert_eq!(rig.get(&place).await.json().get("so_far"), None, "called off");
}

#[tokio::test]
async fn the_queue_has_an_end() {
    let rig = rig_with(&[("queue", "2")]).await;
    let body = home().to_string();
    for _ in 0..2 {
        rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    }
    let full = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(503);
    assert_eq!((full.problem().as_str(), full.header("retry-after")), ("queue-full", "10"));
}

#[tokio::test]
async fn a_job_is_followed_to_its_end() {
    let rig = rig().await;
    rig.works();
    let body = home().to_string();
    let told = rig.asker().send("POST", "/v1/charts", &ASYNC, Some(&body)).await.is(202);
    let events = rig.get(&format!("{}/events", told.header("location"))).await.is(200);
    assert_eq!(events.header("content-type"), "text/event-stream");
    let last = events.text.trim_end().rsplit("\n\n").next().expect("an event");
    let data = last.strip_prefix("event: end\ndata: ").expect("the end");
    assert_eq!(serde_json::from_str::<Value>(data).expect("JSON")["state"], "done");
}

#[tokio::test]
async fn a_job_is_nobody_elses() {
    let rig = rig().await;
    let (own, other) =
        (rig.with_token(Role::Plan, None).await, rig.with_token(Role::Plan, None).await);
    let run = rig.with_token(Role::Run, None).await;
    let site = rig.with_token(Role::Run, Some("elsewhere")).await;
    let told = own.send("POST", "/v1/charts", &ASYNC, Some(&home().to_string())).await.is(202);
    let place = told.header("location");
    own.send("GET", place, &[], None).await.is(200);
    run.send("GET", place, &[], None).await.is(200);
    other.send("GET", place, &[], None).await.is(404);
    site.send("GET", place, &[], None).await.is(404);
    other.send("DELETE", place, &[], None).await.is(404);
}

/// A job in the store of a rig.
async fn put(rig: &Rig) -> String {
    let mut writing = rig.service.store.write(&super::hand()).await.expect("a store");
    let job = NewJob { site: None, verb: "chart".into(), chart: None, request: home().to_string() };
    let id = writing.add_job(&job, 10).await.expect("a store").expect("room");
    writing.commit().await.expect("kept");
    id
}

#[tokio::test]
async fn a_late_result_is_refused() {
    let rig = rig().await;
    let id = put(&rig).await;
    let store = &rig.service.store;
    let paused = store.claim_job().await.expect("a store").expect("a job");
    assert_eq!(store.claim_job().await.expect("a store"), None, "it is taken");
    store.return_job(&paused).await.expect("a store");
    let second = store.claim_job().await.expect("a store").expect("the job again");
    assert_eq!(second.job.id, id);
    assert!(
        !store.hold_job(&paused, "solving", None).await.expect("a store"),
        "not in these hands"
    );
    for (claim, result, kept) in [(&paused, "\"late\"", false), (&second, "\"right\"", true)] {
        let mut writing = store.write(&super::hand()).await.expect("a store");
        let ended = writing.end_job(claim, JobState::Done, 200, result).await.expect("a store");
        assert_eq!(ended, kept, "{result}");
        writing.commit().await.expect("kept");
    }
    let job = store.job(&id).await.expect("a store").expect("the job");
    assert_eq!(job.result.as_deref(), Some("\"right\""));
}

#[tokio::test]
async fn an_interrupted_job_is_taken_up_again_and_given_up_after_three_times() {
    let rig = rig().await;
    if !rig.service.store.is_sqlite() {
        return;
    }
    let id = put(&rig).await;
    let store = &rig.service.store;
    for attempt in 0..3 {
        assert!(store.claim_job().await.expect("a store").is_some(), "attempt {attempt}");
        // What a new start of the program does.
        store.return_interrupted_jobs().await.expect("a store");
    }
    assert_eq!(store.claim_job().await.expect("a store"), None);
    let told = rig.get(&format!("/v1/jobs/{id}")).await.is(200).json();
    assert_eq!(told["state"], "lost");
}

#[tokio::test]
async fn a_job_whose_site_was_changed_meanwhile_tells_its_faults() {
    let rig = rig().await;
    let site = Some(rig.with_site("family-home").await);
    let mut writing = rig.service.store.write(&super::hand()).await.expect("a store");
    let request = json!({"date": "2026-04-12"}).to_string();
    let job = NewJob { site, verb: "chart".into(), chart: None, request };
    let id = writing.add_job(&job, 10).await.expect("a store").expect("room");
    writing.commit().await.expect("kept");
    rig.works();
    let job = ended(&rig, &format!("/v1/jobs/{id}")).await;
    assert_eq!((&job["state"], &job["status"]), (&json!("failed"), &json!(409)));
    assert_eq!(job["result"]["type"], "/reference#problem-conflict");
}
