//! The printed chart for a terminal or a plain printer: one page for the counter, and more for whoever asks.
//!
//! Lines are at most [`WIDTH`] columns wide wherever the words allow it.
//!
//! Map: `counter` the page for the counter, `repair` what changes and the rest of a running day, `fixes`
//! what would mend it; only for whoever asks, `more` heads by the clock and what is open, `minutes` where
//! a child's day goes, `aims` how well it serves the wishes and how many more could join; `lines` widths
//! and wrapping; `check` the block check, `why` one group at a time; and the lists: `rules` the table of
//! rules and aims, `standards` the published rule sets, `standard_words` what their methods are called,
//! `template` local limits to fill in.

mod aims;
mod check;
mod counter;
mod fixes;
pub mod lines;
mod minutes;
mod more;
mod repair;
mod rules;
mod standard_words;
mod standards;
mod template;
mod why;

pub use check::print_check;
pub use repair::{print_fixes, print_repair};
pub use rules::print_rules;
pub use standards::{none_found, print_found, print_standard, print_standards};
pub use template::print_template;
pub use why::print_why;

use crate::day::Day;
use crate::planner::{CAUTION, Plan};
use crate::sheet;
use crate::site::AdultIndex;
use lines::Page;

/// Widest line, in columns: a side of A4 at 10 points.
pub const WIDTH: usize = 96;

/// What of a plan is printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Look {
    /// Also the wishes, the minutes, the room for more, what was assumed, and how the plan was made.
    pub verbose: bool,
    /// Only this adult's posts.
    pub adult: Option<AdultIndex>,
}

/// The whole chart.
#[must_use]
pub fn print_plan(day: &Day, plan: &Plan, look: Look) -> String {
    print(day, plan, look, true)
}

/// What an audit found, without the chart, which its reader has at hand.
#[must_use]
pub fn print_audit(day: &Day, plan: &Plan, look: Look) -> String {
    print(day, plan, look, look.verbose || look.adult.is_some())
}

fn print(day: &Day, plan: &Plan, look: Look, with_chart: bool) -> String {
    let (first, mut counter) = sheet::counter(day, plan, look.verbose);
    let mut page = Page::default();
    counter::verdict(&first, &mut page);
    counter::under(&first, &mut page);
    match look.adult {
        Some(adult) => counter::one(day, &plan.chart, adult, &mut page),
        None if with_chart => counter::counter(&counter, &mut page),
        None => {
            page.gap();
            counter.foot.drain(..).for_each(|line| page.wrapped("", &line));
        }
    }
    if look.verbose && look.adult.is_none() {
        more::day(day, &plan.chart, &mut page);
        minutes::bars(day, &plan.chart, &mut page);
        minutes::minutes(day, &plan.chart, &mut page);
        aims::all(day, plan, &mut page);
    }
    // The page for the counter is full.
    if look.adult.is_some() || look.verbose || !with_chart {
        page.gap();
    }
    page.wrapped("", CAUTION);
    page.into_text()
}
