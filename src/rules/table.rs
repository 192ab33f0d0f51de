//! The single table of rules and of aims, in their order.

use super::{Aim, Rule};
use super::{
    barred, class_size, keep_apart, kept, least_adults, never_alone, open, present, ratio, reset,
    seats, sinks,
};

/// Every rule, worst first.
pub static RULES: &[&Rule] = &[
    &barred::RULE,
    &present::RULE,
    &open::RULE,
    &seats::RULE,
    &reset::RULE,
    &sinks::RULE,
    &keep_apart::RULE,
    &kept::RULE,
    &ratio::RULE,
    &least_adults::RULE,
    &never_alone::RULE,
    &class_size::RULE,
];

/// Every aim, most wanted first.
pub static AIMS: &[&Aim] = &[];
