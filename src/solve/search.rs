//! A seeded search over whole charts: simulated annealing on the model of a frame, then a strict
//! descent.
//!
//! The best state is kept by comparing level by level; a single number only decides which moves to
//! accept on the way. Budgets are counted in steps, so the same seed gives the same chart.

use crate::model::{Frame, Model, State};
use crate::steps::{self, Stage};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// How far a search may go.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Steps {
    /// Moves tried while the temperature falls.
    pub annealing: u32,
    /// Moves tried in the descent that follows.
    pub descent: u32,
}

/// Thresholds of acceptance: `-ln((i + 1/2) / 32)` in 1/256, so that no transcendental function
/// decides anything.
const THRESHOLDS: [i64; 32] = [
    1065, 783, 653, 567, 502, 451, 408, 371, 339, 311, 285, 262, 241, 221, 203, 186, 170, 155, 140,
    127, 114, 102, 90, 79, 68, 58, 48, 39, 30, 21, 12, 4,
];

/// The best options found, one a choice; starts from `start` where given.
#[must_use]
pub fn search(
    frame: &Frame<'_>,
    model: &Model,
    start: Option<Vec<usize>>,
    steps: Steps,
    seed: u64,
) -> Vec<usize> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let first = start.unwrap_or_else(|| first_guess(frame, model));
    let mut state = State::new(model, first);
    let movable: Vec<usize> =
        (0..model.choices.len()).filter(|&c| model.choices[c].len() > 1).collect();
    if movable.is_empty() {
        return state.taken().to_vec();
    }
    let weights = weights(model);
    let pairs = Pairs::new(frame);
    let mut best = state.taken().to_vec();
    let mut best_levels = state.levels().to_vec();
    // Nothing is better than this, and only better ones are kept.
    let least: Vec<i64> = (0..model.levels.len()).map(|level| model.trivial_bound(level)).collect();
    for step in 0..steps.annealing {
        if best_levels == least {
            return best;
        }
        let heat = heat(step, steps.annealing);
        let before = worth(&weights, state.levels());
        let undo = pairs.step(&mut rng, &mut state, frame, model, &movable);
        let worse = worth(&weights, state.levels()) - before;
        let threshold = THRESHOLDS[(rng.next_u32() % 32) as usize] * heat / 256;
        if worse > threshold {
            undo_all(&mut state, &undo);
        } else if state.levels() < best_levels.as_slice() {
            best_levels.copy_from_slice(state.levels());
            best.copy_from_slice(state.taken());
        }
    }
    for (choice, &option) in best.iter().enumerate() {
        state.take(choice, option);
    }
    for _ in 0..steps.descent {
        if best_levels == least {
            return best;
        }
        let undo = pairs.step(&mut rng, &mut state, frame, model, &movable);
        match state.levels().cmp(best_levels.as_slice()) {
            std::cmp::Ordering::Greater => undo_all(&mut state, &undo),
            std::cmp::Ordering::Equal => {}
            std::cmp::Ordering::Less => {
                best_levels.copy_from_slice(state.levels());
                best.copy_from_slice(state.taken());
            }
        }
    }
    best
}

/// Every cell takes its first option that nobody has in that time, every break, task and round the
/// middle of its starts.
fn first_guess(frame: &Frame<'_>, model: &Model) -> Vec<usize> {
    let mut taken: Vec<usize> = Vec::new();
    for (c, cell) in frame.cells.iter().enumerate() {
        let free = (0..cell.options.len()).position(|i| {
            let option = &cell.options[(i + c) % cell.options.len()];
            !option.stations().is_empty()
                && frame.cells[..c].iter().zip(&taken).all(|(other, &o)| {
                    !other.span.meets(cell.span)
                        || other.options[o]
                            .stations()
                            .iter()
                            .all(|s| !option.stations().contains(s))
                })
        });
        taken.push(free.map_or(cell.options.len() - 1, |i| (i + c) % cell.options.len()));
    }
    for choice in &model.choices[taken.len()..] {
        taken.push((choice.len() - 1) / 2);
    }
    taken
}

/// A weight for each level, so that a move can be weighed in one number on the way: shortfall far
/// above wishes, early wishes above late ones.
fn weights(model: &Model) -> Vec<i64> {
    let rules = crate::rules::RULES.len();
    (0..model.levels.len())
        .map(|l| if l < rules { 400 } else { (600 >> (l - rules).min(9)).max(1) })
        .collect()
}

fn worth(weights: &[i64], levels: &[i64]) -> i64 {
    weights.iter().zip(levels).map(|(w, l)| w * l).sum()
}

/// Falls from 2,000 to 0, ever slower.
fn heat(step: u32, of: u32) -> i64 {
    let left = i64::from(of - step) * 1_000 / i64::from(of.max(1));
    left * left * left / 500_000
}

fn undo_all(state: &mut State<'_>, undo: &[(usize, usize)]) {
    for &(choice, option) in undo.iter().rev() {
        state.take(choice, option);
    }
}

/// Cells that may swap their places: of one turn, or of one group.
struct Pairs {
    of_cell: Vec<Vec<usize>>,
}

impl Pairs {
    fn new(frame: &Frame<'_>) -> Pairs {
        let related = |a: usize, b: usize| {
            let (one, other) = (&frame.cells[a], &frame.cells[b]);
            steps::count(Stage::Search, u64::from(b == 0));
            a != b && (one.span == other.span || one.group == other.group)
        };
        let cells = frame.cells.len();
        Pairs {
            of_cell: (0..cells).map(|a| (0..cells).filter(|&b| related(a, b)).collect()).collect(),
        }
    }

    /// One random move; returns what was taken before.
    fn step(
        &self,
        rng: &mut ChaCha8Rng,
        state: &mut State<'_>,
        frame: &Frame<'_>,
        model: &Model,
        movable: &[usize],
    ) -> Vec<(usize, usize)> {
        steps::count(Stage::Search, 1);
        let choice = movable[below(rng, movable.len())];
        let old = state.taken()[choice];
        if let Some(others) = self.of_cell.get(choice).filter(|o| !o.is_empty())
            && rng.next_u32().is_multiple_of(2)
        {
            let other = others[below(rng, others.len())];
            let (mine, theirs) = (state.taken()[choice], state.taken()[other]);
            let find = |cell: usize, like: (usize, usize)| {
                let target = &frame.cells[like.0].options[like.1].target;
                frame.cells[cell].options.iter().position(|o| o.target == *target)
            };
            if let (Some(a), Some(b)) = (find(choice, (other, theirs)), find(other, (choice, mine)))
            {
                state.take(choice, a);
                state.take(other, b);
                return vec![(choice, mine), (other, theirs)];
            }
        }
        let options = model.choices[choice].len();
        let next = (old + 1 + below(rng, options - 1)) % options;
        state.take(choice, next);
        vec![(choice, old)]
    }
}

fn below(rng: &mut ChaCha8Rng, bound: usize) -> usize {
    (rng.next_u64() % bound as u64) as usize
}
