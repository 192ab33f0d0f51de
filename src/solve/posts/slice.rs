//! One slice as the posting sees it: the spots that an adult can take and what they are good for.

use super::cost::{Belongs, Company, Crowd, Opening};
use crate::chart::{Chart, Place, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Mess, SpaceIndex, Span, Supervision, ZoneIndex};
use crate::solve::demand::watching_places;
use crate::steps::{self, Stage};

/// Spots that a slice may have; far more than any room needs.
pub(super) const MOST_SPOTS: usize = 250;

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
    /// The spaces with children, then those with children at a changing place out of sight; each has
    /// its company.
    pub spaces: Vec<SpaceIndex>,
    /// How many of `spaces` are spaces.
    pub in_view: usize,
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
    /// The spot of each adult on the chart that stands already, where it can still be taken.
    pub put: Vec<Option<u8>>,
    /// Whether each adult's post on that chart begins with this slice.
    pub begins: Vec<bool>,
}

/// The bit of a zone's position; a sixty-fifth zone in use in one room shares the last one.
fn bit(zone: usize) -> u64 {
    1 << zone.min(63)
}

impl Slice {
    /// An empty slice with its spaces and zones.
    pub(super) fn new(day: &Day, chart: &Chart, span: Span, here: &[(ChildIndex, &Stay)]) -> Slice {
        steps::count(Stage::Posts, 1 + 4 * here.len() as u64);
        let of = |by_itself: bool| {
            let there = here.iter().filter(|(_, s)| day.is_by_itself(s.space, s.at) == by_itself);
            let mut spaces: Vec<SpaceIndex> = there.map(|(_, s)| s.space).collect();
            spaces.sort_unstable();
            spaces.dedup();
            spaces
        };
        let mut spaces = of(false);
        let in_view = spaces.len();
        spaces.extend(of(true));
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
            put: Vec::new(),
            begins: Vec::new(),
            spaces,
            in_view,
        };
        for space in slice.spaces[..in_view].iter().copied() {
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
            let zones = day.zones_of(&chart.choices, stay);
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
        self.spaces[..self.in_view].iter().position(|&s| s == space)
    }

    /// The company at a place of a space: at a changing place out of sight, those who are there.
    pub(super) fn company_at(&self, day: &Day, space: SpaceIndex, at: Place) -> Option<usize> {
        if !day.is_by_itself(space, at) {
            return self.company(space);
        }
        let there = self.spaces[self.in_view..].iter().position(|&s| s == space);
        there.map(|at| self.in_view + at)
    }

    pub(super) fn sees(&self, zone: ZoneIndex) -> u64 {
        self.zones.iter().position(|&z| z == zone).map_or(0, bit)
    }

    /// A spot at which an adult counts and sees `zone`.
    pub(super) fn plain(&self, space: SpaceIndex, at: Place, zone: Option<ZoneIndex>) -> Spot {
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
            watches: Day::watches_moves(at),
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

    pub(super) fn open(&mut self, spot: usize, wanted: u32, each: i128) -> &mut Opening {
        let at = self.openings.len();
        self.spots[spot].opening = Some(at);
        self.openings.push(Opening {
            wanted,
            each,
            counted: false,
            in_order: Vec::new(),
            station: false,
            too_many: 0,
        });
        &mut self.openings[at]
    }

    /// A spot for adults who have nothing to do: where children are, the first zone of the space.
    pub(super) fn wait_in(&mut self, day: &Day, space: SpaceIndex) -> usize {
        if self.company(space).is_none() {
            return self.prepare(space);
        }
        match day.site.zones_of(space).next() {
            Some(zone) => self.spot(space, Place::Zone(zone), Some(zone)),
            None => self.spot(space, Place::Transition, None),
        }
    }

    /// The spot at which adults get a space ready, or clear it away, while no child is in it.
    fn prepare(&mut self, space: SpaceIndex) -> usize {
        let spot = self.spot(space, Place::Preparation, None);
        let facts = &mut self.spots[spot];
        (facts.active, facts.counts, facts.load) = (false, false, None);
        spot
    }
}
