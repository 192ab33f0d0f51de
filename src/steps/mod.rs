//! Work counted in steps, and whether to go on with it.
//!
//! Whoever waits for an answer may go away. Every stage therefore says how much it has done
//! ([`count`]), and whoever carries work out [`until`] somebody says stop is asked again whenever
//! [`BETWEEN`] steps have been done, wherever in it the work then is. When the answer is stop the work is
//! left there and then, and nothing comes of it: no half answer is ever taken for a whole one.
//!
//! ```
//! use fairturn::steps::{self, Stage, Stopped};
//! let work = |turns: u64| move || (0..turns).inspect(|_| steps::count(Stage::Search, 100)).count();
//! assert_eq!(steps::until(|_| false, work(1_000)), Ok(1_000));
//! assert_eq!(steps::until(|_| true, work(1_000)), Err(Stopped));
//! // Too little to be asked about.
//! assert_eq!(steps::until(|_| true, work(10)), Ok(10));
//! ```
//!
//! Steps are counted and never timed: one is about a microsecond of a fast build, and what is asked, and
//! when, follows from the facts alone. It never changes an answer.
//!
//! The asker belongs to the thread and is no argument: the innermost loops of a dozen rooms ask, and
//! hundreds of functions that only pass it on would say nothing but that. The work is left by
//! unwinding, without a word from the panic hook; a build that aborts on a panic cannot stop.

use std::cell::{Cell, RefCell};
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

/// Steps after which it is asked whether to go on; some milliseconds.
pub const BETWEEN: u64 = 5_000;

/// What the work is at when it is asked whether to go on.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Stage {
    /// Reading a text, or writing one.
    Text,
    /// Laying a date, or what happens, over the site.
    Opening,
    /// Putting small groups together.
    Groups,
    /// Finding out where the blocks fall.
    Layouts,
    /// Laying a layout over the children's times.
    Framing,
    /// Writing the model of a frame.
    Model,
    /// Searching.
    Search,
    /// Proving.
    Proof,
    /// Naming the adults.
    Posts,
    /// Judging a chart.
    Audit,
    /// Reading off a chart what is shown beside it.
    Record,
    /// Checking a block.
    Check,
}

impl Stage {
    /// Every stage.
    pub const ALL: [Stage; 12] = [
        Stage::Text,
        Stage::Opening,
        Stage::Groups,
        Stage::Layouts,
        Stage::Framing,
        Stage::Model,
        Stage::Search,
        Stage::Proof,
        Stage::Posts,
        Stage::Audit,
        Stage::Record,
        Stage::Check,
    ];
}

/// Somebody said stop, and the work was left.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stopped;

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("somebody said stop")
    }
}

impl std::error::Error for Stopped {}

/// Who says whether to stop at a stage.
type Ask = Box<dyn FnMut(Stage) -> bool>;

/// What unwinds when the work is left: out of so many works within works.
struct Leave(usize);

thread_local! {
    /// Who is asked, the outermost work's first.
    static ASKED: RefCell<Vec<Ask>> = const { RefCell::new(Vec::new()) };
    /// Steps until the next question; without anybody to ask there is none.
    static LEFT: Cell<u64> = const { Cell::new(u64::MAX) };
    /// Steps done since the thread began, as far as the last question.
    static DONE: Cell<u64> = const { Cell::new(0) };
    /// Steps to do between the last question and the next.
    static WHOLE: Cell<u64> = const { Cell::new(u64::MAX) };
}

/// So many steps more were done at a stage. Where somebody is to be asked who says stop, it does not
/// come back.
#[inline]
pub fn count(stage: Stage, steps: u64) {
    let left = LEFT.get();
    if steps < left {
        LEFT.set(left - steps);
    } else {
        ask(stage, steps);
    }
}

/// Steps that this thread has done. The difference of two answers is what the work between them took:
/// the same for the same work on every machine.
#[must_use]
pub fn done() -> u64 {
    DONE.get().wrapping_add(WHOLE.get().wrapping_sub(LEFT.get()))
}

/// Carries work out, asking in between with the stage that it is at whether to stop.
///
/// # Errors
/// Where the answer was yes; the work was left where it was.
pub fn until<T>(
    stop: impl FnMut(Stage) -> bool + 'static,
    work: impl FnOnce() -> T,
) -> Result<T, Stopped> {
    let outside = ASKED.with_borrow_mut(|asked| {
        asked.push(Box::new(stop));
        asked.len() - 1
    });
    if outside == 0 {
        next_in(BETWEEN);
    }
    // What the work had in hand is dropped with it, and nobody sees it again.
    let worked = catch_unwind(AssertUnwindSafe(work));
    ASKED.with_borrow_mut(|asked| asked.truncate(outside));
    if outside == 0 {
        next_in(u64::MAX);
    }
    match worked {
        Ok(done) => Ok(done),
        Err(thrown) => match thrown.downcast::<Leave>() {
            Ok(leave) if leave.0 == outside => Err(Stopped),
            Ok(leave) => resume_unwind(leave),
            Err(fault) => resume_unwind(fault),
        },
    }
}

fn next_in(steps: u64) {
    DONE.set(done());
    WHOLE.set(steps);
    LEFT.set(steps);
}

#[cold]
fn ask(stage: Stage, steps: u64) {
    // Taken out meanwhile: whoever answers may do work of its own.
    let mut asked = ASKED.take();
    LEFT.set(LEFT.get().wrapping_sub(steps));
    next_in(u64::MAX);
    // Whoever waits for the whole goes before whoever waits for a part of it.
    let stop = asked.iter_mut().position(|ask| ask(stage));
    if !asked.is_empty() {
        next_in(BETWEEN);
    }
    ASKED.replace(asked);
    if let Some(outside) = stop
        && !std::thread::panicking()
    {
        resume_unwind(Box::new(Leave(outside)));
    }
}
