//! Makes the chart of a day.

use super::bounds::{aim_bounds, by_options};
use super::{Plan, audit};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::rules::{self, AIMS};
use crate::solve::proof::Watch;
use crate::solve::{self, Effort, Finalist, Found, narrow, stagger};

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
    make_watched(day, options, &mut Watch::nobody())
}

/// [`make`], telling somebody how far it is; when told to stop, the chart is the best there is by then.
#[must_use]
pub fn make_watched(day: &Day, options: &Options, watch: &mut Watch<'_>) -> Plan {
    let mut found = found(day, options, watch);
    let mut best = found.charts.swap_remove(best(day, &found));
    let worth = |chart: &Chart| Worth {
        shortfall: rules::shortfall(&rules::audit(day, chart)),
        aims: rules::measure(day, chart),
        on_the_way: on_the_way(chart),
    };
    stagger(day, &mut best.chart, &best.duties, worth, Worth::may_give_way_to, watch);
    narrow(day, &mut best.chart, &best.duties, worth, Worth::bears, watch);
    let mut plan: Plan = audit(day, best.chart.clone());
    let bounds = aim_bounds(&best, &plan);
    plan.aims.iter_mut().zip(bounds).for_each(|(aim, bound)| aim.bound = bound);
    plan.made.seed = Some(options.seed);
    plan.made.solver = Some(found.solver);
    plan.made.budgets = found.budgets;
    plan.made.stopped_by = Some(found.stopped_by);
    plan.made.proof_scope = Some("given layout and groups".into());
    plan
}

/// What a chart is worth in which a group may leave later.
struct Worth {
    shortfall: Vec<u64>,
    aims: Vec<i64>,
    /// Minutes of all children: the aim counts them in quarters of an hour.
    on_the_way: u32,
}

impl Worth {
    /// Whether another chart keeps every rule as well, serves the aims better, and leaves those as they
    /// are for which the options taken were shown to be best.
    fn may_give_way_to(&self, after: &Worth) -> bool {
        let better = (&after.aims, after.on_the_way) < (&self.aims, self.on_the_way);
        better && self.bears(after)
    }

    /// Whether another chart is no worse, and leaves those aims as they are for which the options taken
    /// were shown to be best.
    fn bears(&self, after: &Worth) -> bool {
        let of_options = AIMS.iter().map(|aim| by_options(aim.slug));
        let as_was_shown = self
            .aims
            .iter()
            .zip(&after.aims)
            .zip(of_options)
            .all(|((was, is), of)| !of || was == is);
        let no_worse = (&after.aims, after.on_the_way) <= (&self.aims, self.on_the_way);
        self.shortfall == after.shortfall && no_worse && as_was_shown
    }
}

fn on_the_way(chart: &Chart) -> u32 {
    let stays = chart.children.iter().flat_map(|c| &c.stays);
    stays.filter(|s| s.at == Place::Transition).map(|s| u32::from(s.span.minutes())).sum()
}

/// The charts among which the answer is; no more of them than may be it.
pub(super) fn found(day: &Day, options: &Options, watch: &mut Watch<'_>) -> Found {
    let audited = |chart: &Chart| -> Vec<i64> {
        let shortfall = rules::shortfall(&rules::audit(day, chart));
        let owed = rules::measure(day, chart).first().copied();
        let minutes = |m| i64::try_from(m).unwrap_or(i64::MAX);
        shortfall.into_iter().map(minutes).chain(owed).collect()
    };
    solve::solve(day, options.seed, options.effort, watch, audited)
}

/// Which of the charts that were found is the answer.
pub(super) fn best(day: &Day, found: &Found) -> usize {
    let worth = |finalist: &Finalist| {
        (finalist.audited.clone(), finalist.wishes, rules::measure(day, &finalist.chart))
    };
    let charts = found.charts.iter().enumerate();
    let best = charts.min_by_key(|(_, finalist)| worth(finalist));
    best.map(|(at, _)| at).expect("the solver always returns a chart")
}
