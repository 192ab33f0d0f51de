//! Care rounds: when each child in nappies, or learning, is taken, and how much that disturbs.

use super::clock::{GRID, grid_up};
use super::way::at;
use crate::chart::{BlockKind, Place, State, Stay};
use crate::day::Day;
use crate::model::frame::RoundOption;
use crate::model::{Frame, Planned};
use crate::site::{CareRound, ChildIndex, Minute, Sleep, SpaceIndex, Span, Toileting};
use crate::steps::{self, Stage};

/// How many ways to run a round are kept.
const KEEP: usize = 24;
/// A child is not fetched from a meal or a sleep.
pub const NEVER: i64 = 1_000;
/// With more adults than this one can come in from elsewhere with a child.
const MANY: usize = 4;
/// Each child taken outside the window.
const LATE: i64 = 20;
/// Minutes after the end of the window in which a round may still go on.
pub const LATEST: u16 = 45;
/// From choice, or from the others' way, a child is fetched as well as ever.
const HARDLY: i64 = 1;
/// Minutes before going home from which a child is taken before those who stay.
const SOON: u16 = 45;
/// Minutes before the window from which a child may be taken who cannot be taken in it.
pub const EARLIEST: u16 = 60;

/// For each care round, the ways to run it that disturb least.
#[must_use]
pub fn rounds(day: &Day, frame: &Frame<'_>) -> Vec<Vec<RoundOption>> {
    let spaces = &day.site[day.room].spaces;
    let Some(&space) = spaces.iter().find(|s| day.site[**s].care_place.is_some()) else {
        return Vec::new();
    };
    day.schedule
        .care_rounds
        .iter()
        .map(|round| ways(day, frame, round, space))
        .filter(|ways| !ways.is_empty())
        .collect()
}

/// Minutes of one turn at the changing place, on the grid.
pub fn turn(day: &Day) -> u16 {
    grid_up(day.site.settings.care_minutes.max(1))
}

/// The children who are due in a window: they do not go alone, are here long enough for it, and have
/// not been changed in it already.
pub fn due(day: &Day, window: Span) -> impl Iterator<Item = ChildIndex> + '_ {
    let changed = move |c| day.changed.iter().any(|(who, to)| *who == c && window.to <= *to);
    let each = turn(day);
    let whole = move |h: &Span| h.meet(window).is_some_and(|h| h.minutes() >= each);
    let children = day.children.iter().filter(move |(_, here)| here.iter().any(whole));
    let children = children.map(|(c, _)| *c).filter(move |c| !changed(*c));
    children.filter(|c| day.site[*c].toileting != Toileting::Alone)
}

/// The ways to run one care round that disturb least; none where nobody is due.
pub fn ways(
    day: &Day,
    frame: &Frame<'_>,
    round: &CareRound,
    space: SpaceIndex,
) -> Vec<RoundOption> {
    let each = turn(day);
    let due: Vec<ChildIndex> = due(day, round.window).collect();
    if due.is_empty() {
        return Vec::new();
    }
    // Infants who sleep through the whole window by their own clock are changed before it.
    let early: Vec<ChildIndex> = due
        .iter()
        .copied()
        .filter(|&c| matches!(day.site[c].sleep, Sleep::At(_)))
        .filter(|&c| {
            let mut slots = slots(round.window.from, round.window.to, each);
            !slots
                .any(|s| disturbance(frame, c, s, space) < NEVER && one_can_leave(frame, s, space))
        })
        .collect();
    let due = Due { children: due, early, window: round.window };
    let run = |start: Minute, from: Minute| way(frame, &due, each, (start, from), space);
    let starts = slots(round.window.from, round.window.to, each).map(|slot| slot.from);
    let mut found: Vec<RoundOption> = if due.early.is_empty() {
        starts.filter_map(|start| run(start, start)).collect()
    } else {
        let first = latest_for_the_early(&due, each, |start| run(start, round.window.from));
        starts.filter_map(|from| run(first, from)).collect()
    };
    let most = found.iter().map(|o| o.children.len()).max().unwrap_or(0);
    found.retain(|o| o.children.len() == most);
    found.sort_by_key(|o| (o.disturbs, o.runs[0]));
    found.truncate(KEEP);
    found
}

/// The latest start at which all who are changed before the window are: right before they sleep.
fn latest_for_the_early(
    due: &Due,
    each: u16,
    run: impl Fn(Minute) -> Option<RoundOption>,
) -> Minute {
    let before = due.window.from.earlier(EARLIEST);
    let taken = |start: &Minute| {
        let children = run(*start).map_or(Vec::new(), |way| way.children);
        let early =
            children.iter().filter(|(c, at)| due.early.contains(c) && at.from < due.window.from);
        (early.count(), *start)
    };
    let starts = slots(before, due.window.from, each).map(|slot| slot.from);
    starts.max_by_key(taken).unwrap_or(before)
}

/// Children of a round.
struct Due {
    children: Vec<ChildIndex>,
    /// Those who cannot be taken inside the window.
    early: Vec<ChildIndex>,
    window: Span,
}

/// Turns of one child at the changing place that start on the grid in a stretch.
fn slots(from: Minute, to: Minute, each: u16) -> impl Iterator<Item = Span> {
    let starts = (grid_up(from.0)..to.0).step_by(usize::from(GRID));
    starts.filter_map(move |s| Span::new(Minute(s), Minute(s).later(each)))
}

/// One after another from `start`, those who are not early from `resume`; each time the child whom it
/// disturbs least, nappies first; the adult waits while nobody can be fetched. Learners go two at a time. What runs over the window costs extra.
fn way(
    frame: &Frame<'_>,
    due: &Due,
    each: u16,
    (start, resume): (Minute, Minute),
    space: SpaceIndex,
) -> Option<RoundOption> {
    let (day, end) = (frame.day, due.window.to);
    let mut left = due.children.clone();
    let mut round = RoundOption { children: Vec::new(), runs: Vec::new(), space, disturbs: 0 };
    let mut from = start;
    while !left.is_empty() && from < end.later(LATEST) {
        let span = Span::new(from, from.later(each))?;
        let cost = |c: &ChildIndex| disturbance(frame, *c, span, space);
        // Before the window only those who cannot be taken in it.
        let waits = |c: &ChildIndex| span.from < resume && !due.early.contains(c);
        let learner = |c: &ChildIndex| day.site[*c].toileting == Toileting::Learning;
        // Of those whom it hardly disturbs first who goes home soon: that child cannot be taken later.
        let soon = |c: &ChildIndex| {
            let goes = day.child_here(*c).iter().find(|h| h.contains(from)).map(|h| h.to);
            let goes = goes.filter(|to| cost(c) <= HARDLY && *to <= from.later(SOON));
            goes.unwrap_or(Minute::END_OF_DAY)
        };
        left.sort_by_key(|c| (waits(c), cost(c).max(HARDLY), soon(c), cost(c), learner(c), *c));
        let mut taken: Vec<ChildIndex> = left.iter().copied().take(1).collect();
        if learner(&taken[0]) {
            taken.extend(left.iter().skip(1).copied().find(learner));
        }
        taken.retain(|c| !waits(c) && cost(c) < NEVER && one_can_leave(frame, span, space));
        for child in taken {
            let outside = span.to > end || span.from < due.window.from;
            round.disturbs += cost(&child) + if outside { LATE } else { 0 };
            round.children.push((child, span));
            left.retain(|c| *c != child);
        }
        from = span.to;
    }
    round.runs = runs(&round.children);
    (!round.runs.is_empty()).then_some(round)
}

/// When an adult is at it, of children in order of time.
pub fn runs(children: &[(ChildIndex, Span)]) -> Vec<Span> {
    let mut runs: Vec<Span> = Vec::new();
    for &(_, span) in children {
        match runs.last_mut() {
            Some(run) if run.to >= span.from => run.to = run.to.max(span.to),
            _ => runs.push(span),
        }
    }
    runs
}

/// Whether somebody can change a child in a span: a second adult is here, or everyone else is where
/// the changing place sees them.
fn one_can_leave(frame: &Frame<'_>, span: Span, space: SpaceIndex) -> bool {
    let day = frame.day;
    let here = adults_at(day, span);
    let seen = day.seen_from_care(space);
    here > 1
        || frame.children.iter().all(|(_, plan)| match at(plan, span) {
            None => true,
            Some(Planned::Cell { .. }) => false,
            Some(Planned::Fixed(stay)) => {
                let zones = day.zones_of(&frame.choices, stay);
                stay.at != Place::Transition
                    && !zones.is_empty()
                    && zones.iter().all(|z| seen.contains(z))
            }
        })
}

/// Adults here for the whole of a span.
fn adults_at(day: &Day, span: Span) -> usize {
    day.adults.iter().filter(|(_, h)| h.iter().any(|s| s.holds(span))).count()
}

/// How much it disturbs to change a child in a span; from [`NEVER`] on it cannot be.
pub fn disturbance(frame: &Frame<'_>, child: ChildIndex, span: Span, space: SpaceIndex) -> i64 {
    steps::count(Stage::Framing, 1);
    let day = frame.day;
    let plan = frame.children.iter().find(|(c, _)| *c == child);
    let plan = plan.map_or(&[][..], |(_, plan)| plan);
    let Some(planned) = at(plan, span) else { return NEVER };
    let whole = planned.span().holds(span);
    let base = match planned {
        Planned::Cell { .. } if day.is_young(child) => 1,
        Planned::Cell { .. } => 8,
        Planned::Fixed(stay) if stay.state == State::Asleep => NEVER,
        // Somebody has to come in from another space with the child: where adults are plenty.
        Planned::Fixed(stay) if stay.space != space && adults_at(day, span) <= MANY => NEVER,
        Planned::Fixed(stay) => match stay.at {
            Place::Choice(_) => 0,
            // While the others tidy up and wash; with two adults the other has them all.
            Place::Transition if adults_at(day, span) > 2 => 1,
            Place::Transition => 3,
            // Before a sleep on the way to the cot; otherwise from a book on it.
            Place::Rest if settles(plan, stay) => match rests_meanwhile(frame, child, span) {
                true => 2,
                false => NEVER,
            },
            Place::Rest => 4,
            Place::WholeGroup => 10,
            Place::Movement if day.is_young(child) => 6,
            Place::Outdoors => 30,
            _ => NEVER,
        },
    };
    if whole { base } else { NEVER }
}

/// Whether who is changed in a span still settles then, so that it rests all the same: later nobody is
/// lifted again who is to sleep.
fn rests_meanwhile(frame: &Frame<'_>, child: ChildIndex, span: Span) -> bool {
    let day = frame.day;
    let settling = day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
    let own: &[Span] = if let Sleep::At(times) = &day.site[child].sleep { times } else { &[] };
    let rests = frame.blocks.iter().filter(|b| b.kind == BlockKind::Rest).map(|b| b.span);
    let begins = |rest: Span| day.child_here(child).iter().filter_map(move |h| h.meet(rest));
    let mut begins = rests.chain(own.iter().copied()).flat_map(begins);
    begins.any(|here| Span { from: here.from, to: here.from.later(settling) }.holds(span))
}

/// Whether a child falls asleep after a stay.
fn settles(plan: &[Planned], stay: &Stay) -> bool {
    let asleep = |p: &Planned| matches!(p, Planned::Fixed(s) if s.state == State::Asleep && s.span.from == stay.span.to);
    plan.iter().any(asleep)
}
