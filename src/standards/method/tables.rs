//! Methods that read a table: sub-caps and the lookup by span of ages.

use crate::standards::Band;
use crate::standards::need::Counts;
use serde::Deserialize;

/// How many of one adult's children may be young.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SubCap {
    /// Id of the oldest band that is young in this sense.
    pub band: String,
    /// Most of them.
    pub at_most: u32,
}

/// A row of a table by how many are young and how many there are in all.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountRow {
    /// With so many of the young and fewer.
    pub young_up_to: u32,
    /// Up to so many children in all, so many adults; both rising.
    pub steps: Vec<(u32, u32)>,
}

/// A row of a lookup by span: from the youngest band there to the oldest.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpanRow {
    /// Id of the youngest band.
    pub from: String,
    /// Id of the oldest band.
    pub to: String,
    /// Adults and the most children that they may have; rising.
    pub columns: Vec<SpanColumn>,
    /// The last column is no class size: more children need more adults.
    #[serde(default)]
    pub any_number: bool,
}

/// One cell of a lookup by span.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpanColumn {
    /// Adults.
    pub adults: u32,
    /// Most children.
    pub children: u32,
    /// Most children of the standard's youngest band among them, where said.
    #[serde(default)]
    pub youngest_at_most: Option<u32>,
}

/// One ratio for all; the caps are nested, so the largest of the quotients is enough.
pub(super) fn subcaps(
    counts: &Counts,
    bands: &[Band],
    children_per_adult: u32,
    caps: &[SubCap],
) -> u32 {
    let n: u32 = counts.counted.iter().sum();
    let young =
        |cap: &SubCap| up_to(&counts.counted, bands, &cap.band).div_ceil(cap.at_most.max(1));
    caps.iter().map(young).fold(n.div_ceil(children_per_adult.max(1)), u32::max)
}

/// Children of a band or younger.
fn up_to(counts: &[u32], bands: &[Band], oldest: &str) -> u32 {
    let last = bands.iter().position(|b| b.id == oldest);
    last.map_or(0, |last| counts[..=last].iter().sum())
}

/// Adults by how many of the young are among older children.
pub(super) fn count_table(
    counts: &Counts,
    bands: &[Band],
    oldest: &str,
    children_per_adult: &[u32],
) -> u32 {
    let n: u32 = counts.counted.iter().sum();
    let (young, all) = (up_to(&counts.all, bands, oldest), counts.all.iter().sum::<u32>());
    let youngest = super::governs::youngest(&counts.all).unwrap_or(0);
    let by_table = young.checked_sub(1).filter(|_| young < all);
    match by_table.and_then(|row| children_per_adult.get(row as usize)) {
        Some(each) => n.div_ceil((*each).max(1)),
        None => counts.ratios[youngest].adults_for(n),
    }
}

/// Adults by how many of the young are among older children, and by all of them; no fewer than either of
/// them needs by itself at the ratio of its youngest.
pub(super) fn count_steps(counts: &Counts, bands: &[Band], oldest: &str, rows: &[CountRow]) -> u32 {
    let last = bands.iter().position(|b| b.id == oldest).unwrap_or(0);
    let (young, older) = counts.counted.split_at(last + 1);
    let by_youngest = |from: usize, part: &[u32], n: u32| {
        super::governs::youngest(part).map_or(0, |band| counts.ratios[from + band].adults_for(n))
    };
    let (youngs, olds) = (young.iter().sum::<u32>(), older.iter().sum::<u32>());
    let apart = by_youngest(0, young, youngs).max(by_youngest(last + 1, older, olds));
    if youngs == 0 || olds == 0 {
        return apart;
    }
    let n = youngs + olds;
    let row = rows.iter().find(|row| youngs <= row.young_up_to);
    let step = row.and_then(|row| row.steps.iter().find(|(most, _)| n <= *most));
    // Beyond the table they may not be one group anyhow: the youngest's ratio for all.
    step.map_or_else(|| by_youngest(0, young, n), |(_, adults)| *adults).max(apart)
}

/// Adults by the band of most of the older children and by how many of the young are among them.
pub(super) fn majority_by_count(
    counts: &Counts,
    bands: &[Band],
    oldest: &str,
    children_per_adult: &[Vec<u32>],
) -> u32 {
    let n: u32 = counts.counted.iter().sum();
    let last = bands.iter().position(|b| b.id == oldest).unwrap_or(0);
    let (young, older) = counts.all.split_at(last + 1);
    let (youngs, olds) = (young.iter().sum::<u32>(), older.iter().sum::<u32>());
    let youngest = super::governs::youngest(&counts.all).unwrap_or(0);
    let by_youngest = counts.ratios[youngest].adults_for(n);
    // Of as many young as older ones it is not the older who are most.
    let Some(governing) = super::governs::majority(older).filter(|_| youngs < olds) else {
        return by_youngest;
    };
    let Some(row) = youngs.checked_sub(1) else {
        return counts.ratios[last + 1 + governing].adults_for(n);
    };
    let each = children_per_adult.get(row as usize).and_then(|row| row.get(governing));
    each.map_or(by_youngest, |each| n.div_ceil((*each).max(1)))
}

/// Most children together where the young are among older ones; `None` where they are not.
pub(super) fn count_size(
    all: &[u32],
    bands: &[Band],
    oldest: &str,
    rows: &[CountRow],
) -> Option<u32> {
    let (young, n) = (up_to(all, bands, oldest), all.iter().sum::<u32>());
    if young == 0 || young == n {
        return None;
    }
    let Some(row) = rows.iter().find(|row| young <= row.young_up_to) else {
        // As few of the young leave as have to.
        let most = rows.last().map_or(0, |row| row.young_up_to);
        return Some(n - (young - most));
    };
    row.steps.last().map(|(most, _)| *most)
}

/// The row of a span, the tightest one that holds it.
fn row_of<'a>(
    first: usize,
    last: usize,
    bands: &[Band],
    rows: &'a [SpanRow],
) -> Option<&'a SpanRow> {
    let at = |id: &str| bands.iter().position(|b| b.id == id);
    let holds = |row: &&SpanRow| {
        at(&row.from).is_some_and(|f| f <= first) && at(&row.to).is_some_and(|t| last <= t)
    };
    let width = |row: &SpanRow| at(&row.to).unwrap_or(0).saturating_sub(at(&row.from).unwrap_or(0));
    // Of two rows of the same width the stricter one.
    let alone = |row: &SpanRow| row.columns.first().map_or(0, |c| c.children / c.adults.max(1));
    rows.iter().filter(holds).min_by_key(|row| (width(row), alone(row)))
}

/// Adults by the table for the bands `first` to `last` alone; where no row spans them, at the ratio of the
/// youngest.
fn by_table(all: &Counts, first: usize, last: usize, bands: &[Band], rows: &[SpanRow]) -> u32 {
    let counts = &all.counted;
    let n: u32 = counts[first..=last].iter().sum();
    let youngest = if first == 0 { counts[0] } else { 0 };
    let Some(row) = row_of(first, last, bands, rows) else {
        return all.ratios[first].adults_for(n);
    };
    let fits =
        |c: &&SpanColumn| n <= c.children && c.youngest_at_most.is_none_or(|most| youngest <= most);
    if let Some(column) = row.columns.iter().find(fits) {
        return column.adults;
    }
    // Beyond the table the class is too large anyhow: one more adult for each share of the last.
    let Some(last) = row.columns.last() else { return n };
    let over = n.saturating_sub(last.children).max(1);
    last.adults + over.div_ceil((last.children / last.adults.max(1)).max(1))
}

/// Adults by the youngest and the oldest band there.
pub(super) fn span_lookup(counts: &Counts, bands: &[Band], rows: &[SpanRow], repair: bool) -> u32 {
    let there: Vec<usize> = (0..bands.len()).filter(|b| counts.counted[*b] > 0).collect();
    let (Some(first), Some(last)) = (there.first(), there.last()) else { return 0 };
    let whole = by_table(counts, *first, *last, bands, rows);
    if !repair {
        return whole;
    }
    // Within one span the table only rises, so leaving out whole bands at either end is all that
    // could ever lower it.
    let parts = there.iter().flat_map(|from| there.iter().map(move |to| (*from, *to)));
    let need = parts.filter(|(from, to)| from <= to);
    need.map(|(from, to)| by_table(counts, from, to, bands, rows)).fold(whole, u32::max)
}

/// Most children together by the table.
pub(super) fn span_size(counts: &[u32], bands: &[Band], rows: &[SpanRow]) -> Option<u32> {
    let first = counts.iter().position(|n| *n > 0)?;
    let last = counts.iter().rposition(|n| *n > 0)?;
    let Some(row) = row_of(first, last, bands, rows) else {
        return Some(spanned(counts, bands, rows));
    };
    if row.any_number {
        return None;
    }
    let youngest = if first == 0 { counts[0] } else { 0 };
    let fits = |c: &&SpanColumn| c.youngest_at_most.is_none_or(|most| youngest <= most);
    let fitting = row.columns.iter().filter(fits).map(|c| c.children).max();
    // With too many of the youngest no size is right: one fewer child than there are.
    fitting.or_else(|| Some(counts.iter().sum::<u32>().saturating_sub(1)))
}

/// Most of these children whom one row spans.
fn spanned(counts: &[u32], bands: &[Band], rows: &[SpanRow]) -> u32 {
    let spans = (0..counts.len()).flat_map(|from| (from..counts.len()).map(move |to| (from, to)));
    let spans = spans.filter(|(from, to)| row_of(*from, *to, bands, rows).is_some());
    spans.map(|(from, to)| counts[from..=to].iter().sum()).max().unwrap_or(0)
}
