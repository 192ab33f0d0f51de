//! Jobs: how they stand, what becomes of them, and how to call them off.

use crate::http::answers::JobAnswer;
use crate::http::call::{Answer, Call, Reply, Sent};
use crate::http::media::Media;
use crate::http::problem::{MISSING, Problem};
use crate::http::service::Service;
use crate::store::{Job, Role};
use axum::body::{Body, Bytes};
use futures_util::stream;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::time::sleep;

/// The job of the path, for whoever asked for it or runs everything; for others there is none.
async fn job(call: &Call) -> Result<Job, Problem> {
    let job = call.service.store.job(call.step("job")).await?;
    let own = |job: &Job| {
        job.token == call.who.token
            || (call.who.role == Role::Run
                && call.who.site.as_ref().is_none_or(|site| job.work.site.as_ref() == Some(site)))
    };
    job.filter(own).ok_or_else(|| Problem::plain(MISSING))
}

/// A job as it is told, with what this instance knows of it now; `found`: also what it has found so far.
fn told(service: &Service, mut job: Job, found: bool) -> JobAnswer {
    if !job.state.is_over() {
        job.progress = service.under_way.words(&job.id).unwrap_or(job.progress);
    }
    // It is long: whoever has it already does not read it again.
    job.so_far = job.so_far.filter(|_| found);
    if found && !job.state.is_over() {
        job.so_far = service.under_way.so_far(&job.id).or(job.so_far);
    }
    JobAnswer::from(job)
}

/// How a job stands.
///
/// # Errors
/// When it is not there.
pub async fn read(call: Call) -> Answer {
    let job = job(&call).await?;
    let over = job.state.is_over();
    let reply = Reply::json(200, &told(&call.service, job, true));
    Ok(if over { reply } else { reply.with("retry-after", "1") })
}

/// Calls a job off.
///
/// # Errors
/// When it is not there.
pub async fn cancel(call: Call) -> Answer {
    let job = job(&call).await?;
    let mut writing = call.write().await?;
    if writing.cancel_job(&job.id).await? {
        writing.note(job.work.site.as_deref(), "job cancelled", &job.id).await?;
    }
    let (service, reply) = (Arc::clone(&call.service), call.keep(writing, Reply::done()).await?);
    service.under_way.call_off(&job.id);
    Ok(reply)
}

/// How often a job that somebody follows is looked at, and after how many looks without news a sign of
/// life is sent.
const LOOK: Duration = Duration::from_millis(200);
const MOST_SILENT: u32 = 50;

/// Where whoever follows a job stands.
struct Following {
    service: Arc<Service>,
    job: String,
    told: String,
    silent: u32,
    answered: bool,
    over: bool,
}

/// What becomes of a job, event by event: `progress` while it goes on, `so_far` once with what has been
/// found before it is over, then `end`.
///
/// # Errors
/// When it is not there.
pub async fn follow(call: Call) -> Answer {
    let job = job(&call).await?;
    let service = Arc::clone(&call.service);
    let start = Following {
        service,
        job: job.id,
        told: String::new(),
        silent: 0,
        answered: false,
        over: false,
    };
    let events = stream::unfold(start, |mut at| async move {
        if at.over {
            return None;
        }
        let mut stop = at.service.stop.subscribe();
        loop {
            let job = at.service.store.job(&at.job).await.ok().flatten();
            at.over = job.as_ref().is_none_or(|job| job.state.is_over()) || *stop.borrow();
            let event = job.map_or_else(String::new, |job| {
                let over = job.state.is_over();
                // The result is read from the job itself.
                let job = told(&at.service, job, !at.answered);
                let short = JobAnswer { result: None, ..job };
                let found = short.so_far.is_some();
                at.answered |= found;
                let name = match (over, found) {
                    (true, _) => "end",
                    (false, true) => "so_far",
                    (false, false) => "progress",
                };
                let data = serde_json::to_string(&short).unwrap_or_default();
                format!("event: {name}\ndata: {data}\n\n")
            });
            at.silent += 1;
            if event != at.told || at.over {
                at.told.clone_from(&event);
                at.silent = 0;
                return Some((Ok::<Bytes, Infallible>(Bytes::from(event)), at));
            }
            if at.silent > MOST_SILENT {
                at.silent = 0;
                return Some((Ok(Bytes::from_static(b": still there\n\n")), at));
            }
            tokio::select! {
                () = sleep(LOOK) => {},
                _ = stop.changed() => {},
            }
        }
    });
    let empty = Reply::new(200, Media::Events, String::new());
    Ok(Reply { body: Sent::Stream(Body::from_stream(events)), ..empty })
}
