//! Room for so many more before another adult must come.

use super::AgeRange;
use crate::site::{SpaceIndex, Span};

/// How many more children of one age range could join at one time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RoomFor {
    /// Where.
    pub space: SpaceIndex,
    /// When.
    pub span: Span,
    /// By age range, in order: the largest number such that it and every smaller one is fine.
    pub more: Vec<(AgeRange, u32)>,
}
