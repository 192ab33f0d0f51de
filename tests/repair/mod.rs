//! The rest of a day repaired after something has happened.

mod chance;
mod many;
