//! The blocks are such as a teacher draws.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "well-drawn",
    says: "No turn and no choice is too short to settle to (each five minutes short count two, three of \
           a choice), nobody waits for what comes next (each five minutes count), nobody runs about \
           right before rest (three) or right before going out (four), nor before having sat (one), \
           and nobody sleeps when a meal begins (each child).",
    unit: "oddities",
    unit_of_one: "oddity",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.odd),
};
