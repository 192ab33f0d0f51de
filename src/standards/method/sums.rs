//! Methods in which each band brings its part.

use crate::standards::Band;
use crate::standards::need::Counts;
use serde::Deserialize;

/// A class size that follows from the fractions: what so many adults can hold.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MixedSize {
    /// With a child younger than this, in months, the size of the youngest band holds instead.
    pub from_months: u32,
    /// So many adults.
    pub adults: u32,
}

/// Adults opened one by one at the ratio of the youngest child not yet placed.
pub(super) fn cascade(counts: &Counts) -> u32 {
    let mut left = counts.counted.clone();
    let mut adults = 0;
    while let Some(youngest) = left.iter().position(|n| *n > 0) {
        adults += 1;
        let mut places = counts.ratios[youngest].with_one_adult().max(1);
        for n in &mut left[youngest..] {
            let taken = places.min(*n);
            *n -= taken;
            places -= taken;
        }
    }
    adults
}

/// Exact fractions summed, rounded up once.
pub(super) fn fractions(counts: &Counts) -> u32 {
    let (over, under) = exact(counts);
    u32::try_from(over.div_ceil(under)).unwrap_or(u32::MAX)
}

/// The exact sum of fractions as `(over, under)` in lowest terms, for sentences.
pub(super) fn exact(counts: &Counts) -> (u128, u128) {
    summed(counts.counted.iter().zip(&counts.ratios).map(|(n, ratio)| ratio.fraction_for(*n)))
}

/// Each band rounded up, then summed.
pub(super) fn per_band(counts: &Counts) -> u32 {
    counts.counted.iter().zip(&counts.ratios).map(|(n, ratio)| ratio.adults_for(*n)).sum()
}

/// Two bands; unused places of the younger take older children.
pub(super) fn spare_capacity(counts: &Counts, least_children: u32) -> u32 {
    let apart = per_band(counts);
    let (young, old) = (counts.counted[0], counts.counted[1..].iter().sum::<u32>());
    if young == 0 || old == 0 || young + old < least_children {
        return apart;
    }
    let [first, .., last] = counts.ratios.as_slice() else { return apart };
    let opened = first.adults_for(young);
    // Older children move over while the younger side's adults do not change.
    let moves = (0..=old).take_while(|moved| first.adults_for(young + moved) == opened);
    moves.map(|moved| opened + last.adults_for(old - moved)).min().unwrap_or(apart)
}

/// Most children of a group of several ages: those there, and as many more of the oldest as the
/// adults can hold; one fewer than there are when they already hold too many. `None` where the
/// size of a band holds.
pub(super) fn mixed_size(counts: &Counts, bands: &[Band], mixed: &MixedSize) -> Option<u32> {
    let first = counts.all.iter().position(|n| *n > 0)?;
    let last = counts.all.iter().rposition(|n| *n > 0)?;
    let young = bands[first].until.is_some_and(|e| e.about_months() <= mixed.from_months);
    if first == last || young {
        return None;
    }
    let n: u32 = counts.all.iter().sum();
    let parts = counts.all.iter().zip(&counts.ratios).map(|(n, ratio)| ratio.fraction_for(*n));
    let (over, under) = summed(parts);
    let Some(left) = (u128::from(mixed.adults) * under).checked_sub(over) else {
        return Some(n.saturating_sub(1));
    };
    let (part, whole) = counts.ratios[last].fraction_for(1);
    let more = left * whole / (under * part.max(1));
    Some(n.saturating_add(u32::try_from(more).unwrap_or(u32::MAX)))
}

fn summed(parts: impl Iterator<Item = (u128, u128)>) -> (u128, u128) {
    parts.fold((0, 1), |(a, b), (c, d)| {
        let under = lcm(b, d);
        reduced(a * (under / b) + c * (under / d), under)
    })
}

fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn lcm(a: u128, b: u128) -> u128 {
    a / gcd(a, b) * b
}

fn reduced(over: u128, under: u128) -> (u128, u128) {
    let common = gcd(over, under).max(1);
    (over / common, under / common)
}
