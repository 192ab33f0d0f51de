//! Cautions about materials, each with its published source.

use super::Source;
use crate::site::Hazard;
use serde::Deserialize;
use std::sync::LazyLock;

/// What is published about a material.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Caution {
    /// Which material.
    pub hazard: Hazard,
    /// Children younger than this, in completed months, do not use it.
    pub barred_under_months: Option<u32>,
    /// Unless out of reach, its station stays closed while a child younger than this is awake in
    /// the same space.
    pub closed_while_awake_under: Option<u32>,
    /// What to mind, in plain words.
    pub words: String,
    /// Where that comes from.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CautionFile {
    hazard: String,
    #[serde(default)]
    barred_under_months: Option<u32>,
    #[serde(default)]
    closed_while_awake_under: Option<u32>,
    words: String,
    source: Source,
}

/// Every material that a caution speaks of, in the order of the list.
pub const HAZARDS: [Hazard; 10] = [
    Hazard::SmallParts,
    Hazard::Water,
    Hazard::Heat,
    Hazard::Cords,
    Hazard::Magnets,
    Hazard::Aerosol,
    Hazard::AbsorbentPolymer,
    Hazard::Latex,
    Hazard::DustyPowder,
    Hazard::Sharp,
];

/// Stable slug of a material, as in the data file.
#[must_use]
pub fn slug(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::SmallParts => "small-parts",
        Hazard::Water => "water",
        Hazard::Heat => "heat",
        Hazard::Cords => "cords",
        Hazard::Magnets => "magnets",
        Hazard::Aerosol => "aerosol",
        Hazard::AbsorbentPolymer => "absorbent-polymer",
        Hazard::Latex => "latex",
        Hazard::DustyPowder => "dusty-powder",
        Hazard::Sharp => "sharp",
    }
}

static CAUTIONS: LazyLock<Vec<Caution>> = LazyLock::new(|| {
    let files: Vec<CautionFile> =
        serde_json::from_str(include_str!("data/cautions.json")).expect("built-in cautions read");
    let caution = |hazard: Hazard| {
        let file = files.iter().find(|f| f.hazard == slug(hazard));
        let file = file.expect("every hazard has a caution");
        Caution {
            hazard,
            barred_under_months: file.barred_under_months,
            closed_while_awake_under: file.closed_while_awake_under,
            words: file.words.clone(),
            source: file.source.clone(),
        }
    };
    HAZARDS.iter().map(|h| caution(*h)).collect()
});

/// The caution about a material.
#[must_use]
pub fn caution(hazard: Hazard) -> &'static Caution {
    CAUTIONS.iter().find(|c| c.hazard == hazard).expect("every hazard has a caution")
}
