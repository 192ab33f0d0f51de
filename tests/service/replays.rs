//! The same request sent again gets the same answer, and does nothing more.

use super::{rig, rig_with};
use fairturn::store::Role;
use serde_json::json;

#[tokio::test]
async fn a_repeated_post_is_carried_out_once() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let (asker, path) = (rig.asker(), format!("/v1/sites/{site}/charts"));
    let body = json!({"date": "2026-04-14"}).to_string();
    let key = [("idempotency-key", "morning-1")];
    let first = asker.send("POST", &path, &key, Some(&body)).await.is(201);
    let again = asker.send("POST", &path, &key, Some(&body)).await.is(201);
    assert_eq!(first.text, again.text);
    assert_eq!(first.header("location"), again.header("location"));
    assert_eq!(again.header("idempotency-replayed"), "true");
    let other = json!({"date": "2026-04-14", "seed": 9}).to_string();
    let told = asker.send("POST", &path, &key, Some(&other)).await.is(422);
    assert_eq!(told.problem(), "key-with-another-body");
    let list = rig.get(&path).await.json();
    assert_eq!(list["charts"].as_array().map(Vec::len), Some(1));
    asker.send("POST", &path, &[("idempotency-key", "")], Some(&body)).await.is(400);
    let two = [("idempotency-key", "morning-1"), ("idempotency-key", "morning-2")];
    asker.send("POST", &path, &two, Some(&body)).await.is(400);
}

#[tokio::test]
async fn a_key_belongs_to_its_token_and_a_refused_request_frees_it() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let (one, two) =
        (rig.with_token(Role::Plan, None).await, rig.with_token(Role::Plan, None).await);
    let path = format!("/v1/sites/{site}/charts");
    let key = [("idempotency-key", "k")];
    one.send("POST", &path, &key, Some("{}")).await.is(422);
    let body = json!({"date": "2026-04-14"}).to_string();
    let first = one.send("POST", &path, &key, Some(&body)).await.is(201).json();
    let other = two.send("POST", &path, &key, Some(&body)).await.is(201).json();
    assert_ne!(first["id"], other["id"]);
}

#[tokio::test]
async fn of_many_with_one_key_one_is_carried_out() {
    let rig = rig_with(&[("search-percent", "2"), ("queue", "100")]).await;
    let site = rig.with_site("family-home").await;
    let path = format!("/v1/sites/{site}/charts");
    let tries = (0..8).map(|_| {
        let (asker, path) = (rig.asker(), path.clone());
        tokio::spawn(async move {
            let body = json!({"date": "2026-04-14"}).to_string();
            asker.send("POST", &path, &[("idempotency-key", "k")], Some(&body)).await
        })
    });
    let mut ids = Vec::new();
    for one in tries.collect::<Vec<_>>() {
        let told = one.await.expect("an answer");
        match told.status.as_u16() {
            201 => ids.push(told.json()["id"].clone()),
            409 => assert_eq!(told.problem(), "key-in-use"),
            other => panic!("{other}: {}", told.text),
        }
    }
    ids.dedup();
    assert_eq!(ids.len(), 1, "{ids:?}");
    assert_eq!(rig.get(&path).await.json()["charts"].as_array().map(Vec::len), Some(1));
}
