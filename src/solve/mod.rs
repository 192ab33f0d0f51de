//! Computes a day: small groups, layout, rotation, posts. Shares no code with the audits.
//!
//! Map: [`groups`] who goes round together, [`needs`] what the standards ask for, remembered,
//! [`demand`] the adults that the children's stays call for, slice by slice, [`posts`] which adult
//! stands where.

pub mod demand;
pub mod groups;
pub mod needs;
pub mod posts;
