//! Makes the chart of a day.

use super::{Plan, audit};
use crate::chart::Chart;
use crate::day::Day;
use crate::rules;
use crate::solve::{self, Effort, Wishes};

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
/// Several whole charts are made and audited. The answer is the one whose shortfall compares best,
/// then its owed visits, then its layout (turns long enough, moving spread out), then the other aims:
/// those would always rather have one turn fewer, for the minutes on the way to it.
#[must_use]
pub fn make(day: &Day, options: &Options) -> Plan {
    let found = solve::solve(day, options.seed, options.effort);
    let worth = |(chart, layout): &(Chart, Wishes)| {
        let shortfall = rules::shortfall(&rules::audit(day, chart));
        let aims = rules::measure(day, chart);
        (shortfall, aims.first().copied(), *layout, aims)
    };
    let best = found.charts.into_iter().min_by_key(worth);
    let (chart, _) = best.expect("the solver always returns a chart");
    let mut plan: Plan = audit(day, chart);
    plan.made.seed = Some(options.seed);
    plan.made.solver = Some(found.solver);
    plan.made.budgets = found.budgets;
    plan.made.stopped_by = Some(found.stopped_by);
    plan.made.proof_scope = Some("given layout and groups".into());
    plan
}
