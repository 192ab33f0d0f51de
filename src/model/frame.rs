//! The table of needs: one layout and its groups, with all that is still open in them.
//!
//! The rules' rows read a [`Frame`] and nothing else. What is settled stands in it as stays; what
//! is open stands as cells, break starts, task starts and care-round starts with their options.

use crate::chart::{Block, Chart, Group, OpenChoice, Place, Stay};
use crate::day::Day;
use crate::site::{
    AdultIndex, ChildIndex, Minute, SpaceIndex, Span, StationIndex, TableIndex, ZoneIndex, slices,
};
use crate::steps::{self, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// One layout of a room's day with its groups, and what is still open in it.
#[derive(Clone, Debug)]
pub struct Frame<'d> {
    /// The day.
    pub day: &'d Day,
    /// The room's blocks.
    pub blocks: Vec<Block>,
    /// Today's groups, cells still empty.
    pub groups: Vec<Group>,
    /// The way of each group through the day, by position in `groups`.
    pub group_plans: Vec<Vec<Planned>>,
    /// The way of each child who comes, tiling its presence.
    pub children: Vec<(ChildIndex, Vec<Planned>)>,
    /// Settled stretches of choice.
    pub choices: Vec<OpenChoice>,
    /// Open cells of groups.
    pub cells: Vec<VarCell>,
    /// Longest stretches in which neither a settled stay, a cell nor anyone's presence changes, cut
    /// at the planner's grid.
    pub slices: Vec<Slice>,
    /// Staff breaks due.
    pub breaks: Vec<BreakChoice>,
    /// Tasks, by position in the schedule.
    pub tasks: Vec<(usize, Vec<Minute>)>,
    /// Care rounds: possible times of each child in it.
    pub rounds: Vec<Vec<RoundOption>>,
}

/// A settled stay, or time in an open cell.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Planned {
    /// Settled.
    Fixed(Stay),
    /// Wherever the cell goes.
    Cell {
        /// When.
        span: Span,
        /// Position in [`Frame::cells`].
        cell: usize,
    },
}

impl Planned {
    /// When.
    #[must_use]
    pub fn span(&self) -> Span {
        match self {
            Planned::Fixed(stay) => stay.span,
            Planned::Cell { span, .. } => *span,
        }
    }
}

/// One group's open place in one turn (or, for the young, in a run of turns).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct VarCell {
    /// Position in [`Frame::groups`].
    pub group: usize,
    /// Position in [`Frame::blocks`] of the block in which it starts.
    pub block: usize,
    /// Which assigned stretch, counted from 0 in the day.
    pub stretch: usize,
    /// When.
    pub span: Span,
    /// Where it may go; the last one is always [`Target::Unplaced`].
    pub options: Vec<CellOption>,
}

/// A place that a cell may go to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CellOption {
    /// The place.
    pub target: Target,
    /// Where it is.
    pub space: SpaceIndex,
    /// Children of the group who may not go there, and the station each goes to instead.
    pub instead: Vec<(ChildIndex, StationIndex)>,
}

/// What a cell goes to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Target {
    /// A station.
    Station(StationIndex),
    /// A few open stations in one zone, around the group's own adult.
    Nest {
        /// The zone.
        zone: ZoneIndex,
        /// Its open stations.
        open: Vec<StationIndex>,
    },
    /// Nowhere: always a shortfall.
    Unplaced,
}

impl CellOption {
    /// Stations that nobody else may use meanwhile.
    #[must_use]
    pub fn stations(&self) -> Vec<StationIndex> {
        let mut stations = match &self.target {
            Target::Station(s) => vec![*s],
            Target::Nest { open, .. } => open.clone(),
            Target::Unplaced => Vec::new(),
        };
        stations.extend(self.instead.iter().map(|i| i.1));
        stations
    }
}

/// A staff break due, with its possible starts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BreakChoice {
    /// Who.
    pub adult: AdultIndex,
    /// Position in the adult's breaks due.
    pub due: usize,
    /// Minutes.
    pub minutes: u16,
    /// Possible starts.
    pub starts: Vec<Minute>,
}

/// One way to run a care round: who is changed when, one after another by one adult.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RoundOption {
    /// Children in order, learners two at a time.
    pub children: Vec<(ChildIndex, Span)>,
    /// When the adult is at it: with pauses while nobody can be fetched.
    pub runs: Vec<Span>,
    /// Where.
    pub space: SpaceIndex,
    /// How much it disturbs, for the choice between equals.
    pub disturbs: i64,
}

/// A stretch in which nothing settled changes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Slice {
    /// When.
    pub span: Span,
    /// Spaces with settled children in them.
    pub spaces: Vec<SpaceLoad>,
    /// Open cells under way, with their children who are here.
    pub cells: Vec<(usize, Vec<ChildIndex>)>,
    /// Adults who are with the children, breaks and tasks apart.
    pub adults: Vec<AdultIndex>,
    /// Adults who are here and held up: with the room, but nothing else can be asked of them.
    pub held: Vec<AdultIndex>,
    /// Children on the premises.
    pub children: Vec<ChildIndex>,
}

/// What is settled in one space in a slice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SpaceLoad {
    /// Which.
    pub space: SpaceIndex,
    /// Who, and whether asleep.
    pub heads: Vec<(ChildIndex, bool)>,
    /// Zones in use, each with the children there who have no adult for them alone.
    pub zones: BTreeMap<ZoneIndex, Vec<ChildIndex>>,
    /// Tables at which such children eat.
    pub tables: BTreeSet<TableIndex>,
    /// Such children who are on the move here.
    pub moving: Vec<ChildIndex>,
}

impl Frame<'_> {
    /// Cuts the day into slices on a grid of `step` minutes.
    #[must_use]
    pub fn cut(&self, step: u16) -> Vec<Slice> {
        let mut edges: Vec<Minute> = Vec::new();
        let plans = self.children.iter().flat_map(|(_, plan)| plan).map(Planned::span);
        let shifts = self.day.adults.iter().flat_map(|(_, spans)| spans.iter().copied());
        for span in plans.chain(shifts) {
            edges.extend([span.from, span.to]);
        }
        if let (Some(&first), Some(&last)) = (edges.iter().min(), edges.iter().max()) {
            let start = first.0.div_ceil(step) * step;
            edges.extend((start..=last.0).step_by(usize::from(step)).map(Minute));
        }
        slices(edges).into_iter().map(|span| self.slice(span)).collect()
    }

    fn slice(&self, span: Span) -> Slice {
        steps::count(Stage::Framing, 1 + self.children.len() as u64);
        let mut slice = Slice {
            span,
            spaces: Vec::new(),
            cells: Vec::new(),
            adults: Vec::new(),
            held: Vec::new(),
            children: Vec::new(),
        };
        for (adult, shifts) in &self.day.adults {
            if shifts.iter().any(|s| s.holds(span)) {
                slice.adults.push(*adult);
            }
        }
        for (child, plan) in &self.children {
            let Some(planned) = plan.iter().find(|p| p.span().holds(span)) else { continue };
            slice.children.push(*child);
            match planned {
                Planned::Cell { cell, .. } => match slice.cells.iter_mut().find(|c| c.0 == *cell) {
                    Some(entry) => entry.1.push(*child),
                    None => slice.cells.push((*cell, vec![*child])),
                },
                Planned::Fixed(stay) => self.load(&mut slice.spaces, *child, stay),
            }
        }
        slice.spaces.sort_by_key(|l| l.space);
        slice.cells.sort_by_key(|c| c.0);
        slice
    }

    fn load(&self, spaces: &mut Vec<SpaceLoad>, child: ChildIndex, stay: &Stay) {
        if self.day.is_by_itself(stay.space, stay.at) {
            // Whoever is changed out of sight is in no space.
            return;
        }
        let at = spaces.iter().position(|l| l.space == stay.space).unwrap_or_else(|| {
            spaces.push(SpaceLoad {
                space: stay.space,
                heads: Vec::new(),
                zones: BTreeMap::new(),
                tables: BTreeSet::new(),
                moving: Vec::new(),
            });
            spaces.len() - 1
        });
        let load = &mut spaces[at];
        load.heads.push((child, stay.state == crate::chart::State::Asleep));
        if self.day.site[child].one_to_one.is_some() {
            // Whoever is beside this child sees it and sits with it.
            return;
        }
        match stay.at {
            Place::Transition => load.moving.push(child),
            Place::Table(table) => _ = load.tables.insert(table),
            _ => {}
        }
        for zone in self.day.zones_of(&self.choices, stay) {
            load.zones.entry(zone).or_default().push(child);
        }
    }
}

impl RoundOption {
    /// The zones that whoever changes the children sees meanwhile; none where it is out of sight.
    #[must_use]
    pub fn sees<'d>(&self, day: &'d Day) -> &'d [ZoneIndex] {
        day.seen_from_care(self.space)
    }

    /// Who is at the changing place in a slice.
    pub fn changed_in(&self, slice: Span) -> impl Iterator<Item = ChildIndex> + '_ {
        self.children.iter().filter(move |(_, span)| span.meets(slice)).map(|(child, _)| *child)
    }
}

/// The chart of a frame with an empty answer: groups, blocks and settled choice, nobody placed.
#[must_use]
pub fn blank_chart(frame: &Frame<'_>) -> Chart {
    Chart {
        room: frame.day.room,
        date: frame.day.date,
        groups: frame.groups.clone(),
        blocks: frame.blocks.clone(),
        choices: frame.choices.clone(),
        children: Vec::new(),
        adults: Vec::new(),
    }
}
