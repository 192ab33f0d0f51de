//! Who is erased is in no byte of the store any more.

use super::{Rig, hand, rig, scenario};
use fairturn::store::{NewChart, Role};
use serde_json::{Value, json};
use sqlx::Row;

/// Gives a child another id and label, wherever it stands.
fn call(facts: &mut Value, at: usize, id: &str, label: &str) {
    let old = facts["children"][at]["label"].as_str().expect("a label").to_lowercase();
    let old = facts["children"][at]["id"].as_str().map_or(old, str::to_owned);
    let text = facts.to_string().replace(&format!("\"{old}\""), &format!("\"{id}\""));
    *facts = serde_json::from_str(&text).expect("JSON");
    facts["children"][at]["id"] = json!(id);
    facts["children"][at]["label"] = json!(label);
}

/// The scenario with a child whose names stand nowhere else.
fn facts() -> Value {
    let mut facts = scenario("mixed-age-room");
    call(&mut facts, 0, "zq-kelpling", "Kelpling");
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

/// Every byte of the store's files, or every row of its tables.
async fn bytes(rig: &Rig) -> Vec<u8> {
    if rig.service.store.is_sqlite() {
        let files = std::fs::read_dir(&rig.folder).expect("the folder");
        return files
            .flat_map(|file| std::fs::read(file.expect("a file").path()).expect("bytes"))
            .collect();
    }
    let pool = sqlx::AnyPool::connect(&rig.service.settings.database).await.expect("the database");
    let mut all = String::new();
    let tables = ["sites", "charts", "tokens", "jobs", "replays", "trail", "names", "backups"];
    for table in tables {
        let sql = sqlx::AssertSqlSafe(format!("SELECT CAST(t AS TEXT) FROM {table} t"));
        for row in sqlx::query(sql).fetch_all(&pool).await.expect("rows") {
            all.push_str(&row.try_get::<String, _>(0).expect("text"));
        }
    }
    pool.close().await;
    all.into_bytes()
}

async fn holds(rig: &Rig, word: &str) -> bool {
    bytes(rig).await.windows(word.len()).any(|window| window == word.as_bytes())
}

/// Puts a document, in the place of the one that is there or as a new one; answers its path.
async fn put(rig: &Rig, facts: &Value) -> String {
    let text = facts.to_string();
    let scenario = fairturn::wire::scenario::read(text.as_bytes()).expect("a scenario");
    let path = format!("/v1/sites/{}", scenario.site.id);
    let there = rig.asker().send("GET", &path, &[], None).await;
    let version = if there.status == 200 { ("if-match", "*") } else { ("if-none-match", "*") };
    let told = rig.asker().send("PUT", &path, &[version], Some(&text)).await;
    assert!(told.status.is_success(), "{}", told.text);
    path
}

/// A day on which the first child leaves early, and somebody else too: charts that tell of both.
async fn eventful(rig: &Rig, path: &str, facts: &Value, child: &str) -> Value {
    let charts = format!("{path}/charts");
    let day = json!({"date": facts["days"][0]["date"]});
    let made = rig.post(&charts, &day).await.is(201).json();
    let told = json!({"at": "09:30", "happenings": [
        {"what": "leaving", "child": child, "at": "11:00"},
        {"what": "extra_adult", "label": "Wendeltrud", "from": "10:00", "to": "12:00"},
        {"what": "leaving", "child": "kelp", "at": "10:30"},
    ]});
    let repairs = format!("{charts}/{}/repairs", made["id"].as_str().expect("an id"));
    let key = [("idempotency-key", "repair")];
    rig.asker().send("POST", &repairs, &key, Some(&told.to_string())).await.is(201).json()
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
    assert!(holds(&rig, "zq-kelpling").await);

    rig.post(&format!("{path}/erasures"), &json!({})).await.is(422);
    rig.post(&format!("{path}/erasures"), &json!({"child": "nobody"})).await.is(404);
    let erased = rig.post(&format!("{path}/erasures"), &json!({"child": "zq-kelpling"})).await;
    let erased = erased.is(200).json();
    assert_eq!((&erased["charts"], &erased["forgotten"]), (&json!(1), &json!(true)), "{erased}");

    for word in ["zq-kelpling", "Kelpling", "kelpling"] {
        assert!(!holds(&rig, word).await, "{word}");
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
async fn every_name_that_a_child_ever_had_is_erased_and_other_words_stay() {
    for own_id in [true, false] {
        let rig = rig().await;
        let mut facts = facts();
        // Another child, whose name begins alike.
        call(&mut facts, 1, "kelp", "Kelp");
        // An id that is made of the label changes with it.
        let (first, second) =
            if own_id { ("zq-kelpling", "zq-kelpling") } else { ("kelpling", "marlet") };
        let without_id = |facts: &mut Value| {
            if !own_id {
                facts["children"][0].as_object_mut().expect("a child").remove("id");
            }
        };
        call(&mut facts, 0, first, "Kelpling");
        without_id(&mut facts);
        let path = put(&rig, &facts).await;
        let told = eventful(&rig, &path, &facts, first).await;
        assert!(told["chart"].to_string().contains("Kelpling"), "the chart tells of the child");
        assert!(told["chart"].to_string().contains("Kelp: not here"), "and of the other");
        // The child is called otherwise from now on, and the prose of old charts is not.
        call(&mut facts, 0, second, "Marlet");
        without_id(&mut facts);
        facts["days"][0]["about"] = json!("A cake.");
        put(&rig, &facts).await;
        assert!(holds(&rig, "Kelpling").await);
        let token = rig.with_token(Role::Run, None).await;
        let body = json!({"child": second}).to_string();
        let erasures = format!("{path}/erasures");
        let erased = token.send("POST", &erasures, &[], Some(&body)).await.is(200).json();
        assert_eq!(erased["charts"], json!(2), "{erased}");
        for word in ["zq-kelpling", "Kelpling", "kelpling", "Marlet", "marlet"] {
            assert!(!holds(&rig, word).await, "{word}, its own id: {own_id}");
        }
        let chart = format!("{path}/charts/{}", told["id"].as_str().expect("an id"));
        let chart = token.send("GET", &chart, &[], None).await.is(200).text;
        assert!(
            chart.contains("Kelp: not here") && chart.contains("\"kelp\""),
            "the other child stays"
        );
        token.send("POST", &erasures, &[], Some(&body)).await.is(404);
    }
}

#[tokio::test]
async fn who_left_or_came_in_for_a_morning_is_erased_too() {
    let rig = rig().await;
    let mut facts = facts();
    call(&mut facts, 1, "kelp", "Kelp");
    let path = put(&rig, &facts).await;
    eventful(&rig, &path, &facts, "zq-kelpling").await;
    let (erasures, json) = (format!("{path}/erasures"), facts.to_string());
    rig.post(&erasures, &json!({"child": "wendeltrud"})).await.is(404);
    let adult = facts["adults"][0]["label"].as_str().expect("a label").to_lowercase();
    rig.post(&erasures, &json!({"child": adult})).await.is(404);
    let adult = json!({"adult": "wendeltrud"});
    let told = rig.post(&erasures, &adult).await.is(200).json();
    assert_eq!(told["charts"], json!(1));
    for word in ["wendeltrud", "Wendeltrud"] {
        assert!(!holds(&rig, word).await, "{word}");
    }
    rig.post(&erasures, &adult).await.is(404);
    // The child has left: only old charts speak of it.
    let mut left: Value = serde_json::from_str(&json).expect("JSON");
    left["children"].as_array_mut().expect("children").remove(0);
    left["children"][0].as_object_mut().expect("a child").remove("keep_with");
    left["visits"].as_array_mut().expect("visits").retain(|v| !v.to_string().contains("kelpling"));
    left["days"] = json!([{"date": left["days"][0]["date"]}]);
    put(&rig, &left).await;
    rig.post(&erasures, &json!({"child": "zq-kelpling"})).await.is(200);
    for word in ["zq-kelpling", "Kelpling"] {
        assert!(!holds(&rig, word).await, "{word}");
    }
}

#[tokio::test]
async fn what_was_begun_before_an_erasure_is_not_kept_after_it() {
    let rig = rig().await;
    let path = put(&rig, &facts()).await;
    let store = &rig.service.store;
    let id = path.rsplit('/').next().expect("an id");
    let read = store.site(id).await.expect("a store").expect("the site");
    let chart = NewChart {
        site: id.to_owned(),
        erasures: read.erasures,
        room: "room".into(),
        date: "2026-04-14".into(),
        parent: None,
        verb: "made",
        safe_to_run: true,
        chart: json!({"children": [{"id": "zq-kelpling"}]}).to_string(),
    };
    rig.post(&format!("{path}/erasures"), &json!({"child": "zq-kelpling"})).await.is(200);
    let mut writing = store.write(&hand()).await.expect("a store");
    let kept = writing.keep_chart(&chart).await.expect("a store");
    assert_eq!(kept, None, "it would bring the child back");
    let now = NewChart { erasures: read.erasures + 1, ..chart };
    assert!(writing.keep_chart(&now).await.expect("a store").is_some());
}

#[tokio::test]
async fn what_a_reader_holds_on_to_is_forgotten_later() {
    let rig = rig().await;
    if !rig.service.store.is_sqlite() {
        return;
    }
    let path = put(&rig, &facts()).await;
    let pool = sqlx::AnyPool::connect(&rig.service.settings.database).await.expect("the database");
    let mut reading = pool.begin().await.expect("a transaction");
    sqlx::query("SELECT COUNT(*) FROM sites").fetch_one(&mut *reading).await.expect("rows");
    let erased = rig.post(&format!("{path}/erasures"), &json!({"child": "zq-kelpling"})).await;
    assert_eq!(erased.is(200).json()["forgotten"], json!(false));
    assert!(holds(&rig, "Kelpling").await);
    drop(reading);
    pool.close().await;
    rig.service.store.forget_what_is_owed().await.expect("a store");
    assert!(!holds(&rig, "Kelpling").await);
}

#[tokio::test]
async fn a_token_that_is_called_after_a_person_is_not_any_more() {
    let rig = rig().await;
    let path = put(&rig, &facts()).await;
    let mut writing = rig.service.store.write(&hand()).await.expect("a store");
    let label = "Tablet of Kelpling, hall";
    let (token, _) = writing.add_token(label, Role::Look, None).await.expect("a token");
    writing.commit().await.expect("kept");
    let run = rig.with_token(Role::Run, None).await;
    let body = json!({"child": "zq-kelpling"}).to_string();
    run.send("POST", &format!("{path}/erasures"), &[], Some(&body)).await.is(200);
    let tokens = rig.service.store.tokens().await.expect("a store");
    let told = tokens.iter().find(|other| other.id == token.id).expect("the token");
    assert!(told.label.starts_with("Tablet of erased-") && told.label.ends_with(", hall"));
    assert!(!holds(&rig, "Kelpling").await);
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
