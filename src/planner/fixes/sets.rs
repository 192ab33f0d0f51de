//! Which changes are tried together.

use super::step::Step;
use crate::day::ExtraAdult;

/// Most pairs of changes that help, and of those with one that does not, that are tried.
const MOST_PAIRS: usize = 40;

/// The most disturbing kind of change in a set.
pub(super) fn rank(set: &[Step]) -> Option<u8> {
    set.iter().map(Step::rank).max()
}

/// Pairs of what helps with one another, and with the rest as far as that goes, the least disturbing
/// first; and how many were passed over.
pub(super) fn pairs(helps: &[Step], idle: &[Step]) -> (Vec<Vec<Step>>, usize) {
    let pair = |one: &Step, other: &Step| {
        let mut pair = vec![one.clone(), other.clone()];
        pair.sort();
        pair
    };
    let mut both: Vec<Vec<Step>> = Vec::new();
    for (i, one) in helps.iter().enumerate() {
        both.extend(helps[i + 1..].iter().map(|other| pair(one, other)));
        both.extend(one_more(one).map(|second| pair(one, &second)));
    }
    let mut one: Vec<Vec<Step>> =
        helps.iter().flat_map(|one| idle.iter().map(move |other| pair(one, other))).collect();
    let mut passed_over = 0;
    for list in [&mut both, &mut one] {
        list.sort_by_key(|set| rank(set));
        passed_over += list.len().saturating_sub(MOST_PAIRS);
        list.truncate(MOST_PAIRS);
    }
    both.extend(one);
    both.sort_by_key(|set| rank(set));
    (both, passed_over)
}

/// Every part of a set, but for none and all of it.
pub(super) fn parts(steps: &[Step]) -> impl Iterator<Item = Vec<Step>> {
    (1..(1_u32 << steps.len()) - 1).map(|some| {
        let part = steps.iter().enumerate().filter(|(i, _)| some & (1 << i) != 0);
        part.map(|(_, step)| step.clone()).collect()
    })
}

/// Another one who comes in, beside the first.
fn one_more(step: &Step) -> Option<Step> {
    let Step::ExtraAdult(first) = step else { return None };
    let (id, label) = (format!("{}-second", first.id), format!("{} (second)", first.label));
    Some(Step::ExtraAdult(ExtraAdult { id, label, ..first.clone() }))
}

/// Whether a change that mends makes another one needless: the same, or the same and more.
pub(super) fn covers(known: &Step, other: &Step) -> bool {
    match (known, other) {
        (Step::ShiftMeal { meal: a, minutes: x }, Step::ShiftMeal { meal: b, minutes: y }) => {
            a == b && x.signum() == y.signum() && x.abs() <= y.abs()
        }
        (
            Step::SplitFloor { groups: a, space: x, .. },
            Step::SplitFloor { groups: b, space: y, .. },
        ) => x == y && a.iter().all(|g| b.contains(g)),
        (Step::MoveBreak { adult: a, due: x, .. }, Step::MoveBreak { adult: b, due: y, .. }) => {
            (a, x) == (b, y)
        }
        (Step::AdultOfTheTeam { adult: a, .. }, Step::AdultOfTheTeam { adult: b, .. }) => a == b,
        (a, b) => a == b,
    }
}
