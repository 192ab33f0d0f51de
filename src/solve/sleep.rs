//! Sleep and rest of one child.

use super::clock::{GRID, gathering_zone};
use super::way::{apart, stay};
use crate::chart::{Apart, Place, State, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Sleep, SpaceIndex, Span, ZoneIndex};

/// Settling minutes where the schedule has no rest (common practice).
const SETTLING: u16 = 10;

/// Minutes that lying down takes before a child sleeps.
#[must_use]
pub fn settling(day: &Day) -> u16 {
    day.schedule.rest.as_ref().map_or(SETTLING, |r| r.settling_minutes)
}

/// Stays of a child who sleeps by an own clock: settling, then asleep until the usual waking.
#[must_use]
pub fn own_sleep(day: &Day, child: ChildIndex) -> Vec<Stay> {
    let Sleep::At(times) = &day.site[child].sleep else { return Vec::new() };
    let space = day.schedule.rest.as_ref().map_or(day.site[day.room].home, |r| r.space);
    let zone = gathering_zone(day, space);
    let mut stays = Vec::new();
    for time in times {
        for span in day.child_here(child).iter().filter_map(|h| h.meet(*time)) {
            stays.extend(lie_down(day, space, zone, span, span.to));
        }
    }
    stays
}

fn lie_down(
    day: &Day,
    space: SpaceIndex,
    zone: Option<ZoneIndex>,
    span: Span,
    until: Minute,
) -> Vec<Stay> {
    let asleep = span.from.later(settling(day)).min(until);
    let piece = |from, to, state| {
        Span::new(from, to).map(|span| {
            let mut lies = apart(stay(span, space, Place::Rest, zone), Apart::Sleep);
            lies.state = state;
            lies
        })
    };
    [piece(span.from, asleep, State::Resting), piece(asleep, until, State::Asleep)]
        .into_iter()
        .flatten()
        .collect()
}

/// The latest time at which a child who has slept, and would be up at `usual`, is given something
/// to do; whoever only rests has waited long enough by then.
#[must_use]
pub fn latest_up(day: &Day, child: ChildIndex, usual: Minute, here: Span) -> Minute {
    let awake_longest = day.schedule.rest.as_ref().map_or(0, |r| r.awake_longest);
    match day.site[child].sleep {
        Sleep::InRest { .. } => Minute(usual.0 + awake_longest / GRID * GRID).min(here.to),
        Sleep::None | Sleep::At(_) => usual,
    }
}

/// Stays of a child on the cots, up again at `up`, in the part of a rest in which it is here.
#[must_use]
pub fn in_rest_until(
    day: &Day,
    child: ChildIndex,
    space: SpaceIndex,
    zone: Option<ZoneIndex>,
    span: Span,
    up: Minute,
) -> Vec<Stay> {
    let Some(lies) = Span::new(span.from, up) else { return Vec::new() };
    match day.site[child].sleep {
        Sleep::InRest { minutes } => {
            let wakes = lies.from.later(minutes).min(up);
            let mut stays = Span::new(lies.from, wakes)
                .map_or(Vec::new(), |sleeps| lie_down(day, space, zone, sleeps, wakes));
            if let Some(awake) = Span::new(wakes, up) {
                let mut rests = stay(awake, space, Place::Rest, zone);
                rests.state = State::Resting;
                stays.push(rests);
            }
            stays.iter_mut().for_each(|s| s.apart = None);
            stays
        }
        Sleep::None | Sleep::At(_) => {
            let mut rests = stay(lies, space, Place::Rest, zone);
            rests.state = State::Resting;
            vec![rests]
        }
    }
}
