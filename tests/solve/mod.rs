//! Whole days solved: known answers, brute force on tiny ones.

mod agreement;
mod agreement_adults;
mod agreement_aims;
mod agreement_places;
mod agreement_presence;
mod arrival;
mod breaks_in_time;
mod changing;
mod deleted;
mod dressing;
mod gym;
#[cfg(feature = "highs")]
mod highs;
pub mod latin_square;
mod meals;
mod milp;
mod mps;
mod naming;
mod optimum;
mod order;
mod proof;
mod settling;
mod small_days;
mod stagger;
mod tempted;
pub mod tiny;
mod watched;
mod water;
