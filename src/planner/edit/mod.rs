//! One edit: what is otherwise than a day and its chart have it, laid over both.
//!
//! What happens while a day runs, what a fix offers and what is tried for it are lists of edits: each
//! is laid over the facts and the chart by [`Given::with`], and what comes of it is judged by the rules
//! alone.
//!
//! Map: `meal` a meal earlier or later, `floor` who is in which space, `cots` where cots stand, `words` an
//! edit in words.

mod cots;
pub(super) mod floor;
mod meal;
mod words;

pub use words::edit_words;
pub(super) use words::of_all;

use crate::chart::Chart;
use crate::day::{Day, ExtraAdult, Happening, NearEnds, Who};
use crate::site::{AdultIndex, ChildIndex, MealKind, Minute, SpaceIndex, Span, StationIndex};
use floor::Until;
use std::sync::Arc;

/// One edit. The kinds stand in the order of how much they disturb, least first.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Edit {
    /// A station is otherwise than the day has it.
    Station {
        /// Which.
        station: StationIndex,
        /// How.
        how: StationEdit,
    },
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
    /// Some children spend the turns and choices of a span in another space, without the rest of their
    /// small groups.
    SplitChildren {
        /// Who, in order.
        children: Vec<ChildIndex>,
        /// Where.
        space: SpaceIndex,
        /// When.
        span: Span,
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
    /// Nobody uses a space in the turns and choices of a span: all are in the home space. In a rest whoever
    /// is awake there is in the space of the cots, at something quiet.
    JoinFloor {
        /// The space that is left.
        space: SpaceIndex,
        /// When.
        span: Span,
    },
    /// One child's cot stands in another space.
    MoveCot {
        /// Whose.
        child: ChildIndex,
        /// Where.
        space: SpaceIndex,
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

/// How a station is otherwise than a day has it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum StationEdit {
    /// Set up so that the young cannot reach it.
    OutOfReach,
    /// So many children at a time at the most.
    AtMost(u32),
    /// Only for children of so many completed months and older.
    From(u32),
    /// Closed for a while.
    Closed(Span),
}

impl Edit {
    /// How much it disturbs: the place of its kind in the order, from 0.
    pub(super) fn rank(&self) -> u8 {
        match self {
            Edit::Station { .. } => 0,
            Edit::MoveBreak { .. } => 1,
            Edit::ShiftMeal { .. } => 2,
            Edit::MergeGroups { .. } => 3,
            Edit::SplitChildren { .. } => 4,
            Edit::SplitFloor { .. } => 5,
            Edit::JoinFloor { .. } => 6,
            Edit::MoveCot { .. } => 7,
            Edit::MoveCots { .. } => 8,
            Edit::AdultOfTheTeam { .. } => 9,
            Edit::ExtraAdult(_) => 10,
        }
    }
}

/// A running day with its posted chart and what has happened, to be repaired with changes.
#[derive(Clone, Debug)]
pub(super) struct Given {
    pub day: Day,
    pub posted: Chart,
    pub at: Minute,
    pub happenings: Vec<Happening>,
    /// How near to the ends of a shift a staff break may be moved.
    pub near_ends: NearEnds,
}

/// The day after all that has happened and is changed, and the chart that is to be followed.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub day: Day,
    pub chart: Chart,
}

impl Given {
    /// What is to be followed with some changes made; `None` where they cannot be made.
    pub(super) fn with(&self, edits: &[Edit]) -> Option<Laid> {
        let mut chart = self.posted.clone();
        let mut happenings = self.happenings.clone();
        for edit in edits {
            match edit {
                Edit::Station { station, how: StationEdit::Closed(span) } => {
                    let (station, span) = (*station, Some(*span));
                    happenings.push(Happening::Closed { station, span });
                }
                Edit::Station { .. } => {}
                Edit::ShiftMeal { meal, minutes } => {
                    chart = meal::shifted(&chart, *meal, *minutes, self.at)?;
                }
                Edit::MergeGroups { group, into } => {
                    chart = floor::merged(&chart, group, into, self.at)?;
                }
                Edit::SplitFloor { groups, space, span } => {
                    chart =
                        floor::split(&self.day, &chart, groups, *space, (*span, Until::TheirEnd))?;
                }
                Edit::SplitChildren { children, space, span } => {
                    let when = (*span, Until::TheirEnd);
                    chart = floor::split_by_child(&self.day, &chart, children, *space, when)?;
                }
                Edit::JoinFloor { space, span } => {
                    chart = floor::joined(&self.day, &chart, *space, (*span, Until::TheirEnd))?;
                    let stations = self.day.site.stations_of(*space);
                    let closed = |station| Happening::Closed { station, span: Some(*span) };
                    happenings.extend(stations.map(closed));
                }
                Edit::MoveCot { child, space } => {
                    chart = cots::one_in(&self.day, &chart, *child, *space, self.at)?;
                }
                Edit::MoveCots { space } => {
                    chart = cots::all_in(&self.day, &chart, *space, self.at)?;
                }
                Edit::AdultOfTheTeam { adult, span } => {
                    happenings.push(self.coming(*adult, *span));
                }
                Edit::ExtraAdult(extra) => happenings.push(Happening::ExtraAdult(extra.clone())),
                Edit::MoveBreak { adult, due, from: Some(from) } => {
                    let (adult, due, from) = (*adult, Some(*due), *from);
                    // What was agreed of it before does not stand any more.
                    happenings.retain(|told| {
                        !matches!(told, Happening::BreakAt { adult: who, due: which, .. }
                            if *who == adult && (which.is_none() || *which == due))
                    });
                    happenings.push(Happening::BreakAt { adult, due, from });
                }
                Edit::MoveBreak { from: None, .. } => {}
            }
        }
        let mut day = self.day.after(self.at, &happenings).ok()?;
        for edit in edits {
            match edit {
                Edit::MoveBreak { adult, due, from: None } => {
                    let may_lie = self.times_of_break(&day, *adult, *due);
                    let whole = may_lie
                        .iter()
                        .copied()
                        .reduce(|a, b| Span { from: a.from.min(b.from), to: a.to.max(b.to) })?;
                    let due = Arc::make_mut(&mut day.site).adults[adult.0].breaks.get_mut(*due)?;
                    due.window = whole;
                }
                Edit::Station { station, how } => {
                    let facts = day.stations.get_mut(station.0)?;
                    match how {
                        StationEdit::OutOfReach => facts.out_of_reach = true,
                        StationEdit::AtMost(most) => facts.seats = facts.seats.min(*most),
                        StationEdit::From(months) => {
                            facts.from_months = facts.from_months.max(*months);
                        }
                        StationEdit::Closed(_) => {}
                    }
                }
                _ => {}
            }
        }
        Some(Laid { day, chart })
    }

    /// When a staff break that is moved may lie: when it is due, and at other times not too near to the
    /// ends of the shift; from the moment on.
    pub(super) fn times_of_break(&self, day: &Day, adult: AdultIndex, due: usize) -> Vec<Span> {
        let facts = day.site[adult].breaks.get(due).map(|b| (b.window, b.minutes));
        let Some((window, minutes)) = facts else { return Vec::new() };
        let ahead = Span { from: self.at, to: Minute::END_OF_DAY };
        let times = [Some(window), day.break_at_another_time(adult, self.near_ends)];
        let ahead = times.into_iter().flatten().filter_map(|span| span.meet(ahead));
        ahead.filter(|span| span.minutes() >= minutes).collect()
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
