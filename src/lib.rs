//! fairturn plans the day of an early-childhood room: who is where, with whom, and when.
//!
//! ```
//! use fairturn::planner::{Options, make};
//! use fairturn::site::RoomIndex;
//! use fairturn::solve::Effort;
//! use fairturn::wire::scenario::read;
//!
//! // A shipped, invented room; a service would take the bytes from a request.
//! let scenario = read(include_bytes!("../scenarios/family-home.scenario.json"))
//!     .expect("a scenario without faults; otherwise all of them, each with its place");
//! let day = scenario.open(RoomIndex(0), scenario.date).expect("facts that fit the date");
//!
//! // A short search, so that the example is soon done; `Options::default()` looks further.
//! let effort = Effort { layouts: 2, short: 500, finalists: 1, long: 500, nodes: 0 };
//! let plan = make(&day, &Options { seed: 1, effort });
//!
//! // There is always a chart, and every rule that it breaks is in `problems`.
//! assert_eq!(plan.chart.children.len(), day.children.len());
//! assert_eq!(plan.problems, fairturn::rules::audit(&day, &plan.chart));
//! assert_eq!(plan.safe_to_run(), plan.problems.is_empty());
//! ```
//!
//! Map, in the order in which rooms may import (each only from those before it): [`site`] standing
//! facts, [`standards`] published rule sets, [`chart`] the answer as plain data, [`day`] one date
//! laid over a site, `say` what a person reads, [`model`] a neutral yes/no model, [`rules`] the table of rules and aims,
//! [`solve`] finds charts, [`planner`] make and audit, [`wire`] JSON in and out, [`store`]
//! what the service keeps, `sheet` what stands on which paper, [`page`] the printed chart, [`http`] the service, [`cli`] the command.
//!
//! The rooms from [`site`] to [`wire`], `sheet` and [`page`] do no IO and read no clock; chance comes from a seed that is
//! an argument, so the same facts, seed and version give the same chart, byte for byte.
pub mod chart;
pub mod cli;
pub mod day;
pub mod http;
pub mod model;
pub mod page;
pub mod planner;
pub mod rules;
mod say;
mod sheet;
pub mod site;
pub mod solve;
pub mod standards;
pub mod steps;
pub mod store;
pub mod wire;
