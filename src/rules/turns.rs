//! Turns and visits, as the aims count them.

use crate::chart::{Block, BlockKind, Chart, ChildDay, Place};
use crate::day::Day;
use crate::site::{Span, StationIndex, StretchKind};

/// Minutes from which a stay at a station is a visit (common practice).
const VISIT: u16 = 5;

/// The chart's turns, by the assigned stretch of the schedule in which they start; turns outside
/// every assigned stretch belong together.
pub(super) fn turns_by_stretch<'a>(day: &Day, chart: &'a Chart) -> Vec<Vec<&'a Block>> {
    let stretch = |block: &Block| {
        day.schedule
            .stretches
            .iter()
            .position(|s| s.kind == StretchKind::Assigned && s.span.contains(block.span.from))
    };
    let mut turns: Vec<&Block> =
        chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn).collect();
    turns.sort_by_key(|b| (stretch(b), b.span));
    turns.chunk_by(|a, b| stretch(a) == stretch(b)).map(<[&Block]>::to_vec).collect()
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
