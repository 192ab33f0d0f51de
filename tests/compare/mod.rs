//! The comparison that every change is held against: its arithmetic, and what its rooms are.
//!
//! Map: `rooms` reads the rooms, what became of them and who may turn, `judge` compares, `tell` prints;
//! `main`, `make`, `draw` and `mornings` are the command, which is a program of its own.

mod arithmetic;
mod covers;
mod judge;
mod rooms;
mod tell;
