//! Charts that are kept: made, brought, read, judged again.

use super::stateless::{AT, FIX, FROM, GROUP, HAPPENINGS, NOT, SEED, STATIONS, TO, WHEN, told};
use crate::http::answers::{ChartsPage, RevisionLine};
use crate::http::call::{Answer, Call, Reply, Sent, keep_chart};
use crate::http::form::{Form, Given, Holds, maybe, needed};
use crate::http::jobs;
use crate::http::media::Media;
use crate::http::problem::{CONFLICT, FACTS, FaultLine, MISSING, Problem};
use crate::http::work::{Order, Verb, carry_out, shown};
use crate::store::{ChartLine, NewJob, Site, ids};

/// What `POST /v1/sites/{site}/charts` takes.
pub const CHART: Form = Form {
    name: "SiteChartRequest",
    fields: &[
        maybe("date", Holds::Date, "The date of the chart that is to be made."),
        maybe("room", Holds::Id, "The room; left out: the only one."),
        SEED,
        maybe(
            "chart",
            Holds::Chart,
            "Instead of all these: a chart to keep, for instance one edited by hand.",
        ),
        maybe("parent", Holds::Id, "Beside `chart`: the kept chart that it came from."),
    ],
};

/// What `POST /v1/sites/{site}/charts/{chart}/repairs` takes.
pub const REPAIR: Form = Form { name: "SiteRepairRequest", fields: &[AT, HAPPENINGS, FIX, SEED] };

/// What `POST /v1/sites/{site}/charts/{chart}/checks` takes.
pub const CHECK: Form = Form { name: "SiteCheckRequest", fields: &[FROM, TO, STATIONS] };

/// What `POST /v1/sites/{site}/checks` takes.
pub const CHECK_DAY: Form = Form {
    name: "SiteDayCheckRequest",
    fields: &[
        needed("date", Holds::Date, "The date."),
        maybe("room", Holds::Id, "The room; left out: the only one."),
        FROM,
        TO,
        STATIONS,
    ],
};

/// What `POST /v1/sites/{site}/charts/{chart}/whys` takes.
pub const WHY: Form = Form { name: "SiteWhyRequest", fields: &[GROUP, WHEN, NOT, SEED] };

/// What calls take that need nothing.
pub const NOTHING: Form = Form { name: "Nothing", fields: &[] };

/// The form of a verb's call on a site, or on one of its charts.
#[must_use]
pub fn form(verb: Verb) -> &'static Form {
    match verb {
        Verb::Repair => &REPAIR,
        Verb::Check => &CHECK,
        Verb::Why => &WHY,
        Verb::Chart | Verb::Audit => &CHART,
    }
}

/// How long a page of a list may be.
#[must_use]
pub fn limit(call: &Call) -> i64 {
    call.parameter("limit").and_then(|text| text.parse().ok()).unwrap_or(50)
}

/// Cuts a list that was read one too long; whether there is more.
pub fn cut<T>(list: &mut Vec<T>, most: i64) -> bool {
    let most = usize::try_from(most).unwrap_or(usize::MAX);
    let more = list.len() > most;
    list.truncate(most);
    more
}

/// The charts that are kept.
///
/// # Errors
/// When the site is not there.
pub async fn list(call: Call) -> Answer {
    let site = call.site().await?;
    let most = limit(&call);
    let (date, before) = (call.parameter("date"), call.parameter("before"));
    let store = &call.service.store;
    let mut charts =
        store.charts(&site.id, date.unwrap_or(""), before.unwrap_or(""), most + 1).await?;
    let more = cut(&mut charts, most);
    let next = more.then(|| charts.last().map(|chart| chart.id.clone())).flatten();
    let line = |line: ChartLine| RevisionLine::new(&site.id, line, None);
    Ok(Reply::json(200, &ChartsPage { charts: charts.into_iter().map(line).collect(), next }))
}

/// Makes a chart and keeps it, or keeps one that is sent.
///
/// # Errors
/// As the reference says.
pub async fn make(call: Call) -> Answer {
    let given = call.given(&CHART)?;
    let verb = if given.has("chart") { Verb::Audit } else { Verb::Chart };
    let apart = match verb {
        Verb::Chart if !given.has("date") => Some(("/date", "add the date")),
        Verb::Chart if given.has("parent") => {
            Some(("/parent", "leave it out: only a chart that is sent has one"))
        }
        Verb::Audit if given.has("date") => Some(("/date", "leave it out: the chart has its own")),
        Verb::Audit if given.has("room") => Some(("/room", "leave it out: the chart has its own")),
        Verb::Audit if given.has("seed") => Some(("/seed", "leave it out: nothing is searched")),
        _ => None,
    };
    if let Some((pointer, mend)) = apart {
        let cause = "a chart is either made, for a date, or sent".to_owned();
        let line = FaultLine { pointer: pointer.into(), cause, mend: mend.into() };
        return Err(Problem { faults: vec![line], ..Problem::plain(FACTS) });
    }
    let site = call.site().await?;
    keep(call, verb, given, (site, None)).await
}

/// Why a chart was not kept.
pub const GONE: &str = "The site was removed or somebody was erased meanwhile: ask again.";

/// Carries a verb out on a site and keeps the chart that comes of it.
///
/// # Errors
/// As the reference says.
async fn keep(
    call: Call,
    verb: Verb,
    given: Given,
    (site, chart): (Site, Option<String>),
) -> Answer {
    let parent = match (&chart, given.text("parent")) {
        (Some(_), _) => Some(call.step("chart").to_owned()),
        (None, Some(id)) => {
            let parent = call.service.store.chart(&site.id, id).await?;
            Some(parent.ok_or_else(|| Problem::plain(MISSING))?.line.id)
        }
        (None, None) => None,
    };
    let order = order(&call, verb, &site.document, given, chart);
    if jobs::wanted(&call) {
        let request = String::from_utf8_lossy(&call.body).into_owned();
        let job = NewJob { site: Some(site.id), verb: verb.word().into(), chart: parent, request };
        return jobs::put(call, job, order).await;
    }
    let outcome = call.service.solver.run(move |ticket| carry_out(&order, ticket)).await??;
    let mut writing = call.write().await?;
    let verb = verb.of_revision();
    let from = (site.id.as_str(), site.erasures);
    let kept = keep_chart(&mut writing, from, parent.as_deref(), verb, &outcome).await?;
    let (line, answer) = kept.ok_or_else(|| Problem::about(CONFLICT, GONE))?;
    let place = format!("/v1/sites/{}/charts/{}", site.id, line.id);
    let reply = match outcome.said {
        Some(said) => Reply::new(201, Media::Text, said),
        None => Reply::json(201, &answer),
    };
    call.keep(writing, reply.with("location", place)).await
}

/// An order on the site of the path; `chart` is one that is kept.
fn order(call: &Call, verb: Verb, document: &str, given: Given, chart: Option<String>) -> Order {
    let kept = chart.is_some();
    Order {
        verb,
        scenario: document.to_owned(),
        scenario_at: None,
        chart: chart.or_else(|| given.json("chart")),
        chart_at: (!kept).then_some("/chart"),
        given,
        media: call.media,
        adult: None,
        search_percent: call.service.settings.search_percent,
    }
}

/// A chart that is kept.
///
/// # Errors
/// When it is not there, or the facts have changed so that the form cannot be made.
pub async fn read(call: Call) -> Answer {
    let chart = call.chart().await?;
    // Of the whole answer: a chart in words has facts of the site in it, and an erasure changes any.
    let (media, reply) = if call.media == Media::Json {
        let line = RevisionLine::new(call.step("site"), chart.line, Some(&chart.chart));
        (Media::Json, Reply::json(200, &line))
    } else {
        let site = call.site().await?;
        let order = order(&call, Verb::Audit, &site.document, Given::default(), Some(chart.chart));
        let parent = match (&chart.line.parent, call.media) {
            (Some(id), Media::Text) => call.service.store.chart(&site.id, id).await?,
            _ => None,
        };
        let parent = parent.map(|parent| parent.chart);
        let show = move || shown(&order, parent.as_deref());
        let body = call.service.solver.quick(show).await??;
        (call.media, Reply::new(200, call.media, body))
    };
    let tag = match &reply.body {
        Sent::Whole(body) => ids::digest(body.as_bytes())[..24].to_owned(),
        Sent::Stream(_) => String::new(),
    };
    let reply = if call.has_version(&tag) { Reply::new(304, media, String::new()) } else { reply };
    Ok(reply.with("etag", format!("\"{tag}\"")))
}

/// One adult's calendar.
///
/// # Errors
/// When chart or adult are not there.
pub async fn calendar(call: Call) -> Answer {
    let (site, chart) = (call.site().await?, call.chart().await?);
    let adult = call.step("adult").to_owned();
    let json: serde_json::Value = serde_json::from_str(&chart.chart).unwrap_or_default();
    let there = json["adults"].as_array().into_iter().flatten().any(|a| a["id"] == adult.as_str());
    if !there {
        return Err(Problem::plain(MISSING));
    }
    let mut order = order(&call, Verb::Audit, &site.document, Given::default(), Some(chart.chart));
    order.adult = Some(adult);
    let body = call.service.solver.quick(move || shown(&order, None)).await??;
    Ok(Reply::new(200, Media::Calendar, body))
}

/// Judges a kept chart again.
///
/// # Errors
/// When it is not there, or cannot be read with the facts as they are now.
pub async fn audit(call: Call) -> Answer {
    asked(call, Verb::Audit, &NOTHING).await
}

/// Checks a block over a kept chart.
///
/// # Errors
/// When it is not there, or what is asked cannot be.
pub async fn check(call: Call) -> Answer {
    asked(call, Verb::Check, &CHECK).await
}

/// Says why a group of a kept chart is where it is.
///
/// # Errors
/// When it is not there, or what is asked cannot be.
pub async fn why(call: Call) -> Answer {
    asked(call, Verb::Why, &WHY).await
}

/// Answers a question about a kept chart and keeps nothing.
async fn asked(call: Call, verb: Verb, form: &Form) -> Answer {
    let given = call.given(form)?;
    let (site, chart) = (call.site().await?, call.chart().await?);
    let order = order(&call, verb, &site.document, given, Some(chart.chart));
    told(call, order).await
}

/// Checks a block over the facts of a day alone.
///
/// # Errors
/// When the site is not there, or what is asked cannot be.
pub async fn check_day(call: Call) -> Answer {
    let given = call.given(&CHECK_DAY)?;
    let site = call.site().await?;
    let order = order(&call, Verb::Check, &site.document, given, None);
    told(call, order).await
}

/// Repairs the rest of the day of a kept chart, and keeps the new one with that as its parent.
///
/// # Errors
/// When it is not there, or what has happened cannot be.
pub async fn repair(call: Call) -> Answer {
    let given = call.given(&REPAIR)?;
    // The site first: who is erased after that is in no chart that is kept.
    let site = call.site().await?;
    let chart = call.chart().await?;
    keep(call, Verb::Repair, given, (site, Some(chart.chart))).await
}
