//! The visit record and the ratio record.

use super::days::{json, still_whole};
use super::stored::{cut, limit};
use crate::http::answers::{RatioOfRoom, RatioRecord, VisitsAnswer};
use crate::http::call::{Answer, Call, Reply};
use crate::http::form::{Form, Given, Holds, maybe};
use crate::http::forms::csv;
use crate::http::media::Media;
use crate::http::problem::{FACTS, FaultLine, LOST_RACE, MISSING, Problem};
use crate::planner::CAUTION;
use crate::wire::limits;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// What `POST /v1/sites/{site}/visits` takes.
pub const VISITS: Form = Form {
    name: "VisitsRequest",
    fields: &[
        maybe("date", Holds::Date, "The date."),
        maybe("station", Holds::Id, "The station."),
        maybe("children", Holds::Ids(limits::VISIT_CHILDREN), "Who was there."),
        maybe(
            "all_but",
            Holds::Ids(limits::VISIT_ALL_BUT),
            "Or: who of those that come on that weekday was not.",
        ),
        maybe(
            "chart",
            Holds::Id,
            "Instead of all these: a kept chart, all of whose visits took place.",
        ),
    ],
};

/// The visit record, of one date where one is given.
///
/// # Errors
/// When the site is not there.
pub async fn list(call: Call) -> Answer {
    let document = json(&call.site().await?);
    let date = call.parameter("date");
    let after = match call.parameter("after").map(str::parse::<u32>) {
        None => 0,
        Some(Ok(after)) => after as usize,
        Some(Err(_)) => {
            let mend = "give the `next` of the page before";
            return Err(Problem::parameter("after", "this value has another form", mend));
        }
    };
    let visits = document["visits"].as_array().cloned().unwrap_or_default();
    let wanted = |visit: &Value| date.is_none_or(|date| visit["date"] == date);
    let rest = visits.into_iter().enumerate().skip(after);
    let most = limit(&call);
    let count = usize::try_from(most).unwrap_or(usize::MAX).saturating_add(1);
    let mut page: Vec<_> = rest.filter(|(_, visit)| wanted(visit)).take(count).collect();
    let more = cut(&mut page, most);
    let next = more.then(|| page.last().map(|(at, _)| (at + 1).to_string())).flatten();
    let visits: Vec<Value> = page.into_iter().map(|(_, visit)| visit).collect();
    Ok(Reply::json(200, &VisitsAnswer { visits: visits.into(), next }))
}

/// Adds to the visit record.
///
/// # Errors
/// When what is sent has faults.
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
    // Read among the writes, so that whoever changes the site meanwhile takes nothing away.
    let mut writing = call.write().await?;
    let site = writing.site(call.step("site")).await?.ok_or_else(|| Problem::plain(MISSING))?;
    let mut document = json(&site);
    if !document["visits"].is_array() {
        document["visits"] = Value::Array(Vec::new());
    }
    let list = document["visits"].as_array_mut().ok_or_else(|| Problem::plain(MISSING))?;
    let at = list.len();
    list.extend(new.iter().cloned());
    let text = still_whole(&call, &document, &format!("/visits/{at}"))?;
    let kept = writing.keep_site(&site.id, &text, Some(&site.version)).await?;
    kept.ok_or_else(|| Problem::plain(LOST_RACE))?;
    writing.note(Some(&site.id), "visits added", &new.len().to_string()).await?;
    let reply = Reply::json(201, &VisitsAnswer { visits: new.into(), next: None });
    let place = format!("/v1/sites/{}/visits", site.id);
    call.keep(writing, reply.with("location", place)).await
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
