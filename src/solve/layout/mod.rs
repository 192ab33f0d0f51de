//! Where meals, rest, movement breaks and turns fall in the room's day.
//!
//! A dynamic program over the clock: ways to fill the day up to a minute are extended block by
//! block, and of those that stand alike (same minute, same meals eaten, rest and movement done) the
//! cheapest few are kept. It returns several layouts, because only the whole chart tells which one
//! leaves room for everybody's staff break.

mod count;
mod eaters;
mod frontier;
mod next;
mod trail;
mod wishes;

pub use eaters::Eaten;
pub use wishes::Wishes;

use super::seating::Seating;
use crate::chart::{BlockKind, Group};
use crate::day::Day;
use crate::rules::settled::{LONG_CHOICE, fewest_turns, quarters, too_short_a_choice};
use crate::site::{ChildIndex, Meal, MealKind, Minute, Part, PartKind, SpaceIndex, Span};
use crate::steps::{self, Stage};
use eaters::{Eaters, Sat};
use frontier::Frontier;
use std::collections::BTreeMap;
use trail::Trail;
use wishes::{MOST_ALIKE, MOST_ROUNDS, Wanted};

/// One way to fill a room's day; its pieces tile the opening hours.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Layout {
    /// In order.
    pub pieces: Vec<Piece>,
    /// Who sits where at each meal that is held.
    pub seatings: Vec<(MealKind, Seating)>,
    /// What the children ate before it begins.
    pub eaten: Eaten,
    /// What it leaves to be wished.
    pub wishes: Wishes,
}

/// One block of a layout.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Piece {
    /// What.
    pub kind: BlockKind,
    /// When.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
    /// The assigned stretch that a turn belongs to, or the sitting of a meal, from 0.
    pub number: usize,
}

/// Less than so many minutes is no rest.
const SHORTEST_REST: u16 = 30;
/// Children may be kept waiting for so many minutes, at most, until a meal or a rest may begin.
const LONGEST_WAIT: u16 = 10;

/// What the children did in the part of a day that is not laid out anew.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Before {
    /// When they last moved or were out.
    pub moved_at: Option<Minute>,
    /// What they ate.
    pub eaten: Eaten,
    /// Meals that are over: who has not had one eats it alone, if at all.
    pub over: Vec<MealKind>,
}

/// The best few layouts, best first; never empty, however badly the day fits.
#[must_use]
pub fn layouts(day: &Day, groups: &[Group], most: usize) -> Vec<Layout> {
    best(day, groups, Planner::new(day, groups, &Before::default()), most)
}

/// [`layouts`] of the rest of a day: children have been here and sat before it.
#[must_use]
pub fn layouts_of_rest(day: &Day, groups: &[Group], most: usize, before: &Before) -> Vec<Layout> {
    let moved_at = before.moved_at.map(|m| m.0);
    let planner = Planner { begun: true, moved_at, ..Planner::new(day, groups, before) };
    let mut found = best(day, groups, planner, most);
    found.iter_mut().for_each(|layout| layout.eaten.clone_from(&before.eaten));
    found
}

fn best(day: &Day, groups: &[Group], planner: Planner<'_>, most: usize) -> Vec<Layout> {
    let mut found = planner.run();
    found.sort_by_key(|l| l.wishes);
    // One layout of each kind: the same blocks five minutes later would be tried for nothing.
    let mut kinds: Vec<Vec<(BlockKind, u16)>> = Vec::new();
    found.retain(|layout| {
        let kind = kind_of(layout);
        let new = !kinds.contains(&kind) && kinds.len() < most;
        if new {
            kinds.push(kind);
        }
        new
    });
    for layout in &mut found {
        let (shared, more) = planner.eaters.share(&layout.pieces);
        layout.wishes.missed += more;
        let seated = |(kind, sitting_of)| (kind, Seating::of(day, groups, kind, sitting_of));
        layout.seatings = shared.into_iter().map(seated).collect();
    }
    found.sort_by_key(|l| l.wishes);
    found
}

/// The blocks in their order, with the half hour in which each meal falls.
fn kind_of(layout: &Layout) -> Vec<(BlockKind, u16)> {
    let blocks = layout.pieces.iter().filter(|p| p.kind != BlockKind::Transition);
    let half_hour = |p: &Piece| match p.kind {
        BlockKind::Meal(_) => p.span.from.0 / 30,
        _ => 0,
    };
    blocks.map(|p| (p.kind, half_hour(p))).collect()
}

/// One way to fill the day up to a minute.
#[derive(Clone, Debug)]
struct Way {
    trail: Trail,
    at: u16,
    meals: usize,
    rested: bool,
    moves: u32,
    turns: u32,
    /// Turns of the run that is going on.
    run: u32,
    still: u16,
    moved_at: Option<u16>,
    /// When the meal before was eaten.
    sat: Option<Sat>,
    /// The rest since then.
    slept: Option<Span>,
    part: usize,
    /// Minutes of choice, summed over the children.
    chosen: i64,
    /// By which choice is more than a third of turns and choice, three times over, for each of the
    /// children who stand for all like them.
    over_third: [i16; MOST_ALIKE],
    /// Minutes of the longest stretch of choice between arrival and going home.
    longest_choice: u16,
    /// Minutes in which somebody can be changed, for each of the first care rounds.
    care: [u16; MOST_ROUNDS],
    /// What is short so far, what can still be made good left out.
    short: Wishes,
}

struct Planner<'d> {
    day: &'d Day,
    meals: Vec<&'d Meal>,
    turn: u16,
    /// Turns that the day has at the least.
    fewest_turns: i64,
    /// Minutes of rest: as long as the last of today's children lies down.
    rest_minutes: u16,
    wanted: Wanted,
    eaters: Eaters<'d>,
    /// No turn begins before it.
    most_in: u16,
    /// The day goes on: children were here before it.
    begun: bool,
    /// When they last moved before it.
    moved_at: Option<u16>,
}

impl<'d> Planner<'d> {
    fn new(day: &'d Day, groups: &[Group], before: &Before) -> Planner<'d> {
        let schedule = &day.schedule;
        let held = |m: &&Meal| m.kind != MealKind::Breakfast && !before.over.contains(&m.kind);
        let meals: Vec<&Meal> = schedule.meals.iter().filter(held).collect();
        let turn = day.usual_turn();
        let eaters = Eaters::new(day, groups, &meals, &before.eaten);
        let wanted = Wanted::new(day, groups);
        let most_in = day.most_in().0;
        let (begun, moved_at) = (false, None);
        let (fewest_turns, rest_minutes) = (fewest_turns(day), rest_minutes(day));
        Planner {
            day,
            meals,
            turn,
            fewest_turns,
            rest_minutes,
            wanted,
            eaters,
            most_in,
            begun,
            moved_at,
        }
    }

    fn run(&self) -> Vec<Layout> {
        let open = self.day.schedule.open;
        let start = Way {
            trail: Trail::default(),
            at: open.from.0,
            meals: 0,
            rested: self.day.schedule.rest.is_none(),
            moves: 0,
            turns: 0,
            run: 0,
            still: 0,
            moved_at: self.moved_at,
            sat: None,
            slept: None,
            part: 0,
            chosen: 0,
            over_third: [0; MOST_ALIKE],
            longest_choice: 0,
            care: [0; MOST_ROUNDS],
            short: Wishes::default(),
        };
        let mut frontier: BTreeMap<u16, Frontier> = BTreeMap::new();
        frontier.entry(start.at).or_default().add(self.wishes(&start), start);
        let mut done = Vec::new();
        while let Some((at, ways)) = frontier.pop_first() {
            for way in ways.best() {
                if at >= open.to.0 {
                    let (pieces, wishes) = (way.trail.pieces(), self.wishes(&way));
                    let (seatings, eaten) = (Vec::new(), Eaten::new());
                    done.push(Layout { pieces, seatings, eaten, wishes });
                    continue;
                }
                for next in self.extend(&way) {
                    frontier.entry(next.at).or_default().add(self.wishes(&next), next);
                }
            }
        }
        done
    }

    /// What a way leaves to be wished if nothing more came: what it owes falls as it goes on, so
    /// that ways with and without something compare fairly at every minute.
    fn wishes(&self, way: &Way) -> Wishes {
        let wanted = &self.wanted;
        let held = way.moves.min(wanted.target);
        let missing = |all: u32, have: u32| i64::from(all.saturating_sub(have));
        let long = LONG_CHOICE.saturating_sub(way.longest_choice);
        Wishes {
            left_out: way.short.left_out
                + self.meals.len() as i64
                + i64::from(self.day.schedule.rest.is_some())
                - way.meals as i64
                - i64::from(way.rested && self.day.schedule.rest.is_some()),
            unmoved: missing(wanted.owed, held),
            moving: missing(wanted.target, held.max(wanted.owed)),
            uncared: self.uncared(way),
            visits: missing(wanted.turns, way.turns),
            long_choice: i64::from(long.div_ceil(15)),
            under_third: self.under_third(way),
            choice: quarters(self.day, wanted.choice - way.chosen),
            turns: -i64::from(way.turns),
            fewest_turns: self.fewest_turns,
            ..way.short
        }
    }

    /// Whether what was last is a fixed part in which stations are open.
    fn chose_in_a_part(&self, way: &Way) -> bool {
        let before = way.part.checked_sub(1).and_then(|n| self.day.schedule.parts.get(n));
        before.is_some_and(|p| p.kind == PartKind::Choice && p.span.to.0 == way.at)
    }

    /// The fixed part that comes next.
    fn next_part(&self, way: &Way) -> Option<&'d Part> {
        self.day.schedule.parts.get(way.part)
    }

    fn extend(&self, way: &Way) -> Vec<Way> {
        steps::count(Stage::Layouts, 20);
        let mut next = Vec::new();
        let limit = self.next_part(way).map_or(self.day.schedule.open.to.0, |p| p.span.from.0);
        if let Some(part) = self.next_part(way) {
            let lead = self.lead(way, part_kind(part.kind), part.space);
            if way.at + lead >= limit {
                // Too late for a full transition: what is left of it, at a price.
                next.push(self.part(way, part, limit - way.at.min(limit), lead));
                return next;
            }
        }
        self.meal(way, limit, &mut next);
        self.rest(way, limit, &mut next);
        self.movement(way, limit, &mut next);
        self.turn(way, limit, &mut next);
        self.choice(way, limit, &mut next);
        self.wait(way, limit, &mut next);
        next
    }

    fn lead(&self, way: &Way, kind: BlockKind, space: SpaceIndex) -> u16 {
        let (last, at) = (way.trail.last(), Minute(way.at));
        last.map_or(0, |l| self.day.transition_minutes(at, (l.kind, l.space), (kind, space)))
    }

    /// `way` with a transition and a block; `None` when it does not end by `limit`.
    fn add(
        &self,
        way: &Way,
        piece: (BlockKind, SpaceIndex, usize),
        minutes: u16,
        limit: u16,
    ) -> Option<Way> {
        self.add_after(way, piece, 0, minutes, limit)
    }

    /// The same, with so many minutes of waiting for a window to open.
    fn add_after(
        &self,
        way: &Way,
        (kind, space, number): (BlockKind, SpaceIndex, usize),
        wait: u16,
        minutes: u16,
        limit: u16,
    ) -> Option<Way> {
        let lead = self.lead(way, kind, space) + wait;
        let (from, to) = (way.at + lead, way.at + lead + minutes);
        if to > limit {
            return None;
        }
        let mut next = way.clone();
        // Who would wait for a window to open stays where it is good to be.
        let before = next.trail.last();
        if wait > 0 && next.trail.stay_longer(wait) {
            next.at += wait;
            if let Some(choice) = before.filter(|p| p.kind == BlockKind::Choice) {
                let minutes = choice.span.minutes();
                next.short.odd += too_short_a_choice(minutes + wait) - too_short_a_choice(minutes);
            }
        } else {
            next.short.odd += i64::from(wait / 5);
        }
        self.on_the_way(&mut next, space, from);
        next.trail.push(kind, space, number, (from, to));
        next.at = to;
        self.follow(&mut next, kind, Span { from: Minute(from), to: Minute(to) });
        Some(next)
    }

    fn part(&self, way: &Way, part: &Part, lead: u16, wanted: u16) -> Way {
        let mut next = way.clone();
        let kind = part_kind(part.kind);
        // Nobody runs about indoors right before running about outside.
        let moves = way.trail.last().is_some_and(|p| p.kind == BlockKind::Movement);
        next.short.odd += 4 * i64::from(moves && kind == BlockKind::Outdoors);
        self.on_the_way(&mut next, part.space, part.span.from.0);
        next.short.missed += i64::from(wanted.saturating_sub(lead));
        if lead < wanted && next.trail.leave_earlier(wanted - lead) {
            next.short.missed -= i64::from(wanted - lead);
        }
        next.trail.push(kind, part.space, 0, (part.span.from.0, part.span.to.0));
        next.at = part.span.to.0;
        next.part += 1;
        self.follow(&mut next, kind, part.span);
        next
    }

    /// A transition up to a minute.
    fn on_the_way(&self, way: &mut Way, space: SpaceIndex, to: u16) {
        way.trail.push(BlockKind::Transition, space, 0, (way.at, to));
        way.short.waiting += i64::from(to - way.at);
        if let Some(span) = Span::new(Minute(way.at), Minute(to)) {
            way.short.missed += self.kept_within(span);
            self.fetch(way, BlockKind::Transition, span);
        }
        way.at = to;
    }

    /// Minutes of a span in which the teacher keeps a cell; such cells lie in turns.
    fn kept_within(&self, span: Span) -> i64 {
        let over = |k: &crate::day::KeptCell| k.span.meet(span).map_or(0, Span::minutes);
        self.day.kept.iter().map(|k| i64::from(over(k))).sum()
    }
}

/// How long the room rests today: until the last child that lies down is up, at the longest as the
/// schedule has it.
fn rest_minutes(day: &Day) -> u16 {
    let Some(rest) = &day.schedule.rest else { return 0 };
    let (from, all) = (rest.window.from, rest.minutes);
    let whole = Span { from, to: from.later(all) };
    let up = |child: ChildIndex, here: Span| day.up_from_rest(child, here).0 - from.0;
    let lies = day.children.iter().flat_map(|(child, here)| {
        here.iter().filter_map(|h| h.meet(whole)).map(|here| up(*child, here))
    });
    lies.max().unwrap_or(0).clamp(SHORTEST_REST.min(all), all)
}

/// The block that a fixed part is.
pub(crate) fn part_kind(kind: PartKind) -> BlockKind {
    match kind {
        PartKind::Arrival => BlockKind::Arrival,
        PartKind::Circle => BlockKind::Circle,
        PartKind::Choice => BlockKind::Choice,
        PartKind::Outdoors => BlockKind::Outdoors,
        PartKind::GoingHome => BlockKind::GoingHome,
    }
}
