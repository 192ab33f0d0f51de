//! Invented sites of any size, for trying the planner out and for tests: nobody in them is real.
//!
//! They are as awkward as most real ones: part-timers, allergies, children to be kept apart, too few
//! seats, toddlers among older ones, and on every third site somebody is missing from the team.
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
//! Map: `ground` rooms with their spaces and stations, `people` children and adults, `date` one
//! rainy day, `names` what they are called, `awkward` what makes it all harder.

mod awkward;
mod chance;
mod date;
mod ground;
mod names;
mod people;

use super::pretty::pretty;
use chance::Chance;
use serde_json::{Value, json};

/// Figures that everything else in the site follows from.
struct Plan {
    rooms: usize,
    children: usize,
    adults: usize,
    day: Shape,
    standard: &'static str,
    /// With which ages the first room begins.
    first_ages: usize,
}

/// How the rooms' days run.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    Full,
    Half,
    Family,
}

impl Plan {
    fn room_of(&self, child: usize) -> usize {
        child % self.rooms
    }

    /// Children enrolled in a room.
    fn enrolled(&self, room: usize) -> usize {
        (0..self.children).filter(|c| self.room_of(*c) == room).count()
    }

    /// The adults of a room, floaters among them.
    fn team(&self, room: usize) -> Vec<usize> {
        (0..self.adults).filter(|a| self.floats(*a) || a % self.rooms == room).collect()
    }

    /// With fewer adults than rooms everybody covers everywhere; with a few more than two a room
    /// the last one floats.
    fn floats(&self, adult: usize) -> bool {
        let last = adult + 1 == self.adults && self.adults > 2 * self.rooms + 1;
        self.adults < self.rooms || last && self.rooms > 1
    }
}

/// Standards with the time zone of an invented harbour that they could bind.
const WHERE: [(&str, &str); 6] = [
    ("ireland-full-day", "Europe/Dublin"),
    ("australia", "Australia/Hobart"),
    ("england-eyfs", "Europe/London"),
    ("cfoc-centre", "America/Halifax"),
    ("netherlands", "Europe/Amsterdam"),
    ("ontario", "America/Toronto"),
];

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
    let (standard, time_zone) = *chance.one_of(&WHERE);
    let day = match (rooms, children, adults) {
        (1, ..=8, 1) => Shape::Family,
        _ if chance.one_in(4) => Shape::Half,
        _ => Shape::Full,
    };
    let first_ages = chance.between(0, 3);
    let plan = Plan { rooms, children, adults, day, standard, first_ages };
    let (label, quay) = (names::site(&mut chance), names::harbour(&mut chance));
    let about = format!(
        "Invented from seed {seed}: {label}, above {quay}, on a wet spring day. No child, adult or \
         place is real."
    );
    let mut site = json!({
        "label": label,
        "time_zone": time_zone,
        "standards": [standard],
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
