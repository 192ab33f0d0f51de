//! How sets of changes are tried: the rest of the day is repaired with them, quickly.

use super::budget::Budget;
use super::candidates::hull;
use super::sets::{covers, pairs, parts, rank, threes};
use super::{Fix, ahead, questions};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::edit::floor::runs;
use crate::planner::edit::{Edit, Given, Laid};
use crate::planner::repair::{How, Repaired, told, worth};
use crate::planner::{Options, Plan};
use crate::rules::{self, Mend, RULES, Shortfall};
use crate::site::Span;
use crate::solve::Effort;
use crate::solve::proof::{Told, Watch};
use crate::solve::repair::{Broken, repairs, repairs_of_use, trial};
use crate::solve::search::Steps;
use std::collections::{BTreeMap, BTreeSet};

/// What is asked of a set of changes.
#[derive(Clone, Debug)]
enum Wanted {
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
    given: Given,
    /// Shortfall of the rest without any change.
    base: Shortfall,
    /// What a fix may leave of it, or what it has to get below while that is being found out.
    wanted: Wanted,
    /// From the first to the last minute of the rest in which a rule is broken without any change.
    broken: Span,
    /// Minutes of children beside something that has to be asked about, without any change: a fix
    /// leaves no more of them.
    asked: u64,
    /// No rule is broken in what is past, of which the rows know as well.
    past_is_fine: bool,
    options: Options,
    /// `None`: it cannot be made, or no chart of use was found.
    known: BTreeMap<Vec<Edit>, Option<Outcome>>,
    /// Stays and posts of the charts among them.
    kept: usize,
    /// Every set that could be made.
    tried: BTreeSet<Vec<Edit>>,
    /// How many sets of two or three were passed over because there were too many.
    untried: usize,
    /// How much more is tried.
    budget: Budget,
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
                (!b.shortfall.is_within(&self.base), &b.shortfall)
                    > (!shortfall.is_within(&self.base), &shortfall)
            };
            if best.as_ref().is_none_or(better) {
                best = Some(Outcome { shortfall, chart: Some(chart) });
            }
            enough
        });
        best
    }

    /// Sets that mend, with nothing in them that could be left out.
    pub(super) fn search(&mut self, candidates: &[Edit]) -> Vec<Vec<Edit>> {
        let mut found: Vec<Vec<Edit>> = Vec::new();
        let (mut helps, mut idle): (Vec<Edit>, Vec<Edit>) = (Vec::new(), Vec::new());
        for edit in candidates {
            if found.iter().any(|f| f.iter().any(|known| covers(known, edit)))
                || !self.budget.lasts_for(edit)
            {
                continue;
            }
            let one = [edit.clone()];
            if self.mends(&one) {
                found.extend(self.least(one.to_vec()));
            } else if self.helps(&one) {
                helps.push(edit.clone());
            } else {
                idle.push(edit.clone());
            }
        }
        let (pairs, passed_over) = pairs(&helps, &idle, &self.go_together());
        self.untried = passed_over;
        for pair in pairs {
            // Nobody is hired beside something else where there is a way without.
            let hires = pair.iter().any(|edit| matches!(edit, Edit::ExtraAdult(_)));
            if hires && !found.is_empty() {
                break;
            }
            if found.iter().filter(|f| rank(f) <= rank(&pair)).count() >= super::MOST {
                break;
            }
            if found.iter().any(|f| f.iter().all(|k| pair.iter().any(|edit| covers(k, edit)))) {
                continue;
            }
            if self.mends(&pair) {
                found.extend(self.least(pair).filter(|edits| !found.contains(edits)));
            }
        }
        found
    }

    /// Which two changes may help together where neither does: the staff breaks of two adults, if
    /// somebody lacks one, and a meal earlier or later with the floor used otherwise beside it, if it
    /// goes wrong where there is no turn or choice.
    fn go_together(&self) -> impl Fn(&Edit, &Edit) -> bool + use<> {
        let mut rules = RULES.iter().enumerate().filter(|(_, r)| r.is_mended_by(Mend::StaffBreak));
        let lacks_a_break = rules.any(|(at, _)| self.base.of_rule(at) > 0);
        let beside = runs(&self.given.posted, self.broken, self.given.at).is_empty();
        move |one, other| match (one, other) {
            (Edit::MoveBreak { .. }, Edit::MoveBreak { .. }) => lacks_a_break,
            (Edit::ShiftMeal { .. }, Edit::SplitFloor { .. } | Edit::JoinFloor { .. }) => beside,
            _ => false,
        }
    }

    fn helps(&mut self, edits: &[Edit]) -> bool {
        let base = self.base.clone();
        self.outcome(edits).is_some_and(|o| o.shortfall < base)
    }

    /// The least that some changes, or two or three of them, leave of the shortfall with no rule worse
    /// than before; `None` where none of them gets below it.
    ///
    /// Only changes that lessen it are put together, by themselves or beside one that does.
    pub(super) fn least_shortfall(&mut self, candidates: &[Edit]) -> Option<Shortfall> {
        // What was passed over for not mending everything may mend a part.
        self.known.clear();
        self.kept = 0;
        let mut least = self.base.clone();
        let (mut helps, mut idle): (Vec<Edit>, Vec<Edit>) = (Vec::new(), Vec::new());
        for edit in candidates {
            if !self.budget.lasts_for(edit) {
                continue;
            }
            let lessens = self.comes_down(std::slice::from_ref(edit), &mut least);
            (if lessens { &mut helps } else { &mut idle }).push(edit.clone());
        }
        let (pairs, passed_over) = pairs(&helps, &idle, &self.go_together());
        self.untried = passed_over;
        let mut further: Vec<Vec<Edit>> = Vec::new();
        for pair in pairs {
            if self.comes_down(&pair, &mut least) {
                further.push(pair);
            }
        }
        if !least.is_none() {
            let left =
                |pair: &Vec<Edit>| self.known.get(pair)?.as_ref().map(|o| o.shortfall.clone());
            further.sort_by_cached_key(|pair| (left(pair), rank(pair)));
            let (threes, passed_over) = threes(&further, &helps);
            self.untried += passed_over;
            for three in threes {
                self.comes_down(&three, &mut least);
            }
        }
        (least < self.base).then_some(least)
    }

    /// Sets that were found to come down to the goal, with nothing in them that could be left out.
    pub(super) fn reaching(&mut self) -> Vec<Vec<Edit>> {
        let mut sets: Vec<Vec<Edit>> = self.known.keys().cloned().collect();
        sets.sort_by_key(|set| (rank(set), set.len()));
        let mut found: Vec<Vec<Edit>> = Vec::new();
        for set in sets {
            let known = |f: &Vec<Edit>| f.iter().all(|k| set.iter().any(|edit| covers(k, edit)));
            if found.len() < super::MOST_IN_PART && !found.iter().any(known) && self.mends(&set) {
                found.extend(self.least(set).filter(|edits| !found.contains(edits)));
            }
        }
        found
    }

    /// Whether some changes leave less of the shortfall than there is without, and less than any part
    /// of them does; what is left is put down in `least` where that is less with no rule worse.
    fn comes_down(&mut self, edits: &[Edit], least: &mut Shortfall) -> bool {
        let known = |part: Vec<Edit>| self.known.get(&part)?.as_ref().map(|o| o.shortfall.clone());
        let of_a_part = parts(edits).filter_map(known).min();
        let most = of_a_part.map_or(self.base.clone(), |part| part.min(self.base.clone()));
        self.wanted = Wanted::Below(most.clone());
        let Some(left) = self.outcome(edits).map(|o| o.shortfall.clone()) else { return false };
        if left.is_within(&self.base) && left < *least {
            least.clone_from(&left);
        }
        left < most
    }

    /// Whether some changes are enough, searched for as a repair does: what is tried quickly may miss it.
    pub(super) fn is_enough(&mut self, edits: &[Edit]) -> bool {
        let Wanted::AtMost(goal) = self.wanted.clone() else { return false };
        if !self.budget.lasts() {
            return false;
        }
        let Some(Laid { day, chart }) = self.given.with(edits) else { return false };
        let broken = Broken { day: &day, posted: &chart, at: self.given.at };
        let of_use = |least: &Shortfall| !self.past_is_fine || least.may_come_within(&goal);
        let found =
            repairs_of_use(broken, self.options.seed, self.searching(), &of_use, self.watch);
        found.charts.iter().any(|(chart, _)| left(broken, chart).is_within(&goal))
    }

    /// The effort of a repair that proves nothing.
    fn searching(&self) -> Effort {
        Effort { nodes: 0, ..self.options.effort }
    }

    /// The day repaired with a set that mends, held against the chart on the wall; `None` where a part
    /// of the set is enough.
    pub(super) fn fix(
        &mut self,
        day: &Day,
        posted: &Chart,
        edits: Vec<Edit>,
        words: String,
    ) -> Option<Fix> {
        if parts(&edits).any(|part| self.is_enough(&part)) {
            return None;
        }
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
        let best = charts.into_iter().min_by_key(|chart| worth(on_the_wall, chart))?;
        let how = How { seed: self.options.seed, bound: None, stopped_by: "budget" };
        let repaired = told(day, after, posted, best, at, &how);
        let left = Shortfall::of(&repaired.day, &repaired.plan.chart, &repaired.plan.problems, at);
        let mends = matches!(&self.wanted, Wanted::AtMost(goal) if left.is_within(goal));
        let asks_no_more = questions(&repaired.plan.problems, at) <= self.asked;
        (mends && asks_no_more).then_some(Fix { edits, words, repaired })
    }
}

/// How many stays and posts a chart has.
fn pieces(chart: &Chart) -> usize {
    let stays = chart.children.iter().map(|child| child.stays.len());
    stays.chain(chart.adults.iter().map(|adult| adult.posts.len())).sum()
}

/// What a chart leaves short in the rest of the day.
fn left(Broken { day, at, .. }: Broken<'_>, chart: &Chart) -> Shortfall {
    Shortfall::of(day, chart, &rules::audit(day, chart), at)
}
