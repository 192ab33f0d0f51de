//! One slice as the posting sees it: the spots that an adult can take and what they are good for.

use super::cost::{
    Belongs, Company, Crowd, KEY_MINUTE, LESSER, OWN_ADULT, Opening, SIGHT, STAFFED,
};
use crate::chart::{Chart, Place, State, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Mess, Minute, SpaceIndex, Span, Supervision, ZoneIndex};
use crate::solve::demand::{
    Duties, beside, care_in, staffed_in, watches_moves, watching_places, zones_of,
};

/// Spots that a slice may have; far more than any room needs.
const MOST_SPOTS: usize = 250;

/// The spot of an adult who is off shift.
pub(super) const NOWHERE: u8 = u8::MAX;

/// One place that an adult can take in a slice.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Spot {
    pub space: SpaceIndex,
    pub at: Place,
    /// The zone that the adult sees first, whatever the place.
    pub zone: Option<ZoneIndex>,
    pub for_child: Option<ChildIndex>,
    /// Position of the children of its space in [`Slice::companies`].
    pub company: Option<usize>,
    /// With the children: not on a staff break and not on a task that takes all attention.
    pub active: bool,
    /// Whoever counts, counts here.
    pub counts: bool,
    /// An adult here need not be near the children that belong to the adult.
    pub excused: bool,
    /// Zones in view, as bits in the order of [`Slice::zones`].
    pub sees: u64,
    /// Sees the children on the move in the space.
    pub watches: bool,
    pub opening: Option<usize>,
    pub load: Option<usize>,
    /// A wet station's own adult.
    pub wet: bool,
}

/// One slice.
#[derive(Clone, Debug)]
pub(super) struct Slice {
    pub span: Span,
    pub spots: Vec<Spot>,
    /// Spots that each adult can take, by the adult's position; none: off shift.
    pub takes: Vec<Vec<u8>>,
    /// The spaces with children.
    pub spaces: Vec<SpaceIndex>,
    pub companies: Vec<Company>,
    pub zones: Vec<ZoneIndex>,
    /// One bit for each of `zones`.
    pub zones_in_use: u64,
    pub openings: Vec<Opening>,
    /// Children by zone, then on the move by company; more where they need more of an eye.
    pub loads: Vec<u32>,
    pub belongs: Vec<Belongs>,
    /// Sets of adults of whom one must be at work.
    pub asked: Vec<Crowd>,
    pub on_site: u32,
}

/// The bit of a zone's position; a sixty-fifth zone in use in one room shares the last one.
fn bit(zone: usize) -> u64 {
    1 << zone.min(63)
}

impl Slice {
    /// An empty slice with its spaces and zones.
    pub(super) fn new(day: &Day, chart: &Chart, span: Span, here: &[(ChildIndex, &Stay)]) -> Slice {
        let mut spaces: Vec<SpaceIndex> = here.iter().map(|(_, s)| s.space).collect();
        spaces.sort_unstable();
        spaces.dedup();
        let mut slice = Slice {
            span,
            spots: Vec::new(),
            takes: Vec::new(),
            companies: Vec::new(),
            zones: Vec::new(),
            zones_in_use: 0,
            openings: Vec::new(),
            loads: Vec::new(),
            belongs: Vec::new(),
            asked: Vec::new(),
            on_site: 0,
            spaces,
        };
        for space in slice.spaces.clone() {
            let zones = watching_places(day, chart, here, space);
            slice.zones.extend(zones.iter().map(|z| z.1));
        }
        slice.zones_in_use = (0..slice.zones.len()).map(bit).fold(0, |a, b| a | b);
        slice.loads = vec![0; slice.zones.len() + slice.spaces.len()];
        slice.weigh(day, chart, here);
        slice
    }

    /// Adds up the children of each zone and of each space's transition.
    fn weigh(&mut self, day: &Day, chart: &Chart, here: &[(ChildIndex, &Stay)]) {
        // Twelfths of a child: those who choose among three zones are a third in each.
        let mut twelfths = vec![0u32; self.loads.len()];
        for (_, stay) in here {
            let zones = zones_of(day, chart, stay);
            let closer = match stay.at {
                Place::Station(s) => {
                    let station = day.station(s);
                    station.mess == Mess::Wet || station.supervision != Supervision::General
                }
                _ => false,
            };
            let weight = if closer { 18 } else { 12 };
            for &zone in &zones {
                if let Some(at) = self.zones.iter().position(|&z| z == zone) {
                    twelfths[at] += weight / u32::try_from(zones.len()).unwrap_or(1);
                }
            }
            if stay.at == Place::Transition
                && let Some(company) = self.company(stay.space)
            {
                twelfths[self.zones.len() + company] += 12;
            }
        }
        self.loads = twelfths.iter().map(|t| t.div_ceil(12)).collect();
    }

    pub(super) fn company(&self, space: SpaceIndex) -> Option<usize> {
        self.spaces.iter().position(|&s| s == space)
    }

    fn sees(&self, zone: ZoneIndex) -> u64 {
        self.zones.iter().position(|&z| z == zone).map_or(0, bit)
    }

    /// A spot at which an adult counts and sees `zone`.
    fn plain(&self, space: SpaceIndex, at: Place, zone: Option<ZoneIndex>) -> Spot {
        let company = self.company(space);
        let seen = zone.and_then(|z| self.zones.iter().position(|&y| y == z));
        let moves = if at == Place::Transition { company } else { None };
        Spot {
            space,
            at,
            zone,
            for_child: None,
            company,
            active: true,
            counts: true,
            excused: false,
            sees: seen.map_or(0, bit),
            watches: watches_moves(at),
            opening: None,
            load: seen.or(moves.map(|c| self.zones.len() + c)),
            wet: false,
        }
    }

    /// Adds a spot unless it is there already; its position. No more than 250 spots: past that
    /// the first one is as good as any.
    pub(super) fn spot(&mut self, space: SpaceIndex, at: Place, zone: Option<ZoneIndex>) -> usize {
        let same = |s: &Spot| (s.space, s.at, s.zone, s.for_child) == (space, at, zone, None);
        if let Some(known) = self.spots.iter().position(same) {
            return known;
        }
        if self.spots.len() >= MOST_SPOTS {
            return 0;
        }
        self.spots.push(self.plain(space, at, zone));
        self.spots.len() - 1
    }

    fn open(&mut self, spot: usize, wanted: u32, each: i128) -> &mut Opening {
        let at = self.openings.len();
        self.spots[spot].opening = Some(at);
        self.openings.push(Opening {
            wanted,
            each,
            counted: false,
            in_order: Vec::new(),
            station: false,
        });
        &mut self.openings[at]
    }

    /// Adds every spot that the children and the duties call for.
    pub(super) fn fill(
        &mut self,
        day: &Day,
        chart: &Chart,
        duties: &Duties,
        here: &[(ChildIndex, &Stay)],
    ) {
        let minute = self.span.from;
        for space in self.spaces.clone() {
            let before = self.spots.len();
            for (at, zone) in watching_places(day, chart, here, space) {
                self.spot(space, at, Some(zone));
            }
            self.stations(day, chart, space, here);
            for (_, stay) in here.iter().filter(|(_, s)| s.space == space) {
                match stay.at {
                    Place::Table(t) => {
                        let spot = self.spot(space, stay.at, Some(day.site[t].zone));
                        if self.spots[spot].opening.is_none() {
                            self.open(spot, 1, 4 * LESSER);
                        }
                    }
                    Place::Transition => {
                        self.spot(space, Place::Transition, None);
                    }
                    _ => {}
                }
            }
            if self.spots.len() == before {
                self.wait_in(day, space, false);
            }
        }
        self.own_adults(day, chart, here);
        self.care(day, duties, minute, here);
        self.duties(day, duties, minute);
    }

    /// Spots for adults without children: the first zone of a space, or all; the first of them.
    pub(super) fn wait_in(&mut self, day: &Day, space: SpaceIndex, all: bool) -> usize {
        let zones = day.site.zones_of(space).take(if all { usize::MAX } else { 1 });
        let spots: Vec<usize> =
            zones.map(|zone| self.spot(space, Place::Zone(zone), Some(zone))).collect();
        match spots.first() {
            Some(&spot) => spot,
            None => self.spot(space, Place::Transition, None),
        }
    }

    fn stations(
        &mut self,
        day: &Day,
        chart: &Chart,
        space: SpaceIndex,
        here: &[(ChildIndex, &Stay)],
    ) {
        for (station, adults) in staffed_in(day, chart, space, here) {
            let facts = day.station(station);
            let spot = self.spot(space, Place::Station(station), Some(facts.zone));
            let opening = self.open(spot, adults, STAFFED);
            (opening.counted, opening.station) = (true, true);
            self.spots[spot].wet = facts.mess == Mess::Wet;
        }
        for (_, stay) in here.iter().filter(|(_, s)| s.space == space) {
            let Place::Station(station) = stay.at else { continue };
            let facts = day.station(station);
            let wet = facts.mess == Mess::Wet;
            if !wet && facts.supervision == Supervision::General {
                continue;
            }
            let spot = self.spot(space, stay.at, Some(facts.zone));
            self.spots[spot].wet = wet;
            if self.spots[spot].opening.is_none() {
                // Standing there is better than watching its zone from somewhere.
                self.open(spot, 1, 0).station = true;
            }
        }
    }

    fn own_adults(&mut self, day: &Day, chart: &Chart, here: &[(ChildIndex, &Stay)]) {
        let position = |who: AdultIndex| day.adults.iter().position(|(a, _)| *a == who);
        for &(child, stay) in here {
            let company = self.company(stay.space).unwrap_or(0);
            let zones =
                zones_of(day, chart, stay).iter().map(|&z| self.sees(z)).fold(0, |a, b| a | b);
            if day.site[child].one_to_one.is_some() && self.spots.len() < MOST_SPOTS {
                let (at, zone) = beside(day, chart, stay);
                let own = Spot {
                    for_child: Some(child),
                    counts: false,
                    load: None,
                    excused: true,
                    ..self.plain(stay.space, at, zone)
                };
                self.spots.push(own);
                let support = day.site[child].one_to_one.iter();
                let who = support.flat_map(|s| std::iter::once(&s.adult).chain(&s.stand_ins));
                let order = who.map(|&a| position(a).unwrap_or(usize::MAX)).collect();
                self.open(self.spots.len() - 1, 1, OWN_ADULT).in_order = order;
            }
            let awake = stay.state != State::Asleep;
            let mut belongs = |who: AdultIndex, each: i64| {
                if let Some(adult) = position(who) {
                    self.belongs.push(Belongs { adult, zones, company, each });
                }
            };
            if let Some(key) = day.site[child].key_adult {
                belongs(key, if awake && day.is_young(child) { KEY_MINUTE } else { 8 });
            }
            if let Some(settling) = day.site[child].settling_in.filter(|s| day.date <= s.until) {
                belongs(settling.with, KEY_MINUTE);
            }
        }
    }

    fn care(&mut self, day: &Day, duties: &Duties, minute: Minute, here: &[(ChildIndex, &Stay)]) {
        for space in (0..day.site.spaces.len()).map(SpaceIndex) {
            if !care_in(day, duties, minute, space, here) {
                continue;
            }
            let rounds = duties.care.iter().filter(|c| c.0 == space && c.1.contains(minute));
            let wanted = u32::try_from(rounds.count()).unwrap_or(1).max(1);
            let place = day.site[space].care_place.as_ref();
            let seen_from = place.map_or(&[][..], |p| &p.seen_from);
            let sees = seen_from.iter().map(|&z| self.sees(z)).fold(0, |a, b| a | b);
            let spot = self.spot(space, Place::Care, None);
            self.open(spot, wanted, 2 * SIGHT);
            let facts = &mut self.spots[spot];
            facts.sees = sees;
            facts.counts = !seen_from.is_empty();
            facts.excused = true;
        }
    }

    fn duties(&mut self, day: &Day, duties: &Duties, minute: Minute) {
        for &(space, _) in duties.door.iter().filter(|d| d.1.contains(minute)) {
            let spot = self.spot(space, Place::Door, None);
            match self.spots[spot].opening {
                Some(open) => self.openings[open].wanted += 1,
                None => _ = self.open(spot, 1, 2 * LESSER),
            }
        }
        for (i, &(task, _)) in duties.tasks.iter().enumerate() {
            if !duties.task_span(day, i).is_some_and(|s| s.contains(minute)) {
                continue;
            }
            let facts = &day.schedule.tasks[task];
            let in_space = |z: &ZoneIndex| day.site[*z].space == facts.space;
            let mut zones: Vec<Option<ZoneIndex>> =
                self.zones.iter().copied().filter(in_space).map(Some).collect();
            if !facts.watching || zones.is_empty() {
                zones = vec![None];
            }
            let mut open = None;
            for zone in zones {
                let spot = self.spot(facts.space, Place::Task(task), zone);
                if open.is_none() {
                    self.open(spot, 1, 2 * LESSER);
                    open = self.spots[spot].opening;
                }
                let spot = &mut self.spots[spot];
                spot.opening = open;
                spot.excused = true;
                spot.watches = false;
                spot.active = facts.watching;
                spot.counts = facts.watching;
                spot.load = None;
            }
        }
    }
}
