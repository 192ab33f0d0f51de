//! The standard that binds an invented site, how its days run under it, and how old its children are.
//!
//! Every built-in standard has its turn, wherever a site of these numbers could be under it: homes are
//! small, sessions are short, no class is larger than its standard allows, and where there are too few
//! adults for everybody who is enrolled, no more than one is lacking if that can be.

use super::babies;
use super::chance::Chance;
use super::people::today;
use super::{Age, Numbers, Plan, Shape};
use crate::site::{Minute, Span};
use crate::standards::method::Mixed;
use crate::standards::{Head, Situation, Standard, library};
use chrono::{Days, Months};

/// The governing age in months of a room in which nobody is enrolled yet.
const NOBODY_YET: u32 = 48;
/// Clocks of invented harbours by the place that a standard is of.
const CLOCKS: [(&str, &str); 42] = [
    ("Alberta", "America/Edmonton"),
    ("Arizona", "America/Phoenix"),
    ("Australia", "Australia/Hobart"),
    ("British Columbia", "America/Vancouver"),
    ("California", "America/Los_Angeles"),
    ("Colorado", "America/Denver"),
    ("England", "Europe/London"),
    ("Finland", "Europe/Helsinki"),
    ("Florida", "America/New_York"),
    ("Georgia", "America/New_York"),
    ("Illinois", "America/Chicago"),
    ("Ireland", "Europe/Dublin"),
    ("Manitoba", "America/Winnipeg"),
    ("Maryland", "America/New_York"),
    ("Massachusetts", "America/New_York"),
    ("Michigan", "America/Detroit"),
    ("Minnesota", "America/Chicago"),
    ("Missouri", "America/Chicago"),
    ("Netherlands", "Europe/Amsterdam"),
    ("New Jersey", "America/New_York"),
    ("New South Wales", "Australia/Sydney"),
    ("New York City", "America/New_York"),
    ("New York State", "America/New_York"),
    ("New Zealand", "Pacific/Auckland"),
    ("North Carolina", "America/New_York"),
    ("Northern Ireland", "Europe/London"),
    ("Norway", "Europe/Oslo"),
    ("Nova Scotia", "America/Halifax"),
    ("Ohio", "America/New_York"),
    ("Ontario", "America/Toronto"),
    ("Oregon", "America/Los_Angeles"),
    ("Pennsylvania", "America/New_York"),
    ("Quebec", "America/Toronto"),
    ("Saskatchewan", "America/Regina"),
    ("Scotland", "Europe/London"),
    ("Singapore", "Asia/Singapore"),
    ("Tennessee", "America/Chicago"),
    ("Texas", "America/Chicago"),
    ("Virginia", "America/New_York"),
    ("Wales", "Europe/London"),
    ("Washington State", "America/Los_Angeles"),
    ("Wisconsin", "America/Chicago"),
];

/// The time zone of a place; of the United States as a whole, one of theirs.
pub(super) fn time_zone(place: &str) -> Option<&'static str> {
    let known = CLOCKS.iter().find(|(of, _)| *of == place).map(|(_, zone)| *zone);
    known.or((place == "United States").then_some("America/New_York"))
}

/// What a standard is for, read from its names.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Centre,
    Session,
    DropIn,
    Home,
}

fn kind(standard: &Standard) -> Kind {
    let names = |words: &[&str]| {
        words.iter().any(|word| standard.id.contains(word) || standard.label.contains(word))
    };
    if names(&["drop-in"]) {
        Kind::DropIn
    } else if names(&["session"]) {
        Kind::Session
    } else if names(&["home", "childminder", "multi-age"]) {
        Kind::Home
    } else {
        Kind::Centre
    }
}

/// Most children and adults of an invented home.
const HOME: (usize, usize) = (12, 3);
/// One adult with no more children than this is alone at home.
const ALONE: usize = 8;

/// A site's standard, days and ages.
pub(super) fn plan(of: Numbers, chance: &mut Chance) -> Plan {
    let Numbers { rooms, children, adults } = of;
    let could_be_home = rooms == 1 && children <= HOME.0 && adults <= HOME.1;
    let must_be_home = rooms == 1 && children <= ALONE && adults == 1;
    let mut order: Vec<&'static Standard> = library().iter().map(AsRef::as_ref).collect();
    chance.shuffle(&mut order);
    order.retain(|standard| match kind(standard) {
        Kind::Home => could_be_home,
        _ => !must_be_home,
    });
    let half = chance.one_in(6);
    let first_ages = chance.between(0, 3);
    // What no standard allows is bound by the first all the same: a site is always invented.
    for (size, lacking) in [(true, 1), (true, usize::MAX), (false, usize::MAX)] {
        for standard in &order {
            let day = match kind(standard) {
                Kind::Session => Shape::Session,
                Kind::DropIn => Shape::DropIn,
                Kind::Home => Shape::Family,
                Kind::Centre if half => Shape::Half,
                Kind::Centre => Shape::Full,
            };
            let blank = Age { months: 0, born: today() };
            let (ages, governing) = (vec![blank; children], vec![None; rooms]);
            let mut plan = Plan { of, day, standard, ages, governing };
            if (0..rooms).all(|room| {
                let wished = wished(day, (room + first_ages) % 4, of.enrolled(room).len(), chance);
                wished.iter().any(|mix| plan.settle(room, mix, size, lacking, chance))
            }) {
                return plan;
            }
        }
    }
    unreachable!("without a limit of size the first standard holds any site")
}

/// Who is in a room together: so many babies, and the youngest and oldest of the others in months.
struct Mix {
    babies: usize,
    others: (usize, usize),
}

/// The ages of a room in the order in which they are tried: as wished, then easier on the adults.
/// Babies, preschoolers, all ages and toddlers take turns.
fn wished(day: Shape, turn: usize, enrolled: usize, chance: &mut Chance) -> Vec<Mix> {
    let others: &[(usize, usize)] = match (day, turn) {
        (Shape::Family, 0) => &[(18, 62), (18, 62), (36, 64)],
        (_, 0) => &[(18, 29), (18, 62), (36, 64)],
        (_, 1) => &[(36, 64), (48, 64)],
        (_, 3) if day != Shape::Family => &[(18, 35), (24, 47), (36, 64), (48, 64)],
        _ => &[(18, 62), (30, 64), (48, 64)],
    };
    let most = if day == Shape::Family { 2 } else { 6 };
    let babies = if turn == 0 { chance.between(1, most).min(enrolled) } else { 0 };
    let fewer = [babies, babies.div_ceil(2), babies.min(1)];
    let mix =
        |(at, others): (usize, &(usize, usize))| Mix { babies: fewer[at.min(2)], others: *others };
    others.iter().enumerate().map(mix).collect()
}

impl Plan {
    /// Gives the children of a room their ages, and says whether the standard lets them be together,
    /// if that is wanted (`size`), and asks for no more adults than there are and so many `lacking`.
    fn settle(
        &mut self,
        room: usize,
        mix: &Mix,
        size: bool,
        lacking: usize,
        chance: &mut Chance,
    ) -> bool {
        let mut enrolled = self.of.enrolled(room);
        chance.shuffle(&mut enrolled);
        for (at, child) in enrolled.iter().enumerate() {
            let (youngest, oldest) = if at < mix.babies { babies::MONTHS } else { mix.others };
            let months = chance.between(youngest, oldest);
            let day = today().checked_sub_months(Months::new(months as u32)).unwrap_or(today());
            self.ages[*child] = Age { months, born: day - Days::new(chance.between(0, 27) as u64) };
        }
        let heads: Vec<Head> = enrolled.iter().map(|child| head(self.ages[*child])).collect();
        self.governing[room] = self.governing_age(&heads, chance);
        let need = self.standard.need(&heads, &self.morning(room));
        let least = self.standard.least_adults(heads.len() as u32).max(need.adults) as usize;
        let holds = need.class_size.is_none_or(|most| heads.len() <= most as usize);
        (holds || !size) && least.saturating_sub(self.of.team(room).len()) <= lacking
    }

    /// The age that a room has fixed for the year, where the standard asks for one (always) or knows
    /// one (as often as not): the middle one of its largest band.
    fn governing_age(&self, heads: &[Head], chance: &mut Chance) -> Option<u32> {
        let mixed = &self.standard.mixed;
        let known = matches!(mixed, Mixed::PercentThreshold { .. }) && chance.one_in(2);
        if !known && !mixed.asks_governing_age() {
            return None;
        }
        let of_band = |band: usize| {
            let of = |head: &&Head| self.standard.band_of(head, today()) == band;
            let mut months: Vec<u32> = heads.iter().filter(of).map(|head| head.months).collect();
            months.sort_unstable();
            months
        };
        let bands = (0..self.standard.bands.len()).map(of_band);
        // Of two equal ones the younger, which asks for more.
        let largest = bands.rev().max_by_key(Vec::len)?;
        // Nobody is enrolled in a room that is kept for later.
        let middle = largest.get(largest.len() / 2).copied();
        middle.or_else(|| mixed.asks_governing_age().then_some(NOBODY_YET))
    }

    /// An ordinary morning with everybody there, whatever the adults hold.
    fn morning(&self, room: usize) -> Situation<'static> {
        Situation {
            date: today(),
            adults: &[],
            governing_age: self.governing[room],
            minute: Minute::hm(10, 0),
            open: Span { from: Minute::hm(8, 0), to: Minute::hm(17, 0) },
            outdoors: false,
        }
    }
}

fn head(age: Age) -> Head {
    Head { months: age.months as u32, born: age.born, asleep: false }
}
