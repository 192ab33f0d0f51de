//! A third of the session is the children's own.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "third-of-session",
    says: "An average child has choice, arrival and going home included, for a third of its time here: \
           the quarters of an hour, begun, that it is short of it.",
    unit: "quarters of an hour",
    unit_of_one: "quarter of an hour",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.choice),
};
