//! Care rounds: who has been changed, who is still to be, and when.

use super::children::Rounds;
use super::{Broken, Rest};
use crate::chart::{Chart, ChildDay, Place, Stay};
use crate::day::Day;
use crate::model::frame::RoundOption;
use crate::model::{Frame, Line, Model, Unknowns};
use crate::rules::RULES;
use crate::site::{CareRound, ChildIndex, Minute, PartKind, SpaceIndex, Span, Toileting, slices};
use crate::solve::care::{NEVER, disturbance, due, runs, turn, ways};
use crate::solve::clock::GRID;
use std::collections::BTreeSet;

/// The level of children who are left out of a care round.
const LEFT_OUT: &str = "left-out-of-care";
/// Minutes around a care round's window in which a posted change still belongs to it.
const AROUND: u16 = 60;

/// The care round to which a change at a minute belongs.
fn round_of(day: &Day, from: Minute) -> Option<usize> {
    let rounds = &day.schedule.care_rounds;
    let far = |r: &usize| {
        let window = rounds[*r].window;
        window.from.0.saturating_sub(from.0) + from.0.saturating_sub(window.to.0)
    };
    let wide = |r: &usize| {
        let window = rounds[*r].window;
        window.from.earlier(AROUND) <= from && from < window.to.later(AROUND)
    };
    (0..rounds.len()).min_by_key(far).filter(wide)
}

/// What is left of the care rounds from `start` on where a chart stands until a minute, and who has
/// been changed in them, with the end of the window up to which nothing more is due. Of a round that
/// has begun those are left who are still to be changed, if need be after its window.
pub(super) fn left(
    day: &Day,
    stands: &Chart,
    until: Minute,
    start: Minute,
) -> (Vec<CareRound>, Vec<(ChildIndex, Minute)>) {
    let (mut left, mut changed) = (Vec::new(), Vec::new());
    let stays = || stands.children.iter().flat_map(|c| c.stays.iter().map(|s| (c.child, s)));
    for (at, round) in day.schedule.care_rounds.iter().enumerate() {
        let own = stays().filter(|(_, s)| s.at == Place::Care);
        let own = own.filter(|(_, s)| round_of(day, s.span.from) == Some(at));
        let over = |s: &Stay| s.span.from < until || s.span.to <= start;
        let (done, to_come): (Vec<_>, Vec<_>) = own.partition(|(_, s)| over(s));
        if to_come.is_empty() && !done.is_empty() {
            continue;
        }
        let minutes = turn(day) * u16::try_from(to_come.len()).unwrap_or(1);
        let mut to = round.window.to;
        if !to_come.is_empty() {
            to = to.max(start.later(minutes));
            // Whoever cannot be fetched any more before they go out is changed on coming in.
            let out = day.schedule.parts.iter().filter(|p| p.kind == PartKind::Outdoors);
            let mut out = out.filter(|p| p.span.from <= to.later(AROUND / 2) && p.span.to > to);
            to = out.next().map_or(to, |p| p.span.to.later(minutes));
        }
        let Some(window) = Span::new(round.window.from.max(start), to) else { continue };
        left.push(CareRound { window });
        changed.extend(done.iter().map(|(child, _)| (*child, to)));
    }
    (left, changed)
}

/// The posted changes that fall on the way over to a new layout.
pub(super) fn on_the_way(stands: &Chart, way: Option<Span>) -> Rounds {
    let inside = |s: &&Stay| s.at == Place::Care && way.is_some_and(|way| way.holds(s.span));
    let each = |c: &ChildDay| -> Rounds {
        c.stays.iter().filter(inside).map(|s| (c.child, s.clone())).collect()
    };
    stands.children.iter().flat_map(each).collect()
}

/// Adds to the ways of each round those that leave some children out, in the end all of them: a change
/// that has to wait is better than a child at the changing place without an adult.
pub(super) fn with_fewer(frame: &mut Frame<'_>) {
    /// Ways of a round that are looked at.
    const WAYS: usize = 4;
    for ways in &mut frame.rounds {
        let mut fewer: Vec<RoundOption> = Vec::new();
        for way in ways.iter().take(WAYS) {
            let all = way.children.len();
            let parts = (0..=all).flat_map(|from| (from..all).map(move |to| from..to));
            let parts = parts.chain((1..all).map(|from| from..all));
            for part in parts {
                let children = way.children[part].to_vec();
                let part = RoundOption { runs: runs(&children), children, ..way.clone() };
                if !ways.contains(&part) && !fewer.contains(&part) {
                    fewer.push(part);
                }
            }
        }
        ways.extend(fewer);
    }
}

/// Adds a level above all others but the rules for who is left out of a round, nappies first.
pub(super) fn left_out(frame: &Frame<'_>, unknowns: &Unknowns, model: &mut Model) {
    model.level_behind(RULES.len(), LEFT_OUT);
    let day = frame.day;
    for (ways, vars) in frame.rounds.iter().zip(&unknowns.rounds) {
        let all: BTreeSet<ChildIndex> =
            ways.iter().flat_map(|w| &w.children).map(|c| c.0).collect();
        for (way, &var) in ways.iter().zip(vars) {
            let out = all.iter().filter(|c| !way.children.iter().any(|(taken, _)| taken == *c));
            let cost =
                |c: &ChildIndex| if day.site[*c].toileting == Toileting::Nappies { 2 } else { 1 };
            model.cost(LEFT_OUT, var, out.map(cost).sum());
        }
    }
    one_at_a_time(frame, unknowns, model);
}

/// Two rounds at once take two adults away from the others: where there are only three, that is as
/// bad as leaving everybody out.
fn one_at_a_time(frame: &Frame<'_>, unknowns: &Unknowns, model: &mut Model) {
    const FEW: usize = 3;
    /// More than a round has children.
    const BAD: i64 = 100;
    let runs = frame.rounds.iter().flatten().flat_map(|w| &w.runs);
    for slot in slices(runs.flat_map(|r| [r.from, r.to])) {
        let here = frame.day.adults.iter().filter(|(_, h)| h.iter().any(|h| h.holds(slot)));
        if here.count() <= FEW {
            let at_once = unknowns.rounds_at(frame, slot);
            let line = at_once.fold(Line::new(-1), |line, (_, var)| line.plus(1, var));
            model.short(LEFT_OUT, format!("care-at-once@{}", slot.from), line, BAD);
        }
    }
}

/// Adds the rounds that are still to come to a frame, with what is posted of them.
pub(super) fn rounds(broken: Broken<'_>, mut changes: Rounds, rest: &mut Rest<'_>) {
    let (day, at) = (broken.day, broken.at);
    changes.sort_by_key(|(child, stay)| (stay.span, *child));
    changes.dedup();
    for (number, round) in day.schedule.care_rounds.iter().enumerate() {
        let mine = |s: Span| round_of(day, s.from) == Some(number);
        let (own, left): (Rounds, Rounds) =
            std::mem::take(&mut changes).into_iter().partition(|(_, stay)| mine(stay.span));
        changes = left;
        let space = day.site[day.room].spaces.iter().find(|s| day.site[**s].care_place.is_some());
        let new = new(broken, round);
        let posted = option(broken, &own, rest, round, &new);
        let fresh = space.map_or(Vec::new(), |&space| fresh(broken, number, &rest.frame, space));
        let fresh = fresh.into_iter().filter(|way| way.runs.iter().all(|r| r.from >= at));
        match posted {
            Some(posted) => {
                let all = |way: &RoundOption| {
                    posted.children.iter().all(|(c, _)| way.children.iter().any(|w| w.0 == *c))
                };
                let mut options: Vec<RoundOption> = fresh.filter(all).collect();
                options.retain(|o| *o != posted);
                options.insert(0, posted);
                rest.frame.rounds.push(options);
                rest.rounds.push(Some(0));
            }
            None => {
                // Nobody was to be changed; now somebody has come who is.
                let options: Vec<RoundOption> = fresh.collect();
                if !new.is_empty() && !options.is_empty() && !was_run(broken, round) {
                    rest.frame.rounds.push(options);
                    rest.rounds.push(None);
                }
            }
        }
    }
    // Whoever was to be changed at another time, still is.
    for (child, stay) in changes {
        let children = vec![(child, stay.span)];
        let runs = vec![stay.span];
        let option = RoundOption { children, runs, space: stay.space, disturbs: 0 };
        rest.frame.rounds.push(vec![option]);
        rest.rounds.push(Some(0));
    }
}

/// The ways to run a round anew; one that has begun goes on later, with those who are still to come.
fn fresh(
    broken: Broken<'_>,
    number: usize,
    frame: &Frame<'_>,
    space: SpaceIndex,
) -> Vec<RoundOption> {
    let Broken { day, posted, at } = broken;
    let round = &day.schedule.care_rounds[number];
    let Some(window) = Span::new(round.window.from.max(at), round.window.to) else {
        return Vec::new();
    };
    let has_begun = |s: &Stay| {
        s.at == Place::Care && s.span.from < at && round_of(day, s.span.from) == Some(number)
    };
    let changed = posted.children.iter().filter(|c| c.stays.iter().any(has_begun));
    let changed: Vec<(ChildIndex, Minute)> = changed.map(|c| (c.child, window.to)).collect();
    if changed.is_empty() {
        return ways(day, frame, round, space);
    }
    let mut left = day.clone();
    left.changed.extend(changed);
    ways(&left, frame, &CareRound { window }, space)
}

/// Whether the posted chart changes anybody in a round's window.
fn was_run(broken: Broken<'_>, round: &CareRound) -> bool {
    let stays = broken.posted.children.iter().flat_map(|c| &c.stays);
    let mut care = stays.filter(|s| s.at == Place::Care);
    care.any(|s| s.span.meets(round.window))
}

/// Children who are due in a round, and were not to be here in its window.
fn new(broken: Broken<'_>, round: &CareRound) -> Vec<ChildIndex> {
    let was_here = |child: &ChildIndex| {
        let stays = broken.posted.child(*child).map_or(&[][..], |c| &c.stays);
        stays.iter().any(|s| s.span.meets(round.window))
    };
    due(broken.day, round.window).filter(|child| !was_here(child)).collect()
}

/// The posted round, with who is new at its end.
fn option(
    broken: Broken<'_>,
    own: &Rounds,
    rest: &Rest<'_>,
    round: &CareRound,
    new: &[ChildIndex],
) -> Option<RoundOption> {
    let day = broken.day;
    let space = own.first()?.1.space;
    let mut children: Vec<(ChildIndex, Span)> = own.iter().map(|(c, s)| (*c, s.span)).collect();
    let each = turn(day);
    for child in new {
        if children.iter().any(|known| known.0 == *child) {
            continue;
        }
        let last = children.iter().map(|(_, s)| s.to).max().unwrap_or(round.window.from);
        let slots = (last.0..round.window.to.later(AROUND / 2).0).step_by(usize::from(GRID));
        let slots = slots.filter_map(|s| Span::new(Minute(s), Minute(s).later(each)));
        let slot = slots.into_iter().find(|s| disturbance(&rest.frame, *child, *s, space) < NEVER);
        children.extend(slot.map(|slot| (*child, slot)));
    }
    Some(RoundOption { runs: runs(&children), children, space, disturbs: 0 })
}
