//! The times at which a child can have a meal: with its group, at a table of its own, or as it has had it.

use super::ON_COMING;
use super::fed::Feeding;
use crate::chart::{BlockKind, Place, State, Stay};
use crate::model::Planned;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Span, TableIndex};
use crate::solve::clock::{GRID, grid_up};

/// One time at which a child can have a meal.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    /// When it begins.
    pub from: Minute,
    /// The table that is laid for the child alone; `None`: as it stands in the child's plan.
    pub table: Option<TableIndex>,
    /// Offered on coming, when the others had it already.
    pub offered: bool,
    /// Minutes of the meal that are missing.
    pub short: u16,
    /// How far it is from when the others have it.
    pub far: u16,
}

/// A meal as it stands in a child's plan.
pub(super) struct Standing {
    /// Each stay at the table, in order.
    pub stays: Vec<Stay>,
    /// Minutes of it that are missing.
    pub short: u16,
}

/// Every child's plan.
pub(super) type Plans = [(ChildIndex, Vec<Planned>)];

impl Feeding<'_> {
    /// A meal as it stands in a child's plan, if it does.
    pub(super) fn standing(&self, plan: &[Planned], meal: &Meal) -> Option<Standing> {
        let stays = plan.iter().filter_map(|p| match p {
            Planned::Fixed(s) if s.meal == Some(meal.kind) => Some(s.clone()),
            _ => None,
        });
        let stays: Vec<Stay> = stays.collect();
        let minutes = stays.iter().map(|s| s.span.minutes()).sum::<u16>();
        let short = meal.minutes.saturating_sub(minutes);
        (!stays.is_empty()).then_some(Standing { stays, short })
    }

    /// The times at which a child can have a meal; none where it cannot have it at all.
    pub(super) fn choices(
        &self,
        (child, plan): (ChildIndex, &[Planned]),
        meal: &Meal,
        starts: &[(MealKind, Minute)],
        plans: &Plans,
    ) -> Vec<Choice> {
        let standing = self.standing(plan, meal);
        let mut choices = Vec::new();
        let usual = self.usual(meal.kind).min();
        let mut near = usual.unwrap_or(meal.window.from);
        let mut washes = false;
        if let Some(Standing { stays, short }) = standing {
            let (from, to) = (stays[0].span.from, stays[stays.len() - 1].span.to);
            // Who comes straight from a sleep of its own washes first.
            washes = !washed_before(plan, meal.kind);
            let short = if washes { short.max(1) } else { short };
            choices.push(Choice { from, table: None, offered: false, short, far: 0 });
            let had = 2 * short <= meal.minutes || to > self.now;
            if from < self.now && had {
                return choices;
            }
            near = from;
        }
        for from in self.starts(child, plan, meal) {
            let Some(table) = self.free_table(meal, from, child, plans) else { continue };
            let far = from.0.abs_diff(near.0);
            // Who only washes first sits down with the others as soon as that is done; else one at which
            // somebody else sits down is preferred within a quarter of an hour.
            let shared = !washes && starts.contains(&(meal.kind, from));
            let far = 1 + if shared { far.saturating_sub(15) } else { far };
            let offered = self.is_offered(child, meal.kind, from);
            choices.push(Choice { from, table: Some(table), offered, short: 0, far });
        }
        choices
    }

    /// When the sittings of a meal begin for the others.
    fn usual(&self, kind: MealKind) -> impl Iterator<Item = Minute> + '_ {
        let sittings = self.pieces.iter().filter(move |p| p.kind == BlockKind::Meal(kind));
        sittings.map(|p| p.span.from)
    }

    /// Whether a meal at a time is food that is offered to a child on coming, because the others had sat
    /// down to it already.
    fn is_offered(&self, child: ChildIndex, kind: MealKind, from: Minute) -> bool {
        let Some(last) = self.usual(kind).max() else { return false };
        let here = self.day.child_here(child).iter().find(|h| h.contains(from));
        here.is_some_and(|h| last < h.from && from <= h.from.later(ON_COMING))
    }

    /// The starts within window and presence, to come, and awake.
    fn starts(&self, child: ChildIndex, plan: &[Planned], meal: &Meal) -> Vec<Minute> {
        let day = self.day;
        let here = day.child_here(child);
        let fits = |s: &Minute| {
            let Some(span) = Span::new(*s, s.later(meal.minutes)) else { return false };
            // The minutes to wash in are not slept through either, and are no meal.
            let up = Span { from: s.earlier(day.schedule.transition_minutes), to: span.to };
            let comes = here.iter().any(|h| h.from == *s);
            let ahead = up.from >= self.now || (comes && *s >= self.now);
            let free = !plan.iter().any(|p| match p {
                Planned::Fixed(stay) => {
                    let lies = stay.state != State::Awake && stay.span.meets(span);
                    let sleeps = stay.state == State::Asleep && stay.span.meets(up);
                    let eats = stay.meal.is_some_and(|m| m != meal.kind) && stay.span.meets(up);
                    let out = stay.at == Place::Outdoors && stay.span.meets(span);
                    lies || sleeps || eats || out
                }
                Planned::Cell { .. } => false,
            });
            ahead && free && meal.window.holds(span) && here.iter().any(|h| h.holds(span))
        };
        let starts = (grid_up(meal.window.from.0)..meal.window.to.0).step_by(usize::from(GRID));
        starts.map(Minute).filter(fits).collect()
    }

    /// A table with a seat left, if that can be one at which others sit for most of the time.
    fn free_table(
        &self,
        meal: &Meal,
        start: Minute,
        child: ChildIndex,
        plans: &Plans,
    ) -> Option<TableIndex> {
        let span = Span::new(start, start.later(meal.minutes))?;
        let site = &self.day.site;
        let at = |t: TableIndex| -> Vec<(ChildIndex, Span)> {
            let sits = move |p: &Planned| match p {
                Planned::Fixed(s) if s.at == Place::Table(t) => s.span.meet(span),
                _ => None,
            };
            let others = plans.iter().filter(|(c, _)| *c != child);
            others
                .flat_map(|(c, plan)| plan.iter().filter_map(move |p| Some((*c, sits(p)?))))
                .collect()
        };
        let free = |t: TableIndex| {
            let there = at(t);
            let mut who: Vec<ChildIndex> = there.iter().map(|(c, _)| *c).collect();
            who.dedup();
            let quarrel = who.iter().any(|c| site[child].keep_apart.contains(c));
            let steps = (span.from.0..span.to.0).step_by(usize::from(GRID)).map(Minute);
            let shared = steps.filter(|m| there.iter().any(|(_, s)| s.contains(*m))).count();
            let free = who.len() < site[t].seats as usize && !quarrel;
            free.then_some((shared, std::cmp::Reverse(t)))
        };
        let best = meal.tables.iter().filter_map(|&t| free(t)).max();
        best.map(|(_, std::cmp::Reverse(table))| table)
    }
}

/// Whether a child does not come to a meal straight from a sleep of its own, unwashed.
fn washed_before(plan: &[Planned], kind: MealKind) -> bool {
    plan.windows(2).all(|pair| match (&pair[0], &pair[1]) {
        (Planned::Fixed(before), Planned::Fixed(eats)) => {
            eats.meal != Some(kind)
                || before.state == State::Awake
                || before.span.to < eats.span.from
        }
        _ => true,
    })
}
