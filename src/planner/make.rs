//! Makes the chart of a day.

use super::{Plan, audit};
use crate::chart::Chart;
use crate::day::Day;
use crate::rules;
use crate::solve::{self, Effort};

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
/// Several whole charts are made and audited; the one whose shortfall, then aims, compare best is
/// the answer.
#[must_use]
pub fn make(day: &Day, options: &Options) -> Plan {
    let found = solve::solve(day, options.seed, options.effort);
    let mut best: Option<(Vec<u64>, Vec<i64>, Chart)> = None;
    for chart in found.charts {
        let shortfall = rules::shortfall(&rules::audit(day, &chart));
        let aims = rules::measure(day, &chart);
        let better = best.as_ref().is_none_or(|(s, a, _)| (&shortfall, &aims) < (s, a));
        if better {
            best = Some((shortfall, aims, chart));
        }
    }
    let (_, _, chart) = best.expect("the solver always returns a chart");
    let mut plan: Plan = audit(day, chart);
    plan.made.seed = Some(options.seed);
    plan.made.solver = Some(found.solver);
    plan.made.budgets = found.budgets;
    plan.made.stopped_by = Some(found.stopped_by);
    plan.made.proof_scope = Some("given layout and groups".into());
    plan
}
