//! The ratio record: by every standard, who was needed and who is there, all day.

use super::counting::{AGE_RANGES, AgeRange, Now, pieces, situation};
use crate::chart::Chart;
use crate::day::Day;
use crate::site::{SpaceIndex, Span};
use crate::standards::{Scope, Standard};

/// One standard in one space, or on the premises, while nothing about it changes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RatioRow {
    /// Where; `None`: over the premises together.
    pub space: Option<SpaceIndex>,
    /// When.
    pub span: Span,
    /// Children there by age range, sleepers included; empty ranges are left out.
    pub by_range: Vec<(AgeRange, u32)>,
    /// How many of them are asleep.
    pub asleep: u32,
    /// Id of the standard.
    pub standard: String,
    /// Counted adults that it asks for.
    pub needed: u32,
    /// Counted adults there.
    pub present: u32,
    /// The arithmetic in words.
    pub words: String,
}

/// Every binding standard over the whole day, while children are there: by standard, then by
/// space, then by time.
#[must_use]
pub fn ratio_record(day: &Day, chart: &Chart) -> Vec<RatioRow> {
    let pieces = pieces(chart);
    let mut rows: Vec<RatioRow> = Vec::new();
    for standard in &day.standards {
        for space in judged(day, standard) {
            let first = rows.len();
            for now in &pieces {
                let Some(row) = row(day, standard, space, now) else { continue };
                match rows[first..].last_mut() {
                    Some(before) if before.span.to == row.span.from && same(before, &row) => {
                        before.span.to = row.span.to;
                    }
                    _ => rows.push(row),
                }
            }
        }
    }
    rows
}

/// The spaces, or the premises, that a standard is judged in.
pub(super) fn judged(day: &Day, standard: &Standard) -> Vec<Option<SpaceIndex>> {
    match standard.scope {
        Scope::Room => (0..day.site.spaces.len()).map(|s| Some(SpaceIndex(s))).collect(),
        Scope::Site => vec![None],
    }
}

fn row(day: &Day, standard: &Standard, space: Option<SpaceIndex>, now: &Now) -> Option<RatioRow> {
    let heads = now.heads(day, space);
    if heads.is_empty() {
        return None;
    }
    let adults = now.counted(day, space);
    let at = situation(day, space, now.span.from, &adults);
    let count = |range: &AgeRange| heads.iter().filter(|h| range.holds(h.months)).count() as u32;
    Some(RatioRow {
        space,
        span: now.span,
        by_range: AGE_RANGES.iter().map(|r| (*r, count(r))).filter(|(_, n)| *n > 0).collect(),
        asleep: heads.iter().filter(|h| h.asleep).count() as u32,
        standard: standard.id.clone(),
        needed: standard.need(&heads, &at).adults,
        present: adults.len() as u32,
        words: standard.sentence(&heads, &at),
    })
}

fn same(a: &RatioRow, b: &RatioRow) -> bool {
    let of = |r: &RatioRow| (r.asleep, r.needed, r.present);
    of(a) == of(b) && a.by_range == b.by_range && a.words == b.words
}
