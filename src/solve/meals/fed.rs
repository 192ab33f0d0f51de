//! Children who cannot have each meal with their group have one of their own.
//!
//! All meals of such a child are looked at together, so that none is too near to another or too far
//! from it: who comes late, who sleeps by an own clock, who leaves in the middle, who has breakfast here.

use super::options::{Choice, Plans};
use crate::chart::{Apart, Place, State, Stay};
use crate::day::Day;
use crate::model::Planned;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Span, TableIndex};
use crate::solve::layout::{Eaten, Piece};
use crate::solve::way::{overlay, stay};

/// Who washes so many minutes later than the group just waits for the sinks (common practice).
const WASHES_LATER: u16 = 10;

/// What feeding children takes to know of a day.
pub struct Feeding<'a> {
    /// The day.
    pub day: &'a Day,
    /// When everybody else eats.
    pub pieces: &'a [Piece],
    /// What was eaten before the plans begin.
    pub eaten: &'a Eaten,
    /// Nothing before it can be changed.
    pub now: Minute,
}

/// Something for a child to do while its group eats: when, who, and beside which table.
pub type Meanwhile<'a> = dyn FnMut(Span, ChildIndex, TableIndex) -> Option<Stay> + 'a;

/// Gives everybody among `who` the meals that they cannot have with their group, or would have too soon
/// or too late with it.
pub fn feed(
    feeding: &Feeding<'_>,
    who: impl Fn(ChildIndex) -> bool,
    plans: &mut [(ChildIndex, Vec<Planned>)],
    meanwhile: &mut Meanwhile<'_>,
) {
    let mut starts: Vec<(MealKind, Minute)> = Vec::new();
    for i in 0..plans.len() {
        if !who(plans[i].0) {
            continue;
        }
        for (meal, choice) in feeding.chosen(plans[i].0, &plans[i].1, &starts, plans) {
            let Some(table) = choice.table else { continue };
            let mut plan = plans[i].1.clone();
            if feeding.sit(plans[i].0, &mut plan, (meal, choice.from, table), meanwhile) {
                plans[i].1 = plan;
                starts.push((meal.kind, choice.from));
            }
        }
    }
}

/// How good some meals in a row are: minutes that are missing, minutes too near or too far, and how far
/// from the others; the less the better.
type Worth = (i64, i64, i64);

impl<'a> Feeding<'a> {
    /// The meals that a child owes, each with the time at which it has it, all of them together as good
    /// as can be; none where they are fine as they stand.
    fn chosen(
        &self,
        child: ChildIndex,
        plan: &[Planned],
        starts: &[(MealKind, Minute)],
        plans: &Plans,
    ) -> Vec<(&'a Meal, Choice)> {
        let owes = |m: &&Meal| {
            let had = self.eaten.iter().any(|e| (e.0, e.1) == (child, m.kind));
            let here = m.kind != MealKind::Breakfast || self.day.site[child].breakfast_here;
            here && !had
        };
        let meals: Vec<&'a Meal> = self.day.schedule.meals.iter().filter(owes).collect();
        if self.are_fine(child, plan, &meals) {
            return Vec::new();
        }
        let mut best: Vec<(Worth, Vec<(&'a Meal, Choice)>)> = vec![((0, 0, 0), Vec::new())];
        for meal in meals {
            let choices = self.choices((child, plan), meal, starts, plans);
            if choices.is_empty() {
                continue;
            }
            let before = std::mem::take(&mut best);
            for choice in choices {
                let with = |(worth, meals): &(Worth, Vec<(&'a Meal, Choice)>)| {
                    let off = match meals.last() {
                        Some((_, last)) => self.off(child, plan, last, &choice),
                        None => self.off_before(child, plan, &choice),
                    };
                    let short = worth.0 + i64::from(choice.short);
                    (short, worth.1 + off, worth.2 + i64::from(choice.far))
                };
                let Some(last) = before.iter().min_by_key(|b| with(b)) else { continue };
                let meals = last.1.iter().cloned().chain([(meal, choice.clone())]);
                best.push((with(last), meals.collect()));
            }
        }
        best.into_iter().min_by_key(|b| b.0).map_or(Vec::new(), |b| b.1)
    }

    /// Whether a child has every meal whole that it could have, none too near or too far.
    fn are_fine(&self, child: ChildIndex, plan: &[Planned], meals: &[&Meal]) -> bool {
        let mut last: Option<Choice> = None;
        for meal in meals {
            let standing = self.standing(plan, meal);
            let Some(standing) = standing.filter(|s| s.short == 0) else { return false };
            let from = standing.stays[0].span.from;
            let rises = |p: &Planned| matches!(p, Planned::Fixed(s) if s.state != State::Awake && s.span.to == from);
            if plan.iter().any(rises) {
                return false;
            }
            let now = Choice { from, table: None, offered: false, short: 0, far: 0 };
            let off = match &last {
                Some(last) => self.off(child, plan, last, &now),
                None => self.off_before(child, plan, &now),
            };
            if off > 0 {
                return false;
            }
            last = Some(now);
        }
        true
    }

    /// Minutes by which a meal is too near to, or too far from, what was eaten before the plan begins.
    fn off_before(&self, child: ChildIndex, plan: &[Planned], now: &Choice) -> i64 {
        let had = self.eaten.iter().filter(|e| e.0 == child && e.2 < now.from).map(|e| e.2);
        let Some(from) = had.max() else { return 0 };
        let last = Choice { from, table: None, offered: false, short: 0, far: 0 };
        self.off(child, plan, &last, now)
    }

    /// Minutes by which two meals are too near or too far, by every standard, else by the settings.
    fn off(&self, child: ChildIndex, plan: &[Planned], last: &Choice, next: &Choice) -> i64 {
        let (least, most) = self.day.meal_interval();
        let apart = i64::from(next.from.0) - i64::from(last.from.0);
        let offered = last.offered || next.offered;
        let soon = if offered { 0 } else { (i64::from(least) - apart).max(0) };
        let Some(between) = Span::new(last.from, next.from) else { return soon };
        let slept = plan.iter().filter_map(|p| match p {
            Planned::Fixed(s) if s.state == State::Asleep => s.span.meet(between),
            _ => None,
        });
        let slept = slept.map(|s| i64::from(s.minutes())).sum::<i64>();
        let stayed = self.day.child_here(child).iter().any(|h| h.holds(between));
        soon + if stayed { (apart - slept - i64::from(most)).max(0) } else { 0 }
    }

    /// Seats a child at a table of its own; whether there is something to do for it while its group
    /// has the meal.
    fn sit(
        &self,
        child: ChildIndex,
        plan: &mut Vec<Planned>,
        (meal, start, table): (&Meal, Minute, TableIndex),
        meanwhile: &mut Meanwhile<'_>,
    ) -> bool {
        let Some(span) = Span::new(start, start.later(meal.minutes)) else { return false };
        let space = self.day.site[table].space;
        let washes = start.earlier(self.day.schedule.transition_minutes);
        let standing = self.standing(plan, meal).map_or(Vec::new(), |s| s.stays);
        for group in standing.iter().filter(|s| s.span.to > self.now) {
            let Place::Table(at) = group.at else { continue };
            let before = Span::new(group.span.from, group.span.to.min(washes));
            let after = Span::new(group.span.from.max(span.to), group.span.to);
            for left in before.into_iter().chain(after) {
                let waits = left.to == washes && left.minutes() <= WASHES_LATER;
                let there = if waits {
                    Some(stay(left, space, Place::Transition, None))
                } else {
                    meanwhile(left, child, at)
                };
                let Some(mut there) = there else { return false };
                there.apart = Some(Apart::Food);
                overlay(plan, &there);
            }
        }
        if let Some(wash) = Span::new(washes, start) {
            let mut wash = stay(wash, space, Place::Transition, None);
            wash.apart = Some(Apart::Food);
            overlay(plan, &wash);
        }
        let mut eats = stay(span, space, Place::Table(table), None);
        eats.meal = Some(meal.kind);
        eats.apart = Some(Apart::Food);
        overlay(plan, &eats);
        true
    }
}
