//! The figures of a block check: who is where in each slice, and what the standards ask for.

use crate::chart::Place;
use crate::planner::AgeRange;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span, StationIndex};

/// One stretch in which nobody comes, goes or changes place, in one space.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SliceCheck {
    /// When.
    pub span: Span,
    /// Where.
    pub space: SpaceIndex,
    /// Children there by age, sleepers included; empty ranges are left out.
    pub by_range: Vec<(AgeRange, u32)>,
    /// How many of them are asleep.
    pub asleep: u32,
    /// What each binding standard asks for, in the order in which they bind.
    pub needs: Vec<StandardNeed>,
    /// Adults there, in order, those on a staff break among them.
    pub adults: Vec<AdultIndex>,
    /// Those of them who count.
    pub counted: Vec<AdultIndex>,
    /// The stations in use that were asked for.
    pub tied: Vec<Tied>,
    /// Counted adults who are tied to another post than a station that was asked for.
    pub elsewhere: Vec<Elsewhere>,
    /// Children at no station with an adult of its own, and who is left for them.
    pub left: Left,
}

/// A counted adult who is tied to a post: another station, the changing place, the door, a task.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Elsewhere {
    /// Who.
    pub adult: AdultIndex,
    /// Where.
    pub at: Place,
    /// Children at that station or changing place, in order.
    pub children: Vec<ChildIndex>,
    /// `Deniz at Dough with 4 children`.
    pub words: String,
}

/// What a standard asks for in a slice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StandardNeed {
    /// Its id.
    pub standard: String,
    /// Judged over the premises together, not in the space.
    pub premises: bool,
    /// Counted adults that it asks for.
    pub needed: u32,
    /// Counted adults there.
    pub present: u32,
    /// The arithmetic in words.
    pub words: String,
}

/// A station in use in a slice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tied {
    /// Which.
    pub station: StationIndex,
    /// Children at it, or who may come to it in a choice, in order.
    pub children: Vec<ChildIndex>,
    /// They are at the sinks after it.
    pub at_the_sinks: bool,
    /// Adults who must stand at it, by its own supervision or by a standard's water play.
    pub needed: u32,
    /// Counted adults at it, in order.
    pub adults: Vec<AdultIndex>,
}

/// Children at no station with an adult of its own in a slice, and who is left for them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Left {
    /// Who, in order, sleepers included.
    pub children: Vec<ChildIndex>,
    /// Counted adults who are tied to no post of their own, in order.
    pub adults: Vec<AdultIndex>,
    /// Some adult has each of these children in sight.
    pub sight: bool,
    /// Adults whom the strictest standard would ask for with these children alone.
    pub alone_needed: u32,
}
