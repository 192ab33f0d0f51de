//! A scenario file or request: its format, field by field, and its reading.
#![doc = ""]
#![doc = include_str!("format.md")]

mod adult;
mod allergies;
mod attendance;
mod breaks;
mod checks;
mod child;
mod days;
mod ids;
mod on_date;
mod place;
mod preset_day;
mod presets;
mod reader;
mod room;
mod schedule;
mod site;
mod station;
mod week;

pub(crate) use ids::slug;

use super::{At, Fault, decode};
use crate::day::{Day, DayFacts, DayFault, VisitRecord};
use crate::site::{RoomIndex, Site};
use crate::standards::Standard;
use crate::wire::limits;
use chrono::NaiveDate;
use reader::Reader;
use std::sync::Arc;

/// Everything that a scenario says, checked.
#[derive(Clone, Debug)]
pub struct Scenario {
    /// Standing facts.
    pub site: Arc<Site>,
    /// Every standard that binds, local limits last.
    pub standards: Vec<Arc<Standard>>,
    /// Dates about which something is said, in the order of the file.
    pub days: Vec<DayFacts>,
    /// Who did what, by date.
    pub record: VisitRecord,
    /// The date for which defaults by age and staff breaks by rule were taken: the one asked for,
    /// else the first of `days`.
    pub date: NaiveDate,
    /// What the file says about itself.
    pub about: String,
    /// Defaults that stood in for facts nobody gave.
    pub assumed: Vec<Assumed>,
}

/// A default that was taken.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Assumed {
    /// JSON pointer of what it was taken for.
    pub pointer: String,
    /// What was taken, as a sentence without its full stop.
    pub words: String,
}

impl Scenario {
    /// What is said about a date; plain facts where nothing is.
    #[must_use]
    pub fn facts(&self, date: NaiveDate) -> DayFacts {
        let said = self.days.iter().find(|day| day.date == date);
        said.cloned().unwrap_or_else(|| DayFacts::plain(date))
    }

    /// The defaults that were taken, one sentence each.
    #[must_use]
    pub fn assumed_sentences(&self) -> Vec<String> {
        let sentence = |words: &str| {
            let mut letters = words.chars();
            let first = letters.next().map_or_else(String::new, |c| c.to_uppercase().collect());
            format!("{first}{}.", letters.as_str())
        };
        self.assumed.iter().map(|assumed| sentence(&assumed.words)).collect()
    }

    /// The day of a room on a date.
    ///
    /// # Errors
    /// As [`Day::open`]; a date of `days` has been checked while the file was read.
    pub fn open(&self, room: RoomIndex, date: NaiveDate) -> Result<Day, Vec<DayFault>> {
        let (site, standards) = (Arc::clone(&self.site), self.standards.clone());
        Day::open(site, standards, room, &self.facts(date), &self.record)
    }

    /// The room of an id.
    #[must_use]
    pub fn room(&self, id: &str) -> Option<RoomIndex> {
        self.site.rooms.iter().position(|room| room.id == id).map(RoomIndex)
    }
}

/// Reads a scenario for the first of its `days`.
///
/// # Errors
/// Every fault, in the order of the text; also when `days` is empty.
pub fn read(bytes: &[u8]) -> Result<Scenario, Vec<Fault>> {
    read_for(bytes, None)
}

/// Reads a scenario for a date, or for the first of its `days`.
///
/// # Errors
/// Every fault, in the order of the text; also when no date is given and `days` is empty.
pub fn read_for(bytes: &[u8], date: Option<NaiveDate>) -> Result<Scenario, Vec<Fault>> {
    decode(bytes, |root| whole(root, date))
}

const SCENARIO: [&str; 13] = [
    "format",
    "about",
    "site",
    "rooms",
    "spaces",
    "zones",
    "tables",
    "stations",
    "children",
    "adults",
    "schedules",
    "days",
    "visits",
];

fn whole(root: &At<'_>, date: Option<NaiveDate>) -> Option<Scenario> {
    let object = root.object(&SCENARIO)?;
    object.need("format").and_then(|at| at.whole::<u32>(1, 1));
    let about = object.or("about", String::new(), |at| at.text().map(str::to_string));
    let days = object.list(&limits::SITE_DAYS);
    let first = days.iter().find_map(|day| day.peek("date")?.peek_date());
    let Some(on) = date.or(first) else {
        if days.is_empty() {
            root.fault("no date is given", "add one to `days`, or ask for a date");
        } else {
            days::dates(&days);
        }
        return None;
    };
    let mut reader = Reader::new(object, on);
    let standards = site::site(&mut reader);
    if reader.rooms.items().is_empty() {
        reader.rooms.push("room");
        reader.assume_at("/rooms", "one room".into());
    }
    place::spaces(&mut reader);
    let homes = place::homes(&reader);
    room::children_to_rooms(&mut reader);
    place::zones(&mut reader, &homes);
    place::care_places(&mut reader, &homes);
    place::tables(&mut reader, &homes);
    room::rooms(&mut reader, &homes);
    room::governing_ages(&reader, root, &standards);
    station::stations(&mut reader, &homes);
    adult::adults(&mut reader);
    child::children(&mut reader);
    checks::schedules(&reader);
    checks::people(&reader);
    allergies::check(&reader);
    let days = days::days(&reader);
    let record = days::visits(&reader);
    let site = Arc::new(reader.site.clone());
    on_date::check(&reader, &site, &days, on);
    let assumed = reader.into_assumed();
    Some(Scenario { site, standards, days, record, date: on, about, assumed })
}
