//! Which changes are tried together.

use super::dear::hires;
use crate::day::ExtraAdult;
use crate::planner::edit::Edit;

/// Most pairs of changes that help, and of those with one that does not, that are tried; half as many
/// more of those that hire somebody.
const MOST_PAIRS: usize = 40;
/// Most sets of three that are tried.
const MOST_THREES: usize = 24;

/// The most disturbing kind of change in a set.
pub(super) fn rank(set: &[Edit]) -> Option<u8> {
    set.iter().map(Edit::rank).max()
}

/// Pairs of what helps with one another, and with the rest as far as that goes, the least disturbing
/// first; and how many were passed over. Two that do not help by themselves are tried together where
/// they `go_together`.
pub(super) fn pairs(
    helps: &[Edit],
    idle: &[Edit],
    go_together: &dyn Fn(&Edit, &Edit) -> bool,
) -> (Vec<Vec<Edit>>, usize) {
    let pair = |one: &Edit, other: &Edit| {
        let mut pair = vec![one.clone(), other.clone()];
        pair.sort();
        pair
    };
    let mut both: Vec<Vec<Edit>> = Vec::new();
    for (i, one) in helps.iter().enumerate() {
        both.extend(helps[i + 1..].iter().map(|other| pair(one, other)));
        both.extend(one_more(std::slice::from_ref(one)).map(|second| pair(one, &second)));
    }
    let mut one: Vec<Vec<Edit>> =
        helps.iter().flat_map(|one| idle.iter().map(move |other| pair(one, other))).collect();
    for (i, first) in idle.iter().enumerate() {
        let with = idle[i + 1..].iter().filter(|second| go_together(first, second));
        one.extend(with.map(|second| pair(first, second)));
    }
    let mut passed_over = 0;
    both.retain(|pair| !alike(&pair[0], &pair[1]));
    one.retain(|pair| !alike(&pair[0], &pair[1]));
    let mut kept: Vec<Vec<Edit>> = Vec::new();
    for list in [both, one] {
        // However many others there are, those that hire somebody have their turn: they mend most.
        let (hiring, mut others): (Vec<_>, Vec<_>) = list.into_iter().partition(|set| hires(set));
        others.sort_by_key(|set| rank(set));
        for (mut list, most) in [(others, MOST_PAIRS), (hiring, MOST_PAIRS / 2)] {
            passed_over += list.len().saturating_sub(most);
            list.truncate(most);
            kept.extend(list);
        }
    }
    let mut both = kept;
    both.sort_by_key(|set| rank(set));
    (both, passed_over)
}

/// Every part of a set, but for none and all of it.
pub(super) fn parts(edits: &[Edit]) -> impl Iterator<Item = Vec<Edit>> {
    (1..(1_u32 << edits.len()) - 1).map(|some| {
        let part = edits.iter().enumerate().filter(|(i, _)| some & (1 << i) != 0);
        part.map(|(_, edit)| edit.clone()).collect()
    })
}

/// Pairs that help with one change more that does, those of the pairs that come first with each before
/// those of the next; and how many were passed over.
pub(super) fn threes(pairs: &[Vec<Edit>], helps: &[Edit]) -> (Vec<Vec<Edit>>, usize) {
    let mut all: Vec<Vec<Edit>> = Vec::new();
    for pair in pairs {
        let new = |edit: &&Edit| {
            !pair
                .iter()
                .any(|known| covers(known, edit) || covers(edit, known) || alike(known, edit))
        };
        for third in helps.iter().filter(new).cloned().chain(one_more(pair)) {
            let mut three = pair.clone();
            three.push(third);
            three.sort();
            if !all.contains(&three) {
                all.push(three);
            }
        }
    }
    let passed_over = all.len().saturating_sub(MOST_THREES);
    all.truncate(MOST_THREES);
    (all, passed_over)
}

/// Another one who comes in, beside those of a set who do.
fn one_more(edits: &[Edit]) -> Option<Edit> {
    let extras = || {
        edits.iter().filter_map(|edit| match edit {
            Edit::ExtraAdult(extra) => Some(extra),
            _ => None,
        })
    };
    // The ids of the others begin with that of the first.
    let first = extras().min_by_key(|extra| extra.id.len())?;
    let which = if extras().count() == 1 { "second" } else { "third" };
    let (id, label) = (format!("{}-{which}", first.id), format!("{} ({which})", first.label));
    Some(Edit::ExtraAdult(ExtraAdult { id, label, ..first.clone() }))
}

/// Whether two changes are one and the same done twice: a meal that is shifted and shifted again is
/// shifted by the sum.
fn alike(one: &Edit, other: &Edit) -> bool {
    match (one, other) {
        (Edit::ShiftMeal { meal: a, .. }, Edit::ShiftMeal { meal: b, .. }) => a == b,
        (Edit::MoveCots { .. }, Edit::MoveCots { .. } | Edit::MoveCot { .. }) => true,
        (Edit::MoveCot { .. }, Edit::MoveCots { .. }) => true,
        (Edit::MoveCot { child: a, .. }, Edit::MoveCot { child: b, .. }) => a == b,
        _ => false,
    }
}

/// Whether a change that mends makes another one needless: the same, or the same and more.
pub(super) fn covers(known: &Edit, other: &Edit) -> bool {
    match (known, other) {
        (Edit::ShiftMeal { meal: a, minutes: x }, Edit::ShiftMeal { meal: b, minutes: y }) => {
            a == b && x.signum() == y.signum() && x.abs() <= y.abs()
        }
        (
            Edit::SplitFloor { groups: a, space: x, .. },
            Edit::SplitFloor { groups: b, space: y, .. },
        ) => x == y && a.iter().all(|g| b.contains(g)),
        (Edit::MoveBreak { adult: a, due: x, .. }, Edit::MoveBreak { adult: b, due: y, .. }) => {
            (a, x) == (b, y)
        }
        (Edit::MoveCot { space: x, .. }, Edit::MoveCots { space: y }) => x == y,
        (Edit::AdultOfTheTeam { adult: a, .. }, Edit::AdultOfTheTeam { adult: b, .. }) => a == b,
        (a, b) => a == b,
    }
}
