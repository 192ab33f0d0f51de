//! What every request shares: settings, store, solver, figures, and who may ask how often.

use super::metrics::Metrics;
use super::settings::Settings;
use super::solver::Solver;
use crate::store::Store;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
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
    /// Turns true when the service is about to end.
    pub stop: watch::Sender<bool>,
    /// Whether lines about requests are written.
    pub logs: bool,
    asked: Mutex<BTreeMap<String, Asked>>,
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
