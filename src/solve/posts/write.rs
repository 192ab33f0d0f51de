//! A posting written down as posts, with who covers for whom.

use super::board::{Board, Posting};
use super::slice::{NOWHERE, Spot};
use crate::chart::{AdultDay, Place, Post};
use crate::site::{AdultIndex, SpaceIndex};

/// The posts of every adult; they tile each shift.
pub(super) fn write(board: &Board, posting: &Posting) -> Vec<AdultDay> {
    let covers = covers(board, posting);
    let home = board.day.site[board.day.room].home;
    let mut adults = Vec::new();
    for (a, (adult, _)) in board.day.adults.iter().enumerate() {
        let mut posts: Vec<Post> = Vec::new();
        for (i, slice) in board.slices.iter().enumerate() {
            let Some(spot) = spot(board, posting, i, a) else { continue };
            let last = posts.last().filter(|p| p.span.to == slice.span.from);
            let left = last.map_or_else(|| next_space(board, posting, i, a, home), |p| p.space);
            let away = matches!(spot.at, Place::StaffBreak(_));
            let post = Post {
                span: slice.span,
                space: if away { left } else { spot.space },
                at: spot.at,
                zone: zone(spot),
                for_child: spot.for_child,
                covers: covers[i][a],
            };
            match posts.last_mut() {
                Some(last) if goes_on(last, &post) => last.span.to = post.span.to,
                _ => posts.push(post),
            }
        }
        adults.push(AdultDay { adult: *adult, posts });
    }
    adults
}

fn spot<'b>(board: &'b Board, posting: &Posting, slice: usize, adult: usize) -> Option<&'b Spot> {
    let at = posting[slice][adult];
    if at == NOWHERE { None } else { board.slices[slice].spots.get(usize::from(at)) }
}

/// The zone that a post names: where its place says no zone by itself.
fn zone(spot: &Spot) -> Option<crate::site::ZoneIndex> {
    match spot.at {
        Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest | Place::Task(_) => {
            spot.zone
        }
        _ => None,
    }
}

fn goes_on(last: &Post, next: &Post) -> bool {
    last.span.to == next.span.from && Post { span: last.span, ..next.clone() } == *last
}

/// Where an adult who starts the shift with a staff break comes from: the first space after it.
fn next_space(
    board: &Board,
    posting: &Posting,
    slice: usize,
    adult: usize,
    home: SpaceIndex,
) -> SpaceIndex {
    let later = (slice..board.slices.len()).map_while(|i| spot(board, posting, i, adult));
    let mut working = later.filter(|s| !matches!(s.at, Place::StaffBreak(_)));
    working.next().map_or(home, |s| s.space)
}

/// For each slice and adult: whose place the adult takes while that one is on a staff break.
fn covers(board: &Board, posting: &Posting) -> Vec<Vec<Option<AdultIndex>>> {
    let adults = &board.day.adults;
    let mut covers = vec![vec![None; adults.len()]; board.slices.len()];
    let resting = |i: usize, a: usize| {
        spot(board, posting, i, a).is_some_and(|s| matches!(s.at, Place::StaffBreak(_)))
    };
    for (a, (adult, _)) in adults.iter().enumerate() {
        for start in 1..board.slices.len() {
            if !resting(start, a) || resting(start - 1, a) {
                continue;
            }
            let Some(left) = spot(board, posting, start - 1, a) else { continue };
            let end = (start..board.slices.len()).find(|&i| !resting(i, a));
            let end = end.unwrap_or(board.slices.len());
            let Some(stand_in) = stand_in(board, posting, start, a, left) else { continue };
            let taken = spot(board, posting, start, stand_in).copied();
            for (i, covers) in covers.iter_mut().enumerate().take(end).skip(start) {
                let same = |s: &Spot, t: &Spot| {
                    if t.for_child.is_some() {
                        s.for_child == t.for_child
                    } else {
                        (s.space, s.at, s.for_child) == (t.space, t.at, t.for_child)
                    }
                };
                let now = spot(board, posting, i, stand_in);
                if !now.zip(taken.as_ref()).is_some_and(|(s, t)| same(s, t)) {
                    break;
                }
                covers[stand_in] = Some(*adult);
            }
        }
    }
    covers
}

/// Who takes over what an adult leaves for a staff break: somebody beside the same child, else
/// somebody at the same place who was not there before, else in the same zone.
fn stand_in(
    board: &Board,
    posting: &Posting,
    start: usize,
    who: usize,
    left: &Spot,
) -> Option<usize> {
    let others = || (0..board.day.adults.len()).filter(move |&b| b != who);
    let now = |b: usize| spot(board, posting, start, b);
    let before = |b: usize| spot(board, posting, start - 1, b);
    if left.for_child.is_some() {
        return others().find(|&b| now(b).is_some_and(|s| s.for_child == left.for_child));
    }
    let place = |s: &Spot| (s.space, s.at, s.for_child);
    let zone = |s: &Spot| s.zone.map(|z| (s.space, z, s.for_child));
    let takes_over = |b: &usize| {
        now(*b).is_some_and(|s| place(s) == place(left))
            && before(*b).is_none_or(|s| place(s) != place(left))
    };
    let takes_zone = |b: &usize| {
        left.zone.is_some()
            && now(*b).is_some_and(|s| zone(s) == zone(left))
            && before(*b).is_none_or(|s| zone(s) != zone(left))
    };
    others().find(takes_over).or_else(|| others().find(takes_zone))
}
