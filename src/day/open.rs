//! Lays one date over the standing facts.
