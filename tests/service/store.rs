//! The store itself: opened again, written by a later program, never another one than was asked for.

use super::{hand, rig, scenario_text};
use fairturn::store::Store;
use sqlx::Row;

#[tokio::test]
async fn a_store_is_opened_again_as_it_was_and_a_later_one_is_left_alone() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let url = &rig.service.settings.database;
    let again = Store::open(url).await.expect("the same store");
    let kept = again.site(&site).await.expect("a store").expect("the site");
    assert_eq!(kept.document, scenario_text("family-home"));
    again.close().await;
    let pool = sqlx::AnyPool::connect(url).await.expect("the database");
    sqlx::query("INSERT INTO shapes (shape) VALUES (99)").execute(&pool).await.expect("written");
    let refused = Store::open(url).await.expect_err("a later program wrote it");
    assert!(refused.to_string().contains("later version"), "{refused}");
    let rows = sqlx::query("SELECT COUNT(*) FROM sites").fetch_one(&pool).await.expect("a count");
    assert_eq!(rows.try_get::<i64, _>(0).expect("a number"), 1);
    pool.close().await;
}

#[tokio::test]
async fn a_store_of_the_first_shape_is_brought_to_today_s() {
    let folder = std::env::temp_dir().join(format!("fairturn-first-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let url = super::new_store(&folder).await;
    sqlx::any::install_default_drivers();
    let new = if url.starts_with("sqlite") { format!("{url}?mode=rwc") } else { url.clone() };
    let pool = sqlx::AnyPool::connect(&new).await.expect("a database");
    let shapes = "CREATE TABLE shapes (shape BIGINT PRIMARY KEY); INSERT INTO shapes VALUES (1);";
    let site = "INSERT INTO sites VALUES ('pier', '{}', 'v', 1)";
    let first = include_str!("../../src/store/schema.sql");
    for statement in format!("{shapes} {first} {site}").split(';') {
        let statement = sqlx::AssertSqlSafe(statement.to_owned());
        sqlx::query(statement).execute(&pool).await.expect("written");
    }
    pool.close().await;
    let store = Store::open(&url).await.expect("the same store");
    let kept = store.site("pier").await.expect("a store").expect("the site");
    assert_eq!((kept.document.as_str(), kept.erasures), ("{}", 0));
    store.close().await;
    std::fs::remove_dir_all(&folder).expect("gone");
}

#[tokio::test]
async fn no_other_store_is_opened_than_was_asked_for() {
    let folder = std::env::temp_dir().join(format!("fairturn-none-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    for url in ["postgres://nobody@127.0.0.1:1/none", "mysql://x", "fairturn.sqlite", ""] {
        assert!(Store::open(url).await.is_err(), "{url}");
    }
    let file = folder.join("deeper/store.sqlite");
    assert!(Store::open(&format!("sqlite://{}", file.display())).await.is_err());
    let left = std::fs::read_dir(&folder).expect("the folder").count();
    assert_eq!(left, 0, "nothing was made in its place");
    std::fs::remove_dir_all(&folder).expect("gone");
}

#[tokio::test]
async fn what_is_not_kept_whole_is_not_kept_at_all() {
    let rig = rig().await;
    let site = rig.with_site("family-home").await;
    let store = &rig.service.store;
    let before = store.site(&site).await.expect("a store").expect("the site");
    let mut writing = store.write(&hand()).await.expect("a store");
    let put = writing.keep_site(&site, "{}", Some(&before.version)).await.expect("a store");
    assert!(put.is_some());
    writing.note(Some(&site), "site put", "x").await.expect("a store");
    drop(writing);
    assert_eq!(store.site(&site).await.expect("a store"), Some(before));
    assert_eq!(store.trail(Some(&site), "", 10).await.expect("a store").len(), 1);
}
