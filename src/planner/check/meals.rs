//! Meals around a block that is asked about without a chart: whether they have a time left, and times
//! that are far enough from one another.

use super::judge::Trial;
use super::words::meal;
use super::{Reason, bare};
use crate::rules::named;
use crate::site::{Meal, MealKind, Minute, Span};
use crate::solve::GRID;

impl Trial {
    /// Meals that have no other time than one in the block.
    pub(super) fn meals_without_time(&self) -> Vec<Reason> {
        let block = self.question.span;
        let meals = self.day.schedule.meals.iter().filter(|m| self.bare && m.window.meets(block));
        let reason = |m: &Meal| Reason {
            rule: named::MEALS.slug,
            standard: None,
            span: m.window.meet(block).unwrap_or(block),
            children: Vec::new(),
            needed: u32::from(m.minutes),
            present: 0,
            words: format!(
                "{}: no other time for {}, which takes {} minutes between {} and {}, and {} to get \
                 there washed",
                m.window.meet(block).unwrap_or(block),
                meal(m.kind).to_lowercase(),
                m.minutes,
                m.window.from,
                m.window.to,
                self.to_the_table()
            ),
        };
        meals.filter(|m| !self.has_time(m)).map(reason).collect()
    }

    /// Two meals that have time beside the block, but then less of it between them than is asked.
    pub(super) fn meals_too_near(&self) -> Vec<Reason> {
        let block = self.question.span;
        let (least, _) = self.day.meal_interval();
        let eaten = |m: &&Meal| {
            let breakfast = || self.day.children.iter().any(|c| self.day.site[c.0].breakfast_here);
            m.kind != MealKind::Breakfast || breakfast()
        };
        let meals: Vec<&Meal> = self.day.schedule.meals.iter().filter(eaten).collect();
        let mut found = Vec::new();
        for pair in meals.windows(2).filter(|p| self.bare && p.iter().all(|m| self.has_time(m))) {
            let first = |m: &Meal, beside: bool| self.starts(m, beside).min();
            let last = |m: &Meal, beside: bool| self.starts(m, beside).max();
            let apart = |beside: bool| -> Option<(Minute, Minute, u16)> {
                let (from, to) = (first(pair[0], beside)?, last(pair[1], beside)?);
                Some((from, to, to.0.saturating_sub(from.0)))
            };
            let Some((from, to, minutes)) = apart(true) else { continue };
            if minutes >= least || apart(false).is_none_or(|free| free.2 < least) {
                continue;
            }
            let asks =
                self.day.standards.iter().find(|s| s.meal_interval().is_some_and(|i| i.0 == least));
            let asked = asks.map_or_else(String::new, |s| format!(" (asked by {})", s.label));
            found.push(Reason {
                rule: named::MEALS.slug,
                span: block,
                children: Vec::new(),
                needed: u32::from(least),
                present: u32::from(minutes),
                words: format!(
                    "{block}: {} could then begin at {from} at the earliest, and {} at {to} at the \
                     latest: {minutes} minutes apart, at least {least} asked{asked}",
                    meal(pair[0].kind).to_lowercase(),
                    meal(pair[1].kind).to_lowercase(),
                ),
                standard: asks.map(|s| s.id.clone()),
            });
        }
        found
    }

    /// Whether a meal can be eaten before or after the block.
    fn has_time(&self, meal: &Meal) -> bool {
        let block = self.question.span;
        let tidy = self.day.schedule.transition_minutes;
        let before = meal.window.from.later(meal.minutes + tidy) <= block.from;
        let after = block.to.later(self.to_the_table() + meal.minutes) <= meal.window.to;
        !meal.window.meets(block) || before || after
    }

    /// When a meal can begin, on the grid or as the block ends; `beside` the block, or as if there were
    /// none.
    fn starts(&self, meal: &Meal, beside: bool) -> impl Iterator<Item = Minute> {
        let (block, minutes) = (self.question.span, meal.minutes);
        let tidy = self.day.schedule.transition_minutes;
        let washed = block.to.later(self.to_the_table());
        let last = meal.window.to.earlier(minutes);
        let (window, free) = (meal.window, !beside || !meal.window.meets(block));
        let on_grid = (window.from.0..=last.0).filter(|m| m.is_multiple_of(GRID)).map(Minute);
        let edges = [window.from, washed, block.from.earlier(tidy + minutes)];
        let fits = move |from: &Minute| {
            let span = Span::new(*from, from.later(minutes));
            let clear = free || from.later(minutes + tidy) <= block.from || washed <= *from;
            clear && span.is_some_and(|span| window.holds(span))
        };
        on_grid.chain(edges).filter(fits)
    }

    /// Minutes from the end of the block to a meal: tidying up or coming in, and all hands washed.
    fn to_the_table(&self) -> u16 {
        let (day, end) = (&self.day, self.question.span.to);
        let here = day.here_at(end.earlier(1)).count();
        let main = bare::main_space(day, &self.question);
        let out = day.site[main].outdoors;
        let tidy = day.schedule.transition_minutes;
        let way = (main, day.site[day.room].home);
        let walk = day.site.walking(way.0, way.1);
        let here_at = day.here_at(end.earlier(1));
        let tidy = if out { day.minutes_to_come_in(here_at, way) } else { tidy + walk };
        tidy.max(walk + day.wash_minutes(here, main))
    }
}
