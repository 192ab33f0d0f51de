//! What is open for choice in the rest of the day: as posted, less what cannot be.

use super::children::Ways;
use super::ways::Making;
use crate::chart::{ChoiceIndex, OpenChoice, Place};
use crate::day::Day;
use crate::model::Planned;
use crate::site::{ChildIndex, Minute, Noise, Span, StationIndex, ZoneIndex};
use crate::solve::allow::may_use;

/// Closes what is shut, or not for everybody who is there now; `fewer_zones`: and leaves no more
/// zones open than adults can watch. What is left without seats is opened anew.
pub(super) fn adjust(making: &mut Making<'_>, children: &mut Ways, fewer_zones: bool) {
    for k in 0..making.choices.len() {
        let (there, span) = in_choice(making.at, children, ChoiceIndex(k));
        let Some(span) = span else { continue };
        let choice = making.choices[k].clone();
        let mut open = choice.open.clone();
        open.retain(|&s| {
            making.around.usable(s, span) && there.iter().all(|&c| may_use(making.day, c, s))
        });
        let watchers = watchers(making.day, span);
        if fewer_zones {
            open = in_few_zones(making.day, &open, watchers, there.len());
        }
        if open == choice.open {
            continue;
        }
        let seats = making.day.seats(&open);
        if (seats as usize) < there.len() {
            let quiet = choice.open.iter().all(|&s| making.day.station(s).noise == Noise::Quiet);
            let with = ((quiet, None), (watchers, false));
            let anew = making.around.open_choice(choice.space, span, &there, with.0, with.1);
            if making.day.seats(&anew.open) > seats {
                open = anew.open;
            }
        }
        let now = OpenChoice {
            span: Span { from: span.from, to: choice.span.to.max(span.to) },
            space: choice.space,
            open,
        };
        if choice.span.from >= making.at {
            making.choices[k] = OpenChoice { span: choice.span, ..now };
            continue;
        }
        making.choices[k].span.to = making.at.max(Minute(choice.span.from.0 + 1));
        making.choices.push(now);
        let new = ChoiceIndex(making.choices.len() - 1);
        let plans = children.iter_mut().map(|(_, plan)| plan).chain(&mut making.group_plans);
        for planned in plans.flatten() {
            if let Planned::Fixed(stay) = planned
                && stay.span.from >= making.at
                && stay.at == Place::Choice(ChoiceIndex(k))
            {
                stay.at = Place::Choice(new);
            }
        }
    }
}

/// Who is in a choice from a moment on, and when.
fn in_choice(at: Minute, children: &Ways, k: ChoiceIndex) -> (Vec<ChildIndex>, Option<Span>) {
    let mut there = Vec::new();
    let mut whole: Option<Span> = None;
    for (child, plan) in children {
        for planned in plan {
            let Planned::Fixed(stay) = planned else { continue };
            if stay.at != Place::Choice(k) || stay.span.from < at {
                continue;
            }
            if there.last() != Some(child) {
                there.push(*child);
            }
            let so_far = whole.unwrap_or(stay.span);
            whole = Some(Span {
                from: so_far.from.min(stay.span.from),
                to: so_far.to.max(stay.span.to),
            });
        }
    }
    (there, whole)
}

/// Fewest adults at any time of a span; one is left free where there are three or more.
fn watchers(day: &Day, span: Span) -> usize {
    let held = day.held_up();
    let here = |m: Minute| {
        let on = day.adults.iter().filter(|(_, h)| h.iter().any(|s| s.contains(m)));
        on.filter(|(a, _)| !held.iter().any(|h| h.0 == *a && h.2.contains(m))).count()
    };
    let edges = day.adults.iter().flat_map(|(_, h)| h).flat_map(|h| [h.from, h.to]);
    let edges = edges.chain(held.iter().flat_map(|h| [h.2.from, h.2.to])).chain([span.from]);
    let fewest = edges.filter(|e| span.contains(*e)).map(here).min().unwrap_or(1);
    if fewest >= 3 { fewest - 1 } else { fewest.max(1) }
}

/// The stations of as many zones as can be watched: those with most seats first, and more zones
/// only where the children would have no seats.
fn in_few_zones(
    day: &Day,
    open: &[StationIndex],
    watchers: usize,
    children: usize,
) -> Vec<StationIndex> {
    let mut zones: Vec<ZoneIndex> = open.iter().map(|&s| day.station(s).zone).collect();
    zones.sort_unstable();
    zones.dedup();
    let seats = |z: ZoneIndex| -> u32 {
        open.iter().map(|&s| day.station(s)).filter(|s| s.zone == z).map(|s| s.seats).sum()
    };
    zones.sort_by_key(|&z| (std::cmp::Reverse(seats(z)), z));
    let mut have = 0;
    let mut kept: Vec<ZoneIndex> = Vec::new();
    for (n, zone) in zones.into_iter().enumerate() {
        if n >= watchers && have >= children {
            break;
        }
        have += seats(zone) as usize;
        kept.push(zone);
    }
    open.iter().copied().filter(|&s| kept.contains(&day.station(s).zone)).collect()
}
