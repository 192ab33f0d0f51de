//! Jobs: requests that are answered at once with a promise, and the loop that keeps it.

use super::answers::JobAnswer;
use super::call::{Answer, Call, Reply, keep_chart};
use super::calls::{stateless, stored};
use super::media::Media;
use super::problem::{CONFLICT, FACTS, FULL, MISSING, Problem};
use super::service::Service;
use super::solver::{Ticket, on_a_thread};
use super::work::{Order, Outcome, Verb, carry_out, readable};
use crate::store::{Claim, Hand, JobState, Kept, NewJob};
use std::sync::Arc;
use std::time::Duration;
use tokio::task::JoinSet;
use tokio::time::{Instant, interval, sleep, sleep_until};

/// How often the queue is looked at without being told, and a sign of life is given. Between two
/// signs another instance does not see the progress, and a job that it called off goes on.
const LOOK: Duration = Duration::from_millis(500);
const SIGN_OF_LIFE: Duration = Duration::from_secs(1);

/// How long jobs that run may go on once the service is about to end; then they go back.
const GRACE: Duration = Duration::from_secs(20);

/// Whether the asker would rather have a promise.
#[must_use]
pub fn wanted(call: &Call) -> bool {
    let prefers = call.headers.get_all("prefer").iter().filter_map(|value| value.to_str().ok());
    let words = prefers.flat_map(|list| list.split(',')).filter_map(|one| one.split(';').next());
    words.map(str::trim).any(|word| word.eq_ignore_ascii_case("respond-async"))
}

/// Puts a job into the queue and promises its result.
///
/// # Errors
/// When what the order brings has faults, or the queue is full.
pub async fn put(call: Call, job: NewJob, order: Order) -> Answer {
    call.service.solver.quick(move || readable(&order)).await??;
    let most = i64::try_from(call.service.settings.queue).unwrap_or(i64::MAX);
    let mut writing = call.write().await?;
    let id = writing.add_job(&job, most).await?;
    let id = id.ok_or_else(|| Problem { retry_after: Some(10), ..Problem::plain(FULL) })?;
    if let Some(site) = &job.site {
        writing.note(Some(site), &format!("job {}", job.verb), &id).await?;
    }
    let promise = JobAnswer {
        id: id.clone(),
        verb: job.verb,
        state: JobState::Waiting.word().into(),
        progress: String::new(),
        so_far: None,
        made: super::answers::time(writing.now),
        status: None,
        result: None,
    };
    let reply = Reply::json(202, &promise)
        .with("location", format!("/v1/jobs/{id}"))
        .with("preference-applied", "respond-async");
    let service = Arc::clone(&call.service);
    let reply = call.keep(writing, reply).await?;
    service.jobs.notify_one();
    Ok(reply)
}

/// Takes jobs up, as many at a time as there are places, until the service ends.
pub async fn work(service: Arc<Service>) {
    let mut stop = service.stop.subscribe();
    let mut under_way: JoinSet<()> = JoinSet::new();
    while !*stop.borrow() {
        while under_way.try_join_next().is_some() {}
        let taken = tokio::select! {
            taken = take(&service) => taken,
            _ = stop.changed() => break,
        };
        match taken {
            Ok(Some((place, claim))) => {
                let service = Arc::clone(&service);
                under_way.spawn(async move { carry(&service, place, claim).await });
            }
            Ok(None) | Err(_) => {
                let told = service.jobs.notified();
                tokio::select! {
                    () = told => {},
                    () = sleep(LOOK) => {},
                    _ = stop.changed() => break,
                }
            }
        }
    }
    while let Some(_ended) = under_way.join_next().await {}
}

/// A job with a place for it; nothing when there is none.
async fn take(service: &Service) -> Kept<Option<(tokio::sync::OwnedSemaphorePermit, Claim)>> {
    // A place is not held while there is nothing to do, so that it is free for those who wait.
    if service.store.jobs_ready().await? == 0 {
        return Ok(None);
    }
    let Some(place) = service.solver.place().await else { return Ok(None) };
    Ok(service.store.claim_job().await?.map(|claim| (place, claim)))
}

/// Carries a job out, gives signs of life, and ends it once.
async fn carry(service: &Arc<Service>, place: tokio::sync::OwnedSemaphorePermit, claim: Claim) {
    let mut stop = service.stop.subscribe();
    let order = match order(service, &claim).await {
        Ok(order) => order,
        // The store was away: that is no fault of the job, and somebody takes it up again.
        Err(problem) if problem.kind.status == 503 => {
            let _ = service.store.return_job(&claim).await;
            return;
        }
        Err(problem) => return end(service, &claim, Err(problem)).await,
    };
    let ticket = Ticket::followed();
    let _listed = service.under_way.add(&claim.job.id, ticket.clone());
    let solve = on_a_thread(place, ticket.clone(), move |ticket| carry_out(&order, ticket));
    tokio::pin!(solve);
    let mut signs = interval(SIGN_OF_LIFE);
    let longest = sleep(service.settings.job);
    tokio::pin!(longest);
    let mut leave_at: Option<Instant> = None;
    let mut kept_so_far = false;
    loop {
        tokio::select! {
            done = &mut solve => {
                let done = done.and_then(|done| done);
                return end(service, &claim, done).await;
            }
            _ = signs.tick() => {
                let so_far = if kept_so_far { None } else { ticket.so_far() };
                match service.store.hold_job(&claim, &ticket.words(), so_far.as_deref()).await {
                    // Called off, or in other hands: nobody waits for this result.
                    Ok(false) => return,
                    Ok(true) => kept_so_far |= so_far.is_some(),
                    // It is told again with the next sign.
                    Err(_) => {}
                }
            }
            // It stops soon and says so itself; called off by somebody, its end is not kept.
            () = &mut longest, if !ticket.is_called_off() => ticket.call_off(),
            _ = stop.changed(), if leave_at.is_none() => leave_at = Some(Instant::now() + GRACE),
            () = sleep_until(leave_at.unwrap_or_else(Instant::now)), if leave_at.is_some() => {
                let _ = service.store.return_job(&claim).await;
                return;
            }
        }
    }
}

/// What a job asks for, with the facts as they are now.
async fn order(service: &Service, claim: &Claim) -> Result<Order, Problem> {
    let work = &claim.job.work;
    let verb = Verb::of(&work.verb).ok_or_else(|| Problem::plain(MISSING))?;
    let form = match (&work.site, &work.chart) {
        (None, _) => stateless::form(verb),
        (Some(_), _) => stored::form(verb),
    };
    let given = form.read(work.request.as_bytes());
    let given = given.map_err(|faults| Problem::faults(FACTS, "", &faults))?;
    let (scenario, chart) = match &work.site {
        None => (given.json("scenario").unwrap_or_default(), given.json("chart")),
        Some(id) => {
            let site = service.store.site(id).await?.ok_or_else(|| Problem::plain(MISSING))?;
            let kept = match &work.chart {
                Some(chart) if !given.has("chart") => service.store.chart(id, chart).await?,
                _ => None,
            };
            (site.document, kept.map(|kept| kept.chart).or_else(|| given.json("chart")))
        }
    };
    Ok(Order {
        verb,
        scenario,
        scenario_at: work.site.is_none().then_some("/scenario"),
        chart_at: given.has("chart").then_some("/chart"),
        chart,
        given,
        media: Media::Json,
        adult: None,
        search_percent: service.settings.search_percent,
    })
}

/// Ends a job with what came of it. A result that comes too late, after the job was called off or
/// went into other hands, is not kept.
async fn end(service: &Service, claim: &Claim, done: Result<Outcome, Problem>) {
    let hand = Hand { token: claim.job.token.clone(), request: claim.job.id.clone() };
    for wait in [1u64, 3, 9, 0] {
        match kept(service, claim, &hand, &done).await {
            Ok(()) => return,
            // The store may be away for a moment; the lease says when somebody else tries.
            Err(_) => sleep(Duration::from_secs(wait)).await,
        }
    }
}

async fn kept(
    service: &Service,
    claim: &Claim,
    hand: &Hand,
    done: &Result<Outcome, Problem>,
) -> Kept<()> {
    let mut writing = service.store.write(hand).await?;
    let work = &claim.job.work;
    let (state, status, result) = match (done, &work.site) {
        (Ok(outcome), None) => (JobState::Done, 200, outcome.body.clone()),
        (Ok(outcome), Some(site)) => {
            let verb = Verb::of(&work.verb).map_or("made", Verb::of_revision);
            let parent = work.chart.as_deref();
            // Who is erased meanwhile ends the job, as its fence says below.
            let erasures = writing.site(site).await?.map_or(0, |site| site.erasures);
            match keep_chart(&mut writing, (site, erasures), parent, verb, outcome).await? {
                Some((_, answer)) => {
                    (JobState::Done, 201, serde_json::to_string(&answer).unwrap_or_default())
                }
                None => {
                    let gone = Problem::about(CONFLICT, "The site was removed meanwhile.");
                    (JobState::Failed, 409, gone.body(&claim.job.id))
                }
            }
        }
        (Err(problem), _) => (JobState::Failed, problem.kind.status, problem.body(&claim.job.id)),
    };
    if writing.end_job(claim, state, status, &result).await? {
        writing.commit().await?;
    }
    Ok(())
}
