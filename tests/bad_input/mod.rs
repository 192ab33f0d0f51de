//! What is wrong with an input is said all at once, each fault at its place.

mod form;
pub mod shipped;
