//! The single table of rules and of aims, in their order.

use super::{Aim, Rule};
use super::{
    aim_balance, aim_care_in_time, aim_clean_after_sleep, aim_enough_movement, aim_enough_turns,
    aim_even_blocks, aim_fair_posts, aim_fair_shares, aim_good_third, aim_keep_with, aim_key_adult,
    aim_little_waiting, aim_long_choice, aim_long_work, aim_middle_breaks, aim_more_turns,
    aim_movement_apart, aim_must_do, aim_no_repeat, aim_often_chosen, aim_settling, aim_short_ways,
    aim_steady_posts, aim_tasks, aim_third_of_session, aim_well_drawn, barred, class_size,
    keep_apart, kept, least_adults, meals, movement, never_alone, one_to_one, open, present,
    qualified, ratio, reset, rest, seats, sight, sinks, staff_break, staffed, walking,
};

/// Every rule, worst first; those of which no case leaves a day unsafe come last.
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
    &walking::RULE,
    &qualified::RULE,
    &class_size::RULE,
    &meals::RULE,
    &rest::RULE,
    &movement::RULE,
    &staff_break::RULE,
];

/// Every aim, most wanted first.
pub static AIMS: &[&Aim] = &[
    &aim_long_work::AIM,
    &aim_middle_breaks::AIM,
    &aim_tasks::AIM,
    &aim_must_do::AIM,
    &aim_well_drawn::AIM,
    &aim_care_in_time::AIM,
    &aim_clean_after_sleep::AIM,
    &aim_enough_turns::AIM,
    &aim_good_third::AIM,
    &aim_enough_movement::AIM,
    &aim_long_choice::AIM,
    &aim_movement_apart::AIM,
    &aim_third_of_session::AIM,
    &aim_even_blocks::AIM,
    &aim_more_turns::AIM,
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
    &aim_short_ways::AIM,
];
