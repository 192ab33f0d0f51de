//! A bound from prices: every row of a pass is let go and priced instead.
//!
//! Whatever the prices are (none below zero), what the options and quantities cost with them is at
//! most what the level costs. The prices are found by steps of a subgradient in floating point, as
//! many as the budget says; then they are rounded to multiples of 2^-20 and the bound is added up
//! anew in whole numbers. Only that sum is believed.

use super::pass::{Cut, Origin, Pass};
use super::space::Space;
use crate::steps::{self, Stage};

/// One in prices.
pub(super) const ONE: i64 = 1 << 20;

/// No price is above this, so that sums of priced options stay inside 64 bits.
const DEAREST: f64 = 65_536.0;

/// A price for each row of a pass, in multiples of 2^-20, never below 0.
pub(super) type Prices = Vec<i64>;

/// One row as it is priced: constant, options and quantities, the owner taken away.
struct Priced {
    constant: f64,
    options: Vec<(u32, f64)>,
    quantities: Vec<(u32, f64)>,
    /// What makes rows of minutes and rows of heads alike.
    scale: f64,
}

/// The row of a level in a pass.
pub(super) fn row_of(pass: &Pass, level: usize) -> Option<usize> {
    pass.rows.iter().position(|r| r.origin == Origin::Level(level))
}

/// The level as it is priced: what options and quantities cost.
struct Problem {
    /// First option of each choice in the flat list, and where the last one ends.
    first: Vec<usize>,
    cost: Vec<f64>,
    quantity_cost: Vec<f64>,
    boxes: Vec<(f64, f64)>,
    constant: f64,
    rows: Vec<Priced>,
    /// Row of the pass of each priced row.
    numbers: Vec<usize>,
    /// How many multiples the rows have in all.
    terms: u64,
    /// Rows of each option and quantity.
    of_option: Vec<Vec<(u32, f64)>>,
    of_quantity: Vec<Vec<(u32, f64)>>,
}

impl Problem {
    fn new(space: &Space<'_>, objective: usize) -> Problem {
        let pass = space.pass;
        let (mut first, mut count) = (Vec::new(), 0);
        let mut flat: Vec<Vec<u32>> = Vec::new();
        for choice in 0..pass.open.len() {
            first.push(count);
            let mut of = vec![u32::MAX; pass.open[choice].len()];
            for option in space.options(choice) {
                of[option] = count as u32;
                count += 1;
            }
            flat.push(of);
        }
        first.push(count);
        let options_of = |r: usize| {
            let mut options: Vec<(u32, f64)> = Vec::new();
            for p in pass.rows[r].pairs.clone() {
                let pair = &pass.pairs[p];
                for (amount, bits) in pair.amounts.iter().filter(|a| a.0 != 0) {
                    for (option, &at) in flat[pair.choice].iter().enumerate() {
                        if at != u32::MAX && bits[option / 64] >> (option % 64) & 1 == 1 {
                            options.push((at, *amount as f64));
                        }
                    }
                }
            }
            options
        };
        let mut problem = Problem {
            cost: vec![0.0; count],
            quantity_cost: vec![0.0; pass.quantities.len()],
            boxes: (0..pass.quantities.len())
                .map(|q| space.quantity(q))
                .map(|(least, most)| (least as f64, most as f64))
                .collect(),
            constant: pass.rows[objective].constant as f64,
            rows: Vec::new(),
            numbers: Vec::new(),
            terms: 0,
            of_option: vec![Vec::new(); count],
            of_quantity: vec![Vec::new(); pass.quantities.len()],
            first,
        };
        for (option, amount) in options_of(objective) {
            problem.cost[option as usize] = amount;
        }
        for &(q, times) in &pass.rows[objective].quantities {
            problem.quantity_cost[q] = times as f64;
        }
        for r in (0..pass.rows.len()).filter(|&r| r != objective && counts(space, r)) {
            let row = &pass.rows[r];
            let mut quantities: Vec<(u32, f64)> =
                row.quantities.iter().map(|&(q, times)| (q as u32, times as f64)).collect();
            let limit = if row.owner.is_none() { row.limit } else { 0 };
            quantities.extend(row.owner.map(|q| (q as u32, -1.0)));
            let options = options_of(r);
            let all = options.iter().chain(&quantities);
            let largest = all.map(|t| t.1.abs()).fold(1.0, f64::max);
            let number = problem.rows.len() as u32;
            for &(option, amount) in &options {
                problem.of_option[option as usize].push((number, amount));
            }
            for &(q, times) in &quantities {
                problem.of_quantity[q as usize].push((number, times));
            }
            problem.terms += (options.len() + quantities.len()) as u64;
            steps::count(Stage::Proof, 1 + options.len() as u64 / 32);
            problem.numbers.push(r);
            problem.rows.push(Priced {
                constant: (row.constant - limit) as f64,
                options,
                quantities,
                scale: 1.0 / largest,
            });
        }
        problem
    }

    /// The bound at these prices, and how far each row is over at the cheapest options.
    fn at(&self, prices: &[f64], over: &mut [f64], work: &mut (Vec<f64>, Vec<f64>)) -> f64 {
        let (options, quantities) = work;
        options.clone_from(&self.cost);
        quantities.clone_from(&self.quantity_cost);
        let mut bound = self.constant;
        for (row, &price) in self.rows.iter().zip(prices) {
            if price > 0.0 {
                bound += price * row.constant;
                row.options.iter().for_each(|t| options[t.0 as usize] += price * t.1);
                row.quantities.iter().for_each(|t| quantities[t.0 as usize] += price * t.1);
            }
        }
        for (o, row) in over.iter_mut().zip(&self.rows) {
            *o = row.constant;
        }
        for choice in self.first.windows(2) {
            let mut best = choice[0];
            for option in choice[0]..choice[1] {
                if options[option] < options[best] {
                    best = option;
                }
            }
            bound += options[best];
            self.of_option[best].iter().for_each(|t| over[t.0 as usize] += t.1);
        }
        for (q, &(least, most)) in self.boxes.iter().enumerate() {
            let value = if quantities[q] < 0.0 { most } else { least };
            bound += quantities[q] * value;
            if value != 0.0 {
                self.of_quantity[q].iter().for_each(|t| over[t.0 as usize] += t.1 * value);
            }
        }
        bound
    }
}

/// Whether a row can be over its limit or above what its owner is at least.
fn counts(space: &Space<'_>, r: usize) -> bool {
    let row = &space.pass.rows[r];
    match row.owner {
        Some(q) => space.most(r) > space.quantity(q).0,
        None => space.most(r) > row.limit,
    }
}

/// Prices at which every quantity that the level counts, straight or through others, costs nothing:
/// what it costs is handed on to its rows, to each as much.
///
/// They say what the options alone cost the level, which is where the search for better ones begins.
pub(super) fn handed_on(space: &Space<'_>, objective: usize) -> Prices {
    let pass = space.pass;
    let mut prices = vec![0; pass.rows.len()];
    let mut each = vec![0_i64; pass.quantities.len()];
    for &(q, times) in &pass.rows[objective].quantities {
        each[q] += times * ONE;
    }
    // A row reads only quantities before its owner.
    for q in (0..pass.quantities.len()).rev() {
        let of = &pass.quantities[q];
        // What options force together says more than what each does.
        let rows = if of.sums.is_empty() { &of.lines } else { &of.sums };
        let lines: Vec<usize> = rows.iter().copied().filter(|&r| counts(space, r)).collect();
        let Some(part) = each[q].checked_div(lines.len() as i64).filter(|p| *p > 0) else {
            continue;
        };
        for r in lines {
            prices[r] = part;
            for &(read, times) in &pass.rows[r].quantities {
                each[read] = each[read].saturating_add(part.saturating_mul(times));
            }
        }
    }
    let most = DEAREST as i64 * ONE;
    prices.iter_mut().for_each(|p| *p = (*p).min(most));
    prices
}

/// Prices found in so many steps for a level whose row is `objective`, aiming at `target`; starts
/// from `prices`.
pub(super) fn prices(
    space: &Space<'_>,
    objective: usize,
    target: i64,
    start: &Prices,
    steps: u32,
) -> (Prices, u32) {
    let problem = Problem::new(space, objective);
    let scales: Vec<f64> = problem.rows.iter().map(|r| r.scale).collect();
    let mut now: Vec<f64> = problem.numbers.iter().map(|&r| start[r] as f64 / ONE as f64).collect();
    let mut best = now.clone();
    let mut best_bound = f64::NEG_INFINITY;
    let mut over = vec![0.0; now.len()];
    let mut way = vec![0.0; now.len()];
    let mut work = (Vec::new(), Vec::new());
    let (mut pace, mut idle, mut used) = (1.0_f64, 0, 0);
    let target = target as f64;
    while used < steps {
        let bound = problem.at(&now, &mut over, &mut work);
        steps::count(Stage::Proof, 1 + problem.terms / 256);
        used += 1;
        if bound > best_bound + 1e-6 {
            idle =
                if bound > best_bound + 0.01 * (target - best_bound).abs() { 0 } else { idle + 1 };
            best_bound = bound;
            best.clone_from(&now);
        } else {
            idle += 1;
        }
        if best_bound > target - 1e-4 || pace < 1e-3 {
            break;
        }
        if idle >= 8 {
            idle = 0;
            pace *= 0.6;
            now.clone_from(&best);
            way.iter_mut().for_each(|w| *w = 0.0);
            problem.at(&now, &mut over, &mut work);
        }
        let mut length = 0.0;
        for (i, w) in way.iter_mut().enumerate() {
            let step = over[i] * scales[i];
            *w = if now[i] > 0.0 || step > 0.0 { step + 0.5 * *w } else { 0.0 };
            if now[i] <= 0.0 && *w < 0.0 {
                *w = 0.0;
            }
            length += *w * *w;
        }
        if length < 1e-12 {
            break;
        }
        let step = pace * (target + 0.05 * target.abs() + 0.05 - bound).max(0.05) / length;
        for (i, n) in now.iter_mut().enumerate() {
            *n = (*n + step * way[i] * scales[i]).clamp(0.0, DEAREST);
        }
    }
    let mut prices = vec![0; space.pass.rows.len()];
    for (&r, &price) in problem.numbers.iter().zip(&best) {
        prices[r] = (price * ONE as f64).round() as i64;
    }
    (prices, used)
}

/// A priced level: what the options cost, and what everything costs at least.
pub(super) struct Sum {
    /// By choice and option, as many as the model has, in multiples of 2^-20.
    pub costs: Vec<Vec<i64>>,
    /// All but the options: constants, quantities and rows' constants.
    pub rest: i128,
    /// The least of it all: a lower bound of the level in multiples of 2^-20.
    pub least: i128,
}

/// Adds up the level whose row is `objective` at these prices, in whole numbers.
pub(super) fn sum(
    space: &Space<'_>,
    objective: usize,
    prices: &Prices,
    options: &[usize],
) -> Option<Sum> {
    let pass = space.pass;
    let mut costs: Vec<Vec<i128>> = options.iter().map(|&n| vec![0; n]).collect();
    let mut quantities = vec![0_i128; pass.quantities.len()];
    let mut rest = 0_i128;
    for (r, row) in pass.rows.iter().enumerate() {
        let price = i128::from(if r == objective { ONE } else { prices[r].max(0) });
        if price == 0 {
            continue;
        }
        steps::count(Stage::Proof, 1 + row.pairs.len() as u64 / 4);
        let limit = if row.owner.is_none() && r != objective { row.limit } else { 0 };
        rest += price * (i128::from(row.constant) - i128::from(limit));
        for p in row.pairs.clone() {
            let pair = &pass.pairs[p];
            for (amount, bits) in &pair.amounts {
                for (local, &option) in pass.open[pair.choice].iter().enumerate() {
                    if bits[local / 64] >> (local % 64) & 1 == 1 {
                        costs[pair.choice][option] += price * i128::from(*amount);
                    }
                }
            }
        }
        for &(q, times) in &row.quantities {
            quantities[q] += price * i128::from(times);
        }
        if let Some(q) = row.owner {
            quantities[q] -= price;
        }
    }
    for (q, &each) in quantities.iter().enumerate() {
        let (least, most) = space.quantity(q);
        rest += each * i128::from(if each < 0 { most } else { least });
    }
    let mut least = rest;
    for (choice, of) in costs.iter().enumerate() {
        least += space.options(choice).map(|o| of[pass.open[choice][o]]).min().unwrap_or(0);
    }
    let small = |of: Vec<i128>| -> Option<Vec<i64>> {
        let fits = |c: i128| i64::try_from(c).ok().filter(|c| c.abs() < 1 << 52);
        of.into_iter().map(fits).collect()
    };
    let costs: Option<Vec<Vec<i64>>> = costs.into_iter().map(small).collect();
    Some(Sum { costs: costs?, rest, least })
}

impl Sum {
    /// What every assignment keeps to whose level is at most `most`.
    pub fn cut(self, most: i64) -> Option<Cut> {
        let limit = i128::from(most) * i128::from(ONE) - self.rest;
        let limit = i64::try_from(limit).ok().filter(|l| l.abs() < 1 << 60)?;
        Some(Cut { costs: self.costs, limit })
    }

    /// By how much the sum may be above its least where the level is at most `most`.
    pub fn to_spare(&self, most: i64) -> i128 {
        i128::from(most) * i128::from(ONE) - self.least
    }

    /// The bound in the level's own unit, which comes in multiples of `each`.
    pub fn bound(&self, each: i64) -> i64 {
        let step = i128::from(each.max(1)) * i128::from(ONE);
        let up = self.least.div_euclid(step) + i128::from(self.least.rem_euclid(step) != 0);
        i64::try_from(up * i128::from(each.max(1))).unwrap_or(i64::MIN)
    }
}
