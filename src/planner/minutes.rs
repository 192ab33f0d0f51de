//! Where the minutes of a child's day go.

use crate::chart::{ChildDay, Place, State};

/// What a minute of a child's day went to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum MinuteKind {
    /// At a station in a turn.
    Stations,
    /// Choosing among open stations.
    Choice,
    /// Circle.
    WholeGroup,
    /// Eating.
    Meals,
    /// On the cot awake, or quietly beside it.
    Resting,
    /// Asleep.
    Asleep,
    /// A movement break.
    Moving,
    /// Out of doors.
    Outdoors,
    /// Being changed, or taken to the toilet.
    Care,
    /// Tidying, washing, walking, waiting.
    Transitions,
    /// Nobody found a place.
    Unplaced,
}

impl MinuteKind {
    /// Every kind, in the order of a record.
    pub const ALL: [MinuteKind; 11] = [
        MinuteKind::Stations,
        MinuteKind::Choice,
        MinuteKind::WholeGroup,
        MinuteKind::Meals,
        MinuteKind::Resting,
        MinuteKind::Asleep,
        MinuteKind::Moving,
        MinuteKind::Outdoors,
        MinuteKind::Care,
        MinuteKind::Transitions,
        MinuteKind::Unplaced,
    ];

    fn of(at: Place, state: State) -> MinuteKind {
        match (state, at) {
            (State::Asleep, _) => MinuteKind::Asleep,
            (_, Place::Station(_)) => MinuteKind::Stations,
            (_, Place::Table(_)) => MinuteKind::Meals,
            (_, Place::Choice(_)) => MinuteKind::Choice,
            (_, Place::WholeGroup) => MinuteKind::WholeGroup,
            (_, Place::Movement) => MinuteKind::Moving,
            (_, Place::Outdoors) => MinuteKind::Outdoors,
            (_, Place::Rest) => MinuteKind::Resting,
            (_, Place::Transition) => MinuteKind::Transitions,
            (_, Place::Care) => MinuteKind::Care,
            // The rest are posts of adults: a child there has no place of its own.
            _ => MinuteKind::Unplaced,
        }
    }
}

/// The minutes of one child's day by kind; kinds without a minute are left out. They add up to the
/// child's presence.
#[must_use]
pub fn minutes_by_kind(child: &ChildDay) -> Vec<(MinuteKind, u32)> {
    MinuteKind::ALL
        .into_iter()
        .map(|kind| {
            let spans = child.stays.iter().filter(|s| MinuteKind::of(s.at, s.state) == kind);
            (kind, spans.map(|s| u32::from(s.span.minutes())).sum())
        })
        .filter(|(_, minutes)| *minutes > 0)
        .collect()
}
