//! How much one room may have on one date: all that a large room needs, and no more than can be planned
//! and judged in bounded memory.
//!
//! A room with more is no fault of a list, so it is told where it is seen first: when a date is laid
//! over it, or when what happens adds to it.

use super::DayFact;
use super::open::Faults;
use crate::site::{RoomIndex, Site};

/// One limit of a room's day.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limit {
    /// What is counted, in the words of a fault.
    pub what: &'static str,
    /// How many there may be.
    pub most: usize,
    /// What to do about more.
    pub mend: &'static str,
}

const fn limit(what: &'static str, most: usize, mend: &'static str) -> Limit {
    Limit { what, most, mend }
}

/// Spaces that a room uses.
pub const SPACES: Limit = limit("spaces", 12, "name fewer `spaces` for the room");
/// Zones of its spaces.
pub const ZONES: Limit = limit("zones in its spaces", 60, "make larger zones of them");
/// Tables in its spaces.
pub const TABLES: Limit = limit("tables in its spaces", 24, "name fewer `spaces` for the room");
/// Stations in its spaces.
pub const STATIONS: Limit = limit(
    "stations in its spaces",
    60,
    "leave out those that are not used, or name fewer `spaces` for the room",
);
/// Children whose home it is, whenever they come.
pub const ENROLLED: Limit = limit("children in all", 120, "split the room into two");
/// Children who come on one date.
pub const CHILDREN: Limit = limit("children on that date", 60, "split the room into two");
/// Adults on shift on one date, those among them who come in while it runs.
pub const ADULTS: Limit =
    limit("adults on that date", 40, "name for each adult the `rooms` where they work");
/// What happens on one date.
pub const HAPPENED: Limit =
    limit("things that have happened", 100, "make a new chart of the day as it is now");

/// Every limit, in the order in which the format lists them.
pub const LIMITS: [Limit; 8] =
    [SPACES, ZONES, TABLES, STATIONS, ENROLLED, CHILDREN, ADULTS, HAPPENED];

impl Limit {
    /// What is wrong with so many in a room, in one clause; `None` where there are not too many.
    #[must_use]
    pub fn cause(&self, room: &str, count: usize) -> Option<String> {
        let Limit { what, most, .. } = self;
        (count > *most).then(|| format!("{room} has {count} {what}, at most {most}"))
    }

    /// Reports more than there may be.
    pub(super) fn hold(&self, about: DayFact, room: &str, count: usize, faults: &mut Faults) {
        if let Some(cause) = self.cause(room, count) {
            faults.add(about, cause, self.mend);
        }
    }
}

/// Reports what a room has too much of, whatever the date.
pub(super) fn standing(site: &Site, room: RoomIndex, faults: &mut Faults) {
    let facts = &site[room];
    let own = |space| facts.spaces.contains(&space);
    let counts = [
        (SPACES, facts.spaces.len()),
        (ZONES, site.zones.iter().filter(|zone| own(zone.space)).count()),
        (TABLES, site.tables.iter().filter(|table| own(table.space)).count()),
        (STATIONS, site.stations.iter().filter(|station| own(station.space)).count()),
        (ENROLLED, site.children_of(room).count()),
    ];
    for (limit, count) in counts {
        limit.hold(DayFact::Room, &facts.label, count, faults);
    }
}
