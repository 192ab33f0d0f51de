//! What every request shares: settings, store, solver, figures, and who may ask how often.

use super::metrics::Metrics;
use super::settings::Settings;
use super::solver::{Solver, Ticket};
use crate::store::Store;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::{Notify, Semaphore, watch};
use tokio::time::Instant;

/// The service.
#[derive(Debug)]
pub struct Service {
    /// Its settings.
    pub settings: Settings,
    /// Its store.
    pub store: Store,
    /// Where solves run.
    pub solver: Solver,
    /// What is counted.
    pub metrics: Metrics,
    /// Places for requests.
    pub clients: Arc<Semaphore>,
    /// Told when a job was put into the queue.
    pub jobs: Notify,
    /// The jobs that this instance works on.
    pub under_way: UnderWay,
    /// Turns true when the service is about to end.
    pub stop: watch::Sender<bool>,
    /// Whether lines about requests are written.
    pub logs: bool,
    asked: Mutex<BTreeMap<String, Asked>>,
}

/// The jobs that this instance works on, by id: what the store learns only from time to time.
#[derive(Debug, Default)]
pub struct UnderWay(Mutex<BTreeMap<String, Ticket>>);

impl UnderWay {
    /// Adds a job for as long as what is answered is held.
    pub fn add<'a>(&'a self, job: &'a str, ticket: Ticket) -> impl Drop + 'a {
        self.tickets().insert(job.to_owned(), ticket);
        Listed(self, job)
    }

    /// What a job is at, in a few words; nothing when it is not this instance's.
    #[must_use]
    pub fn words(&self, job: &str) -> Option<String> {
        self.tickets().get(job).map(Ticket::words)
    }

    /// What a job has found so far, as JSON text.
    #[must_use]
    pub fn so_far(&self, job: &str) -> Option<String> {
        self.tickets().get(job).and_then(Ticket::so_far)
    }

    /// Stops the work on a job at once, where it is this instance's.
    pub fn call_off(&self, job: &str) {
        if let Some(ticket) = self.tickets().get(job) {
            ticket.call_off();
        }
    }

    fn tickets(&self) -> MutexGuard<'_, BTreeMap<String, Ticket>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A job on the list.
struct Listed<'a>(&'a UnderWay, &'a str);

impl Drop for Listed<'_> {
    fn drop(&mut self) {
        self.0.tickets().remove(self.1);
    }
}

/// How much a token may still ask at once.
#[derive(Debug)]
struct Asked {
    left: f64,
    at: Instant,
}

/// How many times a second's rate may be asked at once.
const BURST: f64 = 4.0;

/// More tokens than are remembered at the same time; then those at rest are forgotten.
const MOST_REMEMBERED: usize = 10_000;

impl Service {
    /// A service with these settings over this store.
    #[must_use]
    pub fn new(settings: Settings, store: Store, logs: bool) -> Arc<Service> {
        Arc::new(Service {
            solver: Solver::new(settings.workers, settings.queue, settings.solve),
            metrics: Metrics::default(),
            clients: Arc::new(Semaphore::new(settings.clients)),
            jobs: Notify::new(),
            under_way: UnderWay::default(),
            stop: watch::Sender::new(false),
            asked: Mutex::default(),
            settings,
            store,
            logs,
        })
    }

    /// Whether a token may ask once more; else after how many seconds.
    pub fn may_ask(&self, token: &str) -> Result<(), u32> {
        let (rate, now) = (f64::from(self.settings.rate), Instant::now());
        let mut asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        if asked.len() > MOST_REMEMBERED {
            asked.retain(|_, asked| asked.refilled(rate, now) < rate * BURST);
        }
        let fresh = || Asked { left: rate * BURST, at: now };
        let asked = asked.entry(token.to_owned()).or_insert_with(fresh);
        (asked.left, asked.at) = (asked.refilled(rate, now), now);
        if asked.left < 1.0 {
            return Err(1);
        }
        asked.left -= 1.0;
        Ok(())
    }
}

impl Asked {
    fn refilled(&self, rate: f64, now: Instant) -> f64 {
        let since = now.duration_since(self.at).as_secs_f64();
        (self.left + since * rate).min(rate * BURST)
    }
}
