//! How much is left open in a room's day, so that its model has bounded size: far more than any usual
//! room has. Beyond that starts and places are thinned, evenly; what is posted stays among them.

use crate::day::Day;
use crate::model::{CellOption, VarCell};
use crate::site::Minute;

/// Most starts of all staff breaks and tasks together.
const MOST_STARTS: usize = 4_000;
/// Most places of all open cells together.
const MOST_OPTIONS: usize = 6_000;
/// Fewest starts, or places, that are left of each.
const FEWEST: usize = 8;

/// How many starts each staff break and task of a day may have.
pub(super) fn most_starts(day: &Day) -> usize {
    let breaks = day.adults.iter().map(|(adult, _)| day.site[*adult].breaks.len());
    let all = breaks.sum::<usize>() + day.schedule.tasks.len();
    (MOST_STARTS / all.max(1)).max(FEWEST)
}

/// At most so many of some starts, the first and `posted` among them.
#[must_use]
pub fn starts(starts: Vec<Minute>, most: usize, posted: Option<Minute>) -> Vec<Minute> {
    let all = starts.len();
    let stays = |(at, start): &(usize, Minute)| is_kept(*at, all, most) || Some(*start) == posted;
    starts.into_iter().enumerate().filter(stays).map(|(_, start)| start).collect()
}

/// Leaves no more places in all cells than a model can have; the last one of each, which is none, and
/// those of which `stays` says so, by the number of the cell, always stay.
pub(super) fn options(cells: &mut [VarCell], stays: impl Fn(usize, &VarCell, &CellOption) -> bool) {
    if cells.iter().map(|cell| cell.options.len()).sum::<usize>() <= MOST_OPTIONS {
        return;
    }
    let most = (MOST_OPTIONS / cells.len()).max(FEWEST);
    for (number, cell) in cells.iter_mut().enumerate() {
        let options = std::mem::take(&mut cell.options);
        let all = options.len();
        let fit = |(at, option): &(usize, CellOption)| {
            // Not the same ones in each cell.
            let turned = (at + number) % all;
            at + 1 == all || is_kept(turned, all, most) || stays(number, cell, option)
        };
        cell.options = options.into_iter().enumerate().filter(fit).map(|(_, o)| o).collect();
    }
}

/// Whether something stays at its place among so many of which so many are kept, evenly.
#[must_use]
pub fn is_kept(at: usize, all: usize, most: usize) -> bool {
    all <= most || (at * most) % all < most
}
