//! The table of rules and aims: one file a rule.
//!
//! A rule is one sentence ([`Rule::says`]), a plain reading of a finished chart ([`Rule::audit`]),
//! the prose of its problems ([`Rule::words`]) and what it adds to the model of a day
//! ([`Rule::rows`]). Everything that lists rules loops over [`RULES`] and [`AIMS`]. Audits read a
//! finished chart, [`rows`] read a frame: they share facts and data, never arithmetic.

mod aim_balance;
mod aim_care_in_time;
mod aim_fair_posts;
mod aim_fair_shares;
mod aim_keep_with;
mod aim_key_adult;
mod aim_little_waiting;
mod aim_must_do;
mod aim_no_repeat;
mod aim_often_chosen;
mod aim_settling;
mod aim_steady_posts;
mod barred;
mod class_size;
mod keep_apart;
mod kept;
mod least_adults;
mod meals;
mod movement;
mod never_alone;
mod one_to_one;
mod open;
mod phrase;
mod pieces;
mod present;
mod problem;
mod qualified;
mod ratio;
pub mod reading;
mod reset;
mod rest;
pub mod rows;
mod seats;
mod sight;
mod sinks;
mod staff_break;
mod staffed;
mod table;
mod turns;

pub use aim_care_in_time::{LongWait, long_waits};
pub use aim_must_do::missed_visits;
pub use problem::{Problem, Unit};
pub use table::{AIMS, RULES};

use crate::{chart::Chart, day::Day};

/// What a chart may not break without saying so loudly.
pub struct Rule {
    /// Stable, readable name.
    pub slug: &'static str,
    /// The rule in one sentence.
    pub says: &'static str,
    /// Reads a finished chart and reports every breach, in order of time.
    pub audit: fn(&Day, &Chart) -> Vec<Problem>,
    /// A problem of this rule as a sentence for a teacher.
    pub words: fn(&Day, &Problem) -> String,
    /// What it adds to the model of a frame; `None` where the layout alone decides, or an option
    /// that would break it is not there at all.
    pub rows: Option<rows::Add>,
}

/// A wish, weighed after the rules; an earlier one is never given up for a later one.
pub struct Aim {
    /// Stable, readable name.
    pub slug: &'static str,
    /// The aim in one sentence, with what is counted.
    pub says: &'static str,
    /// What the value counts (`missed visits`, `turns elsewhere`).
    pub unit: &'static str,
    /// The same for a value of 1 (`missed visit`).
    pub unit_of_one: &'static str,
    /// Reads a finished chart; smaller is better, 0 is best.
    pub measure: fn(&Day, &Chart) -> i64,
    /// What it adds to the model of a frame; `None` where only the naming of adults, or the groups,
    /// decide.
    pub rows: Option<rows::Add>,
}

/// Every breach of every rule, in the order of the table and then of time.
#[must_use]
pub fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    RULES.iter().flat_map(|rule| (rule.audit)(day, chart)).collect()
}

/// The value of every aim, in their order.
#[must_use]
pub fn measure(day: &Day, chart: &Chart) -> Vec<i64> {
    let reading = reading::Reading::of(day, chart);
    AIMS.iter().map(|aim| (aim.measure)(day, &reading.chart)).collect()
}

/// The rule of a slug.
#[must_use]
pub fn rule(slug: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|r| r.slug == slug)
}

/// Person-minutes of shortfall by rule, in the order of [`RULES`]: compared from the front.
#[must_use]
pub fn shortfall<'p>(problems: impl IntoIterator<Item = &'p Problem, IntoIter: Clone>) -> Vec<u64> {
    let problems = problems.into_iter();
    RULES
        .iter()
        .map(|r| problems.clone().filter(|p| p.rule == r.slug).map(Problem::person_minutes).sum())
        .collect()
}
