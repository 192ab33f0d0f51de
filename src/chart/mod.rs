//! The answer for one room and one date, as plain data that knows no rule.
//!
//! Stays tile each child's presence and posts each adult's shift, without gap or overlap. Groups,
//! cells and blocks say what was planned for a small group; where one child is elsewhere (asleep,
//! being changed, kept from a station), the child's stay says so and why.

mod view;

pub use view::{Posts, Stays, cut_over, present_at, stays_in, who_is_at};

use crate::site::{
    AdultIndex, ChildIndex, MealKind, Minute, RoomIndex, SpaceIndex, Span, StationIndex,
    TableIndex, ZoneIndex,
};
use chrono::NaiveDate;

/// The answer for one room and one date.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Chart {
    /// Whose day it is.
    pub room: RoomIndex,
    /// Which day.
    pub date: NaiveDate,
    /// Small groups, in the order of the wall chart.
    pub groups: Vec<Group>,
    /// The room's blocks, in order; they tile its opening hours.
    pub blocks: Vec<Block>,
    /// Stretches of choice, each with the stations that are open in it.
    pub choices: Vec<OpenChoice>,
    /// What each child who comes today does.
    pub children: Vec<ChildDay>,
    /// What each adult on shift today does.
    pub adults: Vec<AdultDay>,
}

/// A small group on this date.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// Stable for the theme.
    pub id: String,
    /// What the children call it.
    pub label: String,
    /// Name of its drawing.
    pub picture: String,
    /// Members who come today.
    pub children: Vec<ChildIndex>,
    /// Where the group is, in order; tiles the time in which any member is here.
    pub cells: Vec<Cell>,
}

/// One place of a group in one block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Cell {
    /// Position in [`Chart::blocks`] of the block in which it starts, or whose choice it goes on with.
    pub block: usize,
    /// When.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
    /// At what.
    pub at: Place,
}

/// One part of the room's day.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Block {
    /// Unique in the chart, readable (`turn-2`).
    pub id: String,
    /// What it is.
    pub kind: BlockKind,
    /// When.
    pub span: Span,
}

/// Kinds of blocks.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BlockKind {
    /// Children come in, choice meanwhile.
    Arrival,
    /// Each group at its station; counted from 1 in each assigned stretch.
    Turn,
    /// Stations are open, nobody is assigned.
    Choice,
    /// All together, sitting.
    Circle,
    /// Out of doors.
    Outdoors,
    /// Moving bodies, all together.
    Movement,
    /// At the table.
    Meal(MealKind),
    /// Cots; something quiet for who does not sleep.
    Rest,
    /// Tidying up, washing hands, walking.
    Transition,
    /// Children are fetched, choice meanwhile.
    GoingHome,
}

impl BlockKind {
    /// Its word, as ids of blocks begin with it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            BlockKind::Arrival => "arrival",
            BlockKind::Turn => "turn",
            BlockKind::Choice => "choice",
            BlockKind::Circle => "circle",
            BlockKind::Outdoors => "outdoors",
            BlockKind::Movement => "movement",
            BlockKind::Meal(_) => "meal",
            BlockKind::Rest => "rest",
            BlockKind::Transition => "transition",
            BlockKind::GoingHome => "going-home",
        }
    }
}

/// A stretch of choice: whoever is in it may go to any of its stations.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OpenChoice {
    /// When, at the widest; the stays say who is in it and when.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
    /// Stations that are open in it.
    pub open: Vec<StationIndex>,
}

/// Position of a stretch of choice in [`Chart::choices`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct ChoiceIndex(pub usize);

/// What somebody is at. Some are for children, some for adults, most for both.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Place {
    /// A station; an adult there is the station's own and sees its zone.
    Station(StationIndex),
    /// A table, eating; an adult there sits with the children and sees its zone.
    Table(TableIndex),
    /// Free choice among open stations (children).
    Choice(ChoiceIndex),
    /// Circle; zone said in the stay or post.
    WholeGroup,
    /// A movement break; zone said in the stay or post.
    Movement,
    /// Out of doors; zone said in the stay or post.
    Outdoors,
    /// On the cots, or quietly beside them; zone said in the stay or post.
    Rest,
    /// On the move, tidying or washing; an adult there sees whoever is on the move in the space.
    Transition,
    /// At the changing place or the toilets; the adult sees what the place is seen from.
    Care,
    /// Watching a zone (adults).
    Zone(ZoneIndex),
    /// At the door, greeting or handing over; sees no zone, counts (adults).
    Door,
    /// Getting the room ready, or clearing away, while no child is there; sees nobody, counts for
    /// nobody (adults).
    Preparation,
    /// A task, by its position in the schedule (adults).
    Task(usize),
    /// A staff break, by its position in the adult's breaks due (adults).
    StaffBreak(usize),
    /// Nobody found a place for this child or group: always a problem.
    Unplaced,
}

/// What one child does.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChildDay {
    /// Who.
    pub child: ChildIndex,
    /// In order; they tile the child's presence.
    pub stays: Vec<Stay>,
}

/// One child at one place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stay {
    /// When.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
    /// At what.
    pub at: Place,
    /// The zone, where `at` is whole group, movement, outdoors or rest.
    pub zone: Option<ZoneIndex>,
    /// Awake, resting or asleep.
    pub state: State,
    /// The meal eaten, where `at` is a table.
    pub meal: Option<MealKind>,
    /// Why the child is not where the group is, if so.
    pub apart: Option<Apart>,
}

/// Awake, resting or asleep.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum State {
    /// Up.
    Awake,
    /// Lying or sitting quietly, settling or not sleeping: counts as awake.
    Resting,
    /// Asleep: after the settling minutes and until the usual waking.
    Asleep,
}

/// Why a child is not where the group is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Apart {
    /// Age, hazard, allergy or "not for" forbids the group's station.
    Barred,
    /// Sleeps or rests by an own clock.
    Sleep,
    /// In a care round.
    Care,
    /// Eats later or earlier, having come late or leaving early.
    Food,
    /// A kept cell of the teacher's.
    Kept,
    /// Stays near the adult of a one-to-one support or a settling-in.
    OwnAdult,
}

/// What one adult does.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AdultDay {
    /// Who.
    pub adult: AdultIndex,
    /// In order; they tile the adult's shift.
    pub posts: Vec<Post>,
}

/// One adult at one post.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Post {
    /// When.
    pub span: Span,
    /// Where; on a staff break or a task the space it happens in or was left from.
    pub space: SpaceIndex,
    /// At what.
    pub at: Place,
    /// The zone in view, where `at` is whole group, movement, outdoors or rest.
    pub zone: Option<ZoneIndex>,
    /// The child whose one-to-one support this is; then the adult counts for nobody else.
    pub for_child: Option<ChildIndex>,
    /// Whose place the adult takes while that one is on a staff break.
    pub covers: Option<AdultIndex>,
}

impl Chart {
    /// The day of a child, if the child is in the chart.
    #[must_use]
    pub fn child(&self, child: ChildIndex) -> Option<&ChildDay> {
        self.children.iter().find(|c| c.child == child)
    }

    /// The day of an adult, if the adult is in the chart.
    #[must_use]
    pub fn adult(&self, adult: AdultIndex) -> Option<&AdultDay> {
        self.adults.iter().find(|a| a.adult == adult)
    }

    /// The group that a child belongs to today.
    #[must_use]
    pub fn group_of(&self, child: ChildIndex) -> Option<&Group> {
        self.groups.iter().find(|g| g.children.contains(&child))
    }

    /// Every minute at which somebody changes place: the edges of the slices.
    #[must_use]
    pub fn edges(&self) -> Vec<Minute> {
        let stays = self.children.iter().flat_map(|c| &c.stays).map(|s| s.span);
        let posts = self.adults.iter().flat_map(|a| &a.posts).map(|p| p.span);
        let mut edges: Vec<Minute> = stays.chain(posts).flat_map(|s| [s.from, s.to]).collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    }
}
