//! What people look at: the printed chart.
//!
//! Map: [`text`] the chart for a terminal or a plain printer.

pub mod text;
