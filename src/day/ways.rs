//! How long it takes to get from one thing to the next: tidying, washing, dressing, walking.
//!
//! These are the one reading of those facts for everything that plans or tells; the audits have a
//! reading of their own.

use super::Day;
use crate::chart::BlockKind;
use crate::site::{ChildIndex, MealKind, Minute, Sleep, SpaceIndex, Span, age_banded};

/// The planner places on whole multiples of so many minutes.
pub const GRID: u16 = 5;

/// From so many months on a child washes its hands without help (common practice).
const WASHES_ALONE: u32 = 36;

/// Quiet time shorter than this is spent on the cot (common practice).
const SHORTEST_QUIET: u16 = 15;

/// Rounded up to the grid.
#[must_use]
pub fn grid_up(minute: u16) -> u16 {
    minute.div_ceil(GRID) * GRID
}

impl Day {
    /// The space at whose sinks the children of a space wash: those of the room's home where it has
    /// none.
    #[must_use]
    pub fn sinks_of(&self, space: SpaceIndex) -> SpaceIndex {
        if self.site[space].sinks > 0 { space } else { self.site[self.room].home }
    }

    /// Minutes for so many children to wash at the sinks of a space.
    #[must_use]
    pub fn wash_minutes(&self, children: usize, space: SpaceIndex) -> u16 {
        // As many adults as sinks are with a whole room, so that nobody waits for one.
        self.wash_minutes_helped(children, 0, space)
    }

    /// Minutes for so many children to wash at the sinks of a space, of whom one adult helps so many, one
    /// after another.
    #[must_use]
    pub fn wash_minutes_helped(&self, children: usize, helped: usize, space: SpaceIndex) -> u16 {
        let sinks = self.site[self.sinks_of(space)].sinks.max(1) as usize;
        let each = usize::from(self.site.settings.wash_minutes);
        let minutes = (children * each).div_ceil(sinks).max(helped * each);
        u16::try_from(minutes).unwrap_or(u16::MAX).min(60)
    }

    /// Whether an adult's hands are needed when a child washes: under three years (common practice).
    #[must_use]
    pub fn is_helped_to_wash(&self, child: ChildIndex) -> bool {
        self.months(child) < WASHES_ALONE
    }

    /// Minutes to tidy up in one space and walk to another; none where they are the same.
    #[must_use]
    pub fn way_minutes(&self, from: SpaceIndex, to: SpaceIndex) -> u16 {
        if from == to { 0 } else { self.schedule.transition_minutes + self.site.walking(from, to) }
    }

    /// Minutes in which children are dressed to go out: whoever takes longest keeps the others waiting.
    #[must_use]
    pub fn longest_dressing(&self, children: impl Iterator<Item = ChildIndex>) -> u16 {
        let each = |c| age_banded(&self.schedule.dressing.minutes, self.months(c));
        children.map(each).max().unwrap_or(0)
    }

    /// Minutes in which children tidy up, get dressed and walk out, from one space to another.
    #[must_use]
    pub fn minutes_to_go_out(
        &self,
        children: impl Iterator<Item = ChildIndex>,
        (from, to): (SpaceIndex, SpaceIndex),
    ) -> u16 {
        let ready = self.schedule.transition_minutes + self.longest_dressing(children);
        ready + self.site.walking(from, to)
    }

    /// Minutes in which children tidy up, walk in and get undressed, which takes half as long as
    /// dressing (common practice).
    #[must_use]
    pub fn minutes_to_come_in(
        &self,
        children: impl Iterator<Item = ChildIndex>,
        (from, to): (SpaceIndex, SpaceIndex),
    ) -> u16 {
        let ready = self.schedule.transition_minutes + self.longest_dressing(children).div_ceil(2);
        ready + self.site.walking(from, to)
    }

    /// The room's home and a space out of doors, the way out.
    #[must_use]
    pub fn way_out(&self, yard: SpaceIndex) -> (SpaceIndex, SpaceIndex) {
        (self.site[self.room].home, yard)
    }

    /// Minutes of tidying, washing, dressing and walking between two blocks, each with its space, the
    /// first of which ends at a minute; on the grid.
    #[must_use]
    pub fn transition_minutes(
        &self,
        at: Minute,
        from: (BlockKind, SpaceIndex),
        to: (BlockKind, SpaceIndex),
    ) -> u16 {
        use BlockKind::{
            Arrival, Choice, Circle, GoingHome, Meal, Movement, Outdoors, Rest, Transition, Turn,
        };
        let tidy = self.schedule.transition_minutes;
        let walk = self.site.walking(from.1, to.1);
        let wash = self.wash_minutes(self.children.len(), to.1);
        let way = (from.1, to.1);
        grid_up(match (from.0, to.0) {
            (Transition, _) => 0,
            // What was open stays open.
            (Choice, GoingHome | Choice) | (Arrival, Choice) if from.1 == to.1 => 0,
            // Boots come off in half the time, and some wash while others are still at it.
            (Outdoors, _) => (walk + wash).max(self.minutes_to_come_in(self.here_at(at), way)),
            (_, Outdoors) => self.minutes_to_go_out(self.here_at(at), way),
            // Between two sittings only those of the second wash.
            (Meal(one), Meal(other)) if one == other => {
                walk + self.wash_minutes(self.children.len().div_ceil(2), to.1).max(tidy)
            }
            // Who eats later goes on with something else; from a turn also those wash who come from
            // a wet station.
            (Arrival | Choice | Circle | Movement | Rest, Meal(kind)) => {
                walk + self.wash_minutes(self.most_at_once(kind), to.1).max(tidy)
            }
            (_, Meal(_)) | (Meal(_), Rest) => walk + wash.max(tidy),
            (Meal(_) | Rest, _) | (_, Rest) => walk + tidy,
            (Turn | Choice | Arrival | GoingHome, _) => walk + tidy,
            (Circle | Movement, _) => self.way_minutes(from.1, to.1),
        })
    }

    /// The most of today's children who can sit down to a meal at once.
    fn most_at_once(&self, kind: MealKind) -> usize {
        let tables = self.schedule.meal(kind).map_or(&[][..], |meal| &meal.tables);
        let seats = tables.iter().map(|&t| self.site[t].seats as usize).sum::<usize>();
        self.children.len().min(seats.max(1))
    }

    /// Minutes of an assigned turn for today's children: the mean of what suits each who goes round,
    /// on the grid.
    #[must_use]
    pub fn usual_turn(&self) -> u16 {
        let marched = self.children.iter().filter(|(c, _)| !self.is_young(*c));
        let each =
            |(c, _): &(ChildIndex, _)| age_banded(&self.schedule.turn_minutes, self.months(*c));
        let each: Vec<u16> = marched.map(each).collect();
        let sum = each.iter().map(|&m| u32::from(m)).sum::<u32>();
        let mean = sum / u32::try_from(each.len().max(1)).unwrap_or(1);
        grid_up(u16::try_from(mean).unwrap_or(15)).clamp(10, 30)
    }

    /// When a child is up again from a rest of which it is here for `span`.
    #[must_use]
    pub fn up_from_rest(&self, child: ChildIndex, span: Span) -> Minute {
        let facts = &self.site[child];
        let awake_longest = self.schedule.rest.as_ref().map_or(30, |r| r.awake_longest);
        let minutes = match facts.sleep {
            Sleep::InRest { minutes } => minutes,
            Sleep::None | Sleep::At(_) => facts.quiet_rest_minutes.min(awake_longest),
        };
        let up = grid_up(span.from.0 + minutes);
        // For the last few minutes nobody starts anything else.
        Minute(if up + SHORTEST_QUIET > span.to.0 { span.to.0 } else { up })
    }
}
