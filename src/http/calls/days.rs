//! Days: what is said about one date of a site, an entry of the document's `days`.

use super::sites::checked;
use crate::http::call::{Answer, Call, Reply};
use crate::http::media::Media;
use crate::http::problem::{FACTS, FaultLine, LOST_RACE, MISSING, Problem, TOO_LONG};
use crate::store::{Site, ids};
use crate::wire::{decode, pretty::pretty};
use serde_json::{Map, Value};

/// The entry of a date in a document, with its position.
fn entry<'v>(document: &'v Value, date: &str) -> Option<(usize, &'v Value)> {
    let days = document["days"].as_array()?;
    days.iter().enumerate().find(|(_, day)| day["date"] == date)
}

/// The version of an entry: another one after every change.
fn version(entry: &Value) -> String {
    ids::digest(entry.to_string().as_bytes())[..24].to_owned()
}

/// A kept document as JSON; it was checked when it was put.
#[must_use]
pub fn json(site: &Site) -> Value {
    serde_json::from_str(&site.document).unwrap_or_default()
}

/// What is said about a date.
///
/// # Errors
/// When nothing is.
pub async fn read(call: Call) -> Answer {
    let document = json(&call.site().await?);
    let (_, entry) = entry(&document, call.step("date")).ok_or_else(|| Problem::plain(MISSING))?;
    let tag = version(entry);
    let status = if call.has_version(&tag) { 304 } else { 200 };
    let body = if status == 304 { String::new() } else { entry.to_string() };
    Ok(Reply::new(status, Media::Json, body).with("etag", format!("\"{tag}\"")))
}

/// Reads an object, each name in it once.
///
/// # Errors
/// Every fault of form.
pub fn object(bytes: &[u8]) -> Result<Map<String, Value>, Problem> {
    let read = decode(bytes, |root| {
        root.is_object()?;
        serde_json::from_str(&root.value().to_json()).ok()
    });
    read.map_err(|faults| Problem::faults(FACTS, "", &faults))
}

/// Checks a changed document; what is wrong under `changed` is told as if that were the body.
///
/// # Errors
/// Every fault, or that it has grown so long that it could not be put as a whole any more.
pub fn still_whole(call: &Call, document: &Value, changed: &str) -> Result<String, Problem> {
    let too_long = |text: &String| text.len() > call.service.settings.body;
    let text = Some(pretty(document)).filter(|text| !too_long(text));
    let text = text.unwrap_or_else(|| document.to_string());
    if too_long(&text) {
        return Err(Problem::about(TOO_LONG, "With this, the site's document is."));
    }
    match checked(&text) {
        Ok(_) => Ok(text),
        Err(mut problem) => {
            for fault in &mut problem.faults {
                if let Some(rest) = fault.pointer.strip_prefix(changed)
                    && (rest.is_empty() || rest.starts_with('/'))
                {
                    fault.pointer = rest.to_owned();
                }
            }
            Err(problem)
        }
    }
}

/// Says what a date brings.
///
/// # Errors
/// When it has faults, or another change came first.
pub async fn put(call: Call) -> Answer {
    let date = call.step("date").to_owned();
    let given = object(&call.body)?;
    if given.get("date").is_some_and(|told| *told != date.as_str()) {
        let line = FaultLine {
            pointer: "/date".into(),
            cause: "this is another date than that of the path".into(),
            mend: "leave it out, or write the same".into(),
        };
        return Err(Problem { faults: vec![line], ..Problem::plain(FACTS) });
    }
    let mut new = Map::new();
    new.insert("date".into(), date.clone().into());
    new.extend(given.into_iter().filter(|(name, _)| name != "date"));
    let new = Value::Object(new);
    // Read among the writes: who changes another date meanwhile is in nobody's way.
    let mut writing = call.write().await?;
    let site = writing.site(call.step("site")).await?.ok_or_else(|| Problem::plain(MISSING))?;
    let mut document = json(&site);
    let before = entry(&document, &date).map(|(at, entry)| (at, version(entry)));
    call.version(before.as_ref().map(|(_, version)| version.as_str()))?;
    if !document["days"].is_array() {
        document["days"] = Value::Array(Vec::new());
    }
    let days = document["days"].as_array_mut().ok_or_else(|| Problem::plain(MISSING))?;
    let at = match &before {
        Some((at, _)) => {
            days[*at] = new.clone();
            *at
        }
        None => {
            days.push(new.clone());
            days.len() - 1
        }
    };
    let text = still_whole(&call, &document, &format!("/days/{at}"))?;
    let kept = writing.keep_site(&site.id, &text, Some(&site.version)).await?;
    kept.ok_or_else(|| Problem::plain(LOST_RACE))?;
    writing.note(Some(&site.id), "day put", &date).await?;
    let status = if before.is_some() { 200 } else { 201 };
    let reply = Reply::new(status, Media::Json, new.to_string());
    let reply = reply.with("etag", format!("\"{}\"", version(&new)));
    call.keep(writing, reply).await
}
