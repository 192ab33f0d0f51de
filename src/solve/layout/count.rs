//! What is counted along a way: what a block does to sitting, moving, choice and care.

use super::{Planner, Way};
use crate::chart::BlockKind;
use crate::rules::settled::{SHORTEST_CHOICE, beyond_a_third};
use crate::site::Span;

impl Planner<'_> {
    /// Children who have had less choice so far than a third of turns and choice.
    pub(super) fn under_third(&self, way: &Way) -> i64 {
        let alike = self.wanted.alike.iter().zip(way.over_third);
        alike.filter(|(_, over)| *over < 0).map(|((_, children), _)| children).sum()
    }

    /// Weighs a turn, a stretch of choice or the quiet time in a rest for whoever is here in it.
    fn weigh(&self, way: &mut Way, kind: BlockKind, span: Span) {
        for ((child, _), over) in self.wanted.alike.iter().zip(&mut way.over_third) {
            for here in self.day.child_here(*child).iter().filter_map(|h| h.meet(span)) {
                let beyond = beyond_a_third(self.day, *child, kind, here);
                *over = over.saturating_add(i16::try_from(beyond).unwrap_or(i16::MIN));
            }
        }
    }

    /// Quarters of an hour that the care rounds lack so far.
    pub(super) fn uncared(&self, way: &Way) -> i64 {
        let rounds = self.wanted.care.iter().zip(way.care);
        rounds.map(|((_, wanted), had)| i64::from(wanted.saturating_sub(had) / 15)).sum()
    }

    /// What a block that was just added does to what is counted along the way.
    pub(super) fn follow(&self, way: &mut Way, kind: BlockKind, span: Span) {
        let minutes = span.minutes();
        match kind {
            BlockKind::Circle | BlockKind::Meal(_) => way.still += minutes,
            // Who has sat for long goes to a station where bodies move.
            BlockKind::Turn | BlockKind::Transition => {}
            _ => way.still = 0,
        }
        let longest = self.day.schedule.movement.longest_still;
        way.short.still += i64::from(way.still.saturating_sub(longest));
        match kind {
            BlockKind::Movement | BlockKind::Outdoors => {
                if minutes >= self.day.schedule.movement.minutes {
                    way.moves += 1;
                }
                way.moved_at = Some(span.to.0);
            }
            BlockKind::Turn => way.turns += 1,
            BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome
                if minutes >= SHORTEST_CHOICE =>
            {
                way.chosen += self.wanted.child_minutes(span);
            }
            _ => {}
        }
        self.fetch(way, kind, span);
        if matches!(
            kind,
            BlockKind::Turn
                | BlockKind::Rest
                | BlockKind::Arrival
                | BlockKind::Choice
                | BlockKind::GoingHome
        ) {
            self.weigh(way, kind, span);
        }
        if kind == BlockKind::Choice {
            way.longest_choice = way.longest_choice.max(minutes);
        }
        if kind == BlockKind::Turn {
            way.run += 1;
            // A run is two turns or three; a longer one is only broken where that costs no turn.
            match way.run {
                1 => way.short.rough += 1,
                2 => way.short.rough -= 1,
                3 => {}
                _ => way.short.waiting += 10,
            }
        } else {
            way.run = 0;
            way.short.missed += self.kept_within(span);
        }
    }

    /// Counts the minutes of a block in which children can be changed.
    pub(super) fn fetch(&self, way: &mut Way, kind: BlockKind, span: Span) {
        let settling = self.day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
        let span = match kind {
            BlockKind::Rest => Span { to: span.from.later(settling).min(span.to), ..span },
            kind if self.wanted.is_for_care(kind) => span,
            _ => return,
        };
        for ((window, _), had) in self.wanted.care.iter().zip(&mut way.care) {
            *had += window.meet(span).map_or(0, Span::minutes);
        }
    }
}
