//! The single table of rules and of aims, in their order.

use super::{Aim, Rule};
use super::{
    aim_balance, aim_care_in_time, aim_fair_posts, aim_fair_shares, aim_keep_with, aim_key_adult,
    aim_little_waiting, aim_must_do, aim_no_repeat, aim_often_chosen, aim_settling,
    aim_steady_posts, barred, class_size, keep_apart, kept, least_adults, meals, movement,
    never_alone, one_to_one, open, present, qualified, ratio, reset, rest, seats, sight, sinks,
    staff_break, staffed,
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
    &one_to_one::RULE,
    &staffed::RULE,
    &sight::RULE,
    &qualified::RULE,
    &class_size::RULE,
    &meals::RULE,
    &rest::RULE,
    &movement::RULE,
    &staff_break::RULE,
];

/// Every aim, most wanted first.
pub static AIMS: &[&Aim] = &[
    &aim_must_do::AIM,
    &aim_care_in_time::AIM,
    &aim_settling::AIM,
    &aim_key_adult::AIM,
    &aim_steady_posts::AIM,
    &aim_no_repeat::AIM,
    &aim_little_waiting::AIM,
    &aim_balance::AIM,
    &aim_fair_shares::AIM,
    &aim_often_chosen::AIM,
    &aim_keep_with::AIM,
    &aim_fair_posts::AIM,
];
