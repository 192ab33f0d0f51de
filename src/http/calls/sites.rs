//! Sites: documents that are put whole, each change naming the version that it changes.

use crate::http::answers::{SiteLine, SitesPage, time};
use crate::http::call::{Answer, Call, Reply};
use crate::http::media::Media;
use crate::http::problem::{FACTS, FaultLine, LOST_RACE, Problem};
use crate::wire::Fault;
use crate::wire::scenario::{Scenario, read_for};
use chrono::{NaiveDate, Utc};

/// The sites.
///
/// # Errors
/// When the store does not answer.
pub async fn list(call: Call) -> Answer {
    let most = super::stored::limit(&call);
    let after = call.parameter("after").unwrap_or("");
    let mut sites = call.service.store.sites(after, call.who.site.as_deref(), most + 1).await?;
    let more = super::stored::cut(&mut sites, most);
    let next = more.then(|| sites.last().map(|site| site.id.clone())).flatten();
    let line = |site: crate::store::Site| SiteLine {
        id: site.id,
        version: site.version,
        changed: time(site.changed),
    };
    Ok(Reply::json(200, &SitesPage { sites: sites.into_iter().map(line).collect(), next }))
}

/// A site's document.
///
/// # Errors
/// When it is not there.
pub async fn read(call: Call) -> Answer {
    let site = call.site().await?;
    if call.has_version(&site.version) {
        let unchanged = Reply::new(304, Media::Json, String::new());
        return Ok(unchanged.with("etag", format!("\"{}\"", site.version)));
    }
    Ok(Reply::new(200, Media::Json, site.document).with("etag", format!("\"{}\"", site.version)))
}

/// The date for which a document without days is read.
#[must_use]
pub fn today() -> NaiveDate {
    chrono::DateTime::<Utc>::from_timestamp(crate::store::ids::now(), 0)
        .unwrap_or_default()
        .date_naive()
}

/// Reads a document, for its own first day or else for today.
///
/// # Errors
/// Every fault.
pub fn read_document(bytes: &[u8]) -> Result<Scenario, Vec<Fault>> {
    read_for(bytes, None).or_else(|found| {
        let undated = found.iter().any(|fault| fault.cause == "no date is given");
        if undated { read_for(bytes, Some(today())) } else { Err(found) }
    })
}

/// Reads a document, as an answer to whoever sent it.
///
/// # Errors
/// Every fault.
pub fn checked(document: &str) -> Result<Scenario, Problem> {
    read_document(document.as_bytes()).map_err(|faults| Problem::faults(FACTS, "", &faults))
}

/// Puts a document.
///
/// # Errors
/// When it has faults, or another change came first.
pub async fn put(call: Call) -> Answer {
    let bytes = call.body.clone();
    let scenario = call.service.solver.quick(move || read_document(&bytes)).await?;
    let scenario = scenario.map_err(|faults| Problem::faults(FACTS, "", &faults))?;
    let document = String::from_utf8_lossy(&call.body).into_owned();
    let id = call.step("site").to_owned();
    if scenario.site.id != id {
        let line = FaultLine {
            pointer: "/site/id".into(),
            cause: format!("the document's own id is `{}`", scenario.site.id),
            mend: "put it under its own id, or write that of the path".into(),
        };
        return Err(Problem { faults: vec![line], ..Problem::plain(FACTS) });
    }
    let mut writing = call.write().await?;
    let before = writing.site(&id).await?;
    let old = before.as_ref().map(|site| site.version.as_str());
    call.version(old)?;
    let version = writing.keep_site(&id, &document, old).await?;
    let version = version.ok_or_else(|| Problem::plain(LOST_RACE))?;
    super::names::remember(&mut writing, before.as_ref(), &scenario).await?;
    writing.note(Some(&id), "site put", &version).await?;
    let status = if before.is_some() { 200 } else { 201 };
    let line = SiteLine { id: id.clone(), version: version.clone(), changed: time(writing.now) };
    let reply = Reply::json(status, &line).with("etag", format!("\"{version}\""));
    let reply =
        if status == 201 { reply.with("location", format!("/v1/sites/{id}")) } else { reply };
    call.keep(writing, reply).await
}

/// Removes a site.
///
/// # Errors
/// When it is not there, or another change came first.
pub async fn remove(call: Call) -> Answer {
    let site = call.site().await?;
    call.version(Some(&site.version))?;
    let mut writing = call.write().await?;
    if !writing.remove_site(&site.id, &site.version).await? {
        return Err(Problem::plain(LOST_RACE));
    }
    writing.note(Some(&site.id), "site removed", &site.version).await?;
    let reply = call.keep(writing, Reply::done()).await?;
    // It is removed, whether or not the pages can be written anew just now.
    let _ = call.service.store.forget().await;
    Ok(reply)
}
