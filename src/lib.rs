//! fairturn plans the day of an early-childhood room.
pub mod chart;
pub mod cli;
pub mod day;
pub mod model;
pub mod page;
pub mod planner;
pub mod rules;
pub mod site;
pub mod solve;
pub mod standards;
pub mod wire;
