//! Where meals, rest, movement breaks and turns fall in the room's day.
//!
//! A dynamic program over the clock: ways to fill the day up to a minute are extended block by
//! block, and of those that stand alike (same minute, same meals eaten, rest and movement done) the
//! cheapest few are kept. It returns several layouts, because only the whole chart tells which one
//! leaves room for everybody's staff break.

mod next;

use super::clock::{grid_up, transition_minutes};
use super::seating::Seating;
use crate::chart::{BlockKind, Group};
use crate::day::Day;
use crate::site::{Meal, MealKind, Minute, Part, PartKind, SpaceIndex, Span, age_banded};
use std::collections::BTreeMap;

/// One way to fill a room's day; its pieces tile the opening hours.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Layout {
    /// In order.
    pub pieces: Vec<Piece>,
    /// What it costs, in points that only compare layouts of one day.
    pub cost: i64,
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

const KEEP_ALIKE: usize = 3;
const KEEP_AT_A_MINUTE: usize = 160;
const MISSING: i64 = 100_000;
/// A turn: the more stations a group gets to, the better.
const TURN: i64 = 400;
/// Less than so many minutes is no rest.
const SHORTEST_REST: u16 = 30;
/// Children may be kept waiting for so many minutes, at most, until a meal or a rest may begin.
const LONGEST_WAIT: u16 = 10;
/// A movement break that is wanted.
const MOVE: i64 = 3_000;
/// A minute of a meal or a rest after the end of its window.
const LATE: i64 = 1_000;

/// The best few layouts, cheapest first; never empty, however badly the day fits.
#[must_use]
pub fn layouts(day: &Day, groups: &[Group], most: usize) -> Vec<Layout> {
    let planner = Planner::new(day, groups);
    let mut found = planner.run();
    found.sort_by_key(|l| l.cost);
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

#[derive(Clone, Debug)]
struct Way {
    pieces: Vec<Piece>,
    at: u16,
    meals: usize,
    rested: bool,
    moves: u32,
    still: u16,
    moved_at: Option<u16>,
    meal_at: Option<u16>,
    part: usize,
    cost: i64,
}

struct Planner<'d> {
    day: &'d Day,
    meals: Vec<&'d Meal>,
    turn: u16,
    target: u32,
    sittings: Vec<usize>,
    interval: (u16, u16),
    breakfast: Option<u16>,
}

impl<'d> Planner<'d> {
    fn new(day: &'d Day, groups: &[Group]) -> Planner<'d> {
        let schedule = &day.schedule;
        let meals: Vec<&Meal> =
            schedule.meals.iter().filter(|m| m.kind != MealKind::Breakfast).collect();
        let marched: Vec<u16> = day
            .children
            .iter()
            .filter(|(c, _)| !day.is_young(*c))
            .map(|(c, _)| age_banded(&schedule.turn_minutes, day.months(*c)))
            .collect();
        let mean = marched.iter().map(|&m| u32::from(m)).sum::<u32>()
            / u32::try_from(marched.len().max(1)).unwrap_or(1);
        let turn = grid_up(u16::try_from(mean).unwrap_or(15)).clamp(10, 30);
        let target = if day.indoor.value {
            schedule.movement.indoor_day
        } else {
            schedule.movement.outdoor_day
        };
        let sittings = meals.iter().map(|m| Seating::new(day, groups, m.kind).sittings()).collect();
        let bounds = day.standards.iter().filter_map(|s| s.meal_interval());
        let interval = bounds
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            .unwrap_or(day.site.settings.meal_interval);
        let eats = day.children.iter().any(|(c, _)| day.site[*c].breakfast_here);
        let breakfast = schedule
            .meals
            .iter()
            .find(|m| m.kind == MealKind::Breakfast && eats)
            .map(|m| m.window.from.0);
        Planner { day, meals, turn, target, sittings, interval, breakfast }
    }

    fn run(&self) -> Vec<Layout> {
        let open = self.day.schedule.open;
        let start = Way {
            pieces: Vec::new(),
            at: open.from.0,
            meals: 0,
            rested: self.day.schedule.rest.is_none(),
            moves: 0,
            still: 0,
            moved_at: None,
            meal_at: self.breakfast,
            part: 0,
            cost: self.owing(),
        };
        let mut frontier: BTreeMap<u16, Vec<Way>> = BTreeMap::from([(start.at, vec![start])]);
        let mut done = Vec::new();
        while let Some((at, ways)) = frontier.pop_first() {
            for way in keep_best(ways) {
                if at >= open.to.0 {
                    done.push(self.close(way));
                    continue;
                }
                for next in self.extend(&way) {
                    frontier.entry(next.at).or_default().push(next);
                }
            }
        }
        done
    }

    /// What a way owes before anything is done; whatever is done is taken off at once, so that ways
    /// with and without it compare fairly at every minute.
    fn owing(&self) -> i64 {
        let rest = i64::from(self.day.schedule.rest.is_some());
        MOVE * i64::from(self.target) + MISSING * (self.meals.len() as i64 + rest)
    }

    fn close(&self, way: Way) -> Layout {
        Layout { pieces: way.pieces, cost: way.cost }
    }

    fn count_move(&self, way: &mut Way) {
        way.moves += 1;
        if way.moves <= self.target {
            way.cost -= MOVE;
        }
    }

    /// The fixed part that comes next.
    fn next_part(&self, way: &Way) -> Option<&'d Part> {
        self.day.schedule.parts.get(way.part)
    }

    fn extend(&self, way: &Way) -> Vec<Way> {
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
        next
    }

    fn last(&self, way: &Way) -> Option<Piece> {
        way.pieces.last().copied()
    }

    fn lead(&self, way: &Way, kind: BlockKind, space: SpaceIndex) -> u16 {
        self.last(way)
            .map_or(0, |last| transition_minutes(self.day, (last.kind, last.space), (kind, space)))
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
        if lead > 0 {
            push(&mut next, BlockKind::Transition, space, 0, way.at, from);
            next.cost += i64::from(lead + 3 * wait);
        }
        push(&mut next, kind, space, number, from, to);
        next.at = to;
        next.cost += self.kept_cost(kind, Span { from: Minute(way.at), to: Minute(to) });
        let longest = self.day.schedule.movement.longest_still;
        match kind {
            BlockKind::Circle | BlockKind::Meal(_) => next.still += minutes,
            BlockKind::Turn => next.still += minutes / 2,
            BlockKind::Transition => {}
            _ => next.still = 0,
        }
        next.cost += 40 * i64::from(next.still.saturating_sub(longest));
        if matches!(kind, BlockKind::Movement | BlockKind::Outdoors) {
            if minutes >= self.day.schedule.movement.minutes {
                self.count_move(&mut next);
            }
            next.moved_at = Some(to);
        }
        Some(next)
    }

    /// Cells that the teacher keeps lie in turns.
    fn kept_cost(&self, kind: BlockKind, span: Span) -> i64 {
        let over = |k: &crate::day::KeptCell| k.span.meet(span).map_or(0, Span::minutes);
        match kind {
            BlockKind::Turn => 0,
            _ => 500 * self.day.kept.iter().map(|k| i64::from(over(k))).sum::<i64>(),
        }
    }

    fn part(&self, way: &Way, part: &Part, lead: u16, wanted: u16) -> Way {
        let mut next = way.clone();
        let kind = part_kind(part.kind);
        if lead > 0 {
            push(&mut next, BlockKind::Transition, part.space, 0, way.at, part.span.from.0);
            next.cost += i64::from(lead);
        }
        next.cost += self.kept_cost(kind, part.span);
        next.cost += 60 * i64::from(wanted.saturating_sub(lead));
        if lead < wanted {
            leave_earlier(&mut next, wanted - lead);
        }
        let minutes = part.span.minutes();
        push(&mut next, kind, part.space, 0, part.span.from.0, part.span.to.0);
        next.at = part.span.to.0;
        next.part += 1;
        match kind {
            BlockKind::Circle => next.still += minutes,
            BlockKind::Outdoors => {
                next.still = 0;
                self.count_move(&mut next);
                next.moved_at = Some(next.at);
            }
            _ => next.still = 0,
        }
        next
    }
}

fn part_kind(kind: PartKind) -> BlockKind {
    match kind {
        PartKind::Arrival => BlockKind::Arrival,
        PartKind::Circle => BlockKind::Circle,
        PartKind::Outdoors => BlockKind::Outdoors,
        PartKind::GoingHome => BlockKind::GoingHome,
    }
}

/// Takes minutes for the way in (or to the sinks) from the end of what comes before a fixed part,
/// where that is long enough to give them.
fn leave_earlier(way: &mut Way, minutes: u16) {
    const LEAST: u16 = 15;
    let moving = way.pieces.last().is_some_and(|p| p.kind == BlockKind::Transition);
    let Some(at) = (way.pieces.len() - usize::from(moving)).checked_sub(1) else { return };
    let before = way.pieces[at];
    let gives = matches!(
        before.kind,
        BlockKind::Outdoors | BlockKind::Choice | BlockKind::Arrival | BlockKind::Movement
    );
    if gives && before.span.minutes() >= minutes + LEAST {
        let end = before.span.to.earlier(minutes);
        way.pieces[at].span.to = end;
        match way.pieces.get_mut(at + 1) {
            Some(transition) => transition.span.from = end,
            None => push(way, BlockKind::Transition, before.space, 0, end.0, before.span.to.0),
        }
        way.cost -= 50 * i64::from(minutes);
    }
}

fn push(way: &mut Way, kind: BlockKind, space: SpaceIndex, number: usize, from: u16, to: u16) {
    if let Some(span) = Span::new(Minute(from), Minute(to)) {
        way.pieces.push(Piece { kind, span, space, number });
    }
}

/// The cheapest few of the ways that stand alike, and the cheapest few of those.
fn keep_best(mut ways: Vec<Way>) -> Vec<Way> {
    ways.sort_by_key(|w| w.cost);
    let mut seen: BTreeMap<(usize, bool, u32, usize, u16), usize> = BTreeMap::new();
    ways.retain(|w| {
        let turns = w.pieces.iter().filter(|p| p.kind == BlockKind::Turn).count();
        let count = seen.entry((w.meals, w.rested, w.moves, turns, w.still / 20)).or_default();
        *count += 1;
        *count <= KEEP_ALIKE
    });
    ways.truncate(KEEP_AT_A_MINUTE);
    ways
}
