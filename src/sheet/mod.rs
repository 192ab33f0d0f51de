//! What stands on which sheet of paper, and in which order, before anybody formats it.
//!
//! A sheet chooses and `say` words; whoever draws, for a terminal or a printer, only draws.
//!
//! Map: [`Counter`] the one page for the counter, of [`First`] lines, the day as a [`Grid`], each
//! adult's [`Own`] day and each [`Fact`] to know beside it; [`ChangeSheet`] what a repair changes;
//! `problems` one line for each cause.

mod adult;
mod changes;
mod facts;
mod first;
mod grid;
mod problems;
mod repair;

pub use adult::{Own, by_name};
pub use facts::Fact;
pub use first::{First, help};
pub use grid::{Grid, Row};
pub use repair::ChangeSheet;

use crate::chart::Chart;
use crate::day::Day;
use crate::planner::{Notes, Plan};
use crate::rules::{LongWait, long_waits};
use crate::say::{capital, counter as said};

/// The page for the counter, or of the rest of a day the part of it that is to come.
#[derive(Clone, Debug)]
pub struct Counter {
    /// The day as a grid.
    pub grid: Grid,
    /// Each adult's day.
    pub adults: Vec<Own>,
    /// What has to be known beside it.
    pub facts: Vec<Fact>,
    /// What to look at that nobody has to act on at once.
    pub foot: Vec<String>,
}

/// The first lines of a plan and its page; `all`: with every problem and every note.
pub fn counter(day: &Day, plan: &Plan, all: bool) -> (First, Counter) {
    let notes = Notes::of(day, &plan.chart);
    let first = First::of(day, plan, notes.clone(), all);
    let waits = long_waits(day, &plan.chart);
    let mut counter = Counter::of(day, (&plan.chart, &plan.chart), &waits, &notes, all);
    if all {
        counter.foot.extend(notes.standards);
    } else {
        counter.foot.extend((!notes.standards.is_empty()).then(|| said::OF_STANDARDS.to_owned()));
        let assumed = plan.assumed.len();
        counter.foot.extend((assumed > 0).then(|| said::assumed(assumed)));
    }
    (first, counter)
}

impl Counter {
    fn of(
        day: &Day,
        (chart, whole): (&Chart, &Chart),
        waits: &[LongWait],
        notes: &Notes,
        all: bool,
    ) -> Counter {
        let places = notes.places.iter().filter(|_| all);
        Counter {
            grid: Grid::of(day, chart),
            adults: adult::everybody(day, chart),
            facts: facts::facts(day, (chart, whole), waits, notes),
            foot: notes.after.iter().chain(places).map(|note| capital(note)).collect(),
        }
    }
}
