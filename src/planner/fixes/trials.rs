//! How sets of changes are tried: the rest of the day is repaired with them, quickly.

use super::step::{Given, Laid, Step};
use super::{Fix, ahead};
use crate::chart::Chart;
use crate::day::{Day, ExtraAdult};
use crate::planner::Options;
use crate::planner::repair::{How, told, worth};
use crate::rules;
use crate::solve::Effort;
use crate::solve::proof::{Told, Watch};
use crate::solve::repair::{Broken, repairs, trial};
use crate::solve::search::Steps;
use std::collections::{BTreeMap, BTreeSet};

/// Most pairs of changes that help, and of those with one that does not, that are tried.
const MOST_PAIRS: usize = 40;

/// What came of a set of changes.
#[derive(Clone, Debug)]
pub(super) struct Outcome {
    /// Person-minutes by rule in the rest of the day, the least that was found.
    pub shortfall: Vec<u64>,
    pub chart: Chart,
}

/// Sets of changes, and what came of them.
pub(super) struct Trials<'t, 'w> {
    given: Given,
    /// Shortfall of the rest without any change.
    base: Vec<u64>,
    /// What a fix may leave of it; `None`: that is being found out.
    goal: Option<Vec<u64>>,
    options: Options,
    /// `None`: it cannot be made, or no chart of use was found.
    known: BTreeMap<Vec<Step>, Option<Outcome>>,
    /// Every set that could be made.
    tried: BTreeSet<Vec<Step>>,
    watch: &'t mut Watch<'w>,
}

impl<'t, 'w> Trials<'t, 'w> {
    pub(super) fn new(
        given: Given,
        base: Vec<u64>,
        options: Options,
        watch: &'t mut Watch<'w>,
    ) -> Trials<'t, 'w> {
        let goal = Some(vec![0; base.len()]);
        let (known, tried) = (BTreeMap::new(), BTreeSet::new());
        Trials { given, base, goal, options, known, tried, watch }
    }

    /// How many sets were tried.
    pub(super) fn tried(&self) -> usize {
        self.tried.len()
    }

    /// Whether it was told to stop: what was not tried by then counts as of no use.
    pub(super) fn stopped(&self) -> bool {
        self.watch.stopped()
    }

    pub(super) fn given(&self) -> &Given {
        &self.given
    }

    /// From now on a set mends that leaves no more than this.
    pub(super) fn come_down_to(&mut self, goal: Vec<u64>) {
        self.goal = Some(goal);
    }

    /// Whether some changes, in the order of their kinds, mend the day.
    pub(super) fn mends(&mut self, steps: &[Step]) -> bool {
        let Some(goal) = self.goal.clone() else { return false };
        self.outcome(steps).is_some_and(|o| within(&o.shortfall, &goal))
    }

    pub(super) fn outcome(&mut self, steps: &[Step]) -> Option<&Outcome> {
        let mut key = steps.to_vec();
        key.sort();
        if !self.known.contains_key(&key) {
            if self.watch.part(Told::Mending, self.tried.len(), 0) {
                return None;
            }
            let laid = self.given.with(&key);
            if laid.is_some() {
                self.tried.insert(key.clone());
            }
            let found = laid.and_then(|laid| self.try_out(&laid));
            self.known.insert(key.clone(), found);
        }
        self.known.get(&key).and_then(Option::as_ref)
    }

    fn try_out(&self, laid: &Laid) -> Option<Outcome> {
        let at = self.given.at;
        let broken = Broken { day: &laid.day, posted: &laid.chart, at };
        let every_rule = self.goal.as_ref().is_some_and(|goal| goal.iter().all(|s| *s == 0));
        let steps = self.options.effort.long;
        let steps = Steps { annealing: steps / 2, descent: steps / 4 };
        let mut best: Option<Outcome> = None;
        trial(broken, self.options.seed, steps, every_rule, &mut |chart| {
            let shortfall = rules::shortfall(&ahead(&rules::audit(&laid.day, &chart), at));
            let enough = self.goal.as_ref().is_some_and(|goal| within(&shortfall, goal));
            let better = |b: &Outcome| {
                (!within(&b.shortfall, &self.base), &b.shortfall)
                    > (!within(&shortfall, &self.base), &shortfall)
            };
            if best.as_ref().is_none_or(better) {
                best = Some(Outcome { shortfall, chart });
            }
            enough
        });
        best
    }

    /// Sets that mend, with nothing in them that could be left out.
    pub(super) fn search(&mut self, candidates: &[Step]) -> Vec<Vec<Step>> {
        let mut found: Vec<Vec<Step>> = Vec::new();
        let (mut helps, mut idle): (Vec<Step>, Vec<Step>) = (Vec::new(), Vec::new());
        for step in candidates {
            if found.iter().any(|f| f.iter().any(|known| covers(known, step))) {
                continue;
            }
            let one = [step.clone()];
            if self.mends(&one) {
                found.extend(self.least(one.to_vec()));
            } else if self.helps(&one) {
                helps.push(step.clone());
            } else {
                idle.push(step.clone());
            }
        }
        for pair in pairs(&helps, &idle) {
            let rank = |steps: &[Step]| steps.iter().map(Step::rank).max();
            // Nobody is hired beside something else where there is a way without.
            let hires = pair.iter().any(|step| matches!(step, Step::ExtraAdult(_)));
            if hires && !found.is_empty() {
                break;
            }
            if found.iter().filter(|f| rank(f) <= rank(&pair)).count() >= super::MOST {
                break;
            }
            if found.iter().any(|f| f.iter().all(|k| pair.iter().any(|step| covers(k, step)))) {
                continue;
            }
            if self.mends(&pair) {
                found.extend(self.least(pair).filter(|steps| !found.contains(steps)));
            }
        }
        found
    }

    fn helps(&mut self, steps: &[Step]) -> bool {
        let base = self.base.clone();
        self.outcome(steps).is_some_and(|o| o.shortfall < base)
    }

    /// The least that some changes, or a pair of them, leave of the shortfall with no rule worse
    /// than before; `None` where none of them gets below it.
    pub(super) fn least_shortfall(&mut self, candidates: &[Step]) -> Option<Vec<u64>> {
        // What was passed over for not mending everything may mend a part.
        self.known.clear();
        self.goal = None;
        let mut least = self.base.clone();
        let mut helps: Vec<Step> = Vec::new();
        for step in candidates {
            if self.comes_down(std::slice::from_ref(step), &mut least) {
                helps.push(step.clone());
            }
        }
        for pair in pairs(&helps, &[]) {
            self.comes_down(&pair, &mut least);
        }
        (least < self.base).then_some(least)
    }

    /// Sets that were found to come down to the goal, with nothing in them that could be left out.
    pub(super) fn reaching(&mut self) -> Vec<Vec<Step>> {
        let mut sets: Vec<Vec<Step>> = self.known.keys().cloned().collect();
        sets.sort_by_key(|set| (set.iter().map(Step::rank).max(), set.len()));
        let mut found: Vec<Vec<Step>> = Vec::new();
        for set in sets {
            let known = |f: &Vec<Step>| f.iter().all(|k| set.iter().any(|step| covers(k, step)));
            if found.len() < super::MOST && !found.iter().any(known) && self.mends(&set) {
                found.extend(self.least(set).filter(|steps| !found.contains(steps)));
            }
        }
        found
    }

    /// Whether some changes leave less of the shortfall than there is without; what is left counts
    /// where no rule is worse for it.
    fn comes_down(&mut self, steps: &[Step], least: &mut Vec<u64>) -> bool {
        let base = self.base.clone();
        let Some(outcome) = self.outcome(steps) else { return false };
        if within(&outcome.shortfall, &base) && outcome.shortfall < *least {
            least.clone_from(&outcome.shortfall);
        }
        outcome.shortfall < base
    }

    /// The day repaired with a set that mends, held against the chart on the wall.
    pub(super) fn fix(
        &mut self,
        day: &Day,
        posted: &Chart,
        steps: Vec<Step>,
        words: String,
    ) -> Option<Fix> {
        let first = self.outcome(&steps)?.chart.clone();
        let Laid { day: after, chart } = self.given.with(&steps)?;
        let at = self.given.at;
        let followed = Broken { day: &after, posted: &chart, at };
        let effort = Effort { nodes: 0, ..self.options.effort };
        let mut charts = vec![first];
        let found = repairs(followed, self.options.seed, effort, self.watch);
        charts.extend(found.charts.into_iter().map(|c| c.0));
        let on_the_wall = Broken { day: &after, posted, at };
        let best = charts.into_iter().min_by_key(|chart| worth(on_the_wall, chart))?;
        let how = How { seed: self.options.seed, bound: None, stopped_by: "budget" };
        let repaired = told(day, after, posted, best, at, &how);
        let left = rules::shortfall(&ahead(&repaired.plan.problems, at));
        self.goal.as_ref().is_some_and(|goal| within(&left, goal)).then_some(Fix {
            steps,
            words,
            repaired,
        })
    }
}

/// Whether a shortfall is in no rule above another.
fn within(shortfall: &[u64], most: &[u64]) -> bool {
    shortfall.iter().zip(most).all(|(now, most)| now <= most)
}

/// Pairs of what helps with one another, and with the rest as far as that goes; the least disturbing
/// first.
fn pairs(helps: &[Step], idle: &[Step]) -> Vec<Vec<Step>> {
    let rank = |pair: &Vec<Step>| pair.iter().map(Step::rank).max();
    let pair = |one: &Step, other: &Step| {
        let mut pair = vec![one.clone(), other.clone()];
        pair.sort();
        pair
    };
    let mut both: Vec<Vec<Step>> = Vec::new();
    for (i, one) in helps.iter().enumerate() {
        both.extend(helps[i + 1..].iter().map(|other| pair(one, other)));
        if let Step::ExtraAdult(extra) = one {
            let second =
                ExtraAdult { id: second(&extra.id), label: second(&extra.label), ..extra.clone() };
            both.push(pair(one, &Step::ExtraAdult(second)));
        }
    }
    let mut one: Vec<Vec<Step>> =
        helps.iter().flat_map(|one| idle.iter().map(move |other| pair(one, other))).collect();
    for list in [&mut both, &mut one] {
        list.sort_by_key(rank);
        list.truncate(MOST_PAIRS);
    }
    both.extend(one);
    both.sort_by_key(rank);
    both
}

/// The name of one more who comes in.
fn second(name: &str) -> String {
    format!("{name}{}", if name.contains(' ') { " (second)" } else { "-second" })
}

/// Whether a change that mends makes another one needless: the same, or the same and more.
fn covers(known: &Step, other: &Step) -> bool {
    match (known, other) {
        (Step::ShiftMeal { meal: a, minutes: x }, Step::ShiftMeal { meal: b, minutes: y }) => {
            a == b && x.signum() == y.signum() && x.abs() <= y.abs()
        }
        (
            Step::SplitFloor { groups: a, space: x, .. },
            Step::SplitFloor { groups: b, space: y, .. },
        ) => x == y && a.iter().all(|g| b.contains(g)),
        (Step::MoveBreak { adult: a, due: x, .. }, Step::MoveBreak { adult: b, due: y, .. }) => {
            (a, x) == (b, y)
        }
        (Step::AdultOfTheTeam { adult: a, .. }, Step::AdultOfTheTeam { adult: b, .. }) => a == b,
        (a, b) => a == b,
    }
}
