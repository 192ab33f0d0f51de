//! The examples in `api/requests` are sent, in their order, and every call has one.

use super::rig;
use fairturn::http::operations::OPERATIONS;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// A request as its file has it.
struct Example {
    call: String,
    method: String,
    path: String,
    headers: Vec<(String, String)>,
    body: Option<String>,
}

fn read(path: &PathBuf) -> Example {
    let text = std::fs::read_to_string(path).expect("an example");
    let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
    let call = name.split_once('-').expect("a number, a call").1.to_owned();
    let (head, body) = text.split_once("\n\n").unwrap_or((&text, ""));
    let mut lines = head.lines().filter(|line| !line.starts_with('#'));
    let first = lines.next().expect("a request line");
    let (method, path) = first.split_once(' ').expect("method and path");
    let path = path.strip_prefix("http://127.0.0.1:7117").expect("this machine");
    let header = |line: &str| {
        let (name, value) = line.split_once(": ").expect("a header");
        (name.to_lowercase(), value.to_owned())
    };
    Example {
        call,
        method: method.to_owned(),
        path: path.to_owned(),
        headers: lines.map(header).collect(),
        body: Some(body.trim().to_owned()).filter(|body| !body.is_empty()),
    }
}

#[tokio::test]
async fn every_call_has_an_example_that_works() {
    let rig = rig().await;
    rig.works();
    let folder = format!("{}/api/requests", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the examples")
        .map(|file| file.expect("a file").path())
        .collect();
    files.retain(|path| path.extension().is_some_and(|end| end == "http"));
    files.sort();
    let mut said: BTreeMap<String, String> = BTreeMap::new();
    let mut calls = BTreeSet::new();
    for file in &files {
        let example = read(file);
        let filled = |text: &str| {
            said.iter().fold(text.to_owned(), |text, (name, value)| {
                text.replace(&format!("{{{{{name}}}}}"), value)
            })
        };
        let operation = OPERATIONS.iter().find(|op| op.id == example.call).expect("a known call");
        assert_eq!(operation.method, example.method, "{file:?}");
        let headers: Vec<(String, String)> =
            example.headers.iter().map(|(name, value)| (name.clone(), filled(value))).collect();
        let headers: Vec<(&str, &str)> =
            headers.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        let body = example.body.as_deref().map(&filled);
        let path = filled(&example.path);
        let told = rig.asker().send(&example.method, &path, &headers, body.as_deref()).await;
        let status = told.status.as_u16();
        let good = operation.status.contains(&status) || (operation.job && status == 202);
        assert!(good, "{file:?}: {status} {}", told.text);
        let place = told.header("location");
        if let Some((list, id)) = place.rsplit_once('/') {
            let name = list.rsplit('/').next().unwrap_or("").trim_end_matches('s').to_owned();
            said.insert(name, id.to_owned());
        }
        if !told.header("etag").is_empty() {
            said.insert(format!("etag-of-{}", example.call), told.header("etag").to_owned());
        }
        calls.insert(example.call);
    }
    let missing: Vec<&str> =
        OPERATIONS.iter().map(|op| op.id).filter(|id| !calls.contains(*id)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
