//! The visit record and the ratio record.

use super::days::{json, still_whole};
use crate::http::answers::{RatioOfRoom, RatioRecord, VisitsAnswer};
use crate::http::call::{Answer, Call, Reply};
use crate::http::form::{Form, Given, Holds, maybe};
use crate::http::forms::csv;
use crate::http::media::Media;
use crate::http::problem::{CONFLICT, FACTS, FaultLine, MISSING, Problem};
use crate::planner::CAUTION;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// What `POST /v1/sites/{site}/visits` takes.
pub const VISITS: Form = Form {
    name: "VisitsRequest",
    fields: &[
        maybe("date", Holds::Date, "The date."),
        maybe("station", Holds::Id, "The station."),
        maybe("children", Holds::Ids, "Who was there."),
        maybe("all_but", Holds::Ids, "Or: who of those that come on that weekday was not."),
        maybe(
            "chart",
            Holds::Id,
            "Instead of all these: a kept chart, all of whose visits took place.",
        ),
    ],
};

/// The visit record.
///
/// # Errors
/// When the site is not there.
pub async fn list(call: Call) -> Answer {
    let document = json(&call.site().await?);
    let visits = document["visits"].as_array().cloned().unwrap_or_default();
    Ok(Reply::json(200, &VisitsAnswer { visits: visits.into() }))
}

/// Adds to the visit record.
///
/// # Errors
/// When what is sent has faults; when others keep changing the site.
pub async fn add(call: Call) -> Answer {
    let given = call.given(&VISITS)?;
    let new = match given.text("chart") {
        None => vec![entry(&given)],
        Some(id)
            if given.has("date")
                || given.has("station")
                || given.has("children")
                || given.has("all_but") =>
        {
            let line = FaultLine {
                pointer: "/chart".into(),
                cause: format!("the chart `{id}` has its own dates, stations and children"),
                mend: "give either the chart or the rest".into(),
            };
            return Err(Problem { faults: vec![line], ..Problem::plain(FACTS) });
        }
        Some(id) => {
            let chart = call.service.store.chart(call.step("site"), id).await?;
            let chart = chart.ok_or_else(|| Problem::plain(MISSING))?;
            of_chart(&serde_json::from_str(&chart.chart).unwrap_or_default())
        }
    };
    for _ in 0..5 {
        let site = call.site().await?;
        let mut document = json(&site);
        if !document["visits"].is_array() {
            document["visits"] = Value::Array(Vec::new());
        }
        let list = document["visits"].as_array_mut().ok_or_else(|| Problem::plain(MISSING))?;
        let at = list.len();
        list.extend(new.iter().cloned());
        let text = still_whole(&document, &format!("/visits/{at}"))?;
        let mut writing = call.write().await?;
        if writing.keep_site(&site.id, &text, Some(&site.version)).await?.is_none() {
            continue;
        }
        writing.note(Some(&site.id), "visits added", &new.len().to_string()).await?;
        let reply = Reply::json(201, &VisitsAnswer { visits: new.into() });
        let place = format!("/v1/sites/{}/visits", site.id);
        return call.keep(writing, reply.with("location", place)).await;
    }
    Err(Problem::about(CONFLICT, "Others keep changing the site; try again."))
}

/// The entry of the scenario's `visits` that a form asks for.
fn entry(given: &Given) -> Value {
    let mut entry = Map::new();
    for name in ["date", "station"] {
        if let Some(text) = given.text(name) {
            entry.insert(name.into(), text.into());
        }
    }
    for name in ["children", "all_but"] {
        if let Some(ids) = given.ids(name) {
            entry.insert(name.into(), json!(ids));
        }
    }
    Value::Object(entry)
}

/// One entry for each station of a chart that somebody visits.
fn of_chart(chart: &Value) -> Vec<Value> {
    let mut by_station: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for child in chart["children"].as_array().into_iter().flatten() {
        for stay in child["stays"].as_array().into_iter().flatten() {
            if let (Some(true), Some(station), Some(id)) =
                (stay["visit"].as_bool(), stay["at"]["id"].as_str(), child["id"].as_str())
            {
                let at = by_station.entry(station).or_default();
                if !at.contains(&id) {
                    at.push(id);
                }
            }
        }
    }
    let entry = |(station, children): (&str, Vec<&str>)| json!({"date": chart["date"], "station": station, "children": children});
    by_station.into_iter().map(entry).collect()
}

/// The ratio record of a day.
///
/// # Errors
/// When no chart of that day is kept.
pub async fn ratio_record(call: Call) -> Answer {
    let site = call.site().await?;
    let date = call.step("date");
    let charts = call.service.store.newest(&site.id, date).await?;
    if charts.is_empty() {
        return Err(Problem::plain(MISSING));
    }
    let rooms = charts.into_iter().map(|kept| {
        let chart: Value = serde_json::from_str(&kept.chart).unwrap_or_default();
        RatioOfRoom {
            room: kept.line.room,
            chart: kept.line.id,
            safe_to_run: kept.line.safe_to_run,
            ratio: chart["ratio"].clone(),
        }
    });
    let rooms: Vec<RatioOfRoom> = rooms.collect();
    if call.media == Media::Csv {
        let lines: Vec<(String, Value)> =
            rooms.into_iter().map(|room| (room.room, room.ratio)).collect();
        return Ok(Reply::new(200, Media::Csv, csv::ratio(&lines)));
    }
    let record = RatioRecord {
        site: site.id.clone(),
        date: date.to_owned(),
        caution: CAUTION.to_owned(),
        rooms,
    };
    Ok(Reply::json(200, &record))
}
