//! Who is erased is in no byte of the store any more.

use super::{Rig, rig, scenario};
use serde_json::{Value, json};

/// The scenario with a child whose names stand nowhere else.
fn facts() -> Value {
    let first = &scenario("mixed-age-room")["children"][0];
    let label = first["label"].as_str().expect("a label").to_owned();
    let id = first["id"].as_str().map_or_else(|| label.to_lowercase(), str::to_owned);
    let text = scenario("mixed-age-room").to_string();
    let text = text.replace(&format!("\"{id}\""), "\"zq-kelpling\"");
    let mut facts: Value = serde_json::from_str(&text).expect("JSON");
    facts["children"][0]["id"] = json!("zq-kelpling");
    facts["children"][0]["label"] = json!("Kelpling");
    facts["children"][1]["keep_with"] = json!(["zq-kelpling"]);
    let date = facts["days"][0]["date"].clone();
    let station = facts["stations"][0]["id"].as_str().or(facts["stations"][0]["preset"].as_str());
    let visit = json!({"date": date, "station": station, "children": ["zq-kelpling"]});
    match facts["visits"].as_array_mut() {
        Some(visits) => visits.push(visit),
        None => facts["visits"] = json!([visit]),
    }
    facts["days"][0]["about"] = json!("Kelpling brings a cake.");
    facts
}

/// Every byte of the store's files.
fn bytes(rig: &Rig) -> Vec<u8> {
    let files = std::fs::read_dir(&rig.folder).expect("the folder");
    files.flat_map(|file| std::fs::read(file.expect("a file").path()).expect("bytes")).collect()
}

fn holds(bytes: &[u8], word: &str) -> bool {
    bytes.windows(word.len()).any(|window| window == word.as_bytes())
}

#[tokio::test]
async fn neither_label_nor_id_is_in_any_byte_and_the_counts_stay() {
    let rig = rig().await;
    rig.works();
    let facts = facts();
    let text = facts.to_string();
    let scenario = fairturn::wire::scenario::read(text.as_bytes()).expect("a scenario");
    let site = scenario.site.id.clone();
    let (path, new) = (format!("/v1/sites/{site}"), [("if-none-match", "*")]);
    rig.asker().send("PUT", &path, &new, Some(&text)).await.is(201);
    let date = facts["days"][0]["date"].clone();
    let charts = format!("{path}/charts");
    let body = json!({"date": date}).to_string();
    let key = [("idempotency-key", "k")];
    let made = rig.asker().send("POST", &charts, &key, Some(&body)).await.is(201).json();
    let whole = json!({"scenario": facts}).to_string();
    let job =
        rig.asker().send("POST", "/v1/charts", &[("prefer", "respond-async")], Some(&whole)).await;
    let job = job.is(202).header("location").to_owned();
    for _ in 0..600 {
        if rig.get(&job).await.json()["state"] == "done" {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    let record = format!("{path}/ratio-records/{}", date.as_str().expect("a date"));
    let before = rig.get(&record).await.is(200).json();
    assert!(made["chart"].to_string().contains("zq-kelpling"));
    if rig.service.store.is_sqlite() {
        assert!(holds(&bytes(&rig), "zq-kelpling"));
    }

    rig.post(&format!("{path}/erasures"), &json!({})).await.is(422);
    rig.post(&format!("{path}/erasures"), &json!({"child": "nobody"})).await.is(404);
    let erased = rig.post(&format!("{path}/erasures"), &json!({"child": "zq-kelpling"})).await;
    let erased = erased.is(200).json();
    assert_eq!((&erased["charts"], &erased["forgotten"]), (&json!(1), &json!(true)), "{erased}");

    if rig.service.store.is_sqlite() {
        let bytes = bytes(&rig);
        for word in ["zq-kelpling", "Kelpling", "kelpling"] {
            assert!(!holds(&bytes, word), "{word}");
        }
    }
    let kept = rig.get(&path).await.is(200).text;
    assert!(fairturn::wire::scenario::read(kept.as_bytes()).is_ok());
    let chart = rig.get(&format!("{charts}/{}", made["id"].as_str().expect("an id"))).await.is(200);
    assert!(chart.text.contains("erased-"));
    let told = chart.json();
    let count = |chart: &Value| chart["children"].as_array().map(Vec::len);
    assert_eq!(count(&told["chart"]), count(&made["chart"]));
    let ratio = |record: &Value| record["rooms"][0]["ratio"].clone();
    let without_words = |mut lines: Value| {
        lines.as_array_mut().into_iter().flatten().for_each(|line| line["words"] = json!(""));
        lines
    };
    let after = rig.get(&record).await.is(200).json();
    assert_eq!(without_words(ratio(&after)), without_words(ratio(&before)));
    let gone = rig.asker().send("POST", &charts, &key, Some(&body)).await.is(410);
    assert_eq!(gone.problem(), "erased");
    assert!(!rig.get(&job).await.is(200).text.contains("elpling"));
    let trail = rig.get(&format!("{path}/trail")).await.is(200).json();
    assert_eq!(trail["trail"][0]["did"], "person erased");
}

#[tokio::test]
async fn who_is_needed_is_not_erased_in_silence() {
    let rig = rig().await;
    let mut facts = facts();
    let adult = facts["adults"][0]["id"].as_str().map_or_else(
        || facts["adults"][0]["label"].as_str().expect("a label").to_lowercase(),
        str::to_owned,
    );
    facts["children"][2]["one_to_one"] = json!({"adult": adult});
    let text = facts.to_string();
    let scenario = fairturn::wire::scenario::read(text.as_bytes()).expect("a scenario");
    let path = format!("/v1/sites/{}", scenario.site.id);
    rig.asker().send("PUT", &path, &[("if-none-match", "*")], Some(&text)).await.is(201);
    let told = rig.post(&format!("{path}/erasures"), &json!({"adult": adult})).await.is(409);
    assert_eq!(
        told.json()["faults"][0]["pointer"],
        "/children/2/one_to_one/adult",
        "{}",
        told.text
    );
    assert_eq!(rig.get(&path).await.is(200).text, text);
}

#[tokio::test]
async fn a_backup_is_made_while_running_listed_and_not_claimed_to_be_clean() {
    let rig = rig().await;
    if !rig.service.store.is_sqlite() {
        return;
    }
    let site = rig.with_site("family-home").await;
    let file = rig.folder.join("copy.sqlite");
    let held = rig.service.store.backup(file.to_str().expect("a name")).await.expect("a copy");
    assert!(held.rows.contains(&("sites", 1)), "{held:?}");
    let again = rig.service.store.backup(file.to_str().expect("a name")).await;
    assert!(again.is_err(), "a file that is there is not written over");
    let child =
        scenario("family-home")["children"][0]["label"].as_str().expect("a label").to_lowercase();
    let erased = rig.post(&format!("/v1/sites/{site}/erasures"), &json!({"child": child})).await;
    let backups = erased.is(200).json()["backups"].as_array().cloned().expect("backups");
    assert_eq!(backups.len(), 1);
    assert_eq!(backups[0]["file"], json!(file.to_str()));
}
