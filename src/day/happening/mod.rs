//! What happens while a day runs, and what it makes of the rest of the day.
//!
//! One list that every face of the program shares: somebody away, late, leaving, staying longer or
//! back, an adult who is held up, one who comes in, stations closed or open again, outdoors off or
//! on, a staff break that was missed. [`Day::after`] lays it over a day from a moment on; what lies
//! before that moment is never touched.
//!
//! Map: `people` who is here when, `ground` stations, outdoors and staff breaks, `against` what cannot
//! all be so.

mod against;
mod ground;
mod people;

use super::{Day, limits};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, StationIndex};
use against::{Subject, contradict, subject};
use std::sync::Arc;

/// A child or an adult.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Who {
    /// A child.
    Child(ChildIndex),
    /// An adult.
    Adult(AdultIndex),
}

/// One thing that happens.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Happening {
    /// Not here: for a span, or for all the rest of the day.
    Away {
        /// Who.
        who: Who,
        /// When; `None`: from now on.
        span: Option<Span>,
    },
    /// Comes later than the day has it.
    Late {
        /// Who.
        who: Who,
        /// Is with the others from then on.
        at: Minute,
    },
    /// Leaves earlier than the day has it.
    Leaving {
        /// Who.
        who: Who,
        /// Is gone from then on.
        at: Minute,
    },
    /// Stays longer than the day has it.
    Staying {
        /// Who.
        who: Who,
        /// Until then.
        until: Minute,
    },
    /// Is here again, or after all.
    Back {
        /// Who.
        who: Who,
        /// Is with the others from then on; `None`: from now on.
        at: Option<Minute>,
        /// Until then; `None`: as long as usual on this weekday.
        until: Option<Minute>,
    },
    /// An adult is in the house and cannot look after the others: a hurt or ill child, a nappy.
    HeldUp {
        /// Who.
        adult: AdultIndex,
        /// When.
        span: Span,
    },
    /// An adult comes in who is not on the team.
    ExtraAdult(ExtraAdult),
    /// A station is closed: for a span, or for all the rest of the day.
    Closed {
        /// Which.
        station: StationIndex,
        /// When; `None`: from now on.
        span: Option<Span>,
    },
    /// A closed station is open again: for a span, or for all the rest of the day.
    Open {
        /// Which.
        station: StationIndex,
        /// When; `None`: from now on.
        span: Option<Span>,
    },
    /// The children stay in for the rest of the day.
    Indoors,
    /// The children go out after all.
    Outdoors,
    /// A staff break that was on the chart did not happen, and is due again.
    MissedBreak {
        /// Who.
        adult: AdultIndex,
        /// Position in the adult's staff breaks due; `None`: the last one that has begun.
        due: Option<usize>,
    },
    /// A staff break is taken at another time, agreed with whose it is, also outside its window.
    BreakAt {
        /// Who.
        adult: AdultIndex,
        /// Position in the adult's staff breaks due; `None`: the first one still to come.
        due: Option<usize>,
        /// When it begins.
        from: Minute,
    },
}

/// An adult who comes in for a while.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct ExtraAdult {
    /// Unlike every id on the team.
    pub id: String,
    /// What the papers print.
    pub label: String,
    /// When this adult is with the children; `None`: from now until the room closes.
    pub span: Option<Span>,
    /// Counts in ratio.
    pub counts: bool,
    /// May be alone with children.
    pub may_be_alone: bool,
    /// May lead a room.
    pub lead: bool,
    /// Holds a first-aid certificate.
    pub first_aid: bool,
    /// Qualifications in the words of the binding standards, lower case.
    pub qualifications: Vec<String>,
}

/// A happening and the moment at which the day was changed for it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Happened {
    /// What lies before is not touched.
    pub at: Minute,
    /// What.
    pub what: Happening,
}

/// What is wrong with a happening.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HappeningFault {
    /// Its position in the list.
    pub about: usize,
    /// What is wrong, in one clause.
    pub cause: String,
    /// What to do.
    pub mend: String,
}

impl Day {
    /// This day after some happenings, from a moment on; they are remembered in
    /// [`Day::happened`]. An adult who comes in is added to the team of the day's site, a held-up
    /// adult's time to the schedule as a task that does not watch, a missed staff break to the
    /// adult's breaks due, each at the end of its list: positions before it keep their meaning.
    ///
    /// # Errors
    /// Every fault: times before the moment, times that cannot be, what is so already, and
    /// happenings that contradict each other. The day stays as it was.
    pub fn after(&self, at: Minute, happenings: &[Happening]) -> Result<Day, Vec<HappeningFault>> {
        let at = self.moment(at);
        let mut after = After { day: self.clone(), at, faults: Vec::new(), about: 0 };
        let closes = self.closes();
        // Whoever was to be picked up by now and was not keeps the room open.
        let stays = |h: &Happening| match h {
            Happening::Staying { who: Who::Child(child), .. } => {
                self.child_here(*child).last().is_some_and(|here| here.to == at)
            }
            _ => false,
        };
        if at > closes || (at == closes && !happenings.iter().any(stays)) {
            let open = Span { to: closes, ..self.schedule.open };
            let cause = format!("at {at} the room has closed ({open})");
            let mend = format!("give a time before {closes}, or say at {closes} which child stays");
            return Err(vec![HappeningFault { about: 0, cause, mend }]);
        }
        if let Some(last) = self.happened.iter().map(|h| h.at).max().filter(|last| at < *last) {
            let cause = format!("the day was changed at {last} already, which is after {at}");
            let mend = format!("give a time from {last} on, or the chart as it was before");
            return Err(vec![HappeningFault { about: usize::MAX, cause, mend }]);
        }
        let told = self.happened.len() + happenings.len();
        if let Some(cause) = limits::HAPPENED.cause(&self.site[self.room].label, told) {
            let mend = limits::HAPPENED.mend.into();
            return Err(vec![HappeningFault { about: 0, cause, mend }]);
        }
        after.contradictions(happenings);
        // Whether there is time for a staff break is known once it is known who is here when.
        let about_break =
            |h: &Happening| matches!(h, Happening::MissedBreak { .. } | Happening::BreakAt { .. });
        let mut in_turn: Vec<(usize, &Happening)> = happenings.iter().enumerate().collect();
        in_turn.sort_by_key(|(_, what)| about_break(what));
        for (about, what) in in_turn {
            after.about = about;
            after.apply(what);
            after.too_many();
            after.day.happened.push(Happened { at, what: what.clone() });
        }
        let After { mut day, mut faults, .. } = after;
        // Remembered as they were said: what is said later stands behind it.
        day.happened.truncate(self.happened.len());
        day.happened.extend(happenings.iter().map(|what| Happened { at, what: what.clone() }));
        day.children.retain(|(_, here)| !here.is_empty());
        day.adults.retain(|(_, here)| !here.is_empty());
        day.children.sort_by_key(|(child, _)| *child);
        day.adults.sort_by_key(|(adult, _)| *adult);
        faults.sort_by_key(|f| f.about);
        if faults.is_empty() { Ok(day) } else { Err(faults) }
    }

    /// The moment from which the day is changed when something is said at `at`: what is said before
    /// the room opens holds from before the first adult comes.
    #[must_use]
    pub fn moment(&self, at: Minute) -> Minute {
        if at >= self.schedule.open.from {
            return at;
        }
        let first = self.adults.iter().flat_map(|(_, here)| here).map(|h| h.from).min();
        first.map_or(at, |first| at.min(first))
    }

    /// Minutes from coming in to being with the children, of an adult.
    #[must_use]
    pub fn minutes_to_reach(&self, who: Who) -> u16 {
        match who {
            Who::Adult(_) => self.site.settings.minutes_to_reach_children,
            Who::Child(_) => 0,
        }
    }

    /// When adults are held up: who, the position of the task that stands for it, and when.
    #[must_use]
    pub fn held_up(&self) -> Vec<(AdultIndex, usize, Span)> {
        let held = self.happened.iter().filter_map(|h| match h.what {
            Happening::HeldUp { adult, .. } => Some(adult),
            _ => None,
        });
        held.enumerate()
            .filter_map(|(n, adult)| {
                let id = held_up_id(n);
                let task = self.schedule.tasks.iter().position(|t| t.id == id)?;
                let facts = &self.schedule.tasks[task];
                let from = facts.window.from;
                Some((adult, task, Span::new(from, from.later(facts.minutes))?))
            })
            .collect()
    }
}

/// The id of the task that stands for the n-th time that an adult is held up, from 0.
fn held_up_id(n: usize) -> String {
    format!("held-up-{}", n + 1)
}

/// A day while happenings are laid over it.
struct After {
    day: Day,
    at: Minute,
    faults: Vec<HappeningFault>,
    /// Position of the happening that is being laid over.
    about: usize,
}

impl After {
    fn fault(&mut self, cause: impl Into<String>, mend: impl Into<String>) {
        let (cause, mend) = (cause.into(), mend.into());
        self.faults.push(HappeningFault { about: self.about, cause, mend });
    }

    fn apply(&mut self, what: &Happening) {
        match what {
            Happening::Away { who, span } => self.away(*who, *span),
            Happening::Late { who, at } => self.late(*who, *at),
            Happening::Leaving { who, at } => self.leaving(*who, *at),
            Happening::Staying { who, until } => self.staying(*who, *until),
            Happening::Back { who, at, until } => self.back(*who, *at, *until),
            Happening::HeldUp { adult, span } => self.held_up(*adult, *span),
            Happening::ExtraAdult(extra) => self.extra(extra),
            Happening::Closed { station, span } => self.closed(*station, *span),
            Happening::Open { station, span } => self.open(*station, *span),
            Happening::Indoors => self.indoors(),
            Happening::Outdoors => self.outdoors(),
            Happening::MissedBreak { adult, due } => self.missed_break(*adult, *due),
            Happening::BreakAt { adult, due, from } => self.break_at(*adult, *due, *from),
        }
    }

    /// Reports that there are more people on the date than there may be: once, where that is so first.
    fn too_many(&mut self) {
        let room = self.day.site[self.day.room].label.clone();
        let counts = [
            (limits::CHILDREN, self.day.children.iter().filter(|c| !c.1.is_empty()).count()),
            (limits::ADULTS, self.day.adults.iter().filter(|a| !a.1.is_empty()).count()),
        ];
        for (limit, count) in counts {
            if let Some(cause) = limit.cause(&room, count).filter(|_| count == limit.most + 1) {
                self.fault(cause, limit.mend);
            }
        }
    }

    /// A span that does not begin before the moment; the rest of the day where none is given.
    fn ahead_of_now(&mut self, span: Option<Span>) -> Option<Span> {
        let Some(span) = span else { return Span::new(self.at, Minute::END_OF_DAY) };
        self.not_past(span.from).then_some(span)
    }

    /// Whether a time is not before the moment; a fault if it is.
    fn not_past(&mut self, time: Minute) -> bool {
        let at = self.at;
        if time < at {
            self.fault(format!("{time} is before {at}"), format!("give a time from {at} on"));
        }
        time >= at
    }

    fn label(&self, who: Who) -> String {
        match who {
            Who::Child(child) => self.day.site[child].label.clone(),
            Who::Adult(adult) => self.day.site[adult].label.clone(),
        }
    }

    /// Happenings of one list that cannot all be so.
    fn contradictions(&mut self, happenings: &[Happening]) {
        for (later, what) in happenings.iter().enumerate() {
            let before = happenings[..later].iter().find(|other| contradict(other, what));
            if before.is_some() {
                self.about = later;
                let about = match subject(what) {
                    Subject::Person(who) => self.label(who),
                    Subject::Station(station) => self.day.station(station).label.clone(),
                    Subject::Sky => "outdoors".to_owned(),
                    Subject::Extra(id) => format!("`{id}`"),
                };
                let cause = format!("what is said about {about} contradicts what was said before");
                self.fault(cause, "say one thing, or give times that lie apart");
            }
        }
    }
}

/// The site of a day, to be added to.
fn site_mut(day: &mut Day) -> &mut crate::site::Site {
    Arc::make_mut(&mut day.site)
}
