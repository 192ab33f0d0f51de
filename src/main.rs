//! The `fairturn` command.

fn main() {}
