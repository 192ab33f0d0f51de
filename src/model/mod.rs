//! A neutral yes/no model: choices, quantities forced up by lines, costs in levels.
//!
//! A [`Model`] has *choices*, of which exactly one option each is taken, and *forced* quantities,
//! each the least whole number that is at least zero and at least each of its lines. Costs stand in
//! levels; an earlier level is never given up for a later one. That is enough for the whole day,
//! needs no big constants, and can be searched move by move or handed to any MILP solver:
//! a forced quantity is a continuous variable with one row a line, whole by itself at the optimum.
//!
//! ```
//! use fairturn::model::{Line, Model};
//! let mut model = Model::new(&["short", "likes"]);
//! let art = model.option("a:art");
//! let books = model.option("a:books");
//! model.choice("a", vec![art, books]);
//! // Art needs two adults, one is there.
//! let short = model.forced("short", vec![Line::new(-1).plus(2, art)]);
//! model.cost("short", short, 5);
//! model.cost("likes", books, 1);
//! assert_eq!(model.value(&[0]), [5, 0]);
//! assert_eq!(model.value(&[1]), [0, 1]);
//! ```
//!
//! Map: [`state`] a model with one option taken everywhere, changed move by move; [`frame`] the table
//! of needs that the rules' rows read; [`unknowns`] its options; [`asked`] what the standards ask for,
//! remembered; [`mod@needs`] the adults that each slice needs; [`mps`] a level as text for other
//! solvers.

use crate::steps::{self, Stage};

pub mod asked;
pub mod frame;
pub mod mps;
pub mod needs;
pub mod state;
pub mod unknowns;

pub use frame::{CellOption, Frame, Planned, Slice, Target, VarCell};
pub use needs::{SliceNeeds, needs};
pub use state::State;
pub use unknowns::Unknowns;

/// One unknown of a model: an option (0 or 1) or a forced quantity (0, 1, 2, ...).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Var(pub u32);

/// A sum of whole multiples of unknowns and a constant.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub struct Line {
    /// Whole multiples of unknowns, each unknown at most once after [`Model::forced`] has it.
    pub terms: Vec<(Var, i64)>,
    /// The constant.
    pub constant: i64,
}

impl Line {
    /// A constant.
    #[must_use]
    pub fn new(constant: i64) -> Line {
        Line { terms: Vec::new(), constant }
    }

    /// This line plus `times` the unknown.
    #[must_use]
    pub fn plus(mut self, times: i64, var: Var) -> Line {
        self.add(times, var);
        self
    }

    /// Adds `times` the unknown.
    pub fn add(&mut self, times: i64, var: Var) {
        self.terms.push((var, times));
    }

    /// This line plus `times` another.
    #[must_use]
    pub fn plus_line(mut self, times: i64, other: &Line) -> Line {
        self.constant += times * other.constant;
        self.terms.extend(other.terms.iter().map(|t| (t.0, times * t.1)));
        self
    }

    fn tidy(&mut self) {
        self.terms.sort_unstable_by_key(|t| t.0);
        self.terms.dedup_by(|b, a| {
            let same = a.0 == b.0;
            if same {
                a.1 += b.1;
            }
            same
        });
        self.terms.retain(|t| t.1 != 0);
    }
}

/// A quantity that is as small as its lines let it be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Forced {
    /// Its unknown.
    pub var: Var,
    /// It is at least each of these, and at least 0; lines read only earlier unknowns.
    pub lines: Vec<Line>,
}

/// Costs of one level.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Level {
    /// Slug of the rule or aim.
    pub slug: &'static str,
    /// What one of each unknown costs; never negative for a forced quantity.
    pub terms: Vec<(Var, i64)>,
}

/// Choices, forced quantities and costs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Model {
    /// A readable name for each unknown.
    pub names: Vec<String>,
    /// Exactly one option of each is taken.
    pub choices: Vec<Vec<Var>>,
    /// Names of the choices.
    pub choice_names: Vec<String>,
    /// In an order in which each reads only earlier ones.
    pub forced: Vec<Forced>,
    /// Costs, most important level first.
    pub levels: Vec<Level>,
    size: usize,
    nothing: Option<Var>,
}

/// How large a model may be, in terms of its lines or what takes as much memory; those of any usual
/// room have less than a fifth of it.
const MOST_SIZE: usize = 1_200_000;

impl Model {
    /// A model without unknowns, with cost levels in this order.
    #[must_use]
    pub fn new(levels: &[&'static str]) -> Model {
        Model {
            names: Vec::new(),
            choices: Vec::new(),
            choice_names: Vec::new(),
            forced: Vec::new(),
            levels: levels.iter().map(|&slug| Level { slug, terms: Vec::new() }).collect(),
            size: 0,
            nothing: None,
        }
    }

    /// Adds an empty level behind the first so many.
    pub fn level_behind(&mut self, levels: usize, slug: &'static str) {
        self.levels.insert(levels, Level { slug, terms: Vec::new() });
    }

    fn fresh(&mut self, name: String) -> Var {
        self.size += 8;
        self.names.push(name);
        Var(u32::try_from(self.names.len() - 1).expect("a model has fewer than 2^32 unknowns"))
    }

    /// A new option, to be put into one choice.
    pub fn option(&mut self, name: impl Into<String>) -> Var {
        self.fresh(name.into())
    }

    /// Exactly one of `options` is taken.
    pub fn choice(&mut self, name: impl Into<String>, options: Vec<Var>) -> usize {
        assert!(!options.is_empty(), "a choice has an option");
        self.choices.push(options);
        self.choice_names.push(name.into());
        self.choices.len() - 1
    }

    /// A new quantity, at least 0 and at least each line; where there is no room for it, one that is
    /// always 0.
    pub fn forced(&mut self, name: impl Into<String>, mut lines: Vec<Line>) -> Var {
        lines.iter_mut().for_each(Line::tidy);
        let size = lines.iter().map(|line| 4 + line.terms.len()).sum::<usize>();
        steps::count(Stage::Model, 1 + size as u64 / 32);
        if self.size + size > MOST_SIZE {
            return self.nothing();
        }
        self.size += size;
        let var = self.fresh(name.into());
        self.forced.push(Forced { var, lines });
        var
    }

    /// The quantity that stands for all for which there was no room.
    fn nothing(&mut self) -> Var {
        if let Some(nothing) = self.nothing {
            return nothing;
        }
        let var = self.fresh("no-room".into());
        self.forced.push(Forced { var, lines: Vec::new() });
        self.nothing = Some(var);
        var
    }

    /// A new quantity that costs `each` at a level; nothing is added when it can never rise above 0.
    pub fn short(&mut self, slug: &str, name: impl Into<String>, line: Line, each: i64) {
        if let Some(var) = self.rising(name, vec![line]) {
            self.cost(slug, var, each);
        }
    }

    /// A new quantity, at least 0 and at least each of the lines that can rise above 0; `None` when
    /// none of them can.
    pub fn rising(&mut self, name: impl Into<String>, mut lines: Vec<Line>) -> Option<Var> {
        lines.iter_mut().for_each(Line::tidy);
        lines.retain(|line| {
            let most: i64 = line.constant + line.terms.iter().map(|t| t.1.max(0)).sum::<i64>();
            most > 0 || line.terms.iter().any(|t| t.1 > 0 && self.is_forced(t.0))
        });
        (!lines.is_empty()).then(|| self.forced(name, lines))
    }

    fn is_forced(&self, var: Var) -> bool {
        self.forced.binary_search_by_key(&var, |f| f.var).is_ok()
    }

    /// One of `var` costs `each` at a level.
    ///
    /// # Panics
    /// When there is no such level: a rule that is not in the table.
    pub fn cost(&mut self, slug: &str, var: Var, each: i64) {
        let level = self.levels.iter_mut().find(|l| l.slug == slug);
        let level = level.unwrap_or_else(|| panic!("{slug} is a level of the model"));
        level.terms.push((var, each));
    }

    /// How large it is, in terms of its lines or what takes as much memory.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// Whether there was no room for some of its lines: the quantities that they would lift may then be
    /// lower than they are, and nothing says that what is best by it is best.
    #[must_use]
    pub fn is_full(&self) -> bool {
        self.nothing.is_some()
    }

    /// What a level costs at least, whatever is taken: the constants of its forced quantities and the
    /// cheapest option of each choice.
    #[must_use]
    pub fn trivial_bound(&self, level: usize) -> i64 {
        steps::count(Stage::Model, 1 + self.names.len() as u64 / 16);
        let mut each = vec![0_i64; self.names.len()];
        for &(var, cost) in &self.levels[level].terms {
            each[var.0 as usize] += cost;
        }
        let options = self
            .choices
            .iter()
            .map(|choice| choice.iter().map(|v| each[v.0 as usize]).min().unwrap_or(0));
        let counted = self.forced.iter().filter(|f| each[f.var.0 as usize] != 0);
        let forced = counted.map(|f| {
            let least = |l: &Line| l.constant + l.terms.iter().map(|t| t.1.min(0)).sum::<i64>();
            each[f.var.0 as usize] * f.lines.iter().map(least).max().unwrap_or(0).max(0)
        });
        options.sum::<i64>() + forced.sum::<i64>()
    }

    /// Values of all levels when option `taken[i]` of choice `i` is taken; slow and plain.
    #[must_use]
    pub fn value(&self, taken: &[usize]) -> Vec<i64> {
        let mut values = vec![0_i64; self.names.len()];
        for (choice, &option) in self.choices.iter().zip(taken) {
            values[choice[option].0 as usize] = 1;
        }
        for forced in &self.forced {
            let of = |l: &Line| {
                steps::count(Stage::Model, l.terms.len() as u64 / 64);
                l.constant + l.terms.iter().map(|t| t.1 * values[t.0.0 as usize]).sum::<i64>()
            };
            values[forced.var.0 as usize] = forced.lines.iter().map(of).max().unwrap_or(0).max(0);
        }
        let cost = |l: &Level| l.terms.iter().map(|t| t.1 * values[t.0.0 as usize]).sum();
        self.levels.iter().map(cost).collect()
    }
}
