//! The spots that children and duties call for in one slice.

use super::cost::{Belongs, KEY_MINUTE, LESSER, OWN_ADULT, Opening, SIGHT, STAFFED};
use super::slice::{MOST_SPOTS, Slice, Spot};
use crate::chart::{Chart, Place, State, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Mess, Minute, SpaceIndex, Supervision, ZoneIndex};
use crate::solve::demand::{Duties, beside, care_in, staffed_in, watching_places};

/// One adult too many at a station would do better watching its zone.
const TOO_MANY: i64 = 2;
/// One too many at the changing place sees little and helps nobody, however near it is to the next
/// post.
const IDLE_AT_CARE: i64 = 1 << 16;

impl Slice {
    /// Adds every spot that the children and the duties call for.
    pub(super) fn fill(
        &mut self,
        day: &Day,
        chart: &Chart,
        duties: &Duties,
        here: &[(ChildIndex, &Stay)],
    ) {
        let minute = self.span.from;
        for at in 0..self.in_view {
            let space = self.spaces[at];
            let before = self.spots.len();
            for (at, zone) in watching_places(day, chart, here, space) {
                // Where everybody eats, adults sit down at a table; from there nobody sees who is
                // on the move.
                let elsewhere = here.iter().filter(|h| h.1.space == space).any(|(_, stay)| {
                    stay.at == Place::Transition
                        || !matches!(stay.at, Place::Table(_))
                            && day.zones_of(&chart.choices, stay).contains(&zone)
                });
                if elsewhere {
                    self.spot(space, at, Some(zone));
                }
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
                self.wait_in(day, space);
            }
        }
        self.own_adults(day, chart, here);
        self.care(day, duties, minute, here);
        self.duties(day, duties, minute);
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
            (opening.counted, opening.station, opening.too_many) = (true, true, TOO_MANY);
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
                let opening = self.open(spot, 1, 0);
                (opening.station, opening.too_many) = (true, TOO_MANY);
            }
        }
    }

    fn own_adults(&mut self, day: &Day, chart: &Chart, here: &[(ChildIndex, &Stay)]) {
        let position = |who: AdultIndex| day.adults.iter().position(|(a, _)| *a == who);
        for &(child, stay) in here {
            let company = self.company_at(day, stay.space, stay.at).unwrap_or(0);
            let zones = day
                .zones_of(&chart.choices, stay)
                .iter()
                .map(|&z| self.sees(z))
                .fold(0, |a, b| a | b);
            if let Some(support) = &day.site[child].one_to_one {
                let who = std::iter::once(&support.adult).chain(&support.stand_ins);
                let in_order = who.map(|&a| position(a).unwrap_or(usize::MAX)).collect();
                let from = self.spots.len();
                self.beside(child, stay.space, in_order, &beside(day, chart, stay));
                if stay.at == Place::Care {
                    let sees = self.care_view(day, stay.space);
                    let company = self.company_at(day, stay.space, stay.at);
                    for spot in &mut self.spots[from..] {
                        (spot.sees, spot.company) = (sees, company);
                    }
                }
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

    /// Adds the places beside a child with an own adult; any one of them will do.
    fn beside(
        &mut self,
        child: ChildIndex,
        space: SpaceIndex,
        in_order: Vec<usize>,
        places: &[(Place, Option<ZoneIndex>)],
    ) {
        let open = self.openings.len();
        for &(at, zone) in places.iter().take(MOST_SPOTS.saturating_sub(self.spots.len())) {
            self.spots.push(Spot {
                for_child: Some(child),
                counts: false,
                load: None,
                excused: true,
                opening: Some(open),
                ..self.plain(space, at, zone)
            });
        }
        self.openings.push(Opening {
            wanted: 1,
            each: OWN_ADULT,
            counted: false,
            in_order,
            station: false,
            too_many: 0,
        });
    }

    /// What an adult at the changing place of a space sees.
    fn care_view(&self, day: &Day, space: SpaceIndex) -> u64 {
        day.seen_from_care(space).iter().map(|&z| self.sees(z)).fold(0, |a, b| a | b)
    }

    fn care(&mut self, day: &Day, duties: &Duties, minute: Minute, here: &[(ChildIndex, &Stay)]) {
        for space in (0..day.site.spaces.len()).map(SpaceIndex) {
            if !care_in(day, duties, minute, space, here) {
                continue;
            }
            let rounds = duties.care.iter().filter(|c| c.0 == space && c.1.contains(minute));
            let wanted = u32::try_from(rounds.count()).unwrap_or(1).max(1);
            let sees = self.care_view(day, space);
            let company = self.company_at(day, space, Place::Care);
            let spot = self.spot(space, Place::Care, None);
            self.open(spot, wanted, 2 * SIGHT).too_many = IDLE_AT_CARE;
            let facts = &mut self.spots[spot];
            facts.sees = sees;
            facts.company = company;
            // Where nobody is there yet, or any more, whoever waits there counts for nobody.
            facts.counts = company.is_some();
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
