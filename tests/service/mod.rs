//! The service from outside: requests in, answers out, over a store in a file of its own.

mod charts;
mod description;
mod erasing;
mod examples;
mod gate;
mod jobs;
mod replays;
mod sites;
mod stateless;
mod store;

use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode};
use fairturn::http::service::Service;
use fairturn::http::settings::{Setting, Settings};
use fairturn::http::{jobs as work, router};
use fairturn::store::{Hand, Role, Store};
use http_body_util::BodyExt;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use tower::ServiceExt;

/// A service over a new store, and the folder that the store is in.
pub struct Rig {
    pub service: Arc<Service>,
    pub folder: PathBuf,
    pub token: Option<String>,
}

/// An answer with its body.
pub struct Told {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
}

impl Told {
    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.text).unwrap_or_else(|e| panic!("{e}: {}", self.text))
    }

    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
    }

    /// The end of a problem's type.
    #[track_caller]
    pub fn problem(&self) -> String {
        assert_eq!(self.header("content-type"), "application/problem+json", "{}", self.text);
        let kind = self.json()["type"].as_str().expect("a type").to_owned();
        kind.strip_prefix("/reference#problem-").expect("its place").to_owned()
    }

    #[track_caller]
    pub fn is(self, status: u16) -> Told {
        assert_eq!(self.status.as_u16(), status, "{}", self.text);
        self
    }
}

static COUNT: AtomicU32 = AtomicU32::new(0);

/// The URL of a new store: in a file, or on the PostgreSQL server that the environment names.
async fn new_store(folder: &Path) -> String {
    let file = format!("sqlite://{}", folder.join("store.sqlite").display());
    let Ok(server) = std::env::var("FAIRTURN_TEST_POSTGRES") else { return file };
    let number = COUNT.fetch_add(1, Ordering::SeqCst);
    let name = format!("test_{}_{number}", std::process::id());
    sqlx::any::install_default_drivers();
    let pool = sqlx::AnyPool::connect(&server).await.expect("the server");
    let sql = sqlx::AssertSqlSafe(format!("CREATE DATABASE {name}"));
    sqlx::query(sql).execute(&pool).await.expect("a database of its own");
    pool.close().await;
    format!("{}/{name}", server.rsplit_once('/').expect("a database in the URL").0)
}

/// A service with some settings given.
pub async fn rig_with(set: &[(&str, &str)]) -> Rig {
    rig_changed(set, |_| {}).await
}

/// A service with some settings given, and others as nobody can give them.
pub async fn rig_changed(set: &[(&str, &str)], change: impl Fn(&mut Settings)) -> Rig {
    let number = COUNT.fetch_add(1, Ordering::SeqCst);
    let name = format!("fairturn-service-{}-{number}", std::process::id());
    let folder = std::env::temp_dir().join(name);
    std::fs::create_dir_all(&folder).expect("a folder");
    let url = new_store(&folder).await;
    let given = |setting: &Setting| match setting.flag {
        "database" => Some(url.clone()),
        flag => set.iter().find(|(name, _)| *name == flag).map(|(_, value)| (*value).to_owned()),
    };
    let mut settings = Settings::read(given).expect("settings");
    change(&mut settings);
    let store = Store::open(&settings.database).await.expect("a store");
    Rig { service: Service::new(settings, store, false), folder, token: None }
}

pub async fn rig() -> Rig {
    rig_with(&[("search-percent", "2")]).await
}

impl Drop for Rig {
    fn drop(&mut self) {
        self.service.stop.send_replace(true);
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

impl Rig {
    /// Starts to take up jobs.
    pub fn works(&self) {
        tokio::spawn(work::work(Arc::clone(&self.service)));
    }

    /// A new token; later requests of the copy carry it.
    pub async fn with_token(&self, role: Role, site: Option<&str>) -> Asker {
        let hand = Hand { token: "test".into(), request: String::new() };
        let mut writing = self.service.store.write(&hand).await.expect("a store");
        let (_, whole) = writing.add_token("test", role, site).await.expect("a token");
        writing.commit().await.expect("kept");
        Asker { service: Arc::clone(&self.service), token: Some(whole) }
    }

    pub fn asker(&self) -> Asker {
        Asker { service: Arc::clone(&self.service), token: self.token.clone() }
    }

    pub async fn get(&self, path: &str) -> Told {
        self.asker().send("GET", path, &[], None).await
    }

    pub async fn post(&self, path: &str, body: &Value) -> Told {
        self.asker().send("POST", path, &[], Some(&body.to_string())).await
    }

    /// Puts a shipped scenario and answers its id.
    pub async fn with_site(&self, name: &str) -> String {
        let text = scenario_text(name);
        let id =
            fairturn::wire::scenario::read(text.as_bytes()).expect("a scenario").site.id.clone();
        let new = [("if-none-match", "*")];
        let path = format!("/v1/sites/{id}");
        self.asker().send("PUT", &path, &new, Some(&text)).await.is(201);
        id
    }
}

/// Who asks, with a token or without.
#[derive(Clone)]
pub struct Asker {
    pub service: Arc<Service>,
    pub token: Option<String>,
}

impl Asker {
    pub async fn send(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<&str>,
    ) -> Told {
        let mut request = Request::builder().method(method).uri(path);
        if body.is_some() && !headers.iter().any(|(name, _)| *name == "content-type") {
            request = request.header("content-type", "application/json");
        }
        if let Some(token) = &self.token {
            request = request.header("authorization", format!("Bearer {token}"));
        }
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let body = Body::from(body.unwrap_or("").to_owned());
        let request = request.body(body).expect("a request");
        let answer = router(&self.service).oneshot(request).await.expect("an answer");
        let (parts, body) = answer.into_parts();
        let bytes = body.collect().await.expect("a body").to_bytes();
        let text = String::from_utf8(bytes.to_vec()).expect("text");
        Told { status: parts.status, headers: parts.headers, text }
    }
}

/// Whose hand writes in a test.
pub fn hand() -> Hand {
    Hand { token: "test".into(), request: String::new() }
}

pub fn scenario_text(name: &str) -> String {
    let file = format!("{}/scenarios/{name}.scenario.json", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(file).expect("a shipped scenario")
}

pub fn scenario(name: &str) -> Value {
    serde_json::from_str(&scenario_text(name)).expect("JSON")
}

pub fn home() -> Value {
    json!({"scenario": scenario("family-home")})
}
