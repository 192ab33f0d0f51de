//! How near to the ends of a shift a staff break may be put that is not had when it is due.

use super::Day;
use crate::site::{AdultIndex, Span};

/// The shortest shift of which an hour at each end is kept free, and of which half an hour is (common
/// practice: a break is a rest from work, with work before and after it).
const LONG_SHIFT: u16 = 240;
const SHORT_SHIFT: u16 = 120;

/// How near to the first and the last minute of a shift a staff break may lie outside its window.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NearEnds {
    /// Not in the first or last hour of a shift of four hours or more.
    No,
    /// Not in the first or last half hour of a shift of two hours or more: where nothing better mends.
    IfNeedBe,
}

impl Day {
    /// When an adult may have a staff break that is not had when it is due: in the whole of a shift that
    /// is short, in a long one not at its very ends; `None` where nothing of it is left, or the adult is
    /// not here.
    #[must_use]
    pub fn break_at_another_time(&self, adult: AdultIndex, near: NearEnds) -> Option<Span> {
        let here = self.adult_here(adult);
        let shift = Span::new(here.first()?.from, here.last()?.to)?;
        let free = match (shift.minutes(), near) {
            (LONG_SHIFT.., NearEnds::No) => 60,
            (SHORT_SHIFT.., _) => 30,
            _ => 0,
        };
        Span::new(shift.from.later(free), shift.to.earlier(free))
    }
}
