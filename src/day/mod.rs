//! One date of one room: who is in, indoor or not, what is closed or kept, what the stations
//! offer, the visit record so far.
//!
//! Map: `clock` the nights on which clocks change, `happening` what happens while it runs, [`indoor`] out or
//! in, `open` the facts of a date.
//!
//! [`Day::open`] lays a date's [`DayFacts`] over the standing [`Site`] and reports every fault;
//! [`Day::after`] lays what happens while it runs over it, from a moment on. [`materials`] says what
//! is in the foods and materials of a station, and whom it is not for.

mod clock;
mod happening;
pub mod indoor;
pub mod limits;
pub mod materials;
mod open;
mod own_adults;
mod shift;
mod sight;
mod ways;

pub use clock::comes_twice;
pub use happening::{ExtraAdult, Happened, Happening, HappeningFault, Who};
pub use indoor::{Clothing, IndoorDay, Input};
pub use open::{DayFact, DayFault, is_for, with_offer};
pub use shift::NearEnds;
pub use ways::{GRID, grid_up};

use crate::site::{
    AdultIndex, ChildIndex, Hazard, InRooms, MealKind, Minute, RoomIndex, Schedule, Site, Span,
    Station, StationIndex,
};
use crate::standards::{Head, Standard, weather::Weather};
use chrono::NaiveDate;
use std::sync::Arc;

/// What is said about one date, over the standing facts.
#[derive(Clone, PartialEq, Debug)]
pub struct DayFacts {
    /// Which date.
    pub date: NaiveDate,
    /// Children whose presence differs from their weekday; no span: away all day.
    pub children: Vec<(ChildIndex, Vec<Span>)>,
    /// Adults whose shift differs from their weekday; no span: away all day.
    pub adults: Vec<(AdultIndex, Vec<Span>)>,
    /// Closed stations, all day or for a span.
    pub closed: Vec<(StationIndex, Option<Span>)>,
    /// Cells that the teacher keeps as they are.
    pub kept: Vec<KeptCell>,
    /// The teacher's word, or the weather.
    pub outdoors: OutdoorsWord,
    /// What stands at the stations today.
    pub offers: Vec<Offer>,
    /// Another schedule than the weekday's, by its id.
    pub schedule: Option<String>,
    /// When an adult whom several rooms share is in which on this date, instead of what is said of
    /// every day.
    pub in_rooms: Vec<(AdultIndex, InRooms)>,
}

impl DayFacts {
    /// A date about which nothing else is said.
    #[must_use]
    pub fn plain(date: NaiveDate) -> DayFacts {
        DayFacts {
            date,
            children: Vec::new(),
            adults: Vec::new(),
            closed: Vec::new(),
            kept: Vec::new(),
            outdoors: OutdoorsWord::Nothing,
            offers: Vec::new(),
            schedule: None,
            in_rooms: Vec::new(),
        }
    }
}

/// Who decides whether the children go out.
#[derive(Clone, PartialEq, Debug)]
pub enum OutdoorsWord {
    /// Nobody has said anything: they go out.
    Nothing,
    /// The teacher has decided.
    Teacher {
        /// Stay in.
        indoor: bool,
    },
    /// The published thresholds decide.
    Weather(Weather),
}

/// A cell that the teacher keeps.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KeptCell {
    /// Whose.
    pub who: KeptFor,
    /// Where.
    pub station: StationIndex,
    /// At least for this span.
    pub span: Span,
}

/// Whose cell is kept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum KeptFor {
    /// A standing group's, by its id.
    Group(String),
    /// One child's.
    Child(ChildIndex),
}

/// What stands at a station today.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Offer {
    /// Which station.
    pub station: StationIndex,
    /// The activity's name.
    pub activity: String,
    /// Materials with a published caution, on top of the station's own.
    pub hazards: Vec<Hazard>,
    /// Words for foods and materials, on top of the station's own, lower case.
    pub allergens: Vec<String>,
    /// Youngest age in months, where higher than the station's own.
    pub from_months: u32,
    /// Children who must be offered it today.
    pub must_do: Vec<ChildIndex>,
}

/// Who did what, before today.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct VisitRecord {
    /// One line a visit, in order of date.
    pub visits: Vec<Visit>,
}

/// One child at one station on one date.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Visit {
    /// Who.
    pub child: ChildIndex,
    /// Where.
    pub station: StationIndex,
    /// When.
    pub date: NaiveDate,
}

/// One date of one room, ready to plan and to judge.
#[derive(Clone, Debug)]
pub struct Day {
    /// Standing facts.
    pub site: Arc<Site>,
    /// Every standard that binds, local limits included.
    pub standards: Vec<Arc<Standard>>,
    /// Whose day.
    pub room: RoomIndex,
    /// Which date.
    pub date: NaiveDate,
    /// The schedule that holds; on an indoor day its outdoor parts are gone.
    pub schedule: Schedule,
    /// Children of the room who come, with the spans in which they are here, in order of index.
    pub children: Vec<(ChildIndex, Vec<Span>)>,
    /// Adults of the room on shift, with the spans in which they are with the children.
    pub adults: Vec<(AdultIndex, Vec<Span>)>,
    /// Whether the children stay in, and why.
    pub indoor: IndoorDay,
    /// Stations as they stand today, by station index: what is on offer is laid over them.
    pub stations: Vec<Station>,
    /// Name of the activity at each station today, by station index.
    pub activities: Vec<Option<String>>,
    /// Closed spans by station index: closures and hours outside opening times.
    pub closed: Vec<Vec<Span>>,
    /// Cells that the teacher keeps.
    pub kept: Vec<KeptCell>,
    /// Visits owed today: who must be offered which station.
    pub must_do: Vec<(ChildIndex, StationIndex)>,
    /// Who has been changed in a care round that goes on, with the end of its window: until then
    /// nothing more is due. None before the day has begun.
    pub changed: Vec<(ChildIndex, Minute)>,
    /// Visits before today.
    pub record: VisitRecord,
    /// What has happened since the day's chart was posted, in order; none before that.
    pub happened: Vec<Happened>,
}

impl Day {
    /// The station as it stands today.
    #[must_use]
    pub fn station(&self, at: StationIndex) -> &Station {
        &self.stations[at.0]
    }

    /// Seats of some stations together.
    #[must_use]
    pub fn seats(&self, stations: &[StationIndex]) -> u32 {
        stations.iter().map(|&s| self.station(s).seats).sum()
    }

    /// Fewest and most minutes between the starts of two meals that a child eats here, by all standards
    /// that say so, else by the settings.
    #[must_use]
    pub fn meal_interval(&self) -> (u16, u16) {
        let limits = self.standards.iter().filter_map(|s| s.meal_interval());
        let both = limits.reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)));
        both.unwrap_or(self.site.settings.meal_interval)
    }

    /// Spans in which a child is here; empty when away.
    #[must_use]
    pub fn child_here(&self, child: ChildIndex) -> &[Span] {
        self.children.iter().find(|(c, _)| *c == child).map_or(&[], |(_, spans)| spans)
    }

    /// Spans in which an adult is with the children; empty when away.
    #[must_use]
    pub fn adult_here(&self, adult: AdultIndex) -> &[Span] {
        self.adults.iter().find(|(a, _)| *a == adult).map_or(&[], |(_, spans)| spans)
    }

    /// When the last child goes: the room stays open for who is picked up after closing time.
    #[must_use]
    pub fn closes(&self) -> Minute {
        let last = self.children.iter().flat_map(|(_, here)| here).map(|h| h.to).max();
        last.map_or(self.schedule.open.to, |last| last.max(self.schedule.open.to))
    }

    /// Age of a child today, in whole months.
    #[must_use]
    pub fn months(&self, child: ChildIndex) -> u32 {
        self.site[child].months(self.date)
    }

    /// When each child comes who is due before lunch (before the rest, before closing where there is
    /// neither), the first one first.
    #[must_use]
    pub fn arrivals_of_the_morning(&self) -> Vec<Minute> {
        let lunch = self.schedule.meals.iter().filter(|m| m.kind == MealKind::Lunch);
        let noon =
            lunch.map(|m| m.window.from).chain(self.schedule.rest.iter().map(|r| r.window.from));
        let noon = noon.min().unwrap_or(self.schedule.open.to);
        let came = self.children.iter().filter_map(|(_, here)| here.first().map(|h| h.from));
        let mut came: Vec<Minute> = came.filter(|from| *from < noon).collect();
        came.sort_unstable();
        came
    }

    /// From when on most of the children who are due in the morning are in; until then nobody is
    /// assigned to anything.
    #[must_use]
    pub fn most_in(&self) -> Minute {
        let came = self.arrivals_of_the_morning();
        let most = (came.len() * self.site.settings.most_in_percent as usize).div_ceil(100);
        most.checked_sub(1).and_then(|last| came.get(last)).copied().unwrap_or(Minute(0))
    }

    /// The children who are here at a minute.
    pub fn here_at(&self, at: Minute) -> impl Iterator<Item = ChildIndex> + '_ {
        let here = self.children.iter().filter(move |(_, h)| h.iter().any(|h| h.contains(at)));
        here.map(|(child, _)| *child)
    }

    /// A child as a standard sees it today.
    #[must_use]
    pub fn head(&self, child: ChildIndex, asleep: bool) -> Head {
        Head { months: self.months(child), born: self.site[child].born, asleep }
    }

    /// Whether a child is too young today to be marched from station to station.
    #[must_use]
    pub fn is_young(&self, child: ChildIndex) -> bool {
        self.months(child) < self.site.settings.young_under_months
    }

    /// Whether any of these children is.
    #[must_use]
    pub fn any_young(&self, children: &[ChildIndex]) -> bool {
        children.iter().any(|&child| self.is_young(child))
    }
}
