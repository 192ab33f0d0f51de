//! The day's target of movement breaks.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "enough-movement",
    says: "The day has its target of movement breaks, times outdoors included: those that are lacking, \
           also where no child is here long enough to be owed them.",
    unit: "movement breaks too few",
    unit_of_one: "movement break too few",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.moves_lacking),
};
