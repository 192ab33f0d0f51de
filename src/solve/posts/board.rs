//! The whole day as the posting sees it: slices, and what a step from one to the next costs.

use super::cost::{
    CHANGE, Company, Cost, Crowd, HANDOVER, LESSER, PUT, SIGHT, Scratch, Team, WET, only,
};
use super::slice::{NOWHERE, Slice, Spot};
use super::standing::{Standing, from_on};
use super::taking::those;
use crate::chart::{Chart, Place, Stay};
use crate::day::Day;
use crate::model::asked::Needs;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, ZoneIndex};
use crate::solve::demand::{Duties, Sweep, cuts, heads};
use crate::standards::{Who, Within};
use crate::steps::{self, Stage};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Where everybody is: the spot of each adult in each slice.
pub(super) type Posting = Vec<Vec<u8>>;

/// A spot that an adult may take, and the zone where the adult last worked: tables, circles, the
/// way out and staff breaks do not make an adult forget it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct State {
    /// Position in the adult's `takes`.
    pub take: usize,
    pub spot: u8,
    home: usize,
}

/// The day.
pub(super) struct Board<'d> {
    pub day: &'d Day,
    pub slices: Vec<Slice>,
    /// By slice and adult.
    pub states: Vec<Vec<Vec<State>>>,
    team: Team,
    needs: RefCell<Needs<'d>>,
    scratch: RefCell<Scratch>,
}

impl<'d> Board<'d> {
    pub(super) fn new(
        day: &'d Day,
        chart: &Chart,
        duties: &Duties,
        standing: Option<&Standing<'_>>,
    ) -> Board<'d> {
        let site = &day.site;
        let team = Team {
            counts: those(day, |a| site[a].counts),
            may_be_alone: those(day, |a| site[a].may_be_alone),
            first_aid: those(day, |a| site[a].first_aid),
        };
        let asked = asked(day);
        let mut needs = Needs::new(day);
        let mut sweep = Sweep::new(chart);
        let mut slices = Vec::new();
        for span in from_on(cuts(day, chart, duties), standing) {
            let here = sweep.at(span.from);
            let mut slice = Slice::new(day, chart, span, &here);
            slice.fill(day, chart, duties, &here);
            slice.take(day, duties);
            if let Some(standing) = standing {
                slice.put = standing.put(day, &slice);
                slice.begins = standing.begins(day, &slice);
            }
            if !here.is_empty() {
                slice.asked.clone_from(&asked);
            }
            let on_hand = on_hand(day, &slice, team.counts);
            for space in slice.spaces[..slice.in_view].iter().copied() {
                let children = heads(day, &here, Some(space));
                let worst = needs.in_space(space, span.from, &children, &[]).adults;
                let best = needs.in_space(space, span.from, &children, &on_hand).adults;
                slice.companies.push(Company {
                    moving: here.iter().any(|h| h.1.space == space && h.1.at == Place::Transition),
                    children,
                    need: (worst == best).then_some(worst),
                    by_adults: RefCell::new(BTreeMap::new()),
                    changed: false,
                });
            }
            for space in slice.spaces[slice.in_view..].iter().copied() {
                slice.companies.push(being_changed(day, &here, space));
            }
            let all = heads(day, &here, None);
            slice.on_site = needs.on_site(span.from, &all, &on_hand).adults;
            slices.push(slice);
        }
        let mut board = Board {
            day,
            slices,
            states: Vec::new(),
            team,
            needs: RefCell::new(needs),
            scratch: RefCell::default(),
        };
        board.states = board.all_states();
        board
    }

    fn all_states(&self) -> Vec<Vec<Vec<State>>> {
        let adults = self.day.adults.len();
        let homes: Vec<Vec<ZoneIndex>> = (0..adults).map(|a| self.homes(a)).collect();
        let of = |slice: &Slice, adult: usize| -> Vec<State> {
            let homes = &homes[adult];
            steps::count(Stage::Posts, 1 + slice.takes[adult].len() as u64 / 4);
            let takes = slice.takes[adult].iter().enumerate();
            let mut states: Vec<State> = takes
                .flat_map(|(take, &spot)| {
                    let range = match works_in(&slice.spots[usize::from(spot)]) {
                        Some(zone) => {
                            let home = homes.iter().position(|&z| z == zone).unwrap_or(0);
                            home..home + 1
                        }
                        None => 0..homes.len().max(1),
                    };
                    range.map(move |home| State { take, spot, home })
                })
                .collect();
            if states.is_empty() {
                states.push(State { take: 0, spot: NOWHERE, home: 0 });
            }
            states
        };
        self.slices.iter().map(|s| (0..adults).map(|a| of(s, a)).collect()).collect()
    }

    /// Zones in which an adult may come to work today.
    fn homes(&self, adult: usize) -> Vec<ZoneIndex> {
        let of = |s: &Slice| -> Vec<ZoneIndex> {
            steps::count(Stage::Posts, 1 + s.takes[adult].len() as u64 / 8);
            s.takes[adult].iter().filter_map(|&i| works_in(&s.spots[usize::from(i)])).collect()
        };
        let mut homes: Vec<ZoneIndex> = self.slices.iter().flat_map(of).collect();
        homes.sort_unstable();
        homes.dedup();
        homes
    }

    /// The cost of a slice with everybody where `at` says.
    pub(super) fn slice_cost(&self, slice: usize, at: &[u8]) -> Cost {
        let facts = &self.slices[slice];
        let ask = |company: usize, who: Crowd| -> u32 {
            let adults: Vec<AdultIndex> = self.day.adults.iter().map(|a| a.0).collect();
            let adults = adults.into_iter().enumerate().filter(|(i, _)| who & only(*i) != 0);
            let adults: Vec<AdultIndex> = adults.map(|a| a.1).collect();
            let children = &facts.companies[company].children;
            let space = facts.spaces[company];
            let mut needs = self.needs.borrow_mut();
            needs.in_space(space, facts.span.from, children, &adults).adults
        };
        let scratch = &mut self.scratch.borrow_mut();
        steps::count(Stage::Posts, 1);
        let cost = facts.minute(&self.team, at, &ask, scratch).times(facts.span.minutes());
        if slice > 0 {
            return cost;
        }
        let left = (0..at.len()).filter(|&a| facts.leaves(a, at[a])).count();
        cost + Cost::aim(PUT * i64::try_from(left).unwrap_or(0))
    }

    /// The cost for an adult of going from a state in a slice to one in the next; `None` when the
    /// second state remembers another home than the first leaves it with.
    pub(super) fn step(&self, slice: usize, adult: usize, from: State, to: State) -> Option<Cost> {
        if to.spot == NOWHERE {
            return Some(Cost::NONE);
        }
        if from.spot == NOWHERE {
            return Some(self.comes(slice + 1, adult, to.spot));
        }
        let moved =
            self.moved(slice, from.spot, to.spot) + self.left(slice, adult, from.spot, to.spot);
        let at = &self.slices[slice + 1].spots[usize::from(to.spot)];
        match (works_in(at), from.home == to.home) {
            (_, true) => Some(moved),
            (Some(_), false) => Some(moved + Cost::aim(CHANGE)),
            (None, false) => None,
        }
    }

    /// What it costs not to come to the post that stands on the chart already.
    fn comes(&self, slice: usize, adult: usize, to: u8) -> Cost {
        if self.slices[slice].leaves(adult, to) { Cost::aim(PUT) } else { Cost::NONE }
    }

    /// Whether somebody comes with a slice who was to be in the middle of a post by then: whoever stood
    /// in goes back, and hands nobody over for that who would have stayed with the same adult.
    fn comes_back(&self, slice: usize) -> bool {
        let (before, now) = (&self.slices[slice - 1], &self.slices[slice]);
        let back = |a: usize| before.takes[a].is_empty() && now.put[a].is_some() && !now.begins[a];
        now.stands() && (0..self.day.adults.len()).any(back)
    }

    /// What it costs to leave a post that stands on the chart already: once, however long; and to hand
    /// children over to somebody else in the middle of what they are at where the chart has it not so.
    fn left(&self, slice: usize, adult: usize, from: u8, to: u8) -> Cost {
        let (now, next) = (&self.slices[slice], &self.slices[slice + 1]);
        let fresh = next.begins.get(adult).copied().unwrap_or(false);
        let was_there = now.put.get(adult).copied().flatten() == Some(from);
        let leaves = next.leaves(adult, to) && (fresh || was_there);
        let cost = if leaves { Cost::aim(PUT) } else { Cost::NONE };
        if !next.stands() || !(now.leaves(adult, from) || next.leaves(adult, to)) {
            return cost;
        }
        if !next.leaves(adult, to) && self.comes_back(slice + 1) {
            return cost;
        }
        let (p, q) = (&now.spots[usize::from(from)], &next.spots[usize::from(to)]);
        // Watching the zone of a station is as much as standing at it.
        let goes_on = |zone: Option<ZoneIndex>| {
            let mut there = now.spots.iter().filter(|s| works_in(s) == zone);
            p.zone != q.zone && there.any(|s| next.spots.iter().any(|n| n.at == s.at))
        };
        let ends = [p, q].into_iter().filter_map(works_in).filter(|zone| goes_on(Some(*zone)));
        cost + Cost::aim(HANDOVER * i64::try_from(ends.count()).unwrap_or(0))
    }

    /// What a change of place costs, homes aside.
    fn moved(&self, slice: usize, from: u8, to: u8) -> Cost {
        let (now, next) = (&self.slices[slice], &self.slices[slice + 1]);
        let (p, q) = (&now.spots[usize::from(from)], &next.spots[usize::from(to)]);
        if (p.space, p.at, p.zone, p.for_child) == (q.space, q.at, q.zone, q.for_child) {
            return Cost::NONE;
        }
        let mut cost = Cost::NONE;
        let goes_on = |at: Place| {
            now.spots.iter().any(|s| s.at == at) && next.spots.iter().any(|s| s.at == at)
        };
        for place in [p.at, q.at] {
            match place {
                // In one piece, by one adult.
                Place::Task(_) if p.at != q.at && goes_on(place) => {
                    cost += Cost::rule(20 * LESSER);
                }
                Place::Care if p.at != q.at && goes_on(place) => cost += Cost::rule(6 * LESSER),
                Place::Door if p.at != q.at && goes_on(place) => cost += Cost::aim(CHANGE / 4),
                _ => {}
            }
        }
        let away = |s: &Spot| matches!(s.at, Place::StaffBreak(_));
        if p.for_child != q.for_child && !away(p) && !away(q) {
            cost += Cost::aim(CHANGE / 2);
        }
        if away(p) || away(q) {
            return cost;
        }
        if p.space != q.space {
            let walk = self.day.site.walking(p.space, q.space);
            let on_the_way = p.at == Place::Transition || q.at == Place::Transition;
            if walk > 0 && !on_the_way {
                cost += Cost::rule(2 * SIGHT * i128::from(walk));
            }
            cost += Cost::aim(8000);
        } else if p.zone != q.zone && p.zone.is_some() && q.zone.is_some() {
            cost += Cost::aim(4000);
        } else {
            cost += Cost::aim(400);
        }
        cost
    }

    /// The cost of an adult's way through the day.
    pub(super) fn way(&self, adult: usize, posting: &Posting) -> Cost {
        let mut cost = Cost::NONE;
        let mut home = None;
        let mut wet = 0i64;
        for (i, slice) in self.slices.iter().enumerate() {
            let at = posting[i][adult];
            if at == NOWHERE {
                home = None;
                continue;
            }
            let spot = &slice.spots[usize::from(at)];
            let before = i.checked_sub(1).map(|j| (j, posting[j][adult]));
            if before.is_some_and(|b| b.1 == NOWHERE) {
                cost += self.comes(i, adult, at);
            }
            if let Some((j, was)) = before.filter(|b| b.1 != NOWHERE) {
                cost += self.moved(j, was, at) + self.left(j, adult, was, at);
            }
            if let Some(zone) = works_in(spot) {
                if home.is_some_and(|h| h != zone) {
                    cost += Cost::aim(CHANGE);
                }
                home = Some(zone);
            }
            let stays = before.is_some_and(|(j, was)| {
                was != NOWHERE && self.slices[j].spots[usize::from(was)].at == spot.at
            });
            wet += i64::from(spot.wet && !stays);
        }
        cost + Cost::aim(WET * wet * wet)
    }

    /// The cost of everything.
    pub(super) fn total(&self, posting: &Posting) -> Cost {
        let slices = (0..self.slices.len()).map(|i| self.slice_cost(i, &posting[i]));
        let ways = (0..self.day.adults.len()).map(|a| self.way(a, posting));
        slices.chain(ways).sum()
    }
}

/// The zone in which somebody at a spot works; none where all go together, or is away.
fn works_in(spot: &Spot) -> Option<ZoneIndex> {
    match spot.at {
        Place::Station(_) | Place::Zone(_) => spot.zone,
        _ => None,
    }
}

/// Those who are changed at the changing place of a space, out of everybody's sight: one adult who
/// counts is with them, or each has its own.
fn being_changed(day: &Day, here: &[(ChildIndex, &Stay)], space: SpaceIndex) -> Company {
    let there = here.iter().filter(|(_, s)| s.space == space && day.is_by_itself(space, s.at));
    let without = there.filter(|(child, _)| day.site[*child].one_to_one.is_none()).count();
    Company {
        children: Vec::new(),
        need: Some(u32::from(without > 0)),
        by_adults: RefCell::new(BTreeMap::new()),
        moving: false,
        changed: true,
    }
}

/// Counted adults who are on shift and not on a staff break.
fn on_hand(day: &Day, slice: &Slice, counts: Crowd) -> Vec<AdultIndex> {
    let works = |a: usize| {
        let takes = &slice.takes[a];
        takes.iter().any(|&s| !matches!(slice.spots[usize::from(s)].at, Place::StaffBreak(_)))
    };
    let adults = day.adults.iter().enumerate();
    adults.filter(|(i, _)| counts & only(*i) != 0 && works(*i)).map(|(_, (a, _))| *a).collect()
}

/// The sets of adults of whom one must be with the room's children: somebody who may lead, and
/// whoever a standard asks for in the room. Nobody can be made to appear who is not on the team.
fn asked(day: &Day) -> Vec<Crowd> {
    let site = &day.site;
    let mut sets = vec![those(day, |a| site[a].lead)];
    for asked in day.standards.iter().flat_map(|s| s.asks_for()) {
        if asked.within == Within::Room {
            sets.push(those(day, |a| match &asked.who {
                Who::Lead => site[a].lead,
                Who::FirstAid => site[a].first_aid,
                Who::Qualification(held) => site[a].qualifications.contains(held),
            }));
        }
    }
    sets.sort_unstable();
    sets.dedup();
    sets.retain(|&set| set != 0);
    sets
}
