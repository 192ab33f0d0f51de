//! JSON in and out: what a file or a request says, turned into facts, with every fault at once.
//!
//! ```
//! use fairturn::wire::decode;
//! let read = decode(br#"{ "seats": 4, "colour": "red" }"#, |root| {
//!     let table = root.object(&["seats", "label"])?;
//!     let seats: Option<u32> = table.need("seats").and_then(|at| at.whole(1, 40));
//!     let label = table.need("label").and_then(|at| at.label());
//!     Some((seats?, label?.to_string()))
//! });
//! let faults = read.expect_err("the label is missing and the colour is not asked for");
//! assert_eq!(faults.len(), 2);
//! assert_eq!((faults[1].pointer.as_str(), faults[1].line, faults[1].column), ("/colour", 1, 15));
//! ```
//!
//! Map: [`tree`] text to a tree that remembers its places, [`decode()`] and [`At`] from the tree
//! to values, collecting [`Fault`]s on the way, [`scenario`] the facts in, [`chart`] the chart out
//! and in, [`limits`] how much there may be of anything, [`check`] the block check out, [`repair`] what has happened in and the repaired day out,
//! [`why`] one group at a time, [`invent`] sites for trying out, [`lists`] what is built in,
//! [`passes`] what is claimed of a model, [`pretty`] JSON for people.

pub mod chart;
pub mod check;
mod clock;
mod decoder;
pub mod erase;
mod fault;
pub mod invent;
pub mod limits;
pub mod lists;
pub mod passes;
pub mod pretty;
pub mod repair;
pub mod scenario;
pub mod tree;
pub mod why;

pub use decoder::{At, Object, decode};
pub use fault::{Fault, Faults, nearest};
