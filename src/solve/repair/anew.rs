//! Charts that keep what is posted, but for where the adults are or when one staff break is had.

use super::{Broken, Taken, decode, posted, posted_each, ways, without_visits_made};
use crate::chart::Chart;

/// Charts that keep everybody but the adults where they are posted, as far as that can be, adults
/// posted anew; none where they can stand as they do.
#[must_use]
pub fn posted_anew(broken: Broken<'_>, seed: u64) -> Vec<Chart> {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    let mut charts = Vec::new();
    for fewer_zones in [false, true] {
        let rest = ways::rest(with, seed, fewer_zones);
        let taken = Taken::posted(&rest);
        let drawn = decode::decode(&rest, with, &taken.options);
        charts.extend(posted_each(broken, &rest, &taken.options, drawn));
    }
    charts.dedup();
    charts
}

/// The chart that keeps everything that can be kept, with the one staff break that it misses had at
/// each time that is left for it: the one that moves fewest adults is among them. None where it misses
/// no staff break, or several.
#[must_use]
pub fn had_later(broken: Broken<'_>, seed: u64) -> Vec<Chart> {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    let rest = ways::rest(with, seed, false);
    let kept = Taken::posted(&rest);
    let starts = |b: usize| rest.frame.breaks[b].starts.len();
    let is_missed = |b: &usize| rest.breaks[*b].is_none_or(|posted| posted == starts(*b));
    let missed: Vec<usize> = (0..rest.breaks.len()).filter(is_missed).collect();
    let [missed] = missed[..] else { return Vec::new() };
    let had = |start: usize| {
        let mut options = kept.options.clone();
        options[rest.cells.len() + missed] = start;
        let (chart, duties) = decode::decode(&rest, with, &options);
        posted(broken, chart, &duties)
    };
    (0..starts(missed)).map(had).collect()
}
