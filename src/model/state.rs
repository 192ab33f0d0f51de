//! A model with one option taken in every choice, changed move by move.

use super::{Model, Var};
use crate::steps::{self, Stage};
use std::ops::Range;

/// Where an unknown is read: which forced quantity, which of its lines, how many times.
#[derive(Clone, Copy, Debug)]
struct Use {
    forced: u32,
    line: u32,
    times: i64,
}

/// A model with one option taken in every choice; a move costs only what it touches.
#[derive(Clone, Debug)]
pub struct State<'m> {
    model: &'m Model,
    taken: Vec<usize>,
    level_values: Vec<i64>,
    values: Vec<i64>,
    lines: Vec<i64>,
    line_start: Vec<u32>,
    uses: Lists<Use>,
    costs: Lists<(u32, i64)>,
    queue: Vec<u32>,
    queued: Vec<bool>,
}

/// A list for each unknown, one after another.
#[derive(Clone, Debug)]
struct Lists<T> {
    all: Vec<T>,
    starts: Vec<u32>,
}

impl<T: Copy> Lists<T> {
    fn new(lists: &[Vec<T>]) -> Lists<T> {
        let mut starts = Vec::with_capacity(lists.len() + 1);
        let mut all = Vec::new();
        for list in lists {
            starts.push(all.len() as u32);
            all.extend_from_slice(list);
        }
        starts.push(all.len() as u32);
        Lists { all, starts }
    }

    fn at(&self, unknown: usize) -> Range<usize> {
        self.starts[unknown] as usize..self.starts[unknown + 1] as usize
    }

    fn of(&self, unknown: usize) -> &[T] {
        &self.all[self.at(unknown)]
    }
}

impl<'m> State<'m> {
    /// The state in which `taken[i]` is the option taken in choice `i`.
    #[must_use]
    pub fn new(model: &'m Model, taken: Vec<usize>) -> State<'m> {
        let unknowns = model.names.len();
        let mut uses = vec![Vec::new(); unknowns];
        let mut line_start = Vec::with_capacity(model.forced.len() + 1);
        let mut lines = Vec::new();
        for (f, forced) in model.forced.iter().enumerate() {
            line_start.push(lines.len() as u32);
            for line in &forced.lines {
                steps::count(Stage::Search, 1 + line.terms.len() as u64 / 32);
                for &(var, times) in &line.terms {
                    let at = lines.len() as u32;
                    uses[var.0 as usize].push(Use { forced: f as u32, line: at, times });
                }
                lines.push(line.constant);
            }
        }
        line_start.push(lines.len() as u32);
        let mut costs = vec![Vec::new(); unknowns];
        for (l, level) in model.levels.iter().enumerate() {
            for &(var, each) in &level.terms {
                costs[var.0 as usize].push((l as u32, each));
            }
        }
        let mut state = State {
            model,
            level_values: vec![0; model.levels.len()],
            values: vec![0; unknowns],
            lines,
            line_start,
            uses: Lists::new(&uses),
            costs: Lists::new(&costs),
            // All of them, the earliest last.
            queue: (0..model.forced.len() as u32).rev().collect(),
            queued: vec![true; model.forced.len()],
            taken,
        };
        for c in 0..state.taken.len() {
            state.bump(model.choices[c][state.taken[c]], 1);
        }
        state.settle();
        state
    }

    /// Options taken, by choice.
    #[must_use]
    pub fn taken(&self) -> &[usize] {
        &self.taken
    }

    /// Values of the levels.
    #[must_use]
    pub fn levels(&self) -> &[i64] {
        &self.level_values
    }

    /// Value of an unknown.
    #[must_use]
    pub fn value(&self, var: Var) -> i64 {
        self.values[var.0 as usize]
    }

    /// Takes another option in a choice.
    pub fn take(&mut self, choice: usize, option: usize) {
        let old = self.taken[choice];
        if old == option {
            return;
        }
        self.taken[choice] = option;
        self.bump(self.model.choices[choice][old], -1);
        self.bump(self.model.choices[choice][option], 1);
        self.settle();
    }

    fn enqueue(&mut self, forced: u32) {
        if !self.queued[forced as usize] {
            self.queued[forced as usize] = true;
            // Kept in falling order, so that the earliest is popped first.
            let at = self.queue.partition_point(|&q| q > forced);
            self.queue.insert(at, forced);
        }
    }

    fn bump(&mut self, var: Var, by: i64) {
        let var = var.0 as usize;
        self.values[var] += by;
        for &(level, each) in self.costs.of(var) {
            self.level_values[level as usize] += each * by;
        }
        for i in self.uses.at(var) {
            let used = self.uses.all[i];
            self.lines[used.line as usize] += used.times * by;
            self.enqueue(used.forced);
        }
    }

    fn settle(&mut self) {
        let mut settled = 0;
        while let Some(f) = self.queue.pop() {
            settled += 1;
            self.queued[f as usize] = false;
            let (from, to) = (self.line_start[f as usize], self.line_start[f as usize + 1]);
            let most = self.lines[from as usize..to as usize].iter().copied().max();
            let most = most.unwrap_or(0).max(0);
            let var = self.model.forced[f as usize].var;
            let by = most - self.values[var.0 as usize];
            if by != 0 {
                self.bump(var, by);
            }
        }
        steps::count(Stage::Search, settled / 16);
    }
}
