//! A good third of turns and choice is each child's own choice.

use super::{Aim, Decided};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "good-third",
    says: "Of the turns and the choice in which a child who goes round is here, choice in stretches \
           of 15 minutes or more is at least a third; being up in the rest counts as choice: the \
           children who have less.",
    unit: "children",
    unit_of_one: "child",
    measure: None,
    rows: None,
    decided: Decided::Layout(|settled| settled.under_third),
};
