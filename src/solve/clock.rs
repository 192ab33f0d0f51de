//! The planner's grid, and where a space gathers.

use crate::day::Day;
use crate::site::{SpaceIndex, ZoneIndex};

pub use crate::day::{GRID, grid_up};

/// The zone in which a space gathers: its first.
#[must_use]
pub fn gathering_zone(day: &Day, space: SpaceIndex) -> Option<ZoneIndex> {
    day.site.zones_of(space).next()
}
