//! Happenings in, repaired days out.
//!
//! ```
//! use fairturn::wire::repair::read_happenings;
//! # let site = fairturn::wire::invent::invent(1, 4, 2, 1);
//! # let scenario = fairturn::wire::scenario::read(site.as_bytes()).expect("no fault");
//! # let day = scenario.open(fairturn::site::RoomIndex(0), scenario.date).expect("open");
//! let text = br#"{ "format": 1, "at": "10:15", "happenings": [{ "what": "indoors" }] }"#;
//! let told = read_happenings(text, &day).expect("no fault in it");
//! assert_eq!(told.list.len(), 1);
//! ```
#![doc = ""]
#![doc = include_str!("format.md")]

mod posted;
mod shape;
mod told;
mod write;

pub use posted::{Posted, read_posted};
pub use shape::{FixesLine, read_said};
pub use told::{Told, ToldFile, read_happenings};
pub(in crate::wire) use write::happened;
pub use write::write_mended;
