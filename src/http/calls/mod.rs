//! What each call does.

pub mod days;
pub mod erasures;
pub mod jobs;
pub mod lists;
pub mod names;
pub mod running;
pub mod sites;
pub mod stateless;
pub mod stored;
pub mod visits;
