//! One change that may mend a day, and what it makes of the facts and of the posted chart.

use super::{floor, shift};
use crate::chart::Chart;
use crate::day::{Day, ExtraAdult, Happening, Who};
use crate::site::{AdultIndex, MealKind, Minute, SpaceIndex, Span};
use std::sync::Arc;

/// One change. The kinds stand in the order of how much they disturb, least first.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Step {
    /// A staff break lies outside its window.
    MoveBreak {
        /// Whose.
        adult: AdultIndex,
        /// Position in the adult's breaks due.
        due: usize,
        /// When it is to begin; `None`: wherever from the moment on it fits.
        from: Option<Minute>,
    },
    /// All sittings of a meal are earlier (negative) or later, with the way to and from the table.
    ShiftMeal {
        /// Which.
        meal: MealKind,
        /// By so many minutes.
        minutes: i16,
    },
    /// Two small groups go on as one.
    MergeGroups {
        /// Id of the group that joins.
        group: String,
        /// Id of the group that it joins.
        into: String,
    },
    /// Some small groups spend the turns and choices of a span in another space.
    SplitFloor {
        /// Their ids.
        groups: Vec<String>,
        /// Where.
        space: SpaceIndex,
        /// When.
        span: Span,
    },
    /// Nobody uses a space in the turns and choices of a span: all are in the home space.
    JoinFloor {
        /// The space that is left.
        space: SpaceIndex,
        /// When.
        span: Span,
    },
    /// The cots stand in another space.
    MoveCots {
        /// Where.
        space: SpaceIndex,
    },
    /// An adult of the team stays longer, or comes.
    AdultOfTheTeam {
        /// Who.
        adult: AdultIndex,
        /// When this adult is here beyond what was planned.
        span: Span,
    },
    /// Somebody comes in who is not on the team.
    ExtraAdult(ExtraAdult),
}

/// A day and a posted chart to be repaired, with what has happened.
#[derive(Clone, Debug)]
pub(super) struct Given {
    pub day: Day,
    pub posted: Chart,
    pub at: Minute,
    pub happenings: Vec<Happening>,
}

impl Given {
    /// The same with a change made; `None` where it cannot be made.
    pub(super) fn with(&self, step: &Step) -> Option<Given> {
        let mut given = self.clone();
        match step {
            Step::MoveBreak { adult, due, from } => {
                let shift = self.day.adult_here(*adult).last().copied()?;
                let site = Arc::make_mut(&mut given.day.site);
                let due = site.adults[adult.0].breaks.get_mut(*due)?;
                due.window = match from {
                    Some(from) => Span::new(*from, from.later(due.minutes))?,
                    None => Span::new(self.at.max(shift.from), shift.to)?,
                };
            }
            Step::ShiftMeal { meal, minutes } => {
                given.posted = shift::shifted(&self.posted, *meal, *minutes, self.at)?;
            }
            Step::MergeGroups { group, into } => {
                given.posted = floor::merged(&self.posted, group, into, self.at)?;
            }
            Step::SplitFloor { groups, space, span } => {
                given.posted = floor::split(&self.day, &self.posted, groups, *space, *span)?;
            }
            Step::JoinFloor { space, span } => {
                given.posted = floor::joined(&self.day, &self.posted, *space, *span)?;
                let stations = self.day.site.stations_of(*space);
                given.happenings.extend(
                    stations.map(|station| Happening::Closed { station, span: Some(*span) }),
                );
            }
            Step::MoveCots { space } => {
                given.posted = floor::cots_in(&self.day, &self.posted, *space, self.at)?;
            }
            Step::AdultOfTheTeam { adult, span } => {
                given.happenings.push(self.coming(*adult, *span));
            }
            Step::ExtraAdult(extra) => {
                given.happenings.push(Happening::ExtraAdult(extra.clone()));
            }
        }
        Some(given)
    }

    /// The same with several changes made.
    pub(super) fn with_all(&self, steps: &[Step]) -> Option<Given> {
        steps.iter().try_fold(self.clone(), |given, step| given.with(step))
    }

    /// What happens when somebody of the team is here for a span: stays on at the end of the shift,
    /// or comes.
    fn coming(&self, adult: AdultIndex, span: Span) -> Happening {
        let who = Who::Adult(adult);
        let stays = self.day.adult_here(adult).iter().any(|h| h.to == span.from);
        if stays {
            Happening::Staying { who, until: span.to }
        } else {
            Happening::Back { who, at: Some(span.from), until: Some(span.to) }
        }
    }
}
