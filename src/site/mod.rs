//! Standing facts of a site: what is true before any date is chosen.
//!
//! A value of these types is valid: every index points at something, every span ends after it
//! starts. Whoever builds one (the `wire` room) has checked it and reported every fault.
//!
//! Map: [`time`] clock and ages, [`place`] spaces, zones, tables and stations, [`people`] children
//! and adults, [`schedule`] the room's day before anyone is placed, [`list`] names in a sentence.

pub mod people;
pub mod place;
pub mod schedule;
pub mod time;
mod words;

pub use people::{Adult, BreakDue, Child, InRooms, OneToOne, SettlingIn, Sleep, Toileting};
pub use place::{CarePlace, Energy, Hazard, Mess, Noise, Space, Station, Supervision, Table, Zone};
pub use schedule::{
    AgeBand, CareRound, Dressing, Meal, MealKind, Movement, Part, PartKind, Rest, Schedule,
    Stretch, StretchKind, Task, age_banded,
};
pub use time::{Minute, Span, age_in_months, merged, slices};
pub use words::list;

use std::ops::Index;

macro_rules! indexes {
    ($($(#[$doc:meta])* $name:ident -> $field:ident: $item:ty;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub struct $name(pub usize);

        impl Index<$name> for Site {
            type Output = $item;
            fn index(&self, at: $name) -> &$item {
                &self.$field[at.0]
            }
        }
    )*};
}

indexes! {
    /// Position of a room in [`Site::rooms`].
    RoomIndex -> rooms: Room;
    /// Position of a space in [`Site::spaces`].
    SpaceIndex -> spaces: Space;
    /// Position of a zone in [`Site::zones`].
    ZoneIndex -> zones: Zone;
    /// Position of a table in [`Site::tables`].
    TableIndex -> tables: Table;
    /// Position of a station in [`Site::stations`].
    StationIndex -> stations: Station;
    /// Position of a child in [`Site::children`].
    ChildIndex -> children: Child;
    /// Position of an adult in [`Site::adults`].
    AdultIndex -> adults: Adult;
}

/// Seven values, Monday first.
pub type Weekly<T> = [T; 7];

/// A licensed place, with everything that stands there whatever the date.
#[derive(Clone, PartialEq, Debug)]
pub struct Site {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// IANA time zone of its clocks.
    pub time_zone: chrono_tz::Tz,
    /// Ids of the published standards that bind it; each of them holds by itself.
    pub standards: Vec<String>,
    /// Figures without a published source, each with a default from common practice.
    pub settings: Settings,
    /// Classes.
    pub rooms: Vec<Room>,
    /// Floor areas.
    pub spaces: Vec<Space>,
    /// What one adult sees from one spot.
    pub zones: Vec<Zone>,
    /// Tables (or floor) at which children eat and on which stations may stand.
    pub tables: Vec<Table>,
    /// Learning centres.
    pub stations: Vec<Station>,
    /// Enrolled children.
    pub children: Vec<Child>,
    /// The team.
    pub adults: Vec<Adult>,
}

/// Figures that no publication fixes (common practice); minutes unless said otherwise.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Settings {
    /// Children younger than this, in months, are not marched from station to station.
    pub young_under_months: u32,
    /// Minutes one child needs at one sink.
    pub wash_minutes: u16,
    /// Minutes for one nappy change; a toilet trip with help takes as long.
    pub care_minutes: u16,
    /// Most minutes that a child in nappies is awake between two changes. A look is wanted at least
    /// every two hours (Caring for Our Children 3.2.1.3, from memory); a change after two and a half
    /// is common practice.
    pub care_interval: u16,
    /// Minutes that an adult needs from clocking in to standing with the children.
    pub minutes_to_reach_children: u16,
    /// Minutes until an adult who is not in the house is with the children, once called.
    pub minutes_to_come_in: u16,
    /// Seats open in a choice stretch, per hundred children present.
    pub choice_seats_percent: u32,
    /// Minutes that an adult may leave between two meals where no binding standard says so:
    /// least and most between their starts.
    pub meal_interval: (u16, u16),
    /// Several wet stations may be in use at one time.
    pub two_wet_stations: bool,
    /// No assigned turn begins before so many percent of the children due before lunch are in: two
    /// thirds.
    pub most_in_percent: u32,
}

impl Settings {
    /// Seats that so many children should have to choose among.
    #[must_use]
    pub fn seats_to_choose(&self, children: usize) -> u32 {
        let children = u32::try_from(children).unwrap_or(u32::MAX);
        children.saturating_mul(self.choice_seats_percent).div_ceil(100)
    }
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            young_under_months: 30,
            wash_minutes: 1,
            care_minutes: 5,
            care_interval: 150,
            minutes_to_reach_children: 0,
            minutes_to_come_in: 30,
            choice_seats_percent: 150,
            meal_interval: (90, 240),
            two_wet_stations: false,
            most_in_percent: 66,
        }
    }
}

/// A class of children and its home.
#[derive(Clone, PartialEq, Debug)]
pub struct Room {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Where its day mostly happens; stations of the assigned turns stand here or in `spaces`.
    pub home: SpaceIndex,
    /// Every space that it uses, `home` included.
    pub spaces: Vec<SpaceIndex>,
    /// Fewest and most children in a small group.
    pub group_size: (usize, usize),
    /// Small groups of children near in age, or mixed.
    pub group_ages: GroupAges,
    /// Small groups that stand for the theme; empty: the planner forms them from the enrolment.
    pub groups: Vec<StandingGroup>,
    /// Age in months that governs the room for the year, for standards that ask for it to be fixed.
    pub governing_age: Option<u32>,
    /// Days in the life of the room.
    pub schedules: Vec<Schedule>,
    /// Which schedule holds on which weekday; `None`: closed.
    pub by_weekday: Weekly<Option<usize>>,
}

/// How children are put together in small groups.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum GroupAges {
    /// Near in age.
    Alike,
    /// Older and younger together.
    Mixed,
}

/// A small group as the teacher formed it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StandingGroup {
    /// Chosen by the user.
    pub id: String,
    /// What the children call it.
    pub label: String,
    /// Name of the drawing on the wall.
    pub picture: String,
    /// Its members.
    pub children: Vec<ChildIndex>,
}

impl Site {
    /// Zones of a space, in order.
    pub fn zones_of(&self, space: SpaceIndex) -> impl Iterator<Item = ZoneIndex> + '_ {
        (0..self.zones.len()).map(ZoneIndex).filter(move |&z| self[z].space == space)
    }

    /// Stations of a space, in order.
    pub fn stations_of(&self, space: SpaceIndex) -> impl Iterator<Item = StationIndex> + '_ {
        (0..self.stations.len()).map(StationIndex).filter(move |&s| self[s].space == space)
    }

    /// Minutes of walking from one space to another, the same there and back: the longer where both
    /// ways are given, none where neither is (next door) or they are the same.
    #[must_use]
    pub fn walking(&self, from: SpaceIndex, to: SpaceIndex) -> u16 {
        let named = |one: SpaceIndex, other: SpaceIndex| {
            self[one].walking.iter().filter(move |w| w.0 == other).map(|w| w.1)
        };
        let both = named(from, to).chain(named(to, from));
        if from == to { 0 } else { both.max().unwrap_or(0) }
    }

    /// Children enrolled in a room, in order.
    pub fn children_of(&self, room: RoomIndex) -> impl Iterator<Item = ChildIndex> + '_ {
        (0..self.children.len()).map(ChildIndex).filter(move |&c| self[c].room == room)
    }

    /// Whether several rooms share an adult: until they are planned together each may count on the
    /// adult only as far as it is told when the adult is there.
    #[must_use]
    pub fn is_shared(&self, adult: AdultIndex) -> bool {
        self.rooms.len() > 1 && (self[adult].floater || self[adult].rooms.len() > 1)
    }

    /// Adults who work in a room, floaters included, in order.
    pub fn adults_of(&self, room: RoomIndex) -> impl Iterator<Item = AdultIndex> + '_ {
        (0..self.adults.len())
            .map(AdultIndex)
            .filter(move |&a| self[a].floater || self[a].rooms.contains(&room))
    }
}
