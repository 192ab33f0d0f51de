//! Who comes in, and how often.

use super::{home, rig, rig_with};
use fairturn::store::Role;

#[tokio::test]
async fn without_a_token_only_this_machine_is_answered() {
    let rig = rig().await;
    let asker = rig.asker();
    for host in ["localhost:7117", "127.0.0.1", "[::1]:7117"] {
        asker.send("GET", "/v1/rules", &[("host", host)], None).await.is(200);
    }
    let told = asker.send("GET", "/v1/rules", &[("host", "rooms.example")], None).await.is(421);
    assert_eq!(told.problem(), "host");
    asker.send("GET", "/v1/rules", &[("sec-fetch-site", "cross-site")], None).await.is(403);
    asker.send("GET", "/v1/rules", &[("sec-fetch-site", "same-origin")], None).await.is(200);
}

#[tokio::test]
async fn a_service_for_other_machines_always_asks_for_a_token() {
    let rig = rig_with(&[("listen", "0.0.0.0:7117")]).await;
    // It started with a token that has been revoked since: whatever name is given, nobody comes in.
    for host in ["localhost", "127.0.0.1", "rooms.example"] {
        let told = rig.asker().send("GET", "/v1/sites", &[("host", host)], None).await.is(401);
        assert_eq!(told.problem(), "token");
    }
    rig.get("/healthz").await.is(200);
}

#[tokio::test]
async fn once_there_is_a_token_every_door_asks_for_one() {
    let rig = rig().await;
    let look = rig.with_token(Role::Look, None).await;
    let told = rig.get("/v1/rules").await.is(401);
    assert_eq!((told.problem().as_str(), told.header("www-authenticate")), ("token", "Bearer"));
    look.send("GET", "/v1/rules", &[], None).await.is(200);
    for open in ["/healthz", "/readyz", "/openapi.json", "/reference"] {
        rig.get(open).await.is(200);
    }
    let whole = look.token.clone().expect("a token");
    let mut near = whole.clone();
    near.pop();
    let last = if whole.ends_with('0') { '1' } else { '0' };
    for wrong in ["", "x", &near, &format!("{near}{last}"), "fairturn_abc_def"] {
        let header = format!("Bearer {wrong}");
        rig.asker().send("GET", "/v1/rules", &[("authorization", &header)], None).await.is(401);
    }
    // Each id opens with its own secret alone, although the other secret is one that is kept.
    let other = rig.with_token(Role::Run, None).await.token.expect("a token");
    let (id, secret) = (whole.split('_').nth(1).expect("an id"), other.rsplit('_').next());
    let crossed = format!("Bearer fairturn_{id}_{}", secret.expect("a secret"));
    rig.asker().send("GET", "/v1/rules", &[("authorization", &crossed)], None).await.is(401);
    let mut writing = rig.service.store.write(&super::hand()).await.expect("a store");
    assert!(writing.revoke_token(id).await.expect("a store"));
    writing.commit().await.expect("kept");
    look.send("GET", "/v1/rules", &[], None).await.is(401);
}

#[tokio::test]
async fn a_role_does_what_it_may_and_no_more() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let (look, plan) =
        (rig.with_token(Role::Look, None).await, rig.with_token(Role::Plan, None).await);
    let run = rig.with_token(Role::Run, None).await;
    let trail = format!("/v1/sites/{site}/trail");
    let body = home().to_string();
    look.send("POST", "/v1/charts", &[], Some(&body)).await.is(403);
    plan.send("POST", "/v1/charts", &[], Some(&body)).await.is(200);
    plan.send("GET", &trail, &[], None).await.is(403);
    run.send("GET", &trail, &[], None).await.is(200);
    let path = format!("/v1/sites/{site}");
    plan.send("DELETE", &path, &[("if-match", "*")], None).await.is(403);
    run.send("GET", &path, &[], None).await.is(200);
}

#[tokio::test]
async fn a_token_of_one_site_opens_no_other() {
    let rig = rig().await;
    let (own, other) = (rig.with_site("family-home").await, rig.with_site("half-day").await);
    let asker = rig.with_token(Role::Run, Some(&own)).await;
    asker.send("GET", &format!("/v1/sites/{own}"), &[], None).await.is(200);
    let there = asker.send("GET", &format!("/v1/sites/{other}"), &[], None).await.is(403);
    let not = asker.send("GET", "/v1/sites/not-there", &[], None).await.is(403);
    let told = |answer: &super::Told| (answer.problem(), answer.json()["detail"].clone());
    assert_eq!(told(&there), told(&not));
    let list = asker.send("GET", "/v1/sites", &[], None).await.is(200).json();
    assert_eq!(list["sites"].as_array().map(Vec::len), Some(1));
    asker.send("GET", "/metrics", &[], None).await.is(403);
}

#[tokio::test]
async fn who_asks_too_often_waits() {
    let rig = rig_with(&[("rate", "2")]).await;
    let mut told = Vec::new();
    for _ in 0..12 {
        told.push(rig.get("/v1/rules").await);
    }
    let refused: Vec<_> = told.iter().filter(|told| told.status.as_u16() == 429).collect();
    assert!((2..=4).contains(&refused.len()), "{}", refused.len());
    assert_eq!(refused[0].header("retry-after"), "1");
    assert_eq!(refused[0].problem(), "too-many-requests");
    // Who floods an open page does not hide the service's health.
    while rig.get("/openapi.json").await.status.as_u16() != 429 {}
    rig.get("/readyz").await.is(200);
}

#[tokio::test]
async fn every_answer_is_closed_to_other_pages_and_names_its_request() {
    let rig = rig().await;
    for path in ["/v1/rules", "/nowhere", "/reference", "/healthz"] {
        let told = rig.get(path).await;
        assert_eq!(told.header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(told.header("cache-control"), "no-store", "{path}");
        assert!(told.header("content-security-policy").contains("default-src 'none'"), "{path}");
        assert_eq!(told.header("x-request-id").len(), 32, "{path}");
    }
    let page = rig.get("/reference").await.text;
    for outside in ["http:", "https:", "<script", "src=", "url(", "@import"] {
        assert!(!page.contains(outside), "{outside}");
    }
}

#[tokio::test]
async fn figures_name_routes_and_nobody() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    rig.get(&format!("/v1/sites/{site}")).await.is(200);
    let figures = rig.get("/metrics").await.is(200).text;
    assert!(figures.contains("route=\"/v1/sites/{site}\",status=\"200\"} 1"), "{figures}");
    assert!(!figures.contains(&site));
}
