//! As many turns as the day can hold.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "more-turns",
    says: "A day has up to six assigned turns, as many as leave everything before this as it is: those \
           that are lacking.",
    unit: "turns fewer",
    unit_of_one: "turn fewer",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.fewer_turns),
};
