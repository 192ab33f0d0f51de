//! The printed chart for a terminal: what is wrong first, then the day, then who does what.
//!
//! Lines are at most [`WIDTH`] columns wide wherever the words allow it.
//!
//! Map: `problems` the first lines, `grid` blocks across and small groups down, `notes` who is
//! elsewhere and why, `posts` the adults by the clock, `aims` how well it serves and how many more
//! could join, `minutes` where a child's day goes, `repair` the rest of a running day, `changes` who
//! does what else in it, `words`
//! what places and blocks are called, `lines` widths and wrapping; `check` the block check, `why` one
//! group at a time; and the lists: `rules` the table of rules and aims, `standards` the published
//! rule sets, `standard_words` what their methods are called.

mod aims;
mod changes;
mod check;
mod fixes;
mod grid;
pub mod lines;
mod minutes;
mod notes;
mod posts;
mod problems;
mod repair;
mod rules;
mod standard_words;
mod standards;
mod why;
mod words;

pub use check::print_check;
pub use repair::print_repair;
pub use rules::print_rules;
pub use standards::{print_standard, print_standards};
pub use why::print_why;

use crate::day::Day;
use crate::planner::{CAUTION, Plan};
use crate::rules::long_waits;
use crate::site::AdultIndex;
use lines::Page;

/// Widest line, in columns.
pub const WIDTH: usize = 100;

/// What of a plan is printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Look {
    /// Also what was assumed, the room for more by the clock, and how the plan was made.
    pub verbose: bool,
    /// Only this adult's posts.
    pub adult: Option<AdultIndex>,
}

/// The whole chart.
#[must_use]
pub fn print_plan(day: &Day, plan: &Plan, look: Look) -> String {
    let mut page = Page::default();
    problems::first_lines(day, plan, &mut page);
    aims::noted(plan, &mut page);
    if let Some(adult) = look.adult {
        posts::one(day, &plan.chart, adult, &mut page);
    } else {
        grid::groups(day, &plan.chart, &mut page);
        grid::tables(day, &plan.chart, &mut page);
        notes::notes(day, &plan.chart, &long_waits(day, &plan.chart), &mut page);
        posts::all(day, &plan.chart, &mut page);
        minutes::bars(day, &plan.chart, &mut page);
        aims::aims(day, plan, look.verbose, &mut page);
        aims::room_for(day, plan, look.verbose, &mut page);
        aims::assumed(plan, look.verbose, &mut page);
        if look.verbose {
            minutes::minutes(day, &plan.chart, &mut page);
            aims::made(plan, &mut page);
        }
    }
    caution(&mut page);
    page.into_text()
}

/// What an audit found, without the chart, which its reader has at hand.
#[must_use]
pub fn print_audit(day: &Day, plan: &Plan, look: Look) -> String {
    if look.verbose || look.adult.is_some() {
        return print_plan(day, plan, look);
    }
    let mut page = Page::default();
    problems::first_lines(day, plan, &mut page);
    aims::noted(plan, &mut page);
    aims::aims(day, plan, look.verbose, &mut page);
    aims::room_for(day, plan, false, &mut page);
    caution(&mut page);
    page.into_text()
}

fn caution(page: &mut Page) {
    page.gap();
    page.wrapped("", CAUTION);
}
