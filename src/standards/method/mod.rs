//! How a standard counts a group of mixed ages: the published methods, named in its data.
//!
//! Map: `governs` one band's ratio holds for all, `sums` each band brings its part, `tables`
//! tables and caps. Everything is whole numbers; a fraction sum is exact and rounded up once.
//!
//! Where the law itself is not monotone (majority, plurality, two tiers, shares) the methods keep
//! that: one more child may then lower the adults needed, and nothing here hides it.

mod governs;
mod sums;
mod tables;

pub use sums::MixedSize;
pub use tables::{CountRow, SpanColumn, SpanRow, SubCap};

use super::Band;
use super::need::Counts;
use serde::Deserialize;

/// The method of a standard, with the key of its source in each.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(tag = "method", rename_all = "snake_case", deny_unknown_fields)]
pub enum Mixed {
    /// The youngest child's band governs ratio and class size.
    Youngest {
        /// Key of its source.
        source: String,
    },
    /// The youngest child's band governs, but for a single child of an age or over whose older ones are
    /// all of the next band: that band's ratio then holds, and the class size of the younger.
    YoungestButOne {
        /// Months from which a single child may be so counted.
        from_months: u32,
        /// Key of its source.
        source: String,
    },
    /// For a text that names no method: the youngest child's ratio for all, or each band rounded up by
    /// itself, whichever asks for more; the smallest class size of those there.
    YoungestAndEach {
        /// Key of its source.
        source: String,
    },
    /// The band with the most children governs; equal ones: the strictest of them. With a child
    /// below an age the youngest governs.
    Plurality {
        /// Months below which a child makes the youngest govern.
        #[serde(default)]
        protect_below_months: Option<u32>,
        /// Key of its source.
        source: String,
    },
    /// The band of more than half of the children governs, without one the youngest. With a
    /// child below an age the youngest governs.
    Majority {
        /// Months below which a child makes the youngest govern.
        #[serde(default)]
        protect_below_months: Option<u32>,
        /// Key of its source.
        source: String,
    },
    /// The band of the class's majority, fixed for the year by the room; not fixed: the youngest.
    MajorityFixedAtStart {
        /// Key of its source.
        source: String,
    },
    /// The youngest governs with a child below an age, else the band with the most children.
    TwoTier {
        /// The age in months.
        below_months: u32,
        /// Key of its source.
        source: String,
    },
    /// Adults are opened one by one at the ratio of the youngest child not yet placed, and filled
    /// youngest first.
    Cascade {
        /// Key of its source.
        source: String,
    },
    /// Exact fractions by band, summed, rounded up once.
    FractionSum {
        /// The class size of a group of several ages, where it follows from the same fractions.
        #[serde(default)]
        mixed_size: Option<MixedSize>,
        /// Key of its source.
        source: String,
    },
    /// Each band rounded up, then summed.
    PerBandSum {
        /// Key of its source.
        source: String,
    },
    /// Two bands, each by its own table; unused places of the younger take older children.
    SpareCapacity {
        /// Fewest children for which that holds.
        least_children: u32,
        /// Key of its source.
        source: String,
    },
    /// Up to so many children of one band may be counted with the older ones.
    CountThreshold {
        /// Id of that band; with a child younger than it the youngest governs.
        band: String,
        /// Up to so many.
        at_most: u32,
        /// Key of its source.
        source: String,
    },
    /// Up to a share of children from the next younger band counts at the room's own ratio, above
    /// it the youngest governs. The room's band is the one it fixed, else the oldest that fits.
    PercentThreshold {
        /// The share by band, in percent; a band that is not named allows none.
        shares: Vec<BandShare>,
        /// Key of its source.
        source: String,
    },
    /// A table by how many of the young are among older children; beyond the table, and with no
    /// older child there, the youngest governs.
    CountTable {
        /// Id of the oldest band that is young.
        band: String,
        /// Children to one adult with one, two and more of the young among them.
        children_per_adult: Vec<u32>,
        /// Key of its source.
        source: String,
    },
    /// A table by how many of the young are among older children and by how many children there are in all;
    /// with more of the young than it knows they may not be one group. Never fewer adults than the young, or
    /// the older ones, need by themselves.
    CountSteps {
        /// Id of the oldest band that is young.
        band: String,
        /// Its rows, with more of the young in each.
        rows: Vec<CountRow>,
        /// Key of its source.
        source: String,
    },
    /// The band of most of the older children governs, at a ratio of its own with one, two and more of the
    /// young among them; where most are young, or more of them than it knows, the youngest governs.
    MajorityByCount {
        /// Id of the oldest band that is young.
        band: String,
        /// For one, two and more of the young: children to one adult in each older band.
        children_per_adult: Vec<Vec<u32>>,
        /// Key of its source.
        source: String,
    },
    /// One ratio for all, of whom only so many may be young.
    Subcaps {
        /// Children to one adult.
        children_per_adult: u32,
        /// How many of them may be of a band or younger.
        caps: Vec<SubCap>,
        /// Key of its source.
        source: String,
    },
    /// A table by the youngest and the oldest band there.
    SpanLookup {
        /// Its rows.
        rows: Vec<SpanRow>,
        /// Adults for a group without some of its bands are never more than for the whole group:
        /// a repair of a table that is not monotone by itself.
        repair: bool,
        /// Ages that no row spans may not be in one group; else one row spans all.
        #[serde(default)]
        gaps: bool,
        /// Key of its source.
        source: String,
    },
}

/// A share that a band allows.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BandShare {
    /// Id of the band.
    pub band: String,
    /// Percent of all children there.
    pub percent: u32,
}

impl Mixed {
    /// Adults for the counted children; 0 when nobody is counted.
    #[must_use]
    pub(super) fn adults(&self, counts: &Counts, bands: &[Band]) -> u32 {
        let n: u32 = counts.counted.iter().sum();
        if n == 0 {
            return 0;
        }
        let needed = match self {
            Mixed::Cascade { .. } => sums::cascade(counts),
            Mixed::FractionSum { .. } => sums::fractions(counts),
            Mixed::PerBandSum { .. } => sums::per_band(counts),
            Mixed::SpareCapacity { least_children, .. } => {
                sums::spare_capacity(counts, *least_children)
            }
            Mixed::Subcaps { children_per_adult, caps, .. } => {
                tables::subcaps(counts, bands, *children_per_adult, caps)
            }
            Mixed::CountTable { band, children_per_adult, .. } => {
                tables::count_table(counts, bands, band, children_per_adult)
            }
            Mixed::CountSteps { band, rows, .. } => tables::count_steps(counts, bands, band, rows),
            Mixed::MajorityByCount { band, children_per_adult, .. } => {
                tables::majority_by_count(counts, bands, band, children_per_adult)
            }
            Mixed::SpanLookup { rows, repair, .. } => {
                tables::span_lookup(counts, bands, rows, *repair)
            }
            Mixed::YoungestAndEach { .. } => {
                let youngest = governs::youngest(&counts.all).unwrap_or(0);
                counts.ratios[youngest].adults_for(n).max(sums::per_band(counts))
            }
            _ => self.governing(counts, bands).map_or(0, |b| counts.ratios[b].adults_for(n)),
        };
        needed.max(counts.at_least)
    }

    /// Most children together, where the standard says.
    #[must_use]
    pub(super) fn class_size(
        &self,
        counts: &Counts,
        bands: &[Band],
        outdoors: bool,
    ) -> Option<u32> {
        let size = |band: &Band| {
            band.class_size.filter(|_| !(outdoors && band.class_size_waived_outdoors))
        };
        if let Mixed::SpanLookup { rows, .. } = self {
            return tables::span_size(&counts.all, bands, rows);
        }
        if let Mixed::CountSteps { band, rows, .. } = self
            && let Some(size) = tables::count_size(&counts.all, bands, band, rows)
        {
            return Some(size);
        }
        if let Mixed::FractionSum { mixed_size: Some(mixed), .. } = self
            && let Some(size) = sums::mixed_size(counts, bands, mixed)
        {
            return Some(size);
        }
        if let Mixed::YoungestButOne { .. } = self {
            return governs::youngest(&counts.all).and_then(|band| size(&bands[band]));
        }
        match self.governing(counts, bands) {
            Some(band) => size(&bands[band]),
            None => {
                let there = bands.iter().zip(&counts.all).filter(|(_, n)| **n > 0);
                there.filter_map(|(band, _)| size(band)).min()
            }
        }
    }

    /// The band that governs the whole group, for the methods in which one does.
    #[must_use]
    pub(super) fn governing(&self, counts: &Counts, bands: &[Band]) -> Option<usize> {
        let all = &counts.all;
        match self {
            Mixed::Youngest { .. } => governs::youngest(all),
            Mixed::YoungestButOne { from_months, .. } => {
                governs::youngest_but_one(all, bands, *from_months)
            }
            Mixed::Plurality { protect_below_months, .. } => {
                governs::protected(all, bands, *protect_below_months)
                    .or_else(|| governs::plurality(all, &counts.ratios))
            }
            Mixed::Majority { protect_below_months, .. } => {
                governs::protected(all, bands, *protect_below_months)
                    .or_else(|| governs::majority(all))
            }
            Mixed::MajorityFixedAtStart { .. } => counts.fixed.or_else(|| governs::youngest(all)),
            Mixed::TwoTier { below_months, .. } => {
                governs::protected(all, bands, Some(*below_months))
                    .or_else(|| governs::plurality(all, &counts.ratios))
            }
            Mixed::CountThreshold { band, at_most, .. } => {
                governs::count_threshold(all, bands, band, *at_most)
            }
            Mixed::PercentThreshold { shares, .. } => {
                governs::percent_threshold(all, bands, shares, counts.fixed)
            }
            Mixed::Cascade { .. }
            | Mixed::YoungestAndEach { .. }
            | Mixed::FractionSum { .. }
            | Mixed::PerBandSum { .. }
            | Mixed::SpareCapacity { .. }
            | Mixed::CountTable { .. }
            | Mixed::CountSteps { .. }
            | Mixed::MajorityByCount { .. }
            | Mixed::Subcaps { .. }
            | Mixed::SpanLookup { .. } => None,
        }
    }

    /// Whether the room has to say which age governs it this year.
    #[must_use]
    pub fn asks_governing_age(&self) -> bool {
        matches!(self, Mixed::MajorityFixedAtStart { .. })
    }

    /// The exact sum of the bands' fractions, in lowest terms, for sentences.
    pub(super) fn exact(&self, counts: &Counts) -> (u128, u128) {
        sums::exact(counts)
    }

    /// Key of the method's source.
    #[must_use]
    pub fn source(&self) -> &str {
        match self {
            Mixed::Youngest { source }
            | Mixed::YoungestButOne { source, .. }
            | Mixed::YoungestAndEach { source }
            | Mixed::Plurality { source, .. }
            | Mixed::Majority { source, .. }
            | Mixed::MajorityFixedAtStart { source }
            | Mixed::TwoTier { source, .. }
            | Mixed::Cascade { source }
            | Mixed::FractionSum { source, .. }
            | Mixed::CountTable { source, .. }
            | Mixed::CountSteps { source, .. }
            | Mixed::MajorityByCount { source, .. }
            | Mixed::PerBandSum { source }
            | Mixed::SpareCapacity { source, .. }
            | Mixed::CountThreshold { source, .. }
            | Mixed::PercentThreshold { source, .. }
            | Mixed::Subcaps { source, .. }
            | Mixed::SpanLookup { source, .. } => source,
        }
    }
}
