//! What can come next in a day: a meal, the rest, a movement break, a turn, a choice.

use super::super::clock::{GRID, grid_up, transition_minutes};
use super::{LATE, LONGEST_WAIT, MISSING, Planner, SHORTEST_REST, TURN, Way, part_kind, push};
use crate::chart::BlockKind;
use crate::site::{MealKind, Minute, Span, Stretch, StretchKind};

impl Planner<'_> {
    pub(super) fn meal(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let Some(&meal) = self.meals.get(way.meals) else { return };
        let home = self.day.site[self.day.room].home;
        let space = meal.tables.first().map_or(home, |&t| self.day.site[t].space);
        let sittings = self.sittings[way.meals];
        let lead = self.lead(way, BlockKind::Meal(meal.kind), space);
        let from = way.at + lead;
        if from >= meal.window.to.0 {
            let mut without = way.clone();
            without.meals += 1;
            out.extend(self.extend(&without));
            return;
        }
        let mut wait = meal.window.from.0.saturating_sub(from);
        if wait > LONGEST_WAIT {
            return;
        }
        let from = from + wait;
        let mut next = way.clone();
        for sitting in 0..sittings {
            let piece = (BlockKind::Meal(meal.kind), space, sitting);
            let after = self.add_after(&next, piece, wait, meal.minutes, limit);
            let Some(longer) = after else { return };
            (next, wait) = (longer, 0);
        }
        next.cost += LATE * i64::from(next.at.saturating_sub(meal.window.to.0));
        if let Some(before) = way.meal_at {
            let between = from - before.min(from);
            let (least, most) = self.interval;
            let off = least.saturating_sub(between) + between.saturating_sub(most);
            next.cost += 1_000 * i64::from(off);
        }
        next.meal_at = Some(from);
        next.meals += 1;
        next.cost -= MISSING;
        out.push(next);
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
        let piece = (BlockKind::Rest, rest.space, 0);
        // A rest that would run over its window, or into a fixed part, may also be shorter.
        let begins = from + wait;
        let fits = limit.min(rest.window.to.0).saturating_sub(begins);
        let shorter = (0..7).map(|steps| fits.saturating_sub(steps * GRID));
        for minutes in std::iter::once(rest.minutes).chain(shorter) {
            if minutes > rest.minutes || minutes < SHORTEST_REST {
                continue;
            }
            let after = self.add_after(way, piece, wait, minutes, limit);
            let Some(mut next) = after else { continue };
            next.cost += LATE * i64::from(next.at.saturating_sub(rest.window.to.0));
            next.cost += LATE / 2 * i64::from(rest.minutes - minutes);
            if way.moved_at.is_some_and(|m| begins - m.min(begins) < 20) {
                next.cost += 2_000;
            }
            next.rested = true;
            next.cost -= MISSING;
            out.push(next);
        }
    }

    pub(super) fn movement(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let movement = self.day.schedule.movement;
        let settled = !matches!(
            self.last(way).map(|p| p.kind),
            None | Some(
                BlockKind::Movement | BlockKind::Outdoors | BlockKind::Rest | BlockKind::Meal(_)
            )
        );
        if way.moves >= self.target || movement.minutes == 0 || !settled {
            return;
        }
        let piece = (BlockKind::Movement, movement.space, 0);
        let Some(mut next) = self.add(way, piece, movement.minutes, limit) else { return };
        // Spread over the day: breaks close together are worth little.
        let apart = way.moved_at.map_or(60, |m| way.at - m.min(way.at));
        let wish = (self.day.schedule.open.minutes() / u16::try_from(self.target + 1).unwrap_or(4))
            .clamp(30, 90);
        next.cost += 10 * i64::from(wish.saturating_sub(apart));
        out.push(next);
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
        for length in [self.turn, self.turn + 5, self.turn.saturating_sub(5)] {
            if length < 10 {
                continue;
            }
            let most = limit.min(stretch.span.to.0);
            if let Some(mut next) = self.add(way, (BlockKind::Turn, home, number), length, most) {
                // A short turn is no time to settle to anything.
                let short = 90 * i64::from(self.turn.saturating_sub(length));
                next.cost += short + 2 * i64::from(length.abs_diff(self.turn)) - TURN;
                out.push(next);
            }
        }
    }

    pub(super) fn choice(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        let home = self.day.site[self.day.room].home;
        let after_choice = self
            .last(way)
            .is_some_and(|p| matches!(p.kind, BlockKind::Choice | BlockKind::Arrival));
        if after_choice {
            return;
        }
        let lead = self.lead(way, BlockKind::Choice, home);
        let from = way.at + lead;
        if from + GRID > limit {
            self.wait(way, limit, out);
            return;
        }
        for to in self.choice_ends(way, from, limit) {
            let Some(mut next) = self.add(way, (BlockKind::Choice, home, 0), to - from, limit)
            else {
                continue;
            };
            let assigned = |s: &Stretch| {
                s.kind == StretchKind::Assigned
                    && Span::new(Minute(from), Minute(to)).is_some_and(|c| c.meets(s.span))
            };
            let minutes = i64::from(to - from);
            if self.day.schedule.stretches.iter().any(assigned) {
                next.cost += 20 + minutes;
            }
            // Shorter than half an hour is hardly a choice, much longer than an hour is long.
            next.cost += (35 - minutes).max(0) + 40 * (15 - minutes).max(0) + (minutes - 75).max(0);
            out.push(next);
        }
    }

    /// Nothing fits before the next fixed part: the children wait for it.
    fn wait(&self, way: &Way, limit: u16, out: &mut Vec<Way>) {
        if way.at < limit {
            let mut next = way.clone();
            let space = self.next_part(way).map_or(self.day.site[self.day.room].home, |p| p.space);
            push(&mut next, BlockKind::Transition, space, 0, way.at, limit);
            next.cost += 8 * i64::from(limit - way.at);
            next.at = limit;
            out.push(next);
        }
    }

    /// Ends of a choice worth trying: on the grid, or just in time for what comes next.
    fn choice_ends(&self, way: &Way, from: u16, limit: u16) -> Vec<u16> {
        let home = self.day.site[self.day.room].home;
        let lead_to =
            |kind, space| transition_minutes(self.day, (BlockKind::Choice, home), (kind, space));
        let mut ends: Vec<u16> = [15, 20, 25, 30, 35, 40, 45, 50, 60, 75, 90, 120]
            .iter()
            .map(|m| grid_up(from + m))
            .collect();
        let lead_out = self.next_part(way).map_or(0, |p| lead_to(part_kind(p.kind), p.space));
        let last = limit.saturating_sub(lead_out);
        ends.push(last);
        if let Some(meal) = self.meals.get(way.meals) {
            let lead = lead_to(BlockKind::Meal(meal.kind), home);
            ends.extend([meal.window.from.0.saturating_sub(lead)]);
        }
        if let Some(rest) = &self.day.schedule.rest {
            let lead = lead_to(BlockKind::Rest, rest.space);
            ends.push(rest.window.from.0.saturating_sub(lead));
        }
        // Five minutes are no choice, unless a fixed part leaves no more.
        ends.retain(|&e| e <= limit && (e >= from + 2 * GRID || (e == last && e > from)));
        ends.sort_unstable();
        ends.dedup();
        ends
    }
}
