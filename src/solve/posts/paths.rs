//! The best ways of a few adults through the whole day while the others stay as they are.
//!
//! A dynamic programme over the slices: a table holds, for every combination of the few adults'
//! states, the least cost so far. A step moves one adult after another, so that the work grows
//! with the number of combinations and not with its square.

use super::board::{Board, Posting, State};
use super::cost::Cost;
use super::slice::NOWHERE;
use crate::steps::{self, Stage};
use std::collections::BTreeMap;

/// Steps of one adult into a slice: for each state there, the states before and the cost, by its
/// number.
type Steps = Vec<Vec<(u16, u32)>>;

/// The board with every step priced once.
pub(super) struct Paths<'b, 'd> {
    pub board: &'b Board<'d>,
    /// By slice (steps into it; none into the first) and adult.
    steps: Vec<Vec<Steps>>,
    /// What steps cost: of thousands of steps most cost the same.
    costs: Vec<Cost>,
}

impl<'b, 'd> Paths<'b, 'd> {
    pub(super) fn new(board: &'b Board<'d>) -> Paths<'b, 'd> {
        let adults = board.day.adults.len();
        let mut costs: Vec<Cost> = Vec::new();
        let mut numbers: BTreeMap<Cost, u32> = BTreeMap::new();
        let mut number = |cost: Cost| {
            *numbers.entry(cost).or_insert_with(|| {
                costs.push(cost);
                u32::try_from(costs.len() - 1).unwrap_or(u32::MAX)
            })
        };
        let mut into = |slice: usize, adult: usize| -> Steps {
            let Some(before) = slice.checked_sub(1) else { return Vec::new() };
            let from = &board.states[before][adult];
            let mut step = |to: &State| {
                steps::count(Stage::Posts, 1 + from.len() as u64 / 4);
                let priced = (0..).zip(from).filter_map(|(state, f)| {
                    Some((state, number(board.step(before, adult, *f, *to)?)))
                });
                priced.collect()
            };
            board.states[slice][adult].iter().map(&mut step).collect()
        };
        let steps = (0..board.slices.len()).map(|i| (0..adults).map(|a| into(i, a)).collect());
        let steps = steps.collect();
        Paths { board, steps, costs }
    }

    /// How many combinations of states the widest slice has for these adults.
    pub(super) fn width(&self, who: &[usize]) -> usize {
        let at = |i: usize| who.iter().map(|&a| self.board.states[i][a].len()).product();
        (0..self.board.slices.len()).map(at).max().unwrap_or(0)
    }

    /// Moves these adults onto their best ways together, the others staying where they are.
    pub(super) fn best(&self, posting: &mut Posting, who: &[usize]) {
        let board = self.board;
        let mut table: Vec<Cost> = Vec::new();
        let mut taken: Vec<Vec<Vec<u16>>> = Vec::with_capacity(board.slices.len());
        for i in 0..board.slices.len() {
            let mut stages = Vec::with_capacity(who.len());
            if i > 0 {
                let mut sizes: Vec<usize> =
                    who.iter().map(|&a| board.states[i - 1][a].len()).collect();
                for (stage, &adult) in who.iter().enumerate() {
                    let (moved, from) = self.advance(&table, &self.steps[i][adult], &sizes, stage);
                    sizes[stage] = board.states[i][adult].len();
                    table = moved;
                    stages.push(from);
                }
            } else {
                let size = who.iter().map(|&a| board.states[0][a].len()).product();
                table = vec![Cost::NONE; size];
            }
            self.price(i, posting, who, &mut table);
            taken.push(stages);
        }
        self.walk_back(posting, who, &table, &taken);
    }

    /// Adds the cost of the slice itself to every combination.
    fn price(&self, slice: usize, posting: &mut Posting, who: &[usize], table: &mut [Cost]) {
        let board = self.board;
        let states: Vec<&Vec<State>> = who.iter().map(|&a| &board.states[slice][a]).collect();
        let takes = |k: usize| board.slices[slice].takes[who[k]].len().max(1);
        let mut known: Vec<Option<Cost>> = vec![None; (0..who.len()).map(takes).product()];
        let mut at = posting[slice].clone();
        let mut digits = vec![0; who.len()];
        for cell in table.iter_mut() {
            let mut spots = 0;
            for (k, &digit) in digits.iter().enumerate() {
                let state = states[k][digit];
                spots = spots * takes(k) + state.take;
                at[who[k]] = state.spot;
            }
            let cost = *known[spots].get_or_insert_with(|| board.slice_cost(slice, &at));
            *cell += cost;
            for k in (0..digits.len()).rev() {
                digits[k] += 1;
                if digits[k] < states[k].len() {
                    break;
                }
                digits[k] = 0;
            }
        }
    }

    fn walk_back(
        &self,
        posting: &mut Posting,
        who: &[usize],
        table: &[Cost],
        taken: &[Vec<Vec<u16>>],
    ) {
        let states = &self.board.states;
        let best = (0..table.len()).min_by_key(|&i| table[i]).unwrap_or(0);
        let Some(last) = states.len().checked_sub(1) else { return };
        let mut digits = vec![0; who.len()];
        let mut rest = best;
        for k in (0..who.len()).rev() {
            let size = states[last][who[k]].len();
            digits[k] = rest % size;
            rest /= size;
        }
        for i in (0..=last).rev() {
            for (k, &a) in who.iter().enumerate() {
                posting[i][a] = states[i][a].get(digits[k]).map_or(NOWHERE, |s| s.spot);
            }
            let Some(before) = i.checked_sub(1) else { break };
            for k in (0..who.len()).rev() {
                let mut at = 0;
                for (j, &a) in who.iter().enumerate() {
                    let size = if j <= k { states[i][a].len() } else { states[before][a].len() };
                    at = at * size + digits[j];
                }
                digits[k] = usize::from(taken[i][k][at]);
            }
        }
    }

    /// Moves one adult (the `stage`-th dimension of the table) into the next slice: the new table and
    /// from which state each of its cells came.
    fn advance(
        &self,
        table: &[Cost],
        into: &Steps,
        sizes: &[usize],
        stage: usize,
    ) -> (Vec<Cost>, Vec<u16>) {
        let before: usize = sizes[..stage].iter().product();
        let after: usize = sizes[stage + 1..].iter().product();
        let (old, new) = (sizes[stage], into.len());
        let priced: u64 = into.iter().map(|priced| priced.len() as u64).sum();
        steps::count(Stage::Posts, 1 + (before * after) as u64 * priced / 256);
        let mut moved = vec![Cost::NEVER; before * new * after];
        let mut from = vec![0u16; before * new * after];
        for b in 0..before {
            for (to, priced) in into.iter().enumerate() {
                let row = (b * new + to) * after;
                for &(state, cost) in priced {
                    let cost = self.costs[cost as usize];
                    let source = (b * old + usize::from(state)) * after;
                    for r in 0..after {
                        let cost = table[source + r] + cost;
                        if cost < moved[row + r] {
                            moved[row + r] = cost;
                            from[row + r] = state;
                        }
                    }
                }
            }
        }
        (moved, from)
    }
}
