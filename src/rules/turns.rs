//! Turns and visits, as the aims count them.

use crate::chart::{Block, BlockKind, Chart, ChildDay, Place};
use crate::day::Day;
use crate::site::{Span, StationIndex, StretchKind};

/// Minutes from which a stay at a station is a visit (common practice).
const VISIT: u16 = 5;

/// The chart's turns, run by run: those of one assigned stretch of the schedule, in which they start,
/// that no meal, rest, circle or time outdoors parts. Turns outside every assigned stretch are taken
/// for one stretch.
pub(super) fn turns_by_stretch<'a>(day: &Day, chart: &'a Chart) -> Vec<Vec<&'a Block>> {
    let stretch = |block: &Block| {
        day.schedule
            .stretches
            .iter()
            .position(|s| s.kind == StretchKind::Assigned && s.span.contains(block.span.from))
    };
    let mut blocks: Vec<&Block> = chart.blocks.iter().collect();
    blocks.sort_by_key(|b| b.span);
    let (mut runs, mut last, mut parted): (Vec<Vec<&Block>>, Option<usize>, bool) =
        (Vec::new(), None, true);
    for block in blocks {
        match block.kind {
            BlockKind::Turn => {
                let of = stretch(block);
                match runs.last_mut() {
                    Some(run) if !parted && of == last => run.push(block),
                    _ => runs.push(vec![block]),
                }
                (last, parted) = (of, false);
            }
            BlockKind::Meal(_) | BlockKind::Rest | BlockKind::Circle | BlockKind::Outdoors => {
                parted = true;
            }
            _ => {}
        }
    }
    runs
}

/// The visits of a child: each station with when, in order of time. Being fetched to be changed
/// does not end a visit.
pub(super) fn visits(child: &ChildDay) -> Vec<(StationIndex, Span)> {
    let mut stays: Vec<_> = child.stays.iter().filter(|s| s.at != Place::Care).collect();
    stays.sort_by_key(|s| s.span);
    let mut visits: Vec<(StationIndex, Span, u16)> = Vec::new();
    for pair in 0..stays.len() {
        let Place::Station(station) = stays[pair].at else { continue };
        let span = stays[pair].span;
        let goes_on = pair > 0 && stays[pair - 1].at == stays[pair].at;
        match visits.last_mut() {
            Some(last) if goes_on => {
                last.1.to = span.to;
                last.2 = last.2.saturating_add(span.minutes());
            }
            _ => visits.push((station, span, span.minutes())),
        }
    }
    visits.retain(|(_, _, minutes)| *minutes >= VISIT);
    visits.into_iter().map(|(station, span, _)| (station, span)).collect()
}

/// The station at which a child is for most of a turn, if it is a visit.
pub(super) fn station_in(visits: &[(StationIndex, Span)], turn: Span) -> Option<StationIndex> {
    let in_turn = visits.iter().filter_map(|(s, span)| span.meet(turn).map(|m| (m.minutes(), *s)));
    let mut longest: Option<(u16, StationIndex)> = None;
    for (minutes, station) in in_turn.filter(|(minutes, _)| *minutes >= VISIT) {
        if longest.is_none_or(|(most, _)| minutes > most) {
            longest = Some((minutes, station));
        }
    }
    longest.map(|(_, station)| station)
}
