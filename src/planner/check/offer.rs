//! Changes that are offered for a block.

use crate::chart::Place;
use crate::planner::ChangedPlace;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span, StationIndex};

/// Changes that together are enough; each set was laid and judged before it is offered.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Offer {
    /// One or more, to be made together.
    pub changes: Vec<Change>,
    /// The changes as one sentence without its full stop.
    pub words: String,
}

/// One change.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Change {
    /// An adult of the posted chart stands elsewhere.
    Move {
        /// Who.
        adult: AdultIndex,
        /// Where to.
        to: Place,
        /// Instead of what.
        instead: Place,
        /// The child whom the adult is then beside, if any.
        beside: Option<ChildIndex>,
        /// When.
        span: Span,
    },
    /// Children of the posted chart are elsewhere.
    Elsewhere {
        /// Who, in order.
        children: Vec<ChildIndex>,
        /// Where to.
        to: ChangedPlace,
        /// Instead of what.
        instead: ChangedPlace,
        /// When.
        span: Span,
    },
    /// A station is closed for a while, and its children are elsewhere in the space.
    Pause {
        /// Which station.
        station: StationIndex,
        /// When.
        span: Span,
    },
    /// Fewer children at a time at a station.
    Fewer {
        /// Which station.
        station: StationIndex,
        /// At most so many.
        children: u32,
    },
    /// Only older children at a station.
    Older {
        /// Which station.
        station: StationIndex,
        /// From so many completed months.
        from_months: u32,
    },
    /// The station is set up so that the young cannot reach it.
    OutOfReach {
        /// Which station.
        station: StationIndex,
    },
    /// One of several stations is left out.
    LeaveOut {
        /// Which station.
        station: StationIndex,
    },
    /// Only for a part of the time.
    Shorter {
        /// When.
        span: Span,
    },
    /// Another time on the same day.
    AnotherTime {
        /// When.
        span: Span,
        /// Children who sleep all that time and were awake at the time asked for.
        asleep: Vec<ChildIndex>,
    },
    /// Children come to a station from other spaces of the room.
    Bring {
        /// Which station.
        station: StationIndex,
        /// Who comes to it, in order.
        children: Vec<ChildIndex>,
        /// The spaces that they leave, in order.
        from: Vec<SpaceIndex>,
    },
    /// Children are kept from a station because of an allergy.
    KeepFrom {
        /// Which station.
        station: StationIndex,
        /// Who, in order.
        children: Vec<ChildIndex>,
    },
    /// Somebody asks what is in the foods or materials of a station, and children with an allergy are
    /// kept from it until that is known.
    Ask {
        /// Which station.
        station: StationIndex,
        /// The words to ask about.
        words: Vec<String>,
        /// Who is kept from it, in order.
        children: Vec<ChildIndex>,
    },
    /// Other adults come who count and may be alone with children.
    MoreAdults {
        /// How many.
        adults: u32,
        /// For so long.
        span: Span,
        /// One of them may lead the room and holds a first-aid certificate.
        leads: bool,
    },
}

impl Change {
    /// Whether somebody who is there is elsewhere, and nothing else is changed.
    #[must_use]
    pub fn is_a_move(&self) -> bool {
        matches!(self, Change::Move { .. } | Change::Elsewhere { .. })
    }
}
