//! Charts in forms that other programs read, made from the chart's JSON alone.

pub mod calendar;
pub mod csv;
