//! Another layout for what is left of a day, where the posted one cannot stand.
//!
//! What is going on is finished as far as it can be; the rest is planned as a day that begins then,
//! with what is done already taken off: meals eaten, rest taken, movement breaks had, staff breaks
//! and tasks done. Where groups go, what is posted at that time is preferred.

use super::cuts::{cuts, lead};
use super::trial::{least_shortfall, on_grid};
use super::ways::hold;
use super::{Broken, STAY_PUT, breaks_a_rule, care};
use crate::chart::{Block, BlockKind, Chart, Group, Place};
use crate::day::Day;
use crate::model::{Frame, Model, Planned, Target, Unknowns};
use crate::rules::{self, RULES, Reads, Shortfall, rows};
use crate::site::{MealKind, Minute, PartKind, Span};
use crate::solve::Effort;
use crate::solve::clock::grid_up;
use crate::solve::decode::decode;
use crate::solve::framing::frame;
use crate::solve::layout::{Before, Eaten, layouts_of_rest};
use crate::solve::proof::{Told, Watch};
use crate::solve::rank::Rank;
use crate::solve::search::{Steps, search};
use std::sync::Arc;

/// Less than so many minutes of a day are not laid out anew.
const SHORTEST: u16 = 20;

/// Whether the posted blocks can be followed at all: nobody goes out on an indoor day, and where the
/// children go out after all, there has to be a block for it.
pub(super) fn stands(broken: Broken<'_>) -> bool {
    let Broken { day, posted, at } = broken;
    let out = |b: &&Block| b.kind == BlockKind::Outdoors && b.span.to > at;
    if day.indoor.value {
        return !posted.blocks.iter().any(|b| out(&b));
    }
    let parts = day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
    parts
        .filter(|p| p.span.from > at)
        .all(|part| posted.blocks.iter().filter(out).any(|b| b.span.meets(part.span)))
}

/// Charts of the day with another layout from the next block on; none where too little is left.
/// `base` is the chart that keeps all that can be kept. Unless they are wanted `at_any_rate`, only
/// charts that break no rule are of use, so nothing is searched where that can be seen not to be.
pub(super) fn relaid(
    broken: Broken<'_>,
    base: &Chart,
    at_any_rate: bool,
    (seed, effort): (u64, Effort),
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let mends = |chart: &Chart| !breaks_a_rule(broken, chart);
    let mut found: Vec<Chart> = Vec::new();
    for (tried, until) in cuts(broken).into_iter().enumerate() {
        if tried > 0 && (watch.stopped() || found.iter().any(mends)) {
            break;
        }
        found.extend(relaid_from((broken, base), until, at_any_rate, (seed, effort), watch));
    }
    found
}

/// Charts that are as the base is until a minute.
fn relaid_from(
    (broken, base): (Broken<'_>, &Chart),
    until: Minute,
    at_any_rate: bool,
    (seed, effort): (u64, Effort),
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let day = broken.day;
    let open = day.schedule.open;
    let over = Minute(grid_up(until.0 + lead(broken, until)));
    // Before the room opens there is nothing to walk away from.
    let start = if until <= open.from { open.from } else { over };
    if start.0 + SHORTEST > open.to.0 {
        return Vec::new();
    }
    if !at_any_rate && broken_until(broken, base, until) {
        return Vec::new();
    }
    let rows_tell = !at_any_rate && on_grid(broken);
    let cut = Cut { broken, base, until, start };
    let rest = cut.rest_of_day();
    let mut groups: Vec<Group> = base.groups.clone();
    for group in &mut groups {
        group.cells.clear();
        group.children.retain(|c| !rest.child_here(*c).is_empty());
    }
    groups.retain(|g| !g.children.is_empty());
    let most = effort.layouts.clamp(1, 6);
    let layouts = layouts_of_rest(&rest, &groups, most, &cut.before());
    let mut found: Vec<(Rank, Drawn, Chart)> = Vec::new();
    for (at, layout) in layouts.iter().enumerate() {
        let stop = watch.part(Told::Searching, at + 1, layouts.len());
        if stop && at > 0 {
            break;
        }
        let mut frame = frame(&rest, &groups, layout);
        hold(day, &mut frame);
        care::with_fewer(&mut frame);
        let (mut model, unknowns) = rows::model(&frame);
        if rows_tell && !least_shortfall(&model).is_none() {
            continue;
        }
        cut.stay_put(&frame, &unknowns, &mut model);
        care::left_out(&frame, &unknowns, &mut model);
        let short = if stop { 0 } else { effort.short };
        let steps = Steps { annealing: short, descent: short / 2 };
        let taken = search(&frame, &model, None, steps, seed);
        let levels = model.value(&taken);
        if rows_tell && !Shortfall::of_levels(&levels).is_none() {
            continue;
        }
        let (chart, duties) = decode(&frame, &unknowns, &taken);
        let drawn = (layout.wishes.fails(), layout.wishes.odd);
        let rank = Rank::of_levels(&model, &levels, layout.wishes);
        found.push((rank, drawn, cut.stitched(&rest, &chart, &duties)));
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found.truncate(effort.finalists.max(1));
    // Nobody hurries into boots in five minutes so that fewer are elsewhere.
    let fine = found.iter().find(|f| !breaks_a_rule(broken, &f.2)).or(found.first());
    if let Some(drawn) = fine.map(|f| f.1) {
        found.retain(|f| f.1 <= drawn);
    }
    found.into_iter().map(|f| f.2).collect()
}

/// What a layout fails to hold, and what of it no teacher would draw.
type Drawn = ([i64; 4], i64);

/// Whether a rule is broken that is judged minute by minute before anything could be laid out anew.
fn broken_until(broken: Broken<'_>, base: &Chart, until: Minute) -> bool {
    let problems = rules::audit(broken.day, base);
    let ahead = |p: &rules::Problem| p.lies_ahead(broken.at) && p.span.from < until;
    let by_the_minute = |p: &rules::Problem| {
        let rule = rules::rule_of(p);
        rule.is_of_adults() && rule.reads == Reads::Minute
    };
    problems.iter().any(|p| ahead(p) && by_the_minute(p))
}

/// Where the part that stands ends and the new layout begins.
pub(super) struct Cut<'a> {
    pub(super) broken: Broken<'a>,
    /// The chart that keeps all that can be kept.
    pub(super) base: &'a Chart,
    /// Until then the base stands.
    pub(super) until: Minute,
    /// From then on the day is laid out anew.
    pub(super) start: Minute,
}

impl Cut<'_> {
    /// The day as one that begins at `start`, with nothing left to do that is done.
    fn rest_of_day(&self) -> Day {
        let (start, mut day) = (self.start, self.broken.day.clone());
        let ahead = Span { from: start, to: Minute::END_OF_DAY };
        let begun = |kind: BlockKind| {
            self.base.blocks.iter().any(|b| b.kind == kind && b.span.from < self.until)
        };
        let held = day.held_up();
        let resting: Vec<_> = self.resting();
        let schedule = &mut day.schedule;
        let moved = self.base.blocks.iter().filter(|b| {
            let done = Span::new(b.span.from, b.span.to.min(self.until)).map_or(0, Span::minutes);
            matches!(b.kind, BlockKind::Movement | BlockKind::Outdoors)
                && done >= schedule.movement.minutes
        });
        let moved = u32::try_from(moved.count()).unwrap_or(u32::MAX);
        schedule.open.from = start;
        schedule.open.to = self.broken.day.closes();
        schedule.parts.retain_mut(|p| clip(&mut p.span, ahead));
        schedule.stretches.retain_mut(|s| clip(&mut s.span, ahead));
        schedule.meals.retain_mut(|m| clip(&mut m.window, ahead));
        if let Some(rest) = &mut schedule.rest
            && (begun(BlockKind::Rest) || !clip(&mut rest.window, ahead))
        {
            schedule.rest = None;
        }
        (schedule.care_rounds, day.changed) =
            care::left(self.broken.day, self.base, self.until, start);
        schedule.movement.indoor_day = schedule.movement.indoor_day.saturating_sub(moved);
        schedule.movement.outdoor_day = schedule.movement.outdoor_day.saturating_sub(moved);
        for (task, facts) in schedule.tasks.iter_mut().enumerate() {
            let posts = self.base.adults.iter().flat_map(|a| &a.posts);
            let mut done = posts.filter(|p| p.at == Place::Task(task) && p.span.from < start);
            let is_held = held.iter().any(|h| h.1 == task);
            if is_held || done.next().is_some() || !clip(&mut facts.window, ahead) {
                // Longer than its window: there is no start for it.
                facts.minutes = facts.window.minutes() + 1;
            }
        }
        let clipped = |spans: &mut Vec<Span>| {
            *spans = spans.iter().filter_map(|s| s.meet(ahead)).collect();
            !spans.is_empty()
        };
        day.children.retain_mut(|(_, here)| clipped(here));
        day.adults.retain_mut(|(adult, here)| {
            let away = held.iter().filter(|h| h.0 == *adult).map(|h| h.2);
            let away = away.chain(resting.iter().filter(|r| r.0 == *adult).map(|r| r.2));
            for out in away {
                *here = here
                    .iter()
                    .flat_map(|h| {
                        let before = Span::new(h.from, h.to.min(out.from));
                        before.into_iter().chain(Span::new(h.from.max(out.to), h.to))
                    })
                    .collect();
            }
            clipped(here)
        });
        let site = Arc::make_mut(&mut day.site);
        if self.broken.day.most_in() <= self.start {
            // They are in; who comes after lunch is not waited for.
            site.settings.most_in_percent = 0;
        }
        for stood in &self.base.adults {
            for (due, facts) in site.adults[stood.adult.0].breaks.iter_mut().enumerate() {
                let at = Place::StaffBreak(due);
                let mut posts = stood.posts.iter();
                let done = posts.any(|p| p.at == at && p.span.from < self.until);
                if done || !clip(&mut facts.window, ahead) {
                    facts.minutes = facts.window.minutes() + 1;
                }
            }
        }
        day
    }

    /// The way over.
    pub(super) fn way(&self) -> Option<Span> {
        Span::new(self.until.max(self.broken.day.schedule.open.from), self.start)
    }

    /// What the children did before the new layout.
    fn before(&self) -> Before {
        let mut eaten = Eaten::new();
        for child in &self.base.children {
            let mut meals: Vec<(MealKind, Span, u16)> = Vec::new();
            for stay in child.stays.iter().filter(|s| s.span.from < self.until) {
                let (Some(kind), Some(span)) =
                    (stay.meal, Span::new(stay.span.from, stay.span.to.min(self.until)))
                else {
                    continue;
                };
                match meals.iter_mut().find(|m| m.0 == kind) {
                    Some(begun) => begun.2 += span.minutes(),
                    None => meals.push((kind, span, span.minutes())),
                }
            }
            let meal = |kind| self.broken.day.schedule.meals.iter().find(move |m| m.kind == kind);
            let had = |m: &&(MealKind, Span, u16)| meal(m.0).is_some_and(|f| 2 * m.2 >= f.minutes);
            eaten.extend(meals.iter().filter(had).map(|m| (child.child, m.0, m.1.from)));
        }
        let begun = self.base.blocks.iter().filter(|b| b.span.from < self.until);
        let over = begun.filter_map(|b| match b.kind {
            BlockKind::Meal(kind) => Some(kind),
            _ => None,
        });
        Before { moved_at: self.moved_at(), eaten, over: over.collect() }
    }

    /// When the children last moved or were out before the new layout.
    fn moved_at(&self) -> Option<Minute> {
        let moves = |b: &&Block| matches!(b.kind, BlockKind::Movement | BlockKind::Outdoors);
        let before = self.base.blocks.iter().filter(moves).filter(|b| b.span.from < self.until);
        // Whoever has just gone out and comes in again has hardly moved.
        let long = |(from, to): &(Minute, Minute)| {
            from.later(self.broken.day.schedule.movement.minutes) <= *to
        };
        before.map(|b| (b.span.from, b.span.to.min(self.until))).filter(long).map(|b| b.1).max()
    }

    /// Staff breaks that go on where the new layout begins: who, which, and when.
    pub(super) fn resting(&self) -> Vec<(crate::site::AdultIndex, usize, Span)> {
        let mut found = Vec::new();
        for stood in &self.base.adults {
            for post in &stood.posts {
                if let Place::StaffBreak(due) = post.at
                    && post.span.from < self.until
                    && post.span.to > self.until
                {
                    found.push((stood.adult, due, post.span));
                }
            }
        }
        found
    }

    /// Adds a level for what is elsewhere than posted.
    fn stay_put(&self, frame: &Frame<'_>, unknowns: &Unknowns, model: &mut Model) {
        model.level_behind(RULES.len(), STAY_PUT);
        for (child, plan) in &frame.children {
            for planned in plan {
                let Planned::Cell { span, cell } = planned else { continue };
                let middle = Minute(u16::midpoint(span.from.0, span.to.0));
                let stays = self.base.child(*child).map_or(&[][..], |c| &c.stays);
                let Some(was) = stays.iter().find(|s| s.span.contains(middle)) else { continue };
                let options = frame.cells[*cell].options.iter().zip(&unknowns.cells[*cell]);
                for (option, &var) in options {
                    let same = match (&option.target, was.at) {
                        (Target::Station(s), Place::Station(t)) => *s == t,
                        (Target::Nest { open, .. }, Place::Choice(k)) => {
                            let before = self.base.choices.get(k.0).map_or(&[][..], |c| &c.open);
                            before.iter().any(|s| open.contains(s))
                        }
                        _ => false,
                    };
                    model.cost(STAY_PUT, var, i64::from(!same));
                }
            }
        }
    }
}

/// Cuts a span down to what lies ahead; whether anything is left.
fn clip(span: &mut Span, ahead: Span) -> bool {
    let left = span.meet(ahead);
    *span = left.unwrap_or(*span);
    left.is_some()
}
