//! The single table of rules and of aims, in their order.

use super::{Aim, Rule};

/// Every rule, worst first.
pub static RULES: &[&Rule] = &[];

/// Every aim, most wanted first.
pub static AIMS: &[&Aim] = &[];
