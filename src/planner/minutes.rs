//! Where the minutes of a child's day go, and how much of it is the child's own choice.

use crate::chart::{Chart, ChildDay, Place, State};
use crate::day::Day;
use crate::site::{ChildIndex, Span};

pub use crate::rules::settled::SHORTEST_CHOICE;

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

/// How much of a day one child chooses freely.
///
/// A substantial portion is a third of the session (a checklist, from a secondary source: 60 minutes
/// of 3 hours, 160 of 8). A good third of the time at stations and in choice is what this chart wants
/// at the least (common practice).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ChoiceShare {
    /// Who; never a young child, who has choice instead of turns anyway.
    pub child: ChildIndex,
    /// Minutes of choice in stretches of [`SHORTEST_CHOICE`] or more.
    pub minutes: u32,
    /// Minutes at stations in turns, and of all choice.
    pub of: u32,
    /// A third of the minutes in which the child is here.
    pub wished: u32,
}

impl ChoiceShare {
    /// Choice among turns and choice, rounded down; 100 where there is neither.
    #[must_use]
    pub fn percent(&self) -> u32 {
        (100 * self.minutes).checked_div(self.of).unwrap_or(100)
    }

    /// Whether choice is at least a third of turns and choice.
    #[must_use]
    pub fn is_good_third(&self) -> bool {
        3 * self.minutes >= self.of
    }

    /// Whether choice is at least a third of the child's time here.
    #[must_use]
    pub fn is_third_of_session(&self) -> bool {
        self.minutes >= self.wished
    }
}

/// The share of choice of each child who goes round with a group, in the chart's order.
#[must_use]
pub fn choice_shares(day: &Day, chart: &Chart) -> Vec<ChoiceShare> {
    let marched = chart.children.iter().filter(|c| !day.is_young(c.child));
    marched.map(choice_share).collect()
}

fn choice_share(child: &ChildDay) -> ChoiceShare {
    let sum = |of: fn(&Place) -> bool| -> u32 {
        let stays = child.stays.iter().filter(|s| of(&s.at));
        stays.map(|s| u32::from(s.span.minutes())).sum()
    };
    let mut stretches: Vec<Span> = Vec::new();
    for stay in child.stays.iter().filter(|s| matches!(s.at, Place::Choice(_))) {
        match stretches.last_mut() {
            Some(before) if before.to == stay.span.from => before.to = stay.span.to,
            _ => stretches.push(stay.span),
        }
    }
    let long = stretches.iter().map(|s| s.minutes()).filter(|m| *m >= SHORTEST_CHOICE);
    ChoiceShare {
        child: child.child,
        minutes: long.map(u32::from).sum(),
        of: sum(|at| matches!(at, Place::Station(_) | Place::Choice(_))),
        wished: sum(|_| true) / 3,
    }
}
