//! Branch and bound over the options of a pass: either something better, or the proof that there is
//! nothing.

use super::pass::Origin;
use super::space::Space;
use super::{Told, Watch};
use crate::steps::{self, Stage};

/// How a branching ended.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum End {
    /// Every assignment was tried or ruled out.
    Done,
    /// The steps ran out, or whoever watches said stop.
    Stopped,
}

/// Tries the assignments of a narrowed space; `better` is told each complete one (in the model's own
/// positions) and answers the new limit of the row `objective`, or that there is nothing more to ask.
pub(super) fn branch(
    space: &mut Space<'_>,
    objective: usize,
    first: &[usize],
    steps: &mut u64,
    watch: &mut Watch<'_>,
    mut better: impl FnMut(Vec<usize>) -> Option<i64>,
) -> End {
    let pass = space.pass;
    // Options in the order of the last cut, which prices the level itself; what is taken comes first
    // among equals.
    let cut = pass.rows.iter().rposition(|r| r.origin == Origin::Cut);
    let order: Vec<Vec<usize>> = (0..pass.open.len())
        .map(|c| {
            let pair =
                cut.and_then(|r| pass.rows[r].pairs.clone().find(|&p| pass.pairs[p].choice == c));
            let cost = |o: usize| {
                let amounts = pair.map_or(&[][..], |p| &pass.pairs[p].amounts);
                amounts.iter().position(|a| a.1[o / 64] >> (o % 64) & 1 == 1).unwrap_or(0)
            };
            let mut order: Vec<usize> = (0..pass.open[c].len()).collect();
            order.sort_by_key(|&o| (cost(o), pass.open[c][o] != first[c]));
            order
        })
        .collect();
    let mut weights: Vec<u64> = vec![1; pass.open.len()];
    let mut stack: Vec<(usize, usize, usize)> = Vec::new();
    loop {
        steps::count(Stage::Proof, 1 + pass.open.len() as u64 / 16);
        let mut back = space.narrow().is_err();
        if back {
            if let Some(row) = space.failed {
                pass.rows[row].pairs.clone().for_each(|p| weights[pass.pairs[p].choice] += 1);
            }
        } else {
            let next = (0..pass.open.len())
                .map(|c| (c, u64::from(space.count(c))))
                .filter(|&(_, count)| count > 1)
                .min_by_key(|&(c, count)| (count * 1_024 / weights[c], c));
            if let Some((choice, _)) = next {
                if *steps == 0 || watch.tell(Told::Branching) {
                    return End::Stopped;
                }
                *steps -= 1;
                let option = order[choice].iter().copied().find(|&o| space.has(choice, o));
                let Some(option) = option else { return End::Stopped };
                stack.push((space.mark(), choice, option));
                space.take(choice, option);
            } else {
                let taken = space.open().iter().map(|o| o[0]).collect();
                let Some(limit) = better(taken) else { return End::Stopped };
                space.limit(objective, limit);
                back = true;
            }
        }
        if back {
            let Some((mark, choice, option)) = stack.pop() else { return End::Done };
            space.undo(mark);
            space.drop(choice, option);
            space.enqueue(objective);
        }
    }
}
