//! Invented sites of any size, for trying the planner out and for tests: nobody in them is real.
//!
//! They are as awkward as most real ones: part-timers, allergies, children to be kept apart, too few
//! seats, toddlers among older ones, babies in one room of four, and on every third site somebody is
//! missing from the team. Each is bound by one of the built-in standards, and is such a site as that
//! standard is for: a centre, a home, or one that is open for a few hours.
//!
//! ```
//! use fairturn::wire::{invent::invent, scenario};
//! let text = invent(1, 14, 3, 7);
//! let scenario = scenario::read(text.as_bytes()).expect("an invented site has no fault");
//! assert_eq!(scenario.site.children.len(), 14);
//! assert_eq!(text, invent(1, 14, 3, 7), "the same seed invents the same site");
//! ```
//!
//! [`awkward`](fn@awkward) invents sites as awkward as the worst.
//!
//! Map: `setting` the standard and the ages under it, `ground` rooms with their spaces and stations,
//! `people` children and adults, `babies` what is otherwise for the youngest, `date` one rainy day,
//! `names` what they are called, `awkward` what makes it all harder.

mod awkward;
mod babies;
mod chance;
mod date;
mod ground;
mod names;
mod people;
mod setting;

use super::pretty::pretty;
use crate::standards::Standard;
use chance::Chance;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// How many there are of everything.
#[derive(Clone, Copy)]
struct Numbers {
    rooms: usize,
    children: usize,
    adults: usize,
}

/// What everything else in the site follows from.
struct Plan {
    of: Numbers,
    day: Shape,
    standard: &'static Standard,
    /// The children's ages, by position.
    ages: Vec<Age>,
    /// The age in months that each room has fixed for the year, where its standard asks for one.
    governing: Vec<Option<u32>>,
}

/// How old a child is on the day.
#[derive(Clone, Copy)]
struct Age {
    /// Completed months.
    months: usize,
    born: NaiveDate,
}

/// How the rooms' days run.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    Full,
    Half,
    /// A half day under a standard for sessions.
    Session,
    /// A half day on which each child is there for a part of it.
    DropIn,
    /// A home.
    Family,
}

impl Shape {
    fn is_half(self) -> bool {
        matches!(self, Shape::Half | Shape::Session | Shape::DropIn)
    }
}

impl Numbers {
    fn room_of(self, child: usize) -> usize {
        child % self.rooms
    }

    /// The children of a room, by position.
    fn enrolled(self, room: usize) -> Vec<usize> {
        (0..self.children).filter(|c| self.room_of(*c) == room).collect()
    }

    /// The adults of a room, floaters among them.
    fn team(self, room: usize) -> Vec<usize> {
        (0..self.adults).filter(|a| self.floats(*a) || a % self.rooms == room).collect()
    }

    /// With fewer adults than rooms everybody covers everywhere; with a few more than two a room
    /// the last one floats.
    fn floats(self, adult: usize) -> bool {
        let last = adult + 1 == self.adults && self.adults > 2 * self.rooms + 1;
        self.adults < self.rooms || last && self.rooms > 1
    }
}

impl Plan {
    /// The children of a room who are no babies, by position.
    fn no_babies(&self, room: usize) -> Vec<usize> {
        let mut enrolled = self.of.enrolled(room);
        enrolled.retain(|child| !babies::is_baby(self.ages[*child].months));
        enrolled
    }

    fn has_babies(&self, room: usize) -> bool {
        self.no_babies(room).len() < self.of.enrolled(room).len()
    }
}

/// The scenario, as JSON, of an invented site with so many rooms, children and adults (at least one
/// of each) and one date, [`2026-04-14`](super::scenario). The same figures and seed give the same
/// text; [`super::scenario::read`] finds no fault in it as long as no room has more than 24
/// children.
#[must_use]
pub fn invent(rooms: usize, children: usize, adults: usize, seed: u64) -> String {
    scenario([rooms, children, adults], seed, false)
}

/// As [`invent()`], but as awkward as the worst of sites: one sink a room, staff breaks in tight
/// windows, half-day shifts, more children with an adult of their own, with appointments, with
/// allergies or to be kept apart, and where somebody is missing, another leaves early.
#[must_use]
pub fn awkward(rooms: usize, children: usize, adults: usize, seed: u64) -> String {
    scenario([rooms, children, adults], seed, true)
}

fn scenario([rooms, children, adults]: [usize; 3], seed: u64, awkward: bool) -> String {
    let (rooms, children, adults) = (rooms.max(1), children.max(1), adults.max(1));
    let mut chance = Chance::new(seed);
    let plan = setting::plan(Numbers { rooms, children, adults }, &mut chance);
    let (label, quay) = (names::site(&mut chance), names::harbour(&mut chance));
    let about = format!(
        "Invented from seed {seed}: {label}, above {quay}, on a wet spring day. No child, adult or \
         place is real."
    );
    let mut site = json!({
        "label": label,
        "time_zone": setting::time_zone(&plan.standard.place).unwrap_or("Etc/UTC"),
        "standards": [plan.standard.id],
        "usual_times": { "till-lunch": "08:45-12:45" },
    });
    if chance.one_in(4) {
        site["settings"] = json!({ "minutes_to_reach_children": 5 });
    }
    let mut ground = ground::ground(&plan, &mut chance);
    let mut people = people::people(&plan, &ground, &mut chance);
    let (mut day, visits) = date::date(&plan, &ground, &people, seed, &mut chance);
    if awkward {
        let short = seed.is_multiple_of(3);
        awkward::lay_over(&plan, &mut ground, &mut people, &mut day, short, &mut chance);
    }
    let scenario: Value = json!({
        "format": 1,
        "about": about,
        "site": site,
        "rooms": ground.rooms,
        "spaces": ground.spaces,
        "zones": ground.zones,
        "tables": ground.tables,
        "stations": ground.stations,
        "children": people.children,
        "adults": people.adults,
        "schedules": [ground.schedule],
        "days": [day],
        "visits": visits,
    });
    pretty(&scenario)
}
