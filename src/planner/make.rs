//! Makes the chart of a day.

use super::bounds::aim_bounds;
use super::{Plan, audit};
use crate::chart::Chart;
use crate::day::Day;
use crate::rules::Score;
use crate::solve::proof::Watch;
use crate::solve::{self, Effort, Found, narrow, stagger};

/// How a chart is to be made.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Options {
    /// The same seed gives the same chart.
    pub seed: u64,
    /// How far the search may go.
    pub effort: Effort,
}

impl Default for Options {
    fn default() -> Options {
        Options { seed: 1, effort: Effort::default() }
    }
}

/// Makes the chart of a day: never none, and with every problem that the audit finds in it.
///
/// Several whole charts are made and audited; the answer is the one with the best [`Score`].
#[must_use]
pub fn make(day: &Day, options: &Options) -> Plan {
    make_watched(day, options, &mut Watch::nobody())
}

/// [`make`], telling somebody how far it is; when told to stop, the chart is the best there is by then.
#[must_use]
pub fn make_watched(day: &Day, options: &Options, watch: &mut Watch<'_>) -> Plan {
    let mut found = found(day, options, watch);
    let mut best = found.charts.swap_remove(best(&found));
    let worth = |chart: &Chart| Score::of(day, chart);
    let better = |before: &Score, after: &Score| after < before && before.bears(after);
    stagger(day, &mut best.chart, &best.duties, worth, better, watch);
    narrow(day, &mut best.chart, &best.duties, worth, Score::bears, watch);
    let mut plan: Plan = audit(day, best.chart.clone());
    let bounds = aim_bounds(day, &best, &plan);
    plan.aims.iter_mut().zip(bounds).for_each(|(aim, bound)| aim.bound = bound);
    plan.made.seed = Some(options.seed);
    plan.made.solver = Some(found.solver);
    plan.made.budgets = found.budgets;
    plan.made.stopped_by = Some(found.stopped_by);
    plan.made.proof_scope = Some("given layout, whole groups".into());
    plan
}

/// The charts among which the answer is; no more of them than may be it.
pub(super) fn found(day: &Day, options: &Options, watch: &mut Watch<'_>) -> Found {
    solve::solve(day, options.seed, options.effort, watch, |chart| Score::of(day, chart))
}

/// Which of the charts that were found is the answer.
pub(super) fn best(found: &Found) -> usize {
    let charts = found.charts.iter().enumerate();
    let best = charts.min_by_key(|(_, finalist)| finalist.score.clone());
    best.map(|(at, _)| at).expect("the solver always returns a chart")
}
