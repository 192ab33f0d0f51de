//! Where solves run: on threads of their own, so many at a time, behind a queue that has an end.

use super::problem::{FAULT, FULL, LONG, Problem};
use crate::planner::Progress;
use crate::steps::{self, Stopped};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, oneshot};

/// What a solve and whoever waits for it know of each other.
#[derive(Clone, Debug, Default)]
pub struct Ticket(Arc<Both>);

#[derive(Debug, Default)]
struct Both {
    called_off: AtomicBool,
    progress: Mutex<Option<Progress>>,
    follows: bool,
    so_far: Mutex<Option<String>>,
}

impl Ticket {
    /// The ticket of a job, whose asker may look at what has been found before it is over.
    #[must_use]
    pub fn followed() -> Ticket {
        Ticket(Arc::new(Both { follows: true, ..Both::default() }))
    }

    /// Told by the solve what it has found before it is over, where somebody may look.
    pub fn tell_so_far(&self, found: impl FnOnce() -> String) {
        if self.0.follows {
            *self.0.so_far.lock().unwrap_or_else(PoisonError::into_inner) = Some(found());
        }
    }

    /// What the solve has found so far.
    #[must_use]
    pub fn so_far(&self) -> Option<String> {
        self.0.so_far.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Asks the solve to end.
    pub fn call_off(&self) {
        self.0.called_off.store(true, Ordering::Relaxed);
    }

    /// Whether nobody waits for the result any more.
    #[must_use]
    pub fn is_called_off(&self) -> bool {
        self.0.called_off.load(Ordering::Relaxed)
    }

    /// Told by the solve from time to time; breaks when it has been called off.
    pub fn tell(&self, progress: Progress) -> ControlFlow<()> {
        *self.0.progress.lock().unwrap_or_else(PoisonError::into_inner) = Some(progress);
        if self.is_called_off() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    /// Works until the solve is called off; what comes of it where it is not.
    ///
    /// # Errors
    /// It was called off.
    pub fn until_called_off<T>(&self, work: impl FnOnce() -> T) -> Result<T, Stopped> {
        let asked = self.clone();
        steps::until(move |_| asked.is_called_off(), work)
    }

    /// What the solve is at, in a few words.
    #[must_use]
    pub fn words(&self) -> String {
        let told = *self.0.progress.lock().unwrap_or_else(PoisonError::into_inner);
        told.map_or_else(|| "started".to_owned(), |told| told.to_string())
    }
}

/// Calls a solve off when whoever waits goes away.
struct Waiting(Ticket);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.call_off();
    }
}

/// The places at which solves run.
#[derive(Debug)]
pub struct Solver {
    places: Arc<Semaphore>,
    quick: Arc<Semaphore>,
    in_queue: AtomicUsize,
    queue: usize,
    longest: Duration,
}

/// Counts who stands in the queue.
struct InQueue<'a>(&'a AtomicUsize);

impl Drop for InQueue<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}

impl Solver {
    /// So many places, and a queue of so many before them.
    #[must_use]
    pub fn new(workers: usize, queue: usize, longest: Duration) -> Solver {
        let places = Arc::new(Semaphore::new(workers));
        let quick = Arc::new(Semaphore::new(workers.max(2)));
        Solver { places, quick, in_queue: AtomicUsize::new(0), queue, longest }
    }

    /// How many wait for a place.
    #[must_use]
    pub fn in_queue(&self) -> usize {
        self.in_queue.load(Ordering::SeqCst)
    }

    /// A place, as soon as one is free.
    pub async fn place(&self) -> Option<OwnedSemaphorePermit> {
        Arc::clone(&self.places).acquire_owned().await.ok()
    }

    /// Waits for a place and runs `work` there. When the caller goes away the work is called off.
    ///
    /// # Errors
    /// When the queue is full, or waiting and working take longer than may be.
    pub async fn run<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Ticket) -> T + Send + 'static,
    ) -> Result<T, Problem> {
        let before = self.in_queue.fetch_add(1, Ordering::SeqCst);
        let queued = InQueue(&self.in_queue);
        let full = before >= self.queue && self.places.available_permits() == 0;
        if full {
            return Err(Problem { retry_after: Some(5), ..Problem::plain(FULL) });
        }
        let whole = async {
            let place = self.place().await.ok_or_else(|| Problem::plain(FULL))?;
            drop(queued);
            on_a_thread(place, Ticket::default(), work).await
        };
        match tokio::time::timeout(self.longest, whole).await {
            Ok(done) => done,
            Err(_) => Err(Problem { retry_after: Some(30), ..Problem::plain(LONG) }),
        }
    }
}

impl Solver {
    /// Runs what takes milliseconds, without a place among the solves: reading and printing. When the
    /// caller goes away, or it takes too long all the same, it is called off.
    ///
    /// # Errors
    /// When it waits or works too long, or panics.
    pub async fn quick<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Problem> {
        let whole = async {
            let turn = Arc::clone(&self.quick).acquire_owned().await;
            let turn = turn.map_err(|_| Problem::plain(FULL))?;
            let ticket = Ticket::default();
            let waiting = Waiting(ticket.clone());
            let worked = tokio::task::spawn_blocking(move || {
                let done = ticket.until_called_off(work);
                drop(turn);
                done
            });
            let done = worked.await.map_err(|_| Problem::plain(FAULT))?;
            drop(waiting);
            done.map_err(|Stopped| Problem::plain(LONG))
        };
        match tokio::time::timeout(self.longest, whole).await {
            Ok(done) => done,
            Err(_) => Err(Problem { retry_after: Some(5), ..Problem::plain(FULL) }),
        }
    }
}

/// Runs work on a thread of its own, calling it off when the caller goes away. The place is held until
/// the work has really ended, which is some milliseconds later.
///
/// # Errors
/// When the work was called off, or panicked.
pub async fn on_a_thread<T: Send + 'static>(
    place: OwnedSemaphorePermit,
    ticket: Ticket,
    work: impl FnOnce(&Ticket) -> T + Send + 'static,
) -> Result<T, Problem> {
    let waiting = Waiting(ticket.clone());
    let (tell, told) = oneshot::channel();
    let thread = std::thread::Builder::new().name("solve".into()).spawn(move || {
        behind_others();
        let done = ticket.until_called_off(|| work(&ticket));
        drop(place);
        // Whoever waited may have gone.
        let _ = tell.send(done);
    });
    thread.map_err(|error| Problem {
        log: Some(format!("no thread: {}", error.kind())),
        ..Problem::plain(FULL)
    })?;
    let done = told.await;
    drop(waiting);
    let done = done.map_err(|_| Problem::plain(FAULT))?;
    done.map_err(|Stopped| Problem::plain(LONG))
}

/// Lets the threads that answer requests go first, where every core solves.
fn behind_others() {
    #[cfg(target_os = "linux")]
    {
        // Refused, it solves as eagerly as they answer.
        let me = rustix::thread::gettid();
        let _ = rustix::process::setpriority_process(Some(me), 10);
    }
}
