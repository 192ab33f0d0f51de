//! The posted chart with a child's cot, or all of them, in another space.

use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, SpaceIndex};

/// From a moment on the cots stand in another space.
pub(super) fn all_in(day: &Day, chart: &Chart, space: SpaceIndex, at: Minute) -> Option<Chart> {
    let mut redrawn = moved(day, chart, space, at, |_| true)?;
    for cell in redrawn.groups.iter_mut().flat_map(|g| &mut g.cells) {
        if cell.at == Place::Rest && cell.span.from >= at {
            cell.space = space;
        }
    }
    Some(redrawn)
}

/// From a moment on one child's cot stands in another space.
pub(super) fn one_in(
    day: &Day,
    chart: &Chart,
    child: ChildIndex,
    space: SpaceIndex,
    at: Minute,
) -> Option<Chart> {
    moved(day, chart, space, at, |other| other == child)
}

/// Whoever lies already is not lifted: what is moved is to come.
fn moved(
    day: &Day,
    chart: &Chart,
    space: SpaceIndex,
    at: Minute,
    whose: impl Fn(ChildIndex) -> bool,
) -> Option<Chart> {
    let zone = day.site.zones_of(space).next()?;
    let mut redrawn = chart.clone();
    let mut moved = false;
    for child in redrawn.children.iter_mut().filter(|c| whose(c.child)) {
        for stay in &mut child.stays {
            if stay.at == Place::Rest && stay.span.from >= at && stay.space != space {
                (stay.space, stay.zone) = (space, Some(zone));
                moved = true;
            }
        }
    }
    moved.then_some(redrawn)
}
