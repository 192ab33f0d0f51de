//! Whole days solved: known answers, brute force on tiny ones.

mod agreement;
mod latin_square;
