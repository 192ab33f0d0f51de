//! The whole of it: layouts, the search in each, the proof of the best, posts.

use super::candidates::{Candidate, Candidates};
use super::decode::decode;
use super::demand::Duties;
use super::door::at_the_door;
use super::posts::post;
use super::proof::{Bound, Budget, Proof, Told, Watch, prove};
use super::search::{Steps, search};
use super::stagger::most_saved;
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::model::{Frame, Model, Planned, Unknowns};
use crate::rules::{Score, Shortfall};

/// So many times as many finalists there may be while the best of them breaks what another layout, as
/// far as its rows show, would not.
const BROKEN_MORE: usize = 3;

/// What ended a solving that was told to stop.
pub const STOPPED: &str = "somebody who said stop";

/// How far the solving may go, in steps and nodes; the clock never decides.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Effort {
    /// Layouts tried.
    pub layouts: usize,
    /// Steps of the short search in each layout.
    pub short: u32,
    /// Layouts that get the long search and become whole charts.
    pub finalists: usize,
    /// Steps of the long search.
    pub long: u32,
    /// Nodes of branching for each level of a finalist; 0: nothing is proven.
    pub nodes: u64,
}

impl Default for Effort {
    fn default() -> Effort {
        Effort { layouts: 12, short: 5_000, finalists: 3, long: 5_000, nodes: 2_000 }
    }
}

/// Whole charts and how they were found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Found {
    /// The finalists; never empty.
    pub charts: Vec<Finalist>,
    /// What worked on it.
    pub solver: String,
    /// What each part was allowed.
    pub budgets: Vec<(String, u64)>,
    /// What ended it.
    pub stopped_by: String,
}

/// A whole chart, adults posted.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Finalist {
    /// The chart.
    pub chart: Chart,
    /// What was settled for its adults before they were posted.
    pub duties: Duties,
    /// What it is worth.
    pub score: Score,
    /// What was shown of each level of the model, rules first, then aims; empty when nothing was.
    pub bounds: Vec<Bound>,
    /// Minutes that children spend in transitions at the least, whatever is decided in this layout
    /// and whoever leaves later.
    pub waiting: i64,
    /// The model of the layout.
    pub model: Model,
    /// The options taken in it.
    pub taken: Vec<usize>,
}

/// The best layout of a day with all that was decided in it, and how good that is.
#[derive(Clone, Debug)]
pub struct Certified<'d> {
    /// What is settled and what is open in the layout.
    pub frame: Frame<'d>,
    /// Its model.
    pub model: Model,
    /// Where its options stand in the model.
    pub unknowns: Unknowns,
    /// The options taken, and a bound for each level.
    pub proof: Proof,
}

/// The layout of a day that searches best, its options decided, and how good they are: shown for this
/// layout and these groups.
#[must_use]
pub fn certify<'d>(
    day: &'d Day,
    seed: u64,
    effort: Effort,
    budget: Budget,
    watch: &mut Watch<'_>,
) -> Certified<'d> {
    let best = Candidates::new(day, seed, effort).next(watch).expect("a day has a layout");
    let Candidate { frame, model, unknowns, taken, .. } = best;
    let proof = prove(&model, taken, budget, watch);
    Certified { frame, model, unknowns, proof }
}

/// What the finalist that breaks least breaks.
fn least_broken(charts: &[Finalist]) -> &Shortfall {
    charts.iter().map(|finalist| &finalist.score.broken).min().expect("there is one already")
}

/// Minutes that children spend in transitions in this layout, less those in which a care round may
/// fetch them.
fn waiting(frame: &Frame<'_>) -> i64 {
    let minutes = |child, plan: &[Planned]| -> i64 {
        let on_the_way = plan.iter().filter_map(|p| match p {
            Planned::Fixed(stay) if stay.at == Place::Transition => Some(stay.span),
            _ => None,
        });
        let spans: Vec<_> = on_the_way.collect();
        let total: i64 = spans.iter().map(|s| i64::from(s.minutes())).sum();
        let fetched = |way: &crate::model::frame::RoundOption| -> i64 {
            let mine = way.children.iter().filter(|c| c.0 == child);
            let meets = mine.flat_map(|c| spans.iter().filter_map(move |s| s.meet(c.1)));
            meets.map(|m| i64::from(m.minutes())).sum()
        };
        let rounds = frame.rounds.iter().map(|ways| ways.iter().map(fetched).max().unwrap_or(0));
        total - rounds.sum::<i64>()
    };
    frame.children.iter().map(|(child, plan)| minutes(*child, plan)).sum()
}

/// Whole charts of a day, adults posted.
///
/// `worth` says what a chart is worth: once none of the layouts that are left can be worth as much,
/// nothing more is made.
#[must_use]
pub fn solve(
    day: &Day,
    seed: u64,
    effort: Effort,
    watch: &mut Watch<'_>,
    mut worth: impl FnMut(&Chart) -> Score,
) -> Found {
    let mut candidates = Candidates::new(day, seed, effort);
    let (mut whole, mut charts) = (effort.nodes > 0, Vec::new());
    let of = effort.finalists.max(1);
    while charts.len() < of * BROKEN_MORE
        && (charts.is_empty() || !watch.stopped())
        && (charts.len() < of || candidates.may_break_less(least_broken(&charts)))
        && let Some(mut c) = candidates.next(watch)
    {
        if charts.len() >= of && !c.rank.is_less_broken(least_broken(&charts)) {
            break;
        }
        let stop = watch.part(Told::Improving, charts.len() + 1, of);
        let long = if stop { 0 } else { effort.long };
        let steps = Steps { annealing: long, descent: long / 2 };
        let longer = search(&c.frame, &c.model, Some(c.taken.clone()), steps, seed ^ 1);
        if c.model.value(&longer) < c.levels {
            c.taken = longer;
        }
        let mut bounds = Vec::new();
        if effort.nodes > 0 {
            let proof = prove(&c.model, c.taken, Budget::nodes(effort.nodes), watch);
            whole &= proof.whole() && !c.model.is_full();
            (c.taken, bounds) = (proof.taken, proof.bounds);
        }
        let (mut chart, mut duties) = decode(&c.frame, &c.unknowns, &c.taken);
        duties.door = at_the_door(day, &chart, &duties);
        post(day, &mut chart, &duties);
        let waiting = waiting(&c.frame) - most_saved(day, &chart);
        let Candidate { model, taken, wishes, .. } = c;
        let score = worth(&chart);
        let enough = !candidates.may_beat(&score, wishes);
        charts.push(Finalist { chart, duties, score, bounds, waiting, model, taken });
        if enough {
            break;
        }
    }
    Found {
        charts,
        solver: if effort.nodes > 0 { "search, then proof" } else { "search" }.into(),
        budgets: vec![
            ("layouts".into(), effort.layouts as u64),
            ("search steps".into(), u64::from(effort.long)),
            ("nodes".into(), effort.nodes),
        ],
        stopped_by: match (watch.stopped(), whole) {
            (true, _) => STOPPED,
            (_, true) => "nothing left to improve",
            _ => "budget",
        }
        .into(),
    }
}
