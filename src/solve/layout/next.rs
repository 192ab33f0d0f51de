//! What can come next in a day: a meal, the rest, a movement break, a turn, a choice.

use super::super::clock::{GRID, grid_up};
use super::eaters::{Laid, Sat};
use super::{LONGEST_WAIT, Planner, SHORTEST_REST, Way, part_kind};
use crate::chart::BlockKind;
use crate::rules::settled::{
    APART, CALM, CHOICE_GETS_LONG, SHORTEST_CHOICE, WELL_APART, asleep_until, tens_too_close,
    too_short_a_choice, too_short_a_turn,
};
use crate::site::{ChildIndex, MealKind, Minute, PartKind, Sleep, Span, StretchKind};

/// Fewest minutes of choice, where with more of it a movement break is lost (common practice).
const LEAST_CHOICE: u16 = 10;
/// A meal may last so much longer where that fills a gap that is too short for anything else.
const LONGER: [u16; 3] = [0, 5, 10];

impl Planner<'_> {
    pub(super) fn meal(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let Some(&meal) = self.meals.get(way.meals) else { return };
        let home = self.day.site[self.day.room].home;
        let space = meal.tables.first().map_or(home, |&t| self.day.site[t].space);
        let lead = self.lead(way, BlockKind::Meal(meal.kind), space);
        let from = way.at + lead;
        if from >= meal.window.to.0 {
            let mut without = way.clone();
            without.sat = Some(self.eaters.left_out(way.meals));
            without.slept = None;
            without.meals += 1;
            without.short.left_out += 1;
            out.extend(self.extend(&without));
            return;
        }
        let wait = meal.window.from.0.saturating_sub(from);
        if wait > LONGEST_WAIT {
            return;
        }
        let from = from + wait;
        let kind = BlockKind::Meal(meal.kind);
        let between = match self.eaters.sittings(way.meals) {
            1 => None,
            _ => Some(self.day.transition_minutes(Minute(from), (kind, space), (kind, space))),
        };
        for longer in LONGER {
            let Some(mut next) = self.sittings(way, (wait, meal.minutes + longer), space, limit)
            else {
                return;
            };
            let late = next.at.saturating_sub(meal.window.to.0);
            if longer > 0 && late > 0 {
                return;
            }
            let sat = Sat { from, step: between.map_or(0, |b| meal.minutes + longer + b) };
            let laid = Laid { meal: way.meals, sat, rested: way.slept };
            next.short.rough += i64::from(longer / 5);
            next.short.missed += i64::from(late) + self.eaters.off(way.sat, laid);
            // Who sleeps by the own clock then eats alone later.
            next.short.odd += asleep_until(self.day, Minute(from));
            (next.sat, next.slept) = (Some(sat), None);
            next.meals += 1;
            out.push(next);
        }
    }

    /// All sittings of the next meal, one after another.
    fn sittings(
        &self,
        way: &Way,
        (wait, minutes): (u16, u16),
        space: crate::site::SpaceIndex,
        limit: u16,
    ) -> Option<Way> {
        let kind = BlockKind::Meal(self.meals[way.meals].kind);
        let mut next = self.add_after(way, (kind, space, 0), wait, minutes, limit)?;
        for sitting in 1..self.eaters.sittings(way.meals) {
            next = self.add(&next, (kind, space, sitting), minutes, limit)?;
        }
        Some(next)
    }

    pub(super) fn rest(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let Some(rest) = self.day.schedule.rest.as_ref().filter(|_| !way.rested) else { return };
        let lead = self.lead(way, BlockKind::Rest, rest.space);
        let from = way.at + lead;
        let lunch_open = self
            .meals
            .get(way.meals)
            .is_some_and(|m| m.kind <= MealKind::Lunch && m.window.from < rest.window.to);
        let wait = rest.window.from.0.saturating_sub(from);
        if wait > LONGEST_WAIT || lunch_open {
            return;
        }
        let (piece, whole) = ((BlockKind::Rest, rest.space, 0), self.rest_minutes);
        // A rest that would run over its window, or into a fixed part, may also be shorter.
        let begins = from + wait;
        let fits = limit.min(rest.window.to.0).saturating_sub(begins);
        let shorter = (0..7).map(|steps| fits.saturating_sub(steps * GRID));
        for minutes in std::iter::once(whole).chain(shorter) {
            if minutes > whole || minutes < SHORTEST_REST {
                continue;
            }
            let after = self.add_after(way, piece, wait, minutes, limit);
            let Some(mut next) = after else { continue };
            let late = next.at.saturating_sub(rest.window.to.0);
            next.short.missed += i64::from(late + whole - minutes);
            if way.moved_at.is_some_and(|m| begins - m.min(begins) < CALM) {
                next.short.odd += 3;
            }
            next.short.still += self.sat_on_the_cot(way, begins, minutes);
            next.rested = true;
            next.slept = Span::new(Minute(begins), Minute(begins + minutes));
            out.push(next);
        }
    }

    /// Minutes by which those who do not sleep sit too long, from the meal before into the rest.
    fn sat_on_the_cot(&self, way: &Way, begins: u16, minutes: u16) -> i64 {
        let span = Span { from: Minute(begins), to: Minute(begins + minutes) };
        let awake = |c: ChildIndex| !matches!(self.day.site[c].sleep, Sleep::InRest { .. });
        let children = self.day.children.iter().map(|(c, _)| *c).filter(|c| awake(*c));
        let lies = children.map(|c| self.day.up_from_rest(c, span).0 - begins).max().unwrap_or(0);
        let longest = self.day.schedule.movement.longest_still;
        if lies == 0 { 0 } else { i64::from((way.still + lies).saturating_sub(longest)) }
    }

    pub(super) fn movement(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let movement = self.day.schedule.movement;
        let last = way.trail.last().map(|p| p.kind);
        let runs_on = match last {
            None => !self.begun || way.moved_at.is_some_and(|m| way.at < m + SHORTEST_CHOICE),
            Some(kind) => matches!(
                kind,
                BlockKind::Movement
                    | BlockKind::Outdoors
                    | BlockKind::Rest
                    | BlockKind::Meal(MealKind::Lunch)
            ),
        };
        // Beyond the target only long sitting asks for more.
        let enough = self.has_moved_enough(way);
        let sat = way.still * 3 >= movement.longest_still * 2;
        if movement.minutes == 0 || runs_on || (enough && !sat) {
            return;
        }
        let piece = (BlockKind::Movement, movement.space, 0);
        let Some(mut next) = self.add(way, piece, movement.minutes, limit) else { return };
        // Nobody has sat yet who comes from home, or from a circle that the day began with.
        if matches!(last, Some(BlockKind::Arrival | BlockKind::Circle)) {
            next.short.odd += 1;
        }
        let apart = way.moved_at.map_or(WELL_APART, |m| next.at - movement.minutes - m);
        next.short.close += tens_too_close(apart, APART);
        next.short.rough += tens_too_close(apart, WELL_APART);
        out.push(next);
    }

    /// Whether the day's target of movement breaks is reached; what is to come out of doors counts.
    fn has_moved_enough(&self, way: &Way) -> bool {
        let parts = self.day.schedule.parts.iter().skip(way.part);
        let outings = parts.filter(|p| part_kind(p.kind) == BlockKind::Outdoors).count();
        way.moves as usize + outings >= self.wanted.target as usize
    }

    pub(super) fn turn(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let home = self.day.site[self.day.room].home;
        let stretches = &self.day.schedule.stretches;
        let from = way.at + self.lead(way, BlockKind::Turn, home);
        let within = stretches
            .iter()
            .enumerate()
            .find(|(_, s)| s.kind == StretchKind::Assigned && s.span.contains(Minute(from)));
        let Some((number, stretch)) = within else { return };
        // Until most are in nobody is assigned, unless the teacher keeps a cell as it is.
        let soon = Span { from: Minute(from), to: Minute(from + self.turn + GRID) };
        let kept = |k: &crate::day::KeptCell| k.span.meets(soon);
        if from < self.most_in && !self.day.kept.iter().any(kept) {
            return;
        }
        for length in [self.turn, self.turn + 5, self.turn.saturating_sub(5)] {
            if length < 10 {
                continue;
            }
            let span = Span { from: Minute(from), to: Minute(from + length) };
            if self.wanted.is_crowded(span) {
                continue;
            }
            let most = limit.min(stretch.span.to.0);
            if let Some(mut next) = self.add(way, (BlockKind::Turn, home, number), length, most) {
                // A short turn is no time to settle to anything.
                next.short.odd += too_short_a_turn(self.day, length);
                next.short.waiting += i64::from(length.abs_diff(self.turn)) / 2;
                out.push(next);
            }
        }
    }

    pub(super) fn choice(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let home = self.day.site[self.day.room].home;
        let last = way.trail.last().map(|p| p.kind);
        if last == Some(BlockKind::Choice) && !self.chose_in_a_part(way) {
            return;
        }
        let lead = self.lead(way, BlockKind::Choice, home);
        let from = way.at + lead;
        for to in self.choice_ends(way, from, limit) {
            let minutes = to - from;
            let Some(mut next) = self.add(way, (BlockKind::Choice, home, 0), minutes, limit) else {
                continue;
            };
            // Five minutes are no choice, unless it goes on until everybody has gone home; more than
            // an hour and a quarter is long.
            if !(to == limit && self.goes_home(way)) {
                next.short.odd += too_short_a_choice(minutes);
            }
            next.short.rough += i64::from(minutes.saturating_sub(CHOICE_GETS_LONG).div_ceil(15));
            out.push(next);
        }
    }

    /// Whether the children are fetched next, from where they are at home.
    fn goes_home(&self, way: &Way) -> bool {
        let home = self.day.site[self.day.room].home;
        self.next_part(way).is_some_and(|p| p.kind == PartKind::GoingHome && p.space == home)
    }

    /// Nothing fits before the next fixed part: the children wait for it.
    pub(super) fn wait(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let Some(part) = self.next_part(way) else {
            if limit - way.at < SHORTEST_CHOICE {
                out.extend(self.waited(way, self.day.site[self.day.room].home, limit));
            }
            return;
        };
        if limit - way.at < 2 * SHORTEST_CHOICE {
            out.extend(self.waited(way, part.space, limit));
        }
    }

    fn waited(&self, way: &Way, space: crate::site::SpaceIndex, limit: u16) -> Option<Way> {
        let minutes = limit.checked_sub(way.at).filter(|m| *m > 0)?;
        let kind = self.next_part(way).map_or(BlockKind::GoingHome, |p| part_kind(p.kind));
        let mut next = way.clone();
        self.on_the_way(&mut next, space, limit);
        let idle = minutes.saturating_sub(self.lead(way, kind, space));
        next.short.odd += i64::from(idle.div_ceil(5));
        Some(next)
    }

    /// Ends of a choice worth trying: on the grid, or just in time for what comes next.
    fn choice_ends(&self, way: &Way, from: u16, limit: u16) -> Vec<u16> {
        let home = self.day.site[self.day.room].home;
        let choice = (BlockKind::Choice, home);
        let lead_to =
            |kind, space| self.day.transition_minutes(Minute(from), choice, (kind, space));
        let mut ends: Vec<u16> = [15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 90, 120]
            .iter()
            .map(|m| grid_up(from + m))
            .collect();
        let lead_out = self.next_part(way).map_or(0, |p| lead_to(part_kind(p.kind), p.space));
        let last = limit.saturating_sub(lead_out);
        ends.push(last);
        if self.goes_home(way) {
            ends.push(limit);
        }
        if way.trail.last().is_none() {
            // In what is left of a day there is just time for a movement break.
            let movement = self.day.schedule.movement;
            let lead = lead_to(BlockKind::Movement, movement.space);
            ends.push(limit.saturating_sub(movement.minutes + lead));
        }
        if !self.has_moved_enough(way) {
            ends.push(grid_up(from + LEAST_CHOICE));
        }
        if let Some(meal) = self.meals.get(way.meals) {
            let lead = lead_to(BlockKind::Meal(meal.kind), home);
            ends.extend([meal.window.from.0.saturating_sub(lead)]);
        }
        if let Some(rest) = &self.day.schedule.rest {
            let lead = lead_to(BlockKind::Rest, rest.space);
            ends.push(rest.window.from.0.saturating_sub(lead));
        }
        ends.retain(|&e| e <= limit && e > from);
        ends.sort_unstable();
        ends.dedup();
        ends
    }
}
