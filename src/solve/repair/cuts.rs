//! From when on the rest of a running day may be laid out anew.

use super::Broken;
use crate::chart::{Block, BlockKind};
use crate::day::Day;
use crate::site::{MealKind, Minute, Part, PartKind};
use crate::solve::clock::{GRID, grid_up};

/// From when on other blocks are tried: behind the last posted one that can stand, then, if that
/// leaves a rule broken, as soon as what is going on is done.
pub(super) fn cuts(broken: Broken<'_>) -> Vec<Minute> {
    let soon = finished(broken);
    let late = last_to_stand(broken).filter(|late| *late > soon);
    late.into_iter().chain([soon]).collect()
}

/// When the last posted block ends that is over before the first one that cannot stand begins, or
/// before the children have to get ready to go out after all.
fn last_to_stand(broken: Broken<'_>) -> Option<Minute> {
    let Broken { day, posted, at } = broken;
    let out = |b: &&Block| b.kind == BlockKind::Outdoors && b.span.to > at;
    let until = if day.indoor.value {
        posted.blocks.iter().find(out)?.span.from
    } else {
        let parts = day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
        let met = |part: &Part| posted.blocks.iter().filter(out).any(|b| b.span.meets(part.span));
        let part = parts.filter(|p| p.span.from > at).find(|p| !met(p))?;
        leaves(day, part.span.from)
    };
    let before = posted.blocks.iter().filter(|b| b.kind != BlockKind::Transition);
    before.map(|b| b.span.to).filter(|to| at < *to && *to <= until).max()
}

/// When what is going on is done: the block, and a meal with all its sittings, also where the
/// children are on their way to it; outdoors, and getting ready for it, is broken off where the children
/// have to stay in.
fn finished(broken: Broken<'_>) -> Minute {
    let Broken { day, posted, at } = broken;
    let Some(on) = posted.blocks.iter().position(|b| b.span.contains(at)) else { return at };
    let (now, next) = (&posted.blocks[on], posted.blocks.get(on + 1));
    // On the way to a meal they are at it already, and on the way out where they have to stay in.
    let counts = |kind: BlockKind| match kind {
        BlockKind::Meal(_) => true,
        BlockKind::Outdoors => day.indoor.value,
        _ => false,
    };
    let under_way = next.filter(|b| now.kind == BlockKind::Transition && counts(b.kind));
    let now = under_way.unwrap_or(now);
    let done = match now.kind {
        BlockKind::Outdoors if day.indoor.value => return Minute(grid_up(at.0)),
        BlockKind::Meal(_) => {
            let same = posted.blocks.iter().filter(|b| b.kind == now.kind);
            same.map(|b| b.span.to).max().unwrap_or(now.span.to)
        }
        // Nobody is on the way yet.
        BlockKind::Transition if now.span.from == at => at,
        _ => now.span.to,
    };
    // A part of the day that is to come keeps its time, if need be at the cost of this one.
    let parts = day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
    let next = parts.map(|p| p.span.from).filter(|from| *from > at).min();
    next.map_or(done, |next| done.min(leaves(day, next).max(Minute(grid_up(at.0)))))
}

/// When everybody begins to get ready to go out at a minute.
fn leaves(day: &Day, out: Minute) -> Minute {
    let goes = |p: &&Part| p.kind == PartKind::Outdoors && p.span.from == out;
    let part = day.schedule.parts.iter().find(goes);
    let way = day.way_out(part.map_or(day.site[day.room].home, |p| p.space));
    let lead = day.minutes_to_go_out(day.here_at(out), way);
    Minute(out.earlier(lead).0 / GRID * GRID)
}

/// Minutes from the end of what is going on to what comes next; who goes out or comes in dresses.
pub(super) fn lead(Broken { day, posted, .. }: Broken<'_>, until: Minute) -> u16 {
    let tidy = day.schedule.transition_minutes;
    let dressed = |p: &Part| day.minutes_to_go_out(day.here_at(until), day.way_out(p.space));
    let out = |p: &&Part| {
        p.kind == PartKind::Outdoors && p.span.from == Minute(grid_up(until.0 + dressed(p)))
    };
    let outside = day.schedule.parts.iter().find(|p| p.kind == PartKind::Outdoors);
    let way = day.way_out(outside.map_or(day.site[day.room].home, |p| p.space));
    let was = posted.blocks.iter().find(|b| b.span.contains(until.earlier(1))).map(|b| b.kind);
    match was {
        _ if day.schedule.parts.iter().any(|p| out(&p)) => {
            let part = day.schedule.parts.iter().find(out);
            part.map_or(0, dressed)
        }
        Some(BlockKind::Outdoors) => day.minutes_to_come_in(day.here_at(until), way).max(2 * tidy),
        // Nothing comes after a snack that has to be washed for.
        Some(BlockKind::Meal(MealKind::MorningSnack | MealKind::AfternoonSnack)) => tidy,
        _ => 2 * tidy,
    }
}
