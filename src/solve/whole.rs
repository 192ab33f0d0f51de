//! The whole of it: layouts, the search in each, the MILP on the best, posts.

use super::decode::decode;
use super::door::at_the_door;
use super::framing::frame;
use super::groups::{groups_today, standing_groups};
use super::layout::{Wishes, layouts};
use super::milp::{self, polish};
use super::posts::post;
use super::proof::{Budget, Proof, Watch, prove};
use super::search::{Steps, search};
use crate::chart::Chart;
use crate::day::Day;
use crate::model::{Frame, Model, Unknowns};
use crate::rules::{RULES, rows};

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
    /// Branch-and-bound nodes of each MILP pass; 0: no MILP.
    pub nodes: u64,
}

impl Default for Effort {
    fn default() -> Effort {
        Effort { layouts: 12, short: 20_000, finalists: 3, long: 100_000, nodes: 20 }
    }
}

/// Whole charts and how they were found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Found {
    /// The finalists' charts, each with what its layout leaves to be wished; never empty.
    pub charts: Vec<(Chart, Wishes)>,
    /// The model of each of these charts, and the options taken in it.
    pub models: Vec<(Model, Vec<usize>)>,
    /// What worked on it.
    pub solver: String,
    /// What each part was allowed.
    pub budgets: Vec<(String, u64)>,
    /// What ended it.
    pub stopped_by: String,
}

struct Candidate<'d> {
    frame: Frame<'d>,
    model: Model,
    unknowns: Unknowns,
    taken: Vec<usize>,
    levels: Vec<i64>,
    wishes: Wishes,
}

/// What makes a candidate worth finishing.
type Rank = (Vec<i64>, [i64; 4], Vec<i64>, Wishes, Vec<i64>);

/// The rules about safety, then what the layout itself fails to hold (meals and rest in their
/// windows, movement), then the other rules and owed visits, then what the layout leaves to be
/// wished, then the other aims.
fn rank(candidate: &Candidate<'_>) -> Rank {
    let levels = &candidate.levels;
    let of = |slug: &str| RULES.iter().position(|r| r.slug == slug).unwrap_or(RULES.len());
    let (layout, wishes) = (of("meals"), RULES.len() + 1);
    (
        levels[..layout].to_vec(),
        candidate.wishes.fails(),
        levels[layout..wishes].to_vec(),
        candidate.wishes,
        levels[wishes..].to_vec(),
    )
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
    let best = candidates(day, seed, effort).remove(0);
    let Candidate { frame, model, unknowns, taken, .. } = best;
    let proof = prove(&model, taken, budget, watch);
    Certified { frame, model, unknowns, proof }
}

/// Layouts with the options that a short search found, best first; never none.
fn candidates(day: &Day, seed: u64, effort: Effort) -> Vec<Candidate<'_>> {
    let standing = standing_groups(&day.site, day.room, day.date, seed);
    let groups = groups_today(day, &standing);
    let mut candidates: Vec<Candidate<'_>> = layouts(day, &groups, effort.layouts.max(1))
        .iter()
        .map(|layout| {
            let frame = frame(day, &groups, layout);
            let (model, unknowns) = rows::model(&frame);
            let steps = Steps { annealing: effort.short, descent: effort.short / 2 };
            let taken = search(&frame, &model, None, steps, seed);
            let levels = model.value(&taken);
            Candidate { frame, model, unknowns, taken, levels, wishes: layout.wishes }
        })
        .collect();
    candidates.sort_by_key(rank);
    candidates
}

/// Whole charts of a day, adults posted, ready to be audited.
#[must_use]
pub fn solve(day: &Day, seed: u64, effort: Effort) -> Found {
    let mut candidates = candidates(day, seed, effort);
    candidates.truncate(effort.finalists.max(1));
    let mut finished = true;
    let (charts, models) = candidates
        .into_iter()
        .map(|mut c| {
            let steps = Steps { annealing: effort.long, descent: effort.long / 2 };
            let start = Some(c.taken.clone());
            let longer = search(&c.frame, &c.model, start, steps, seed ^ 1);
            if c.model.value(&longer) < c.levels {
                c.taken = longer;
            }
            if effort.nodes > 0 {
                let polished = polish(&c.model, c.taken, effort.nodes);
                finished &= polished.finished == polished.passes;
                c.taken = polished.taken;
            }
            let (mut chart, mut duties) = decode(&c.frame, &c.unknowns, &c.taken);
            duties.door = at_the_door(day, &chart, &duties);
            post(day, &mut chart, &duties);
            ((chart, c.wishes), (c.model, c.taken))
        })
        .unzip();
    Found {
        charts,
        models,
        solver: if effort.nodes > 0 {
            format!("search, then {}", milp::NAME)
        } else {
            "search".into()
        },
        budgets: vec![
            ("layouts".into(), effort.layouts as u64),
            ("search steps".into(), u64::from(effort.long)),
            ("nodes".into(), effort.nodes),
        ],
        stopped_by: if finished { "nothing left to improve" } else { "budget" }.into(),
    }
}
