//! There is a rotation.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "enough-turns",
    says: "Where there is time for turns a day has two at the least: those that are lacking.",
    unit: "turns too few",
    unit_of_one: "turn too few",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.turns_lacking),
};
