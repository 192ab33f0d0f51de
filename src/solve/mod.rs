//! Computes a day: small groups, layout, rotation, posts. Shares no code with the audits.
//!
//! Map: [`groups`] who goes round together.

pub mod groups;
