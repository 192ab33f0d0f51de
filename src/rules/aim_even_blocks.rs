//! Blocks of a usual length.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "even-blocks",
    says: "No turn stands alone (each counts one), no choice lasts longer than 75 minutes (each quarter \
           of an hour, begun), no meal is drawn out (each five minutes), and movement comes an hour \
           after the last (each ten minutes, begun, sooner).",
    unit: "uneven blocks",
    unit_of_one: "uneven block",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.rough),
};
