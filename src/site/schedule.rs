//! The room's day before anyone is placed.

use super::{SpaceIndex, Span, TableIndex};

/// A room's day: fixed parts, windows, turn lengths, movement target.
#[derive(Clone, PartialEq, Debug)]
pub struct Schedule {
    /// Chosen by the user.
    pub id: String,
    /// When the room is open.
    pub open: Span,
    /// Parts at a fixed time, in order, apart from one another.
    pub parts: Vec<Part>,
    /// Where turns or free choice fill the time between parts, meals and rest; what no stretch
    /// covers is choice. In order, apart from one another.
    pub stretches: Vec<Stretch>,
    /// Meals in the order of the day.
    pub meals: Vec<Meal>,
    /// Rest, on days long enough to have one.
    pub rest: Option<Rest>,
    /// Changing and toileting.
    pub care_rounds: Vec<CareRound>,
    /// Work that takes an adult.
    pub tasks: Vec<Task>,
    /// Moving bodies.
    pub movement: Movement,
    /// Minutes of one turn by age.
    pub turn_minutes: Vec<AgeBand>,
    /// Longest whole-group time by age, in minutes.
    pub whole_group_minutes: Vec<AgeBand>,
    /// Minutes of tidying up and walking between two blocks.
    pub transition_minutes: u16,
    /// Getting dressed to go out, and undressed on coming in.
    pub dressing: Dressing,
}

impl Schedule {
    /// The meal of a kind, where the day has one.
    #[must_use]
    pub fn meal(&self, kind: MealKind) -> Option<&Meal> {
        self.meals.iter().find(|meal| meal.kind == kind)
    }
}

/// Getting dressed to go out, and undressed on coming in, which takes half as long (common practice).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Dressing {
    /// Minutes by age on a mild, dry day.
    pub minutes: Vec<AgeBand>,
    /// Minutes more when it is cold or wet.
    pub more_when_cold_or_wet: u16,
    /// Minutes less when it is warm and dry.
    pub less_when_warm: u16,
    /// It is cold below so many degrees Celsius.
    pub cold_below_celsius: i16,
    /// It is warm from so many degrees Celsius on.
    pub warm_from_celsius: i16,
}

/// Coat and shoes for a three-year-old take five minutes, boots and rain trousers as many more, and
/// the youngest are dressed by somebody: all figures are common practice.
impl Default for Dressing {
    fn default() -> Dressing {
        let band = |below_months, minutes| AgeBand { below_months, minutes };
        Dressing {
            minutes: vec![band(Some(30), 8), band(Some(60), 5), band(None, 4)],
            more_when_cold_or_wet: 5,
            less_when_warm: 5,
            cold_below_celsius: 10,
            warm_from_celsius: 20,
        }
    }
}

/// A figure for children below an age; bands stand in order of age, the last one for all older.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct AgeBand {
    /// Completed months at which the next band begins; `None` in the last band.
    pub below_months: Option<u32>,
    /// The figure, in minutes.
    pub minutes: u16,
}

/// The figure that holds at an age; 0 when there are no bands.
#[must_use]
pub fn age_banded(bands: &[AgeBand], months: u32) -> u16 {
    bands.iter().find(|b| b.below_months.is_none_or(|m| months < m)).map_or(0, |b| b.minutes)
}

/// A part of the day at a fixed time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Part {
    /// What it is.
    pub kind: PartKind,
    /// When.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
}

/// Kinds of fixed parts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PartKind {
    /// Children come in; one adult is at the door while children are due.
    Arrival,
    /// All together, sitting.
    Circle,
    /// Stations are open at a fixed time: where a day is planned around a block that is asked about.
    Choice,
    /// Out of doors; on an indoor day its time goes to turns, choice and movement.
    Outdoors,
    /// Children are fetched; one adult is at the door while children are due to leave.
    GoingHome,
}

/// Time for turns or for choice.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stretch {
    /// Assigned or choice.
    pub kind: StretchKind,
    /// When, at the widest.
    pub span: Span,
}

/// Assigned or choice.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum StretchKind {
    /// Groups go from station to station.
    Assigned,
    /// Stations are open, nobody is assigned.
    Choice,
}

/// A meal and the window in which all of its sittings lie.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Meal {
    /// Which.
    pub kind: MealKind,
    /// Every sitting lies wholly inside.
    pub window: Span,
    /// Minutes at the table.
    pub minutes: u16,
    /// Tables it is eaten at.
    pub tables: Vec<TableIndex>,
}

/// Kinds of meals.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum MealKind {
    /// Only for children who breakfast here.
    Breakfast,
    /// Mid-morning.
    MorningSnack,
    /// Noon.
    Lunch,
    /// Mid-afternoon.
    AfternoonSnack,
}

/// The rest after lunch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Rest {
    /// It lies wholly inside.
    pub window: Span,
    /// Minutes of the whole rest block.
    pub minutes: u16,
    /// Where the cots are.
    pub space: SpaceIndex,
    /// Minutes at its start in which all adults stay and nobody counts as asleep.
    pub settling_minutes: u16,
    /// Minutes after which a child who lies awake is given something quiet.
    pub awake_longest: u16,
}

/// A care round: every child in nappies, or learning, is taken once within the window.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CareRound {
    /// It lies wholly inside.
    pub window: Span,
}

/// Work that takes one adult.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Task {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Minutes in one piece.
    pub minutes: u16,
    /// It lies wholly inside.
    pub window: Span,
    /// Where.
    pub space: SpaceIndex,
    /// The adult still watches the children meanwhile, and counts.
    pub watching: bool,
}

/// Moving bodies.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Movement {
    /// Movement breaks wanted on a day with outdoor time.
    pub outdoor_day: u32,
    /// Movement breaks wanted on an indoor day.
    pub indoor_day: u32,
    /// Minutes of one movement break.
    pub minutes: u16,
    /// Longest awake stretch without moving, in minutes.
    pub longest_still: u16,
    /// Where movement breaks happen.
    pub space: SpaceIndex,
}
