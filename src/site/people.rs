//! Children and adults: the least that the job needs.

use super::{AdultIndex, ChildIndex, Minute, RoomIndex, Span, StationIndex, Weekly};
use chrono::NaiveDate;

/// When somebody is in which room.
pub type InRooms = Vec<(RoomIndex, Vec<Span>)>;

/// An enrolled child, known by a label.
#[derive(Clone, PartialEq, Debug)]
pub struct Child {
    /// Chosen by the user.
    pub id: String,
    /// What the adults' papers print; never needs to be a full name.
    pub label: String,
    /// Birth date.
    pub born: NaiveDate,
    /// Home room.
    pub room: RoomIndex,
    /// When the child is here, by weekday: spans in order, apart from one another.
    pub attendance: Weekly<Vec<Span>>,
    /// Eats breakfast here.
    pub breakfast_here: bool,
    /// Nappies, learning, alone.
    pub toileting: Toileting,
    /// Usual sleep.
    pub sleep: Sleep,
    /// Minutes of lying or sitting quietly in the rest when not asleep, before something quiet to do.
    pub quiet_rest_minutes: u16,
    /// One-to-one support, if agreed.
    pub one_to_one: Option<OneToOne>,
    /// Still settling in, if so.
    pub settling_in: Option<SettlingIn>,
    /// What the child is allergic to, in the user's words, lower case; `standards::foods` reads them.
    pub allergies: Vec<String>,
    /// Stations that are not for this child.
    pub not_for: Vec<StationIndex>,
    /// Stations that the child often chooses.
    pub often_chosen: Vec<StationIndex>,
    /// Friends to keep in one small group if that can be.
    pub keep_with: Vec<ChildIndex>,
    /// Children never to be put beside this one; the wire makes it mutual.
    pub keep_apart: Vec<ChildIndex>,
    /// The adult to whom a young child belongs.
    pub key_adult: Option<AdultIndex>,
}

/// How far a child is with the toilet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Toileting {
    /// Changed in care rounds.
    Nappies,
    /// Taken in care rounds.
    Learning,
    /// Goes alone.
    Alone,
}

/// A child's usual sleep.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Sleep {
    /// Rests, does not sleep.
    None,
    /// Sleeps in the room's rest for so many minutes.
    InRest {
        /// Usual minutes of sleep, settling included.
        minutes: u16,
    },
    /// Sleeps by an own clock (infants), at each of these times.
    At(Vec<Span>),
}

/// Somebody is always beside this child.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OneToOne {
    /// The child's own adult.
    pub adult: AdultIndex,
    /// Who may stand in, in order.
    pub stand_ins: Vec<AdultIndex>,
}

/// A new child who stays near one adult.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SettlingIn {
    /// Last day of it.
    pub until: NaiveDate,
    /// With whom.
    pub with: AdultIndex,
}

/// A member of the team.
#[derive(Clone, PartialEq, Debug)]
pub struct Adult {
    /// Chosen by the user.
    pub id: String,
    /// What the papers print.
    pub label: String,
    /// When on shift, by weekday: spans in order, apart from one another.
    pub shifts: Weekly<Vec<Span>>,
    /// Counts in ratio.
    pub counts: bool,
    /// May be alone with children.
    pub may_be_alone: bool,
    /// May lead a room.
    pub lead: bool,
    /// Holds a first-aid certificate.
    pub first_aid: bool,
    /// Qualifications in the words of the binding standards, lower case (`level-6`).
    pub qualifications: Vec<String>,
    /// Rooms that the adult works in.
    pub rooms: Vec<RoomIndex>,
    /// Covers in any room.
    pub floater: bool,
    /// When an adult who works in several rooms is in which, every day on shift, unless a date says
    /// otherwise; a room that is not named is one in which nobody may count on the adult.
    pub in_rooms: InRooms,
    /// Staff breaks due; empty for a sole provider.
    pub breaks: Vec<BreakDue>,
    /// Kinds of posts that this adult does not take.
    pub posts_not_taken: Vec<NotTaken>,
}

/// A kind of post that an adult does not take.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NotTaken {
    /// Changing and toileting.
    Care,
    /// Outdoors.
    Outdoors,
    /// Movement breaks.
    Movement,
    /// Wet stations.
    Wet,
    /// The rest.
    Rest,
}

/// A staff break that is due on each shift.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BreakDue {
    /// How long.
    pub minutes: u16,
    /// It lies wholly inside this span.
    pub window: Span,
    /// Paid: the adult stays on the premises.
    pub paid: bool,
    /// The adult may leave the building.
    pub may_leave: bool,
}

impl Child {
    /// Whole completed months on a date; 0 before birth, which the wire refuses for attending days.
    #[must_use]
    pub fn months(&self, on: NaiveDate) -> u32 {
        super::age_in_months(self.born, on).unwrap_or(0)
    }
}

impl BreakDue {
    /// The starts on the planner's grid of `step` minutes at which the break fits its window.
    pub fn starts(&self, step: u16) -> impl Iterator<Item = Minute> + use<> {
        let (first, last) = (self.window.from.0.div_ceil(step) * step, self.window.to.0);
        let minutes = self.minutes;
        (first..last).step_by(usize::from(step)).filter(move |s| s + minutes <= last).map(Minute)
    }
}
