//! The service: the verbs over HTTP, stateless and with a store.
//!
//! Map: [`operations`] the one table of calls that makes routes, description and reference, `gate`
//! what every request passes (tokens, limits, forms, idempotency, headers, log), [`calls`] what each
//! call does, [`work`] and `verbs` the verbs without the store, `solver` threads behind a queue, [`jobs`] promises
//! and how they are kept, [`problem`] what goes wrong, [`form`] bodies in, [`answers`] shapes out,
//! [`forms`] CSV and iCalendar, [`openapi`] and [`mod@reference`] the description, [`settings`] the table
//! of settings, [`server`] listening and ending.
//!
//! - A request passes `gate` (place, token, rate, role, site, parameters, form of answer, body), then
//!   the function that its line in [`operations`] names.
//! - To add a call: a line in that table, a function in [`calls`], an example in `api/requests`, and
//!   `api/openapi.json` fetched anew; tests fail until all are there.
//! - A client that hangs up gives its place in the queue back; a solve that has begun keeps its place
//!   until it ends.
//! - A `POST` with an idempotency key goes on when the client hangs up; its answer is written in one
//!   transaction with what it did.
//! - A job is held under a lease with a fence, a number that grows with each taking, so that a late
//!   result changes nothing; after three takings it is lost.
//! - Erasing rewrites every text in one transaction, by every name that the person ever had; then the
//!   database is written anew, its log is cut off, and freed pages are overwritten, or that stays
//!   owed until the next start; a chart that was begun before it is not kept after it.
//! - Logs and metrics name routes and ids of requests; what may stand in a line is fixed in `log`.

pub mod answers;
pub mod call;
pub mod calls;
pub mod facts;
pub mod form;
pub mod forms;
mod gate;
pub mod jobs;
mod log;
pub mod media;
pub mod metrics;
pub mod openapi;
pub mod operation;
pub mod operations;
pub mod problem;
pub mod reference;
pub mod server;
pub mod service;
pub mod settings;
pub mod solver;
mod uri;
mod verbs;
pub mod work;

use axum::Router;
use axum::body::Body;
use axum::http::Request;
use axum::routing::{MethodFilter, on};
use service::Service;
use std::sync::Arc;

/// Every route of the table.
pub fn router(service: &Arc<Service>) -> Router {
    let mut router = Router::new();
    for operation in operations::OPERATIONS {
        let method = match operation.method {
            "POST" => MethodFilter::POST,
            "PUT" => MethodFilter::PUT,
            "DELETE" => MethodFilter::DELETE,
            _ => MethodFilter::GET,
        };
        let service = Arc::clone(service);
        let pass =
            move |request: Request<Body>| gate::pass(Arc::clone(&service), operation, request);
        router = router.route(operation.path, on(method, pass));
    }
    let (none, other) = (Arc::clone(service), Arc::clone(service));
    router
        .fallback(move || async move { gate::refuse(&none, problem::MISSING) })
        .method_not_allowed_fallback(move || async move { gate::refuse(&other, problem::METHOD) })
}
