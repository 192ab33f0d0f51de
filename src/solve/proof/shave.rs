//! Before anything is tried in depth: options that are ruled out by themselves, and what prices say
//! of those that are left.

use super::branch::End;
use super::relax::{Prices, handed_on, prices, sum};
use super::space::{Empty, Space};
use super::{Told, Watch};

/// Rounds of trying and pricing; later ones find little.
const ROUNDS: usize = 4;

/// What is asked for: a level below its value.
pub(super) struct Asked {
    /// The level's row.
    pub objective: usize,
    /// What the level is to be below.
    pub value: i64,
    /// What its values are multiples of.
    pub each: i64,
    /// Steps of pricing in a round.
    pub pricing: u32,
}

/// Takes away options of a space that leave nothing when taken, or are too dear at the best prices;
/// [`End::Done`] when nothing at all is left. Each option tried is one of the steps.
pub(super) fn shave(
    space: &mut Space<'_>,
    asked: &Asked,
    sizes: &[usize],
    steps: &mut u64,
    watch: &mut Watch<'_>,
) -> End {
    if space.narrow().is_err() {
        return End::Done;
    }
    let mut start = handed_on(space, asked.objective);
    for _ in 0..ROUNDS {
        match price(space, asked, sizes, &mut start) {
            Some(Ok(())) => {}
            Some(Err(Empty)) => return End::Done,
            None => return End::Stopped,
        }
        let Ok(tried) = each_alone(space, steps, watch) else { return End::Done };
        if watch.stopped() || *steps == 0 || tried == 0 {
            break;
        }
    }
    End::Stopped
}

/// Prices what is left and drops what is too dear; `None` where prices say nothing.
fn price(
    space: &mut Space<'_>,
    asked: &Asked,
    sizes: &[usize],
    start: &mut Prices,
) -> Option<Result<(), Empty>> {
    (*start, _) = prices(space, asked.objective, asked.value, start, asked.pricing);
    let priced = sum(space, asked.objective, start, sizes)?;
    if priced.bound(asked.each) >= asked.value {
        return Some(Err(Empty));
    }
    let limit = priced.to_spare(asked.value - asked.each);
    for choice in 0..sizes.len() {
        let cost = |o: usize| priced.costs[choice][space.pass.open[choice][o]];
        let least = space.options(choice).map(cost).min().unwrap_or(0);
        let dear = |o: &usize| i128::from(cost(*o) - least) > limit;
        let gone: Vec<usize> = space.options(choice).filter(dear).collect();
        gone.into_iter().for_each(|option| space.drop(choice, option));
    }
    Some(space.narrow())
}

/// Takes each option by itself, and drops it where that leaves nothing; how many were dropped.
fn each_alone(
    space: &mut Space<'_>,
    steps: &mut u64,
    watch: &mut Watch<'_>,
) -> Result<usize, Empty> {
    let mut dropped = 0;
    for choice in 0..space.pass.open.len() {
        let options: Vec<usize> = space.options(choice).collect();
        if options.len() < 2 {
            continue;
        }
        for option in options {
            if *steps == 0 || watch.tell(Told::Branching) {
                return Ok(dropped);
            }
            if !space.has(choice, option) {
                continue;
            }
            *steps -= 1;
            let mark = space.mark();
            space.take(choice, option);
            let empty = space.narrow().is_err();
            space.undo(mark);
            if empty {
                dropped += 1;
                if space.count(choice) == 1 {
                    return Err(Empty);
                }
                space.drop(choice, option);
                space.narrow()?;
            }
        }
    }
    Ok(dropped)
}
