//! The model behind a chart, level by level, for any other solver to judge.

use super::Options;
use super::make::{best, found};
use crate::day::Day;
use crate::model::{Model, mps};
use crate::rules::{AIMS, RULES};
use crate::solve::Finalist;
use crate::solve::proof::{self, Bound, Budget, Watch};

/// One level of the model of a chart: a rule or an aim, with every earlier level held.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pass {
    /// Slug of the rule or aim.
    pub slug: &'static str,
    /// What the chart's options cost at this level; where the proof came upon better ones, theirs.
    pub value: i64,
    /// What was shown to be the least while no earlier level is worse.
    pub bound: i64,
    /// What each choice and quantity costs at least by itself reaches the value: nothing to solve.
    pub trivial: bool,
}

/// The model of the chart that [`make`](super::make()) gives, with its passes in the order of the
/// rules and then of the aims.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Passes {
    /// One a rule or aim.
    pub passes: Vec<Pass>,
    /// The seed that the chart was made from.
    pub seed: u64,
    model: Model,
    values: Vec<i64>,
}

impl Passes {
    /// The passes that take solving, by position.
    pub fn open(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        (0..self.passes.len()).filter(|&at| !self.passes[at].trivial)
    }

    /// A pass as free MPS, its holds as rows.
    ///
    /// # Panics
    /// When there is no such pass.
    #[must_use]
    pub fn mps(&self, at: usize) -> String {
        mps::write(&self.model, at, &self.values)
    }
}

/// The passes behind the chart of a day, somebody being told how far their solving is.
#[must_use]
pub fn passes(day: &Day, options: &Options, watch: &mut Watch<'_>) -> Passes {
    let mut found = found(day, options, watch);
    let Finalist { model, taken, mut bounds, .. } = found.charts.swap_remove(best(&found));
    if bounds.is_empty() {
        bounds = proof::bounds(&model, &taken, Budget::default());
    }
    let values = bounds.iter().map(|b| b.value).collect();
    let pass = |(level, bound): (usize, &Bound)| Pass {
        slug: bound.slug,
        value: bound.value,
        bound: bound.bound,
        trivial: bound.value <= model.trivial_bound(level),
    };
    let passes = bounds.iter().enumerate().map(pass).collect();
    Passes { passes, seed: options.seed, model, values }
}

/// The slugs of all passes, in their order.
#[must_use]
pub fn pass_slugs() -> Vec<&'static str> {
    RULES.iter().map(|r| r.slug).chain(AIMS.iter().map(|a| a.slug)).collect()
}
