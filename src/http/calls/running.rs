//! For whoever runs the service: health, readiness, figures, the description.

use crate::http::answers::Health;
use crate::http::call::{Answer, Call, Reply};
use crate::http::media::Media;
use crate::http::problem::{FORBIDDEN, Problem};
use crate::http::{openapi, reference};

fn ok() -> Reply {
    Reply::json(200, &Health { status: "ok".into() })
}

/// Whether the program runs.
///
/// # Errors
/// None.
pub async fn health(_call: Call) -> Answer {
    Ok(ok())
}

/// Whether the store answers.
///
/// # Errors
/// When it does not.
pub async fn ready(call: Call) -> Answer {
    call.service.store.answers().await?;
    Ok(ok())
}

/// Figures. A token for one site does not see them: they are of all.
///
/// # Errors
/// When the token is for one site, or the store does not answer.
pub async fn metrics(call: Call) -> Answer {
    if call.who.site.is_some() {
        return Err(Problem::plain(FORBIDDEN));
    }
    let service = &call.service;
    let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
    let clients = service.settings.clients - service.clients.available_permits();
    let now = [
        (
            "fairturn_solves_waiting",
            "Solves that wait for a place.",
            count(service.solver.in_queue()),
        ),
        ("fairturn_jobs_waiting", "Jobs that wait.", service.store.jobs_waiting().await?),
        ("fairturn_requests_now", "Requests that are being answered.", count(clients)),
    ];
    Ok(Reply {
        media: "text/plain; version=0.0.4; charset=utf-8",
        ..Reply::new(200, Media::Text, service.metrics.text(&now))
    })
}

/// The description.
///
/// # Errors
/// None.
pub async fn description(_call: Call) -> Answer {
    Ok(Reply::new(200, Media::Json, openapi::text()))
}

/// The reference page.
///
/// # Errors
/// None.
pub async fn reference(_call: Call) -> Answer {
    Ok(Reply::new(200, Media::Html, reference::page()))
}
