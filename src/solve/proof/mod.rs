//! How good an assignment is, level by level: bounds that are true in whole numbers.
//!
//! The bound of a level is the least that it can be while no earlier level is worse than the
//! assignment has it. A level at its trivial bound is settled at once. For any other one, all that
//! would be better is asked for: rows take away what cannot be ([`space`]), prices on rows give a
//! bound ([`relax`]), options that rule each other out are counted together ([`mod@together`]), and
//! branching tries what is left ([`mod@branch`]), so that in the end there is either a better
//! assignment or the proof that there is none. What was shown of one level helps with the next ones:
//! its priced sum stays as a cut.
//!
//! Everything is counted in steps, and no clock is read: the same model, assignment and budget give
//! the same bounds.

mod branch;
mod pass;
mod relax;
mod shave;
mod space;
mod together;
mod watch;

use crate::model::{Model, State};
use branch::{End, branch};
use pass::{Cut, Open, Pass};
use relax::{handed_on, prices, row_of, sum};
use shave::{Asked, shave};
use space::Space;
use together::{Together, together};
pub use watch::{Progress, Told, Watch};

/// How far a proof may go, for each level.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Budget {
    /// Steps of pricing.
    pub pricing: u32,
    /// Nodes of branching; 0: none.
    pub nodes: u64,
}

impl Default for Budget {
    fn default() -> Budget {
        Budget { pricing: 200, nodes: 20_000 }
    }
}

impl Budget {
    /// So many nodes of branching, and pricing as usual.
    #[must_use]
    pub fn nodes(nodes: u64) -> Budget {
        Budget { nodes, ..Budget::default() }
    }
}

/// What a bound rests on.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum How {
    /// Nothing in the level, or nothing in it once the earlier ones are held, can be lower.
    Trivial,
    /// Rows taken one by one and prices on them leave nothing better.
    Relaxed,
    /// Branching tried all that was left.
    Branched,
    /// The budget ran out, or somebody said stop: the bound is true, and lower than the value.
    Open,
}

/// What was shown of one level.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Bound {
    /// Slug of the rule or aim.
    pub slug: &'static str,
    /// What the assignment has.
    pub value: i64,
    /// The least that is possible with no earlier level worse; never above `value`.
    pub bound: i64,
    /// What it rests on.
    pub how: How,
    /// Steps of pricing and nodes used.
    pub steps: u64,
}

/// An assignment with what was shown of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proof {
    /// The options taken: never worse than those it began with.
    pub taken: Vec<usize>,
    /// By level.
    pub bounds: Vec<Bound>,
    /// Whoever watched said stop.
    pub cancelled: bool,
}

impl Proof {
    /// Whether every level has its bound.
    #[must_use]
    pub fn whole(&self) -> bool {
        self.bounds.iter().all(|b| b.value == b.bound)
    }
}

/// Bounds of all levels for an assignment, which is made better where the proof finds how: `value`
/// is then what the better one has.
#[must_use]
pub fn bounds(model: &Model, taken: &[usize], budget: Budget) -> Vec<Bound> {
    prove(model, taken.to_vec(), budget, &mut Watch::nobody()).bounds
}

/// Makes an assignment better or shows that it cannot be, level by level.
#[must_use]
pub fn prove(model: &Model, taken: Vec<usize>, budget: Budget, watch: &mut Watch<'_>) -> Proof {
    let values = model.value(&taken);
    if model.size() > MOST_PROVEN {
        return unproven(model, taken, &values, watch);
    }
    let open: Open = model.choices.iter().map(|c| (0..c.len()).collect()).collect();
    let mut proving = Proving {
        model,
        budget,
        taken,
        values,
        caps: Vec::new(),
        open,
        opens: Vec::new(),
        cuts: Vec::new(),
        together: Vec::new(),
    };
    let mut bounds: Vec<Bound> = Vec::new();
    while bounds.len() < model.levels.len() {
        let level = bounds.len();
        watch.slug = model.levels[level].slug;
        proving.opens.push(proving.open.clone());
        let bound = proving.level(level, watch);
        // Where an earlier level became better on the way, all from there on is asked anew.
        let better = (0..level).find(|&l| proving.values[l] < proving.caps[l]);
        if let Some(better) = better {
            // The ones after it may be worse than before: nothing that held them stays.
            bounds.truncate(better);
            proving.caps.truncate(better);
            proving.cuts.retain(|c| c.0 < better);
            proving.together.retain(|t| t.0 < better);
            proving.open.clone_from(&proving.opens[better]);
            proving.opens.truncate(better);
        } else {
            bounds.push(bound);
            proving.caps.push(proving.values[level]);
        }
    }
    Proof { taken: proving.taken, bounds, cancelled: watch.stopped }
}

/// Models that are larger than this are not proven: each pass would take as much memory again. Those
/// of any usual room are less than half as large.
const MOST_PROVEN: usize = 500_000;

/// What is known of an assignment without looking further.
fn unproven(model: &Model, taken: Vec<usize>, values: &[i64], watch: &Watch<'_>) -> Proof {
    let bound = |level: usize| {
        let (value, bound) = (values[level], model.trivial_bound(level).min(values[level]));
        let how = if bound < value { How::Open } else { How::Trivial };
        Bound { slug: model.levels[level].slug, value, bound, how, steps: 0 }
    };
    let bounds = (0..model.levels.len()).map(bound).collect();
    Proof { taken, bounds, cancelled: watch.stopped }
}

struct Proving<'m> {
    model: &'m Model,
    budget: Budget,
    taken: Vec<usize>,
    values: Vec<i64>,
    /// Values of the levels that are settled.
    caps: Vec<i64>,
    /// Options that an assignment with no earlier level worse can have.
    open: Open,
    /// The same, as it was before each level.
    opens: Vec<Open>,
    /// What was shown of earlier levels, each with its level.
    cuts: Vec<(usize, Cut)>,
    /// Options that cannot be taken together, each row with the level at which that was found.
    together: Vec<(usize, Together)>,
}

impl Proving<'_> {
    fn level(&mut self, level: usize, watch: &mut Watch<'_>) -> Bound {
        let before = watch.steps;
        let (least, how) = self.bound(level, watch);
        let value = self.values[level];
        Bound {
            slug: self.model.levels[level].slug,
            value,
            bound: least.min(value),
            how: if least < value { How::Open } else { how },
            steps: watch.steps - before,
        }
    }

    fn caps_with(&self, most: i64) -> Vec<i64> {
        self.caps.iter().copied().chain([most]).collect()
    }

    fn cuts_with(&self, last: Option<Cut>) -> Vec<Cut> {
        self.cuts.iter().map(|c| c.1.clone()).chain(last).collect()
    }

    fn together(&self) -> Vec<Together> {
        self.together.iter().map(|t| t.1.clone()).collect()
    }

    /// The bound of a level and what it rests on.
    fn bound(&mut self, level: usize, watch: &mut Watch<'_>) -> (i64, How) {
        let model = self.model;
        let trivial = model.trivial_bound(level);
        if self.values[level] <= trivial {
            return (trivial, How::Trivial);
        }
        if watch.stopped {
            return (trivial, How::Open);
        }
        let each = step(model, level);
        let calm_pass = Pass::new(
            model,
            self.open.clone(),
            &self.caps_with(self.values[level]),
            (&self.cuts_with(None), &self.together()),
        );
        let Some(objective) = row_of(&calm_pass, level) else { return (trivial, How::Open) };
        let mut calm = Space::new(&calm_pass);
        if calm.narrow().is_err() {
            // Cannot be: what is taken is inside.
            return (trivial, How::Open);
        }
        self.open = calm.open();
        let trivial = trivial.max(calm.least(objective));
        if self.values[level] <= trivial {
            return (trivial, How::Trivial);
        }
        let mut space = calm.clone();
        space.limit(objective, self.values[level] - each);
        if space.narrow().is_err() {
            return (self.values[level], How::Relaxed);
        }
        let trivial = trivial.max(space.least(objective)).min(self.values[level]);
        let start = handed_on(&space, objective);
        let (found, steps) =
            prices(&space, objective, self.values[level], &start, self.budget.pricing);
        watch.steps += u64::from(steps.saturating_sub(1));
        watch.tell(Told::Pricing);
        let sizes = sizes(model);
        let Some(priced) = sum(&space, objective, &found, &sizes) else {
            return (trivial, How::Open);
        };
        let mut least = trivial.max(priced.bound(each)).min(self.values[level]);
        let mut how = How::Relaxed;
        let unsettled = least < self.values[level] && !watch.stopped && self.budget.nodes > 0;
        if unsettled && self.together.is_empty() {
            let rows = together(model, &mut calm.clone(), watch);
            self.together = rows.into_iter().map(|row| (level, row)).collect();
            if !self.together.is_empty() {
                let (with_them, how) = self.bound(level, watch);
                return (with_them.max(least), how);
            }
        }
        if unsettled
            && let Some(cut) = priced.cut(self.values[level] - each)
            && self.branching(level, space.open(), cut, watch) == End::Done
        {
            (least, how) = (self.values[level], How::Branched);
        }
        // What was shown holds for all that is no worse than the answer.
        let cut = sum(&calm, objective, &found, &sizes).and_then(|s| s.cut(self.values[level]));
        self.cuts.extend(cut.map(|c| (level, c)));
        (least, how)
    }

    fn branching(&mut self, level: usize, open: Open, cut: Cut, watch: &mut Watch<'_>) -> End {
        let each = step(self.model, level);
        let cuts = self.cuts_with(Some(cut));
        let caps = self.caps_with(self.values[level] - each);
        let pass = Pass::new(self.model, open, &caps, (&cuts, &self.together()));
        let Some(objective) = row_of(&pass, level) else { return End::Stopped };
        let mut space = Space::new(&pass);
        let mut nodes = self.budget.nodes;
        let sizes = sizes(self.model);
        let asked =
            Asked { objective, value: self.values[level], each, pricing: self.budget.pricing };
        if shave(&mut space, &asked, &sizes, &mut nodes, watch) == End::Done {
            return End::Done;
        }
        let first = self.taken.clone();
        branch(&mut space, objective, &first, &mut nodes, watch, |taken| {
            let values = self.model.value(&taken);
            if values < self.values {
                (self.taken, self.values) = descend(self.model, taken);
            }
            (self.values[..level] == self.caps[..]).then(|| self.values[level] - each)
        })
    }
}

/// The bound of a level at any prices at all, with the earlier levels no worse than `taken` has them:
/// `price` is asked for each row of the pass in order, in multiples of 2^-20, and taken as 0 where it
/// is below. `None` where the level costs nothing or a price is beyond all measure.
#[must_use]
pub fn priced_bound(
    model: &Model,
    taken: &[usize],
    level: usize,
    price: impl FnMut(usize) -> i64,
) -> Option<i64> {
    let open: Open = model.choices.iter().map(|c| (0..c.len()).collect()).collect();
    let values = model.value(taken);
    let pass = Pass::new(model, open, &values[..=level], (&[], &[]));
    let mut space = Space::new(&pass);
    space.narrow().ok()?;
    let prices = (0..pass.rows.len()).map(price).collect();
    let sizes = sizes(model);
    Some(sum(&space, row_of(&pass, level)?, &prices, &sizes)?.bound(step(model, level)))
}

/// How many options each choice has.
fn sizes(model: &Model) -> Vec<usize> {
    model.choices.iter().map(Vec::len).collect()
}

/// What the values of a level are multiples of.
fn step(model: &Model, level: usize) -> i64 {
    let all = model.levels[level].terms.iter().map(|t| t.1.abs());
    all.fold(0, |mut a, mut b| {
        while b != 0 {
            (a, b) = (b, a % b);
        }
        a
    })
    .max(1)
}

/// Moves single choices while that makes the whole better, and what it is worth then.
fn descend(model: &Model, taken: Vec<usize>) -> (Vec<usize>, Vec<i64>) {
    let mut state = State::new(model, taken);
    let mut best = state.levels().to_vec();
    let mut moved = true;
    while moved {
        moved = false;
        for choice in 0..model.choices.len() {
            let mut at = state.taken()[choice];
            for option in 0..model.choices[choice].len() {
                state.take(choice, option);
                if state.levels() < best.as_slice() {
                    best = state.levels().to_vec();
                    at = option;
                    moved = true;
                }
            }
            state.take(choice, at);
        }
    }
    (state.taken().to_vec(), best)
}
