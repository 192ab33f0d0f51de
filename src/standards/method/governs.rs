//! Methods in which one band's ratio holds for everyone.

use super::BandShare;
use crate::standards::{Band, Ratio};

/// The youngest band with a child in it.
pub(super) fn youngest(all: &[u32]) -> Option<usize> {
    all.iter().position(|n| *n > 0)
}

/// The youngest band with a child in it, but for a single child of it from an age on, when all others are
/// of the next band.
pub(super) fn youngest_but_one(all: &[u32], bands: &[Band], from_months: u32) -> Option<usize> {
    let first = youngest(all)?;
    let begins = first.checked_sub(1).and_then(|before| bands[before].until);
    let old_enough = begins.map_or(0, |edge| edge.about_months()) >= from_months;
    let next = first + 1;
    // With a still older child there the others are not all of the next band, and the youngest governs.
    let of_next = all.get(next).is_some_and(|n| *n > 0) && all[next + 1..].iter().all(|n| *n == 0);
    Some(if all[first] == 1 && old_enough && of_next { next } else { first })
}

/// The youngest band, if it lies below an age.
pub(super) fn protected(all: &[u32], bands: &[Band], below: Option<u32>) -> Option<usize> {
    let (first, below) = (youngest(all)?, below?);
    bands[first].until.is_some_and(|edge| edge.about_months() <= below).then_some(first)
}

/// The band with the most children; of equal ones the strictest, then the youngest.
pub(super) fn plurality(all: &[u32], ratios: &[Ratio]) -> Option<usize> {
    let mut best = youngest(all)?;
    for band in best + 1..all.len() {
        let stricter = all[band] == all[best] && ratios[band].is_stricter_than(&ratios[best]);
        if all[band] > all[best] || stricter {
            best = band;
        }
    }
    Some(best)
}

/// The band of more than half of the children, else the youngest there.
pub(super) fn majority(all: &[u32]) -> Option<usize> {
    let total: u32 = all.iter().sum();
    all.iter().position(|n| 2 * n > total).or_else(|| youngest(all))
}

/// Up to so many of one band count with the older ones.
pub(super) fn count_threshold(
    all: &[u32],
    bands: &[Band],
    band: &str,
    at_most: u32,
) -> Option<usize> {
    let first = youngest(all)?;
    let threshold = bands.iter().position(|b| b.id == band)?;
    let with_older = all[threshold + 1..].iter().any(|n| *n > 0);
    // The next band governs even if only older children still are there: the law names its ratio.
    let few = first == threshold && all[threshold] <= at_most && with_older;
    Some(if few { threshold + 1 } else { first })
}

/// Up to a share from the next younger band counts at the room's ratio.
pub(super) fn percent_threshold(
    all: &[u32],
    bands: &[Band],
    shares: &[BandShare],
    fixed: Option<usize>,
) -> Option<usize> {
    let first = youngest(all)?;
    let total: u64 = all.iter().map(|n| u64::from(*n)).sum();
    let fits = |band: usize| {
        let share = shares.iter().find(|s| s.band == bands[band].id).map_or(0, |s| s.percent);
        let younger: u64 = all[..band].iter().map(|n| u64::from(*n)).sum();
        let next_only = all[..band.saturating_sub(1)].iter().all(|n| *n == 0);
        younger == 0 || next_only && younger * 100 <= u64::from(share) * total
    };
    let rooms =
        |band: &usize| fixed.is_none_or(|f| f == *band) && (fixed.is_some() || all[*band] > 0);
    (0..all.len()).rev().filter(rooms).find(|band| fits(*band)).or(Some(first))
}
