//! Stations as they are usually set up. All figures are common practice unless a source is named.

use crate::site::{Energy, Hazard, Mess, Noise};

/// A station's usual figures.
pub(super) struct StationPreset {
    /// What the file calls it; also the name of its drawing.
    pub name: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// Children at a time. Two at listening, three at small building, four at art: from a secondary
    /// source; the others common practice.
    pub seats: u32,
    /// Youngest age in months.
    pub from_months: u32,
    /// How closely it is watched.
    pub watch: Watch,
    /// How much bodies move.
    pub energy: Energy,
    /// How loud it gets.
    pub noise: Noise,
    /// What has to be wiped.
    pub mess: Mess,
    /// Materials with a published caution.
    pub hazards: &'static [Hazard],
    /// Allergens that the usual materials hold.
    pub allergens: &'static [&'static str],
    /// Minutes between two groups.
    pub reset: u16,
    /// Stands in the open air.
    pub outdoors: bool,
}

/// How closely a preset is watched.
#[derive(Clone, Copy)]
pub(super) enum Watch {
    /// An adult of its own for so many children.
    Staffed(u32),
    /// In view.
    InSight,
    /// The general watch.
    General,
}

use Energy::{Moving, Still, Vigorous};
use Hazard::{Heat, Magnets, Sharp, SmallParts, Water};
use Mess::{Dry, Wet};
use Noise::{Loud, Normal, Quiet};
use Watch::{General, InSight, Staffed};

/// A preset for a quiet, clean, still indoor station, to be changed by struct update.
const BASE: StationPreset = StationPreset {
    name: "",
    label: "",
    seats: 4,
    from_months: 0,
    watch: General,
    energy: Still,
    noise: Normal,
    mess: Mess::None,
    hazards: &[],
    allergens: &[],
    reset: 0,
    outdoors: false,
};

/// Every station preset.
pub(super) const STATIONS: &[StationPreset] = &[
    StationPreset { name: "blocks", label: "Blocks", energy: Moving, ..BASE },
    StationPreset { name: "books", label: "Books", noise: Quiet, ..BASE },
    StationPreset { name: "cosy-corner", label: "Cosy corner", seats: 2, noise: Quiet, ..BASE },
    StationPreset { name: "listening", label: "Listening", seats: 2, noise: Quiet, ..BASE },
    StationPreset { name: "puzzles", label: "Puzzles", noise: Quiet, from_months: 12, ..BASE },
    StationPreset { name: "light-table", label: "Light table", noise: Quiet, ..BASE },
    StationPreset { name: "trains", label: "Trains", ..BASE },
    StationPreset {
        name: "small-building",
        label: "Small building",
        seats: 3,
        from_months: 36,
        hazards: &[SmallParts],
        ..BASE
    },
    StationPreset {
        name: "beads",
        label: "Beads and lacing",
        seats: 3,
        from_months: 36,
        watch: InSight,
        noise: Quiet,
        hazards: &[SmallParts],
        ..BASE
    },
    StationPreset {
        name: "writing",
        label: "Writing",
        seats: 3,
        from_months: 30,
        noise: Quiet,
        ..BASE
    },
    StationPreset {
        name: "art",
        label: "Art",
        from_months: 12,
        watch: InSight,
        mess: Wet,
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "collage",
        label: "Cutting and gluing",
        from_months: 36,
        watch: InSight,
        mess: Dry,
        hazards: &[Sharp],
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "dough",
        label: "Dough",
        from_months: 12,
        watch: InSight,
        mess: Dry,
        allergens: &["wheat"],
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "water-table",
        label: "Water table",
        watch: Staffed(4),
        energy: Moving,
        mess: Wet,
        hazards: &[Water],
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "sand-table",
        label: "Sand table",
        from_months: 12,
        watch: InSight,
        energy: Moving,
        mess: Dry,
        reset: 5,
        ..BASE
    },
    StationPreset { name: "dramatic-play", label: "Dramatic play", energy: Moving, ..BASE },
    StationPreset { name: "music", label: "Music", energy: Moving, noise: Loud, ..BASE },
    StationPreset {
        name: "discovery",
        label: "Discovery",
        from_months: 36,
        watch: InSight,
        hazards: &[Magnets],
        ..BASE
    },
    StationPreset {
        name: "woodwork",
        label: "Woodwork",
        seats: 2,
        from_months: 48,
        watch: Staffed(2),
        energy: Moving,
        noise: Loud,
        mess: Dry,
        hazards: &[Sharp],
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "cooking",
        label: "Cooking",
        from_months: 36,
        watch: Staffed(4),
        mess: Wet,
        hazards: &[Heat],
        reset: 10,
        ..BASE
    },
    StationPreset {
        name: "climbing",
        label: "Climbing",
        from_months: 12,
        watch: InSight,
        energy: Vigorous,
        noise: Loud,
        ..BASE
    },
    StationPreset {
        name: "obstacle-course",
        label: "Obstacle course",
        from_months: 18,
        watch: InSight,
        energy: Vigorous,
        noise: Loud,
        reset: 5,
        ..BASE
    },
    StationPreset {
        name: "sand-pit",
        label: "Sand pit",
        seats: 6,
        energy: Moving,
        mess: Dry,
        outdoors: true,
        ..BASE
    },
    StationPreset {
        name: "mud-kitchen",
        label: "Mud kitchen",
        from_months: 12,
        energy: Moving,
        mess: Wet,
        outdoors: true,
        ..BASE
    },
    StationPreset {
        name: "wheels",
        label: "Wheels",
        seats: 6,
        from_months: 18,
        watch: InSight,
        energy: Vigorous,
        noise: Loud,
        outdoors: true,
        ..BASE
    },
    StationPreset {
        name: "garden",
        label: "Garden",
        from_months: 12,
        energy: Moving,
        mess: Dry,
        outdoors: true,
        ..BASE
    },
];
