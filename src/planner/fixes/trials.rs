//! How sets of changes are tried: the rest of the day is repaired with them, quickly.

use super::budget::Budget;
use super::candidates::hull;
use super::sets::parts;
use super::{Fix, ahead, questions};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::edit::{Edit, Given, Laid};
use crate::planner::repair::{How, Repaired, told, worth};
use crate::planner::{Options, Plan};
use crate::rules::{self, Shortfall};
use crate::site::Span;
use crate::solve::Effort;
use crate::solve::proof::{Told, Watch};
use crate::solve::repair::{Broken, repairs, repairs_of_use, trial};
use crate::solve::search::Steps;
use std::collections::{BTreeMap, BTreeSet};

/// What is asked of a set of changes.
#[derive(Clone, Debug)]
pub(super) enum Wanted {
    /// Whether it mends: leaves no more than this.
    AtMost(Shortfall),
    /// How far it comes down, where that is below this.
    Below(Shortfall),
}

/// What came of a set of changes.
#[derive(Clone, Debug)]
pub(super) struct Outcome {
    /// In the rest of the day: the least that was found.
    pub shortfall: Shortfall,
    /// `None`: there was no room to keep it.
    chart: Option<Chart>,
}

/// Most stays and posts of all charts that are kept, some 40 MiB: in any usual room more than every
/// chart that is tried has.
const MOST_KEPT: usize = 600_000;

/// Sets of changes, and what came of them.
pub(super) struct Trials<'t, 'w> {
    pub(super) given: Given,
    /// Shortfall of the rest without any change.
    pub(super) base: Shortfall,
    /// What a fix may leave of it, or what it has to get below while that is being found out.
    pub(super) wanted: Wanted,
    /// From the first to the last minute of the rest in which a rule is broken without any change.
    pub(super) broken: Span,
    /// Minutes of children beside something that has to be asked about, without any change: a fix
    /// leaves no more of them.
    asked: u64,
    /// No rule is broken in what is past, of which the rows know as well.
    past_is_fine: bool,
    options: Options,
    /// `None`: it cannot be made, or no chart of use was found.
    pub(super) known: BTreeMap<Vec<Edit>, Option<Outcome>>,
    /// Stays and posts of the charts among them.
    pub(super) kept: usize,
    /// Every set that could be made.
    tried: BTreeSet<Vec<Edit>>,
    /// How many sets of two or three were passed over because there were too many.
    pub(super) untried: usize,
    /// How much more is tried.
    pub(super) budget: Budget,
    /// What is offered is looked at once more, whatever is left of the budget.
    last_look: bool,
    watch: &'t mut Watch<'w>,
}

impl<'t, 'w> Trials<'t, 'w> {
    pub(super) fn new(
        given: Given,
        repaired: &Repaired,
        options: Options,
        watch: &'t mut Watch<'w>,
    ) -> Trials<'t, 'w> {
        let Plan { chart, problems, .. } = &repaired.plan;
        let ahead = ahead(problems, given.at);
        let base = Shortfall::of(&repaired.day, chart, &ahead, given.at);
        let broken = hull(given.at, &ahead).unwrap_or(given.day.schedule.open);
        let wanted = Wanted::AtMost(Shortfall::none());
        let asked = questions(problems, given.at);
        let past_is_fine = problems.iter().all(|p| p.span.to > given.at || p.is_a_question());
        let (known, tried) = (BTreeMap::new(), BTreeSet::new());
        Trials {
            given,
            base,
            wanted,
            broken,
            asked,
            past_is_fine,
            options,
            known,
            kept: 0,
            tried,
            untried: 0,
            budget: Budget::new(),
            last_look: false,
            watch,
        }
    }

    /// How many sets were tried.
    pub(super) fn tried(&self) -> usize {
        self.tried.len()
    }

    /// How many sets were passed over because there were too many.
    pub(super) fn untried(&self) -> usize {
        self.untried
    }

    /// Whether it was told to stop: what was not tried by then counts as of no use.
    pub(super) fn stopped(&self) -> bool {
        self.watch.stopped()
    }

    /// Whether something was not tried because it was told to stop, or the budget ran out.
    pub(super) fn cut_short(&self) -> bool {
        self.budget.ran_out || self.stopped()
    }

    pub(super) fn given(&self) -> &Given {
        &self.given
    }

    pub(super) fn broken(&self) -> Span {
        self.broken
    }

    /// From now on a set mends that leaves no more than this.
    pub(super) fn come_down_to(&mut self, goal: Shortfall) {
        self.wanted = Wanted::AtMost(goal);
    }

    /// Whether some changes, in the order of their kinds, mend the day.
    pub(super) fn mends(&mut self, edits: &[Edit]) -> bool {
        let Wanted::AtMost(goal) = self.wanted.clone() else { return false };
        self.outcome(edits).is_some_and(|o| o.shortfall.is_within(&goal))
    }

    pub(super) fn outcome(&mut self, edits: &[Edit]) -> Option<&Outcome> {
        let mut key = edits.to_vec();
        key.sort();
        if !self.known.contains_key(&key) {
            if self.watch.part(Told::Mending, self.tried.len(), 0) || !self.budget.lasts() {
                return None;
            }
            let laid = self.given.with(&key);
            if laid.is_some() {
                self.budget.try_one();
                self.tried.insert(key.clone());
            }
            let mut found = laid.and_then(|laid| self.try_out(&laid));
            if let Some(outcome) = &mut found {
                self.kept += outcome.chart.as_ref().map_or(0, pieces);
                if self.kept > MOST_KEPT {
                    self.kept -= outcome.chart.take().as_ref().map_or(0, pieces);
                }
            }
            self.known.insert(key.clone(), found);
        }
        self.known.get(&key).and_then(Option::as_ref)
    }

    /// The chart that was found for some changes, searched for again where it was not kept.
    pub(super) fn chart(&mut self, edits: &[Edit]) -> Option<Chart> {
        if let Some(kept) = &self.outcome(edits)?.chart {
            return Some(kept.clone());
        }
        let mut key = edits.to_vec();
        key.sort();
        self.try_out(&self.given.with(&key)?)?.chart
    }

    fn try_out(&self, laid: &Laid) -> Option<Outcome> {
        let at = self.given.at;
        let broken = Broken { day: &laid.day, posted: &laid.chart, at };
        let long = self.options.effort.long;
        let steps = Steps { annealing: long / 2, descent: long / 4 };
        let mut best: Option<Outcome> = None;
        let of_use = |least: &Shortfall| match &self.wanted {
            _ if !self.past_is_fine => true,
            Wanted::AtMost(goal) => least.may_come_within(goal),
            Wanted::Below(most) => least.may_come_below(most),
        };
        trial(broken, self.options.seed, steps, &of_use, &mut |chart| {
            let shortfall = left(broken, &chart);
            let enough = match &self.wanted {
                Wanted::AtMost(goal) => shortfall.is_within(goal),
                Wanted::Below(_) => false,
            };
            let better = |b: &Outcome| {
                (!b.shortfall.is_as_safe_as(&self.base), &b.shortfall)
                    > (!shortfall.is_as_safe_as(&self.base), &shortfall)
            };
            if best.as_ref().is_none_or(better) {
                best = Some(Outcome { shortfall, chart: Some(chart) });
            }
            enough
        });
        best
    }

    /// Whether some changes are enough, searched for as a repair does: what is tried quickly may miss it.
    pub(super) fn is_enough(&mut self, edits: &[Edit]) -> bool {
        let Wanted::AtMost(goal) = self.wanted.clone() else { return false };
        if !self.last_look && !self.budget.lasts() {
            return false;
        }
        let Some(Laid { day, chart }) = self.given.with(edits) else { return false };
        let broken = Broken { day: &day, posted: &chart, at: self.given.at };
        let of_use = |least: &Shortfall| !self.past_is_fine || least.may_come_within(&goal);
        let found =
            repairs_of_use(broken, self.options.seed, self.searching(), &of_use, self.watch);
        found.charts.iter().any(|(chart, _)| left(broken, chart).is_within(&goal))
    }

    /// The least of a set that comes down to what a day repaired with it really leaves, where that is
    /// otherwise than what was found quickly, or where there was nothing left to look at it with.
    pub(super) fn least_for(&mut self, edits: Vec<Edit>, repaired: &Repaired) -> Vec<Edit> {
        let left = what_is_left(repaired);
        let as_found = matches!(&self.wanted, Wanted::AtMost(goal) if left.is_within(goal));
        if as_found && !self.budget.ran_out {
            return edits;
        }
        let goal = std::mem::replace(&mut self.wanted, Wanted::AtMost(left));
        self.last_look = true;
        let edits = match as_found {
            // In a large room all of it would take too long: what is not needed at all is left out.
            true => {
                let enough = parts(&edits).find(|part| self.is_enough(part));
                enough.unwrap_or(edits)
            }
            false => self.shortest(edits),
        };
        self.last_look = false;
        self.wanted = goal;
        edits
    }

    /// The effort of a repair that proves nothing.
    fn searching(&self) -> Effort {
        Effort { nodes: 0, ..self.options.effort }
    }

    /// The day repaired with a set that mends, held against the chart on the wall.
    pub(super) fn fix(
        &mut self,
        day: &Day,
        posted: &Chart,
        edits: Vec<Edit>,
        words: String,
    ) -> Option<Fix> {
        let first = self.chart(&edits);
        let Laid { day: after, chart } = self.given.with(&edits)?;
        let at = self.given.at;
        let followed = Broken { day: &after, posted: &chart, at };
        let mut charts: Vec<Chart> = first.into_iter().collect();
        if charts.is_empty() || self.budget.lasts() {
            let found = repairs(followed, self.options.seed, self.searching(), self.watch);
            charts.extend(found.charts.into_iter().map(|c| c.0));
        }
        let on_the_wall = Broken { day: &after, posted, at };
        let Wanted::AtMost(goal) = self.wanted.clone() else { return None };
        let reaches = |chart: &Chart| left(on_the_wall, chart).is_within(&goal);
        let best = charts.into_iter().min_by_key(|c| (!reaches(c), worth(on_the_wall, c)))?;
        let how = How { seed: self.options.seed, bound: None, stopped_by: "budget" };
        let repaired = told(day, after, posted, best, at, &how);
        let left = what_is_left(&repaired);
        // The goal is what was found quickly: what is better still is no less of a help.
        let better = left < goal && left.is_as_safe_as(&self.base);
        let mends = left.is_within(&goal) || better;
        let asks_no_more = questions(&repaired.plan.problems, at) <= self.asked;
        (mends && asks_no_more).then_some(Fix { edits, words, repaired })
    }
}

/// How many stays and posts a chart has.
fn pieces(chart: &Chart) -> usize {
    let stays = chart.children.iter().map(|child| child.stays.len());
    stays.chain(chart.adults.iter().map(|adult| adult.posts.len())).sum()
}

/// What a repaired day is short of from its moment on.
pub(super) fn what_is_left(repaired: &Repaired) -> Shortfall {
    let Plan { chart, problems, .. } = &repaired.plan;
    Shortfall::of(&repaired.day, chart, problems, repaired.at)
}

/// What a chart leaves short in the rest of the day.
fn left(Broken { day, at, .. }: Broken<'_>, chart: &Chart) -> Shortfall {
    Shortfall::of(day, chart, &rules::audit(day, chart), at)
}
