//! Spaces, zones, tables and stations.

use super::{SpaceIndex, Span, TableIndex, ZoneIndex};

/// A floor area in which adults can see one another.
#[derive(Clone, PartialEq, Debug)]
pub struct Space {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Several rooms may use it.
    pub shared: bool,
    /// Open air.
    pub outdoors: bool,
    /// Big enough to run in.
    pub room_to_move: bool,
    /// Most children at a time by licence, where the licence says.
    pub class_size: Option<u32>,
    /// Usable floor in square decimetres, where measured.
    pub floor_area: Option<u32>,
    /// Sinks that children wash at.
    pub sinks: u32,
    /// Where nappies are changed and toilets are, if here.
    pub care_place: Option<CarePlace>,
    /// Minutes of walking to other spaces; a space not named is next door (0 minutes).
    pub walking: Vec<(SpaceIndex, u16)>,
}

/// A changing place with the toilets beside it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CarePlace {
    /// Zones from which an adult at the changing place is seen, and which that adult sees;
    /// empty: out of sight, so whoever changes a child there watches nobody else.
    pub seen_from: Vec<ZoneIndex>,
}

/// What one adult can see from one spot.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Zone {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Where it is.
    pub space: SpaceIndex,
}

/// A table, or a piece of floor, at which children eat and on which a station may stand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Table {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Where it is.
    pub space: SpaceIndex,
    /// Who sees it.
    pub zone: ZoneIndex,
    /// Children at a time.
    pub seats: u32,
}

/// A learning centre: a set-up spot with seats for a few children.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Station {
    /// Chosen by the user.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Name of its drawing.
    pub picture: String,
    /// Where it is.
    pub space: SpaceIndex,
    /// Who sees it.
    pub zone: ZoneIndex,
    /// The table it stands on, if that is also eaten at: closed until set up and wiped.
    pub stands_on: Option<TableIndex>,
    /// The cots of a rest stand on its floor: closed while children rest in its space.
    pub under_cots: bool,
    /// Children at a time.
    pub seats: u32,
    /// Youngest age in months that may use it.
    pub from_months: u32,
    /// Age in months from which children are too old for it, if any.
    pub below_months: Option<u32>,
    /// How closely it is watched.
    pub supervision: Supervision,
    /// How much bodies move there.
    pub energy: Energy,
    /// How loud it gets.
    pub noise: Noise,
    /// What has to be wiped.
    pub mess: Mess,
    /// Materials with a published caution.
    pub hazards: Vec<Hazard>,
    /// Words for its foods and materials, lower case; `standards::foods` says what is in them.
    pub allergens: Vec<String>,
    /// The young cannot get at its small parts even when awake in the same space.
    pub out_of_reach: bool,
    /// When it may be used; empty: all day.
    pub open: Vec<Span>,
    /// Minutes to reset or wipe it between two groups.
    pub reset_minutes: u16,
}

/// How closely a station is watched.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Supervision {
    /// Needs an adult of its own while in use, one for so many children.
    Staffed {
        /// Children to one adult at this station.
        children_per_adult: u32,
    },
    /// An adult of its zone keeps it in view.
    InSight,
    /// The general watch of the zone is enough.
    General,
}

impl Supervision {
    /// Adults who must stand at the station itself for `children` there.
    #[must_use]
    pub fn adults_for(self, children: u32) -> u32 {
        match self {
            Supervision::Staffed { children_per_adult } => {
                children.div_ceil(children_per_adult.max(1))
            }
            Supervision::InSight | Supervision::General => 0,
        }
    }
}

/// How much bodies move.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Energy {
    /// Sitting.
    Still,
    /// On the feet.
    Moving,
    /// Out of breath.
    Vigorous,
}

/// How loud it gets.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Noise {
    /// May run beside sleepers.
    Quiet,
    /// Talk.
    Normal,
    /// Hammering and singing.
    Loud,
}

/// What has to be wiped.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Mess {
    /// Nothing.
    None,
    /// Swept up.
    Dry,
    /// Wiped up; hands are washed after it.
    Wet,
}

/// Materials that a published caution speaks of; figures and sources stand in `standards`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Hazard {
    /// Beads, beans, coins: fits the small-parts cylinder.
    SmallParts,
    /// Water to play in.
    Water,
    /// Anything hot.
    Heat,
    /// Cords, scarves, necklaces.
    Cords,
    /// Loose magnets.
    Magnets,
    /// Sprays.
    Aerosol,
    /// Beads that swell in water.
    AbsorbentPolymer,
    /// Latex balloons and gloves.
    Latex,
    /// Powders that dust.
    DustyPowder,
    /// Scissors and other points.
    Sharp,
}
