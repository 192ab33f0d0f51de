//! Options that cannot be taken together, and rows that say so.
//!
//! Prices see fractions: a third of each of three groups at a station asks for a third of an adult, and
//! finds a seat. Where options rule each other out, at most one of them is taken: they are one at the
//! most in sum, and a quantity is at least the sum of what each of them by itself forces it to. On a
//! day that is short of adults this is what the visits that cannot be had come from.

use super::space::Space;
use super::{Told, Watch};
use crate::model::{Line, Model, Var};
use crate::steps::{self, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// Rows after which no more are looked for; far more than any usual room has.
const MOST_ROWS: usize = 20_000;

/// A row that holds wherever the caps do under which it was found.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Together {
    /// Position of the quantity that is at least the line; `None`: the line is at most 0.
    pub owner: Option<usize>,
    /// In unknowns of the model.
    pub line: Line,
}

/// The rows for options of which a narrowed space has at most one.
pub(super) fn together(
    model: &Model,
    space: &mut Space<'_>,
    watch: &mut Watch<'_>,
) -> Vec<Together> {
    let mut apart = Apart::new(model, space, watch);
    let mut found: BTreeSet<Together> = BTreeSet::new();
    for (f, forced) in model.forced.iter().enumerate() {
        if found.len() >= MOST_ROWS {
            break;
        }
        let forcing = forcing(&forced.lines, &apart);
        for set in apart.sets(&forcing.keys().copied().collect::<Vec<_>>()) {
            found.insert(sum(f, &set, &forcing));
        }
        for line in &forced.lines {
            let up = line.terms.iter().filter(|t| t.1 > 0).map(|t| t.0);
            let up: Vec<Var> = up.filter(|v| apart.place.contains_key(v)).collect();
            for set in apart.sets(&up) {
                let line = set.into_iter().fold(Line::new(-1), |line, v| line.plus(1, v));
                found.insert(Together { owner: None, line });
            }
        }
    }
    found.into_iter().collect()
}

/// Options that force a quantity by themselves: how far, and the line that says so.
fn forcing<'m>(lines: &'m [Line], apart: &Apart) -> BTreeMap<Var, (i64, &'m Line)> {
    let mut forcing: BTreeMap<Var, (i64, &Line)> = BTreeMap::new();
    for line in lines.iter().filter(|l| l.constant <= 0) {
        let mut up = line.terms.iter().filter(|t| t.1 > 0);
        let (Some(&(var, times)), None) = (up.next(), up.next()) else { continue };
        let far = times + line.constant;
        let further = forcing.get(&var).is_none_or(|f| f.0 < far);
        if far > 0 && further && apart.place.contains_key(&var) {
            forcing.insert(var, (far, line));
        }
    }
    forcing
}

/// What the one of a set that is taken forces a quantity to, less all that may be taken off.
fn sum(owner: usize, set: &[Var], forcing: &BTreeMap<Var, (i64, &Line)>) -> Together {
    let mut less: BTreeMap<Var, i64> = BTreeMap::new();
    let mut line = Line::default();
    for var in set {
        let (far, of) = forcing[var];
        line.add(far, *var);
        for &(other, times) in of.terms.iter().filter(|t| t.1 < 0) {
            let most = less.entry(other).or_default();
            *most = times.min(*most);
        }
    }
    less.into_iter().for_each(|(var, times)| line.add(times, var));
    Together { owner: Some(owner), line }
}

/// Which options rule each other out.
struct Apart {
    /// Number of each option that is open beside others.
    place: BTreeMap<Var, usize>,
    choice: Vec<usize>,
    /// By number, the numbers of the others that it rules out, as bits.
    rules_out: Vec<Vec<u64>>,
    /// Options asked for already.
    asked: BTreeSet<Vec<Var>>,
}

impl Apart {
    /// Takes each option once.
    fn new(model: &Model, space: &mut Space<'_>, watch: &mut Watch<'_>) -> Apart {
        let open: Vec<(usize, usize)> = (0..space.pass.open.len())
            .filter(|&c| space.count(c) > 1)
            .flat_map(|c| space.options(c).map(move |o| (c, o)).collect::<Vec<_>>())
            .collect();
        let var = |&(c, o): &(usize, usize)| model.choices[c][space.pass.open[c][o]];
        let place = open.iter().map(var).zip(0..).collect();
        let mut rules_out = vec![vec![0; open.len().div_ceil(64)]; open.len()];
        for (one, &(choice, option)) in open.iter().enumerate() {
            if watch.tell(Told::Branching) {
                break;
            }
            let mark = space.mark();
            space.take(choice, option);
            // One that leaves nothing rules out every other.
            let empty = space.narrow().is_err();
            for (other, &(c, o)) in open.iter().enumerate() {
                if other != one && (empty || !space.has(c, o)) {
                    rules_out[one][other / 64] |= 1 << (other % 64);
                    rules_out[other][one / 64] |= 1 << (one % 64);
                }
            }
            space.undo(mark);
        }
        let choice = open.iter().map(|o| o.0).collect();
        Apart { place, choice, rules_out, asked: BTreeSet::new() }
    }

    /// Whether of two options, by number, only one can be taken.
    fn rule_out(&self, one: usize, other: usize) -> bool {
        self.rules_out[one][other / 64] >> (other % 64) & 1 == 1
    }

    /// Sets of options, each set from more than one choice, of which at most one can be taken; none
    /// for options that were asked for before.
    fn sets(&mut self, options: &[Var]) -> Vec<Vec<Var>> {
        let choices: BTreeSet<usize> = options.iter().map(|v| self.choice[self.place[v]]).collect();
        if choices.len() < 2 || !self.asked.insert(options.to_vec()) {
            return Vec::new();
        }
        let mut left: BTreeSet<Var> = options.iter().copied().collect();
        let mut sets = Vec::new();
        while let Some(first) = left.pop_first() {
            steps::count(Stage::Proof, 1 + options.len() as u64 / 4);
            let mut set = vec![first];
            // One of each choice first: those of one choice say nothing about each other.
            for new_choice in [true, false] {
                for &var in options {
                    let fits = |of: &Var| self.rule_out(self.place[&var], self.place[of]);
                    let known =
                        |of: &Var| self.choice[self.place[of]] == self.choice[self.place[&var]];
                    if set.iter().all(fits) && !(new_choice && set.iter().any(known)) {
                        set.push(var);
                    }
                }
            }
            set.iter().for_each(|v| _ = left.remove(v));
            set.sort_unstable();
            let of: BTreeSet<usize> = set.iter().map(|v| self.choice[self.place[v]]).collect();
            if of.len() > 1 {
                sets.push(set);
            }
        }
        sets
    }
}
