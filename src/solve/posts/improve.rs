//! From nobody anywhere to a posting that no two adults can better between them.

use super::board::{Board, Posting};
use super::cost::Cost;
use super::paths::Paths;
use super::slice::NOWHERE;

/// Combinations of states in one slice that a pass over a few adults may have.
const WIDEST: usize = 4000;
/// The same for a last pass over three adults.
const WIDEST_OF_THREE: usize = 12_000;
/// Combinations of spots in one slice that are tried at once.
const MOST_TRIED: usize = 30_000;
/// Rounds over all pairs.
const ROUNDS: usize = 6;

/// The posting with the least cost that was found; the same for the same day.
pub(super) fn post_everyone(board: &Board) -> Posting {
    let adults = board.day.adults.len();
    let paths = Paths::new(board);
    let mut posting: Posting = vec![vec![NOWHERE; adults]; board.slices.len()];
    for adult in in_order(board) {
        paths.best(&mut posting, &[adult]);
    }
    let mut best = board.total(&posting);
    for _ in 0..ROUNDS {
        let before = best;
        for who in pairs(adults) {
            let few = if paths.width(&who) <= WIDEST { vec![who.to_vec()] } else { singles(who) };
            for who in few {
                attempt(board, &mut posting, &mut best, |p| paths.best(p, &who));
            }
        }
        for slice in 0..board.slices.len() {
            dig(board, &mut posting, &mut best, slice);
        }
        if best == before {
            break;
        }
    }
    if adults == 3 && paths.width(&[0, 1, 2]) <= WIDEST_OF_THREE {
        attempt(board, &mut posting, &mut best, |p| paths.best(p, &[0, 1, 2]));
    }
    while swap_runs(board, &mut posting, &mut best) {}
    posting
}

fn singles(who: [usize; 2]) -> Vec<Vec<usize>> {
    who.map(|a| vec![a]).to_vec()
}

fn pairs(adults: usize) -> Vec<[usize; 2]> {
    if adults == 1 {
        return Vec::new();
    }
    (0..adults).flat_map(|a| (a + 1..adults).map(move |b| [a, b])).collect()
}

/// Adults in the order in which they are first placed: the ones with least choice first.
fn in_order(board: &Board) -> Vec<usize> {
    let site = &board.day.site;
    let mut order: Vec<usize> = (0..board.day.adults.len()).collect();
    order.sort_by_key(|&i| {
        let who = board.day.adults[i].0;
        let own =
            board.day.children.iter().any(|(c, _)| {
                site[*c].one_to_one.as_ref().is_some_and(|support| support.adult == who)
            });
        (!own, !site[who].counts, !site[who].may_be_alone, i)
    });
    order
}

/// Tries a change on a copy and keeps it if it costs less.
fn attempt(
    board: &Board,
    posting: &mut Posting,
    best: &mut Cost,
    change: impl FnOnce(&mut Posting),
) -> bool {
    let mut changed = posting.clone();
    change(&mut changed);
    if changed == *posting {
        return false;
    }
    let cost = board.total(&changed);
    let better = cost < *best;
    if better {
        (*posting, *best) = (changed, cost);
    }
    better
}

/// In a slice that breaks a rule: tries every combination of spots of as many adults as can be
/// tried together, so that no chain of changes is missed for want of a look.
fn dig(board: &Board, posting: &mut Posting, best: &mut Cost, slice: usize) {
    let takes = &board.slices[slice].takes;
    if board.slice_cost(slice, &posting[slice]).rules == 0 {
        return;
    }
    let movable: Vec<usize> = (0..takes.len()).filter(|&a| takes[a].len() > 1).collect();
    let all: usize = movable.iter().map(|&a| takes[a].len()).fold(1, usize::saturating_mul);
    let mut sets: Vec<Vec<usize>> = Vec::new();
    if all <= MOST_TRIED {
        sets.push(movable);
    } else {
        for (i, &a) in movable.iter().enumerate() {
            for (j, &b) in movable.iter().enumerate().skip(i + 1) {
                sets.extend(movable.iter().skip(j + 1).map(|&c| vec![a, b, c]));
            }
        }
        sets.retain(|s| s.iter().map(|&a| takes[a].len()).product::<usize>() <= MOST_TRIED);
        sets.truncate(60);
    }
    for who in sets {
        let rules = board.slice_cost(slice, &posting[slice]).rules;
        let found = least_rules(board, slice, &posting[slice], &who);
        if let Some((_, at)) = found.filter(|f| f.0 < rules) {
            attempt(board, posting, best, |p| p[slice] = at);
        }
    }
}

/// The spots of some adults in one slice that break least, and by how much.
fn least_rules(board: &Board, slice: usize, at: &[u8], who: &[usize]) -> Option<(i128, Vec<u8>)> {
    let takes = &board.slices[slice].takes;
    let mut digits = vec![0usize; who.len()];
    let mut least: Option<(i128, Vec<u8>)> = None;
    let mut tried = at.to_vec();
    loop {
        for (k, &adult) in who.iter().enumerate() {
            tried[adult] = takes[adult][digits[k]];
        }
        let rules = board.slice_cost(slice, &tried).rules;
        if least.as_ref().is_none_or(|l| rules < l.0) {
            least = Some((rules, tried.clone()));
        }
        let mut k = who.len();
        loop {
            if k == 0 {
                return least;
            }
            k -= 1;
            digits[k] += 1;
            if digits[k] < takes[who[k]].len() {
                break;
            }
            digits[k] = 0;
        }
    }
}

/// Two adults change places over a run of slices, wherever that costs less: this sees what the
/// ways of single adults do not, the fair shares of wet posts.
fn swap_runs(board: &Board, posting: &mut Posting, best: &mut Cost) -> bool {
    let slices = board.slices.len();
    let mut better = false;
    for [a, b] in pairs(board.day.adults.len()) {
        let takes = |i: usize, who: usize, spot: u8| board.slices[i].takes[who].contains(&spot);
        let can = |p: &Posting, i: usize| {
            p[i][a] != p[i][b] && takes(i, a, p[i][b]) && takes(i, b, p[i][a])
        };
        let starts: Vec<usize> = (0..slices)
            .filter(|&i| can(posting, i) && (i == 0 || turns(board, posting, i, [a, b])))
            .collect();
        for start in starts {
            let together = |p: &Posting, i: usize| p[i][a] == p[i][b] && p[i][a] != NOWHERE;
            let mut swapped = posting.clone();
            for i in start..slices {
                if !can(posting, i) && !together(posting, i) {
                    break;
                }
                swapped[i].swap(a, b);
                let ends = i + 1 == slices || turns(board, posting, i + 1, [a, b]);
                if ends {
                    let before: Cost = sum(board, posting, start..=i, [a, b]);
                    let after: Cost = sum(board, &swapped, start..=i, [a, b]);
                    if after < before {
                        *posting = swapped.clone();
                        *best = board.total(posting);
                        better = true;
                        break;
                    }
                }
            }
        }
    }
    better
}

/// Whether one of two adults changes place at the start of a slice.
fn turns(board: &Board, posting: &Posting, slice: usize, who: [usize; 2]) -> bool {
    let place = |i: usize, a: usize| {
        let spot = posting[i][a];
        (spot != NOWHERE).then(|| {
            let spot = &board.slices[i].spots[usize::from(spot)];
            (spot.space, spot.at, spot.zone)
        })
    };
    who.iter().any(|&a| place(slice - 1, a) != place(slice, a))
}

/// The cost of the slices of a run and of two adults' ways.
fn sum(
    board: &Board,
    posting: &Posting,
    run: std::ops::RangeInclusive<usize>,
    who: [usize; 2],
) -> Cost {
    let slices: Cost = run.map(|i| board.slice_cost(i, &posting[i])).sum();
    slices + who.iter().map(|&a| board.way(a, posting)).sum()
}
