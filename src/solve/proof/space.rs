//! The assignments of a pass that are still possible, narrowed by what its rows allow.
//!
//! Every row knows the least and the most it can be; an option that would lift a row above its
//! limit is taken away, and so on until nothing changes. All is undone in steps, for branching.

use super::pass::Pass;
use crate::steps::{self, Stage};

/// Somewhere no assignment is left.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Empty;

/// See the top of the file.
#[derive(Clone, Debug)]
pub(super) struct Space<'p> {
    pub pass: &'p Pass,
    /// Words of options, then pairs' least and most, rows' least and most, quantities' least and
    /// most: one list, so that one trail undoes all.
    cells: Vec<i64>,
    words: Vec<usize>,
    pairs: usize,
    rows: usize,
    quantities: usize,
    /// Limits of the rows without owner.
    limits: Vec<i64>,
    trail: Vec<(u32, i64)>,
    queue: Vec<u32>,
    queued: Vec<bool>,
    /// The row that left nothing last.
    pub failed: Option<usize>,
}

impl<'p> Space<'p> {
    /// All assignments of a pass.
    pub fn new(pass: &'p Pass) -> Space<'p> {
        let mut cells: Vec<i64> = Vec::new();
        let mut words = Vec::with_capacity(pass.open.len() + 1);
        for options in &pass.open {
            words.push(cells.len());
            let full = options.len() / 64;
            cells.extend(std::iter::repeat_n(-1, full));
            if !options.len().is_multiple_of(64) {
                cells.push(i64::MAX >> (63 - options.len() % 64));
            }
        }
        words.push(cells.len());
        let pairs = cells.len();
        for pair in &pass.pairs {
            cells.extend([pair.amounts[0].0, pair.amounts[pair.amounts.len() - 1].0]);
        }
        let quantities_at = pairs + 2 * pass.pairs.len() + 2 * pass.rows.len();
        let rows = pairs + 2 * pass.pairs.len();
        for row in &pass.rows {
            steps::count(Stage::Proof, 1 + row.pairs.len() as u64 / 32);
            let (mut least, mut most) = (row.constant, row.constant);
            for p in row.pairs.clone() {
                least += cells[pairs + 2 * p];
                most += cells[pairs + 2 * p + 1];
            }
            for &(q, times) in &row.quantities {
                let q = &pass.quantities[q];
                least += times * if times > 0 { q.least } else { q.most };
                most += times * if times > 0 { q.most } else { q.least };
            }
            cells.extend([least, most]);
        }
        cells.extend(pass.quantities.iter().flat_map(|q| [q.least, q.most]));
        Space {
            pass,
            cells,
            words,
            pairs,
            rows,
            quantities: quantities_at,
            limits: pass.rows.iter().map(|r| r.limit).collect(),
            trail: Vec::new(),
            queue: (0..pass.rows.len() as u32).rev().collect(),
            queued: vec![true; pass.rows.len()],
            failed: None,
        }
    }

    /// Where to come back to with [`Space::undo`].
    pub fn mark(&self) -> usize {
        self.trail.len()
    }

    /// Back to a mark.
    pub fn undo(&mut self, mark: usize) {
        while self.trail.len() > mark {
            if let Some((at, old)) = self.trail.pop() {
                self.cells[at as usize] = old;
            }
        }
        self.queue.drain(..).for_each(|r| self.queued[r as usize] = false);
    }

    /// Whether an option, counted among the open ones of the pass, is still possible.
    pub fn has(&self, choice: usize, option: usize) -> bool {
        self.cells[self.words[choice] + option / 64] >> (option % 64) & 1 == 1
    }

    /// How many options of a choice are still possible.
    pub fn count(&self, choice: usize) -> u32 {
        let words = &self.cells[self.words[choice]..self.words[choice + 1]];
        words.iter().map(|w| w.count_ones()).sum()
    }

    /// The options of a choice that are still possible, as positions among the pass's open ones.
    pub fn options(&self, choice: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.pass.open[choice].len()).filter(move |&o| self.has(choice, o))
    }

    /// Least and most of a quantity.
    pub fn quantity(&self, quantity: usize) -> (i64, i64) {
        (self.cells[self.quantities + 2 * quantity], self.cells[self.quantities + 2 * quantity + 1])
    }

    /// The least that a row can be.
    pub fn least(&self, row: usize) -> i64 {
        self.cells[self.rows + 2 * row]
    }

    /// The most that a row can be.
    pub fn most(&self, row: usize) -> i64 {
        self.cells[self.rows + 2 * row + 1]
    }

    /// Lowers the limit of a cap for good.
    pub fn limit(&mut self, row: usize, limit: i64) {
        self.limits[row] = self.limits[row].min(limit);
        self.enqueue(row);
    }

    /// The row stands in the queue again.
    pub fn enqueue(&mut self, row: usize) {
        if !self.queued[row] {
            self.queued[row] = true;
            self.queue.push(row as u32);
        }
    }

    /// Options that are left, in the model's own positions.
    pub fn open(&self) -> Vec<Vec<usize>> {
        let of = |c: usize| self.options(c).map(|o| self.pass.open[c][o]).collect();
        (0..self.pass.open.len()).map(of).collect()
    }

    /// Only `option` is left of a choice.
    pub fn take(&mut self, choice: usize, option: usize) {
        for word in 0..self.pass.words(choice) {
            let keep = if option / 64 == word { 1_i64 << (option % 64) } else { 0 };
            let at = self.words[choice] + word;
            self.set(at, self.cells[at] & keep);
        }
        self.narrowed(choice);
    }

    /// `option` is gone.
    pub fn drop(&mut self, choice: usize, option: usize) {
        let at = self.words[choice] + option / 64;
        self.set(at, self.cells[at] & !(1_i64 << (option % 64)));
        self.narrowed(choice);
    }

    fn set(&mut self, at: usize, value: i64) {
        let old = self.cells[at];
        if old != value {
            self.trail.push((at as u32, old));
            self.cells[at] = value;
        }
    }

    /// Brings the pairs of a choice up to date with its options.
    fn narrowed(&mut self, choice: usize) {
        let pass = self.pass;
        steps::count(Stage::Proof, 1 + pass.of_choice[choice].len() as u64 / 16);
        for &p in &pass.of_choice[choice] {
            let pair = &pass.pairs[p];
            let words = self.words[choice]..self.words[choice + 1];
            let meets = |bits: &[u64]| {
                bits.iter().zip(&self.cells[words.clone()]).any(|(b, w)| b & (*w as u64) != 0)
            };
            let least = pair.amounts.iter().find(|a| meets(&a.1));
            let most = pair.amounts.iter().rev().find(|a| meets(&a.1));
            let (Some(least), Some(most)) = (least, most) else { continue };
            let (least, most) = (least.0, most.0);
            let at = self.pairs + 2 * p;
            let (up, down) = (least - self.cells[at], most - self.cells[at + 1]);
            if up != 0 {
                self.set(at, least);
                self.lift(pair.row, up);
            }
            if down != 0 {
                self.set(at + 1, most);
                self.sink(pair.row, down);
            }
        }
    }

    /// The least of a row rises.
    fn lift(&mut self, row: usize, by: i64) {
        let at = self.rows + 2 * row;
        self.set(at, self.cells[at] + by);
        self.enqueue(row);
    }

    /// The most of a row falls, and with it perhaps the most of its owner.
    fn sink(&mut self, row: usize, by: i64) {
        let at = self.rows + 2 * row + 1;
        self.set(at, self.cells[at] + by);
        let Some(owner) = self.pass.rows[row].owner else { return };
        let (least, most) = self.quantity(owner);
        if self.cells[at] - by < most {
            return;
        }
        let lines = &self.pass.quantities[owner].lines;
        let highest = lines.iter().map(|&l| self.most(l)).max().unwrap_or(0).max(least);
        if highest < most {
            self.lower(owner, highest);
        }
    }

    /// The most of a quantity falls.
    fn lower(&mut self, quantity: usize, most: i64) {
        let at = self.quantities + 2 * quantity + 1;
        let by = most - self.cells[at];
        self.set(at, most);
        let pass = self.pass;
        let of = &pass.quantities[quantity];
        of.lines.iter().chain(&of.sums).for_each(|&l| self.enqueue(l));
        for &(row, times) in &pass.quantities[quantity].uses {
            if times > 0 {
                self.sink(row, times * by);
            } else {
                self.lift(row, times * by);
            }
        }
    }

    /// The least of a quantity rises.
    fn raise(&mut self, quantity: usize, least: i64) {
        let at = self.quantities + 2 * quantity;
        let by = least - self.cells[at];
        self.set(at, least);
        let pass = self.pass;
        for &(row, times) in &pass.quantities[quantity].uses {
            if times > 0 {
                self.lift(row, times * by);
            } else {
                self.sink(row, times * by);
            }
        }
    }

    /// Takes away what cannot be until nothing changes.
    pub fn narrow(&mut self) -> Result<(), Empty> {
        while let Some(row) = self.queue.pop() {
            let row = row as usize;
            self.queued[row] = false;
            steps::count(Stage::Proof, 1 + self.pass.rows[row].pairs.len() as u64 / 64);
            if self.check(row).is_err() {
                self.failed = Some(row);
                self.queue.drain(..).for_each(|r| self.queued[r as usize] = false);
                return Err(Empty);
            }
        }
        Ok(())
    }

    fn check(&mut self, r: usize) -> Result<(), Empty> {
        let row = &self.pass.rows[r];
        let mut limit = self.limits[r];
        if let Some(owner) = row.owner {
            let (least, most) = self.quantity(owner);
            if self.least(r) > most {
                return Err(Empty);
            }
            if self.least(r) > least {
                self.raise(owner, self.least(r));
            }
            limit = most;
        }
        if limit == i64::MAX {
            return Ok(());
        }
        let slack = limit - self.least(r);
        if slack < 0 {
            return Err(Empty);
        }
        if self.most(r) <= limit {
            return Ok(());
        }
        for p in row.pairs.clone() {
            let at = self.pairs + 2 * p;
            if self.cells[at + 1] - self.cells[at] > slack {
                let most = self.cells[at] + slack;
                self.filter(p, most)?;
            }
        }
        for &(q, times) in row.quantities.iter().filter(|q| q.1 > 0) {
            let (least, most) = self.quantity(q);
            if times * (most - least) > slack {
                self.lower(q, least + slack / times);
            }
        }
        Ok(())
    }

    /// Options that add more than `most` to the row of a pair are gone.
    fn filter(&mut self, p: usize, most: i64) -> Result<(), Empty> {
        let pass = self.pass;
        let pair = &pass.pairs[p];
        let first = self.words[pair.choice];
        let mut left = false;
        for word in 0..pass.words(pair.choice) {
            let gone: u64 =
                pair.amounts.iter().rev().take_while(|a| a.0 > most).fold(0, |g, a| g | a.1[word]);
            let at = first + word;
            self.set(at, self.cells[at] & !(gone as i64));
            left |= self.cells[at] != 0;
        }
        if !left {
            return Err(Empty);
        }
        self.narrowed(pair.choice);
        Ok(())
    }
}
