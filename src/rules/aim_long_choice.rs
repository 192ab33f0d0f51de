//! One stretch of choice is long enough to begin something and end it.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "long-choice",
    says: "One stretch of choice between arrival and going home lasts 40 minutes: the quarters of an \
           hour, begun, that the longest is short of it.",
    unit: "quarters of an hour",
    unit_of_one: "quarter of an hour",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.long_choice),
};
