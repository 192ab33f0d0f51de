//! What is wrong with an input is said all at once, each fault at its place.

mod allergies;
mod binding;
mod facts;
mod form;
mod mutants;
pub mod sample;
mod shipped;
mod times;
