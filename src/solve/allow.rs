//! Which station is open to whom, seen from the planning side.

use super::clock::GRID;
use super::layout::Layout;
use super::sleep::own_sleep;
use crate::chart::{BlockKind, ChoiceIndex, OpenChoice};
use crate::day::{Day, KeptFor, is_for};
use crate::model::{CellOption, Target};
use crate::site::{
    ChildIndex, Energy, Mess, Noise, SpaceIndex, Span, StationIndex, TableIndex, ZoneIndex,
};
use crate::standards::hazards;

/// Whether a station, as it stands today, is for a child.
pub(super) fn may_use(day: &Day, child: ChildIndex, station: StationIndex) -> bool {
    is_for(day.station(station), station, &day.site[child], day.date)
}

/// What a stretch of the day leaves open: who is awake where, which tables are laid, where cots are.
#[derive(Clone, Debug)]
pub struct Surroundings<'d> {
    /// The day.
    pub day: &'d Day,
    /// Spans in which each table is laid for a meal.
    pub laid: Vec<(TableIndex, Span)>,
    /// Spans in which cots stand in a space.
    pub cots: Vec<(SpaceIndex, Span)>,
    /// Spans in which somebody is asleep in a space.
    pub asleep: Vec<(ChildIndex, Span)>,
    /// Stations taken by kept cells of single children.
    pub taken: Vec<(StationIndex, Span)>,
}

impl<'d> Surroundings<'d> {
    /// Those of a layout, with its tables laid as they are.
    pub(super) fn of(
        day: &'d Day,
        layout: &Layout,
        laid: Vec<(TableIndex, Span)>,
    ) -> Surroundings<'d> {
        let rest = layout.pieces.iter().filter(|p| p.kind == BlockKind::Rest);
        let mut cots: Vec<(SpaceIndex, Span)> = rest.map(|p| (p.space, p.span)).collect();
        let mut asleep = Vec::new();
        for (child, _) in &day.children {
            for stay in own_sleep(day, *child) {
                cots.push((stay.space, stay.span));
                asleep.push((*child, stay.span));
            }
        }
        let single = day.kept.iter().filter(|k| matches!(k.who, KeptFor::Child(_)));
        let taken = single.map(|k| (k.station, k.span)).collect();
        Surroundings { day, laid, cots, asleep, taken }
    }
}

impl Surroundings<'_> {
    /// Whether a station can be used at all in a span: open, its table free, no cots on it, nobody
    /// too young awake near its small parts.
    #[must_use]
    pub fn usable(&self, station: StationIndex, span: Span) -> bool {
        let s = self.day.station(station);
        let wider =
            Span { from: span.from.earlier(GRID), to: span.to.later(s.reset_minutes.max(1)) };
        let closed = self.day.closed[station.0].iter().any(|c| c.meets(span));
        let taken = self.taken.iter().any(|(t, c)| *t == station && c.meets(span));
        let laid = s
            .stands_on
            .is_some_and(|t| self.laid.iter().any(|(table, l)| *table == t && l.meets(wider)));
        let cots = s.under_cots && self.cots.iter().any(|(at, c)| *at == s.space && c.meets(span));
        let near_small_parts = !s.out_of_reach && self.young_near(station, span);
        !closed && !taken && !laid && !cots && !near_small_parts && !self.wakes(station, span)
    }

    /// Whether a station is loud beside somebody who sleeps by an own clock.
    fn wakes(&self, station: StationIndex, span: Span) -> bool {
        let day = self.day;
        let cots = day.schedule.rest.as_ref().map_or(day.site[day.room].home, |r| r.space);
        let s = day.station(station);
        s.noise == Noise::Loud
            && s.space == cots
            && self.asleep.iter().any(|(_, asleep)| asleep.meets(span))
    }

    fn young_near(&self, station: StationIndex, span: Span) -> bool {
        let watched: Vec<u32> = self
            .day
            .station(station)
            .hazards
            .iter()
            .filter_map(|&h| hazards::caution(h).closed_while_awake_under)
            .collect();
        let awake =
            |child: ChildIndex| !self.asleep.iter().any(|(c, s)| *c == child && s.holds(span));
        watched.iter().any(|&m| {
            self.day.children.iter().any(|(c, here)| {
                self.day.months(*c) < m && here.iter().any(|h| h.meets(span)) && awake(*c)
            })
        })
    }

    /// Stations to leave open in a stretch of choice for these children: none that one of them may
    /// not use, none that needs an adult of its own, in as few zones as give seats enough;
    /// where another choice comes right before or after (it is not `alone`), none to be reset.
    #[must_use]
    pub fn open_choice(
        &self,
        space: SpaceIndex,
        span: Span,
        children: &[ChildIndex],
        (quiet, near): (bool, Option<ZoneIndex>),
        (watchers, alone): (usize, bool),
    ) -> OpenChoice {
        let day = self.day;
        let fits = |s: &StationIndex| {
            let station = day.station(*s);
            !day.takes_own_adult(*s)
                && station.reset_minutes <= if alone { day.schedule.transition_minutes } else { 0 }
                && station.mess != Mess::Wet
                && (!quiet || (station.noise == Noise::Quiet && station.energy != Energy::Vigorous))
                && self.usable(*s, span)
                && children.iter().all(|&c| may_use(day, c, *s))
        };
        let fitting: Vec<StationIndex> = day.site.stations_of(space).filter(fits).collect();
        let mut zones: Vec<ZoneIndex> = fitting.iter().map(|&s| day.station(s).zone).collect();
        zones.sort_unstable();
        zones.dedup();
        let seats = |z: ZoneIndex| -> u32 {
            fitting
                .iter()
                .filter(|s| day.station(**s).zone == z)
                .map(|s| day.station(*s).seats)
                .sum()
        };
        zones.sort_by_key(|&z| (Some(z) != near, std::cmp::Reverse(seats(z)), z));
        let count = u32::try_from(children.len()).unwrap_or(u32::MAX);
        let wanted = day.site.settings.seats_to_choose(children.len());
        let mut open: Vec<StationIndex> = Vec::new();
        let mut have = 0;
        for (opened, zone) in zones.into_iter().enumerate() {
            // More zones than adults to watch them only where the children would have no seats.
            if have >= wanted || (opened >= watchers && have >= count) {
                break;
            }
            have += seats(zone);
            open.extend(fitting.iter().filter(|s| day.station(**s).zone == zone));
        }
        open.sort_unstable();
        OpenChoice { span, space, open }
    }

    /// Something for one child to do while its group sits at a table: what is open there already and all
    /// for that child, else what can be opened, beside the table if that can be; none where that is not
    /// `fine`.
    pub fn beside(
        &self,
        choices: &mut Vec<OpenChoice>,
        table: TableIndex,
        (span, child): (Span, ChildIndex),
        fine: impl Fn(&OpenChoice) -> bool,
    ) -> Option<ChoiceIndex> {
        let (space, zone) = (self.day.site[table].space, self.day.site[table].zone);
        let is_its = |c: &OpenChoice| c.open.iter().all(|s| may_use(self.day, child, *s));
        let open = |c: &OpenChoice| c.space == space && c.span.holds(span) && is_its(c);
        let known = choices.iter().position(open).or_else(|| {
            let near = (false, Some(zone));
            let choice = self.open_choice(space, span, &[child], near, (1, true));
            fine(&choice).then(|| {
                choices.push(choice);
                choices.len() - 1
            })
        });
        known.map(ChoiceIndex)
    }

    /// Places that a group may go to for a turn; [`Target::Unplaced`] last.
    #[must_use]
    pub fn turn_options(
        &self,
        span: Span,
        home: SpaceIndex,
        children: &[ChildIndex],
    ) -> Vec<CellOption> {
        let day = self.day;
        let room = &day.site[day.room];
        let mut options = Vec::new();
        for station in (0..day.stations.len()).map(StationIndex) {
            let s = day.station(station);
            if !room.spaces.contains(&s.space)
                || day.site[s.space].outdoors
                || !self.usable(station, span)
            {
                continue;
            }
            let barred: Vec<ChildIndex> =
                children.iter().copied().filter(|&c| !may_use(day, c, station)).collect();
            let others = children.len() - barred.len();
            let instead = self.instead(station, span, &barred);
            let washed = s.mess != Mess::Wet
                || day.wash_minutes(others, s.space) <= day.schedule.transition_minutes;
            if others == 0 || others > s.seats as usize || instead.len() < barred.len() || !washed {
                continue;
            }
            options.push(CellOption { target: Target::Station(station), space: s.space, instead });
        }
        options.push(CellOption { target: Target::Unplaced, space: home, instead: Vec::new() });
        options
    }

    /// For each barred child a quiet place beside the station; one child to a place.
    pub(super) fn instead(
        &self,
        station: StationIndex,
        span: Span,
        barred: &[ChildIndex],
    ) -> Vec<(ChildIndex, StationIndex)> {
        let day = self.day;
        let zone = day.station(station).zone;
        let mut found: Vec<(ChildIndex, StationIndex)> = Vec::new();
        for &child in barred.iter().take(2) {
            let place = (0..day.stations.len()).map(StationIndex).find(|&s| {
                let other = day.station(s);
                s != station
                    && other.zone == zone
                    && !day.takes_own_adult(s)
                    && other.mess == Mess::None
                    && self.usable(s, span)
                    && may_use(day, child, s)
                    && found.iter().all(|f| f.1 != s)
            });
            found.extend(place.map(|s| (child, s)));
        }
        found
    }

    /// Nests for a young group: two or three stations of one zone, open around its own adult.
    #[must_use]
    pub fn nest_options(
        &self,
        span: Span,
        home: SpaceIndex,
        children: &[ChildIndex],
    ) -> Vec<CellOption> {
        let day = self.day;
        let mut options = Vec::new();
        for zone in day.site.zones_of(home) {
            let fitting: Vec<StationIndex> = day
                .site
                .stations_of(home)
                .filter(|&s| {
                    let station = day.station(s);
                    station.zone == zone
                        && !day.takes_own_adult(s)
                        && station.mess != Mess::Wet
                        && self.usable(s, span)
                        && children.iter().all(|&c| may_use(day, c, s))
                })
                .take(6)
                .collect();
            for set in subsets(&fitting) {
                let seats: usize = set.iter().map(|&s| day.station(s).seats as usize).sum();
                if seats >= children.len() {
                    let target = Target::Nest { zone, open: set };
                    options.push(CellOption { target, space: home, instead: Vec::new() });
                }
            }
        }
        options.push(CellOption { target: Target::Unplaced, space: home, instead: Vec::new() });
        options
    }
}

/// Sets of two or three; of one where there is only one.
fn subsets(of: &[StationIndex]) -> Vec<Vec<StationIndex>> {
    if of.len() == 1 {
        return vec![of.to_vec()];
    }
    let mut sets = Vec::new();
    for mask in 1_u32..(1 << of.len()) {
        if (2..=3).contains(&mask.count_ones()) {
            sets.push((0..of.len()).filter(|i| mask >> i & 1 == 1).map(|i| of[i]).collect());
        }
    }
    sets
}
