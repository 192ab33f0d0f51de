//! The planner's grid, where a space gathers, and the minutes that lie between two blocks.

use crate::chart::BlockKind;
use crate::day::Day;
use crate::site::{Minute, SpaceIndex, ZoneIndex};

/// The planner places on whole multiples of so many minutes.
pub const GRID: u16 = 5;

/// Rounded up to the grid.
#[must_use]
pub fn grid_up(minute: u16) -> u16 {
    minute.div_ceil(GRID) * GRID
}

/// The zone in which a space gathers: its first.
#[must_use]
pub fn gathering_zone(day: &Day, space: SpaceIndex) -> Option<ZoneIndex> {
    day.site.zones_of(space).next()
}

/// Minutes for all of today's children to wash at the sinks of a space, or of the home space where
/// that has none.
#[must_use]
pub fn wash_minutes(day: &Day, children: usize, space: SpaceIndex) -> u16 {
    let home = day.site[day.room].home;
    let sinks =
        if day.site[space].sinks > 0 { day.site[space].sinks } else { day.site[home].sinks };
    let each = usize::from(day.site.settings.wash_minutes);
    u16::try_from((children * each).div_ceil((sinks as usize).max(1))).unwrap_or(u16::MAX).min(60)
}

/// Minutes to tidy up in one space and walk to another; none where they are the same.
#[must_use]
pub fn walk_minutes(day: &Day, from: SpaceIndex, to: SpaceIndex) -> u16 {
    if from == to {
        return 0;
    }
    let table = &day.site[from].walking;
    day.schedule.transition_minutes + table.iter().find(|w| w.0 == to).map_or(0, |w| w.1)
}

/// Minutes of tidying, washing, dressing and walking between two blocks, the first of which ends at
/// a minute; on the grid.
#[must_use]
pub fn transition_minutes(
    day: &Day,
    at: Minute,
    from: (BlockKind, SpaceIndex),
    to: (BlockKind, SpaceIndex),
) -> u16 {
    use BlockKind::{
        Arrival, Choice, Circle, GoingHome, Meal, Movement, Outdoors, Rest, Transition, Turn,
    };
    let tidy = day.schedule.transition_minutes;
    let walk = walk_minutes(day, from.1, to.1);
    let wash = wash_minutes(day, day.children.len(), to.1);
    let between = match (from.0, to.0) {
        (Transition, _) => 0,
        // What was open stays open.
        (Choice, GoingHome) | (Arrival, Choice) if from.1 == to.1 => 0,
        // Boots come off in half the time, and some wash while others are still at it.
        (Outdoors, _) => wash.max(day.minutes_to_undress(day.here_at(at))),
        (_, Outdoors) => day.minutes_to_dress(day.here_at(at)),
        // Between two sittings only those of the second wash.
        (Meal(one), Meal(other)) if one == other => {
            wash_minutes(day, day.children.len().div_ceil(2), to.1).max(tidy)
        }
        (_, Meal(_)) | (Meal(_), Rest) => wash.max(tidy),
        (Meal(_) | Rest, _) | (_, Rest) => tidy,
        (Turn | Choice | Arrival | GoingHome, _) => tidy,
        (Circle | Movement, _) => 0,
    };
    grid_up(between.max(walk))
}
