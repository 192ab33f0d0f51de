//! Computes a day: small groups, layout, rotation, posts. Shares no code with the audits.
//!
//! Map: [`groups`] who goes round together, [`layout`] where the blocks fall, [`framing`] what is
//! settled and what is open in a layout, [`search`] what the open cells, breaks, tasks and care
//! rounds become, [`proof`] how good that is, [`decode`] the children's stays, `rank` what a layout is at best worth, [`demand`]
//! the adults that the stays call for, [`posts`] which adult stands where, [`whole`] all of it in
//! order, [`stagger()`] who leaves later for the sinks, [`narrow()`] what stays open for them, [`repair`]
//! the rest of a day after something has happened.

mod allow;
mod candidates;
pub mod care;
mod clock;
pub mod decode;
pub mod demand;
mod door;
pub mod few;
pub mod framing;
pub mod groups;
pub mod layout;
mod meals;
mod narrow;
pub mod posts;
pub mod proof;
mod rank;
pub mod repair;
pub mod search;
mod seating;
mod sleep;
mod stagger;
mod starts;
mod way;
pub mod whole;

pub use clock::{GRID, gathering_zone};
pub use layout::Wishes;
pub use narrow::narrow;
pub use stagger::stagger;
pub use whole::{Certified, Effort, Finalist, Found, STOPPED, certify, solve};
