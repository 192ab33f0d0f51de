//! Movement is spread over the day.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "movement-apart",
    says: "A movement break begins 40 minutes or more after the children last moved or were out: the tens \
           of minutes, begun, by which it is sooner.",
    unit: "tens of minutes",
    unit_of_one: "ten minutes",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.close),
};
