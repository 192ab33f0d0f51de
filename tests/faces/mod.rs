//! What goes out and comes back: the chart's JSON, the printed chart, the command line.

mod chart_json;
pub mod command;
mod lists;
mod make;
mod model;
#[cfg(unix)]
mod out_file;
mod quay;
mod record;
mod same_bytes;
mod text;
