//! How short and how plain an adult's help can be and still mend the day.

use super::step::Step;
use super::{Repaired, Trials};
use crate::day::ExtraAdult;
use crate::site::Span;

/// The planner's grid, in minutes.
const GRID: u16 = 5;

impl Trials {
    /// Makes the help of an adult as short, and what a newcomer must be able to do as little, as
    /// still mends; returns the repair with it, `None` where the step is no such help or nothing
    /// less would do.
    pub(super) fn shortest(&mut self, steps: &mut [Step], i: usize) -> Option<Repaired> {
        let mut found = None;
        for less in plainer() {
            let Step::ExtraAdult(now) = &steps[i] else { break };
            let mut plain = now.clone();
            less(&mut plain);
            if plain == *now {
                continue;
            }
            let mut tried = steps.to_vec();
            tried[i] = Step::ExtraAdult(plain);
            if let Some((repaired, true)) = self.attempt(&tried) {
                steps.clone_from_slice(&tried);
                found = Some(repaired);
            }
        }
        let whole = span_of(&steps[i])?;
        // Help that mends still does when it is longer: halve until the grid is reached.
        for at_end in [true, false] {
            let (mut enough, mut little) = (whole.minutes(), 0);
            let at = span_of(&steps[i])?;
            enough = enough.min(at.minutes());
            while enough - little > GRID {
                let middle = little + (enough - little) / 2 / GRID * GRID;
                let middle = middle.max(little + GRID);
                if middle >= enough {
                    break;
                }
                let shorter = if at_end {
                    Span { from: at.from, to: at.from.later(middle) }
                } else {
                    Span { from: at.to.earlier(middle), to: at.to }
                };
                let mut tried = steps.to_vec();
                with_span(&mut tried[i], shorter);
                match self.attempt(&tried) {
                    Some((repaired, true)) => {
                        steps.clone_from_slice(&tried);
                        (enough, found) = (middle, Some(repaired));
                    }
                    _ => little = middle,
                }
            }
        }
        found
    }
}

/// What a newcomer may lack, one thing after another.
fn plainer() -> [fn(&mut ExtraAdult); 5] {
    [
        |e| e.qualifications.clear(),
        |e| e.lead = false,
        |e| e.first_aid = false,
        |e| e.may_be_alone = false,
        |e| e.counts = false,
    ]
}

fn span_of(step: &Step) -> Option<Span> {
    match step {
        Step::AdultOfTheTeam { span, .. } => Some(*span),
        Step::ExtraAdult(extra) => extra.span,
        _ => None,
    }
}

fn with_span(step: &mut Step, new: Span) {
    match step {
        Step::AdultOfTheTeam { span, .. } => *span = new,
        Step::ExtraAdult(extra) => extra.span = Some(new),
        _ => {}
    }
}
