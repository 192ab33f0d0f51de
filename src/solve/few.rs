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
pub(super) fn starts(starts: Vec<Minute>, most: usize, posted: Option<Minute>) -> Vec<Minute> {
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
fn is_kept(at: usize, all: usize, most: usize) -> bool {
    all <= most || (at * most) % all < most
}

#[cfg(test)]
mod tests {
    use super::{is_kept, starts};
    use crate::site::Minute;

    #[test]
    fn what_is_kept_is_spread_evenly_and_no_more_than_may_be() {
        for (all, most) in [(10, 20), (20, 20), (21, 20), (100, 8), (288, 11), (97, 13)] {
            let kept: Vec<usize> = (0..all).filter(|at| is_kept(*at, all, most)).collect();
            assert_eq!(kept.len(), all.min(most), "{all} to {most}");
            assert_eq!(kept[0], 0);
            let wide = all.div_ceil(most);
            assert!(kept.windows(2).all(|pair| pair[1] - pair[0] <= wide), "{kept:?}");
        }
        let all: Vec<Minute> = (0..40).map(Minute).collect();
        let few = starts(all, 8, Some(Minute(39)));
        assert_eq!(few.len(), 9);
        assert_eq!(few.last(), Some(&Minute(39)));
    }
}
