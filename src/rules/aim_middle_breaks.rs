//! Staff breaks lie in the middle of the work.

use super::pieces::post_pieces;
use super::{Aim, Decided, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::Span;

/// Minutes after the start and before the end of a shift in which a staff break is of little use
/// (common practice).
const EDGE: u16 = 60;
/// Minutes of a shift from which that holds.
const LONG_SHIFT: u16 = 240;

/// The aim. In California a rest break lies in the middle of each work period as far as that can be
/// (IWC order 5-2001, section 12(A): verified), in the United Kingdom not at the beginning or the end
/// (guidance on regulation 12 of the Working Time Regulations 1998: secondary).
pub static AIM: Aim = Aim {
    slug: "middle-breaks",
    says: "In a shift of four hours or more no staff break lies in the first or the last hour: the \
           staff breaks that do.",
    unit: "staff breaks at the edge of a shift",
    unit_of_one: "staff break at the edge of a shift",
    measure: Some(measure),
    rows: Some(rows::breaks::middle_breaks),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let mut edges = 0;
    for (adult, shifts) in &day.adults {
        let Some(middle) = middle(shifts) else { continue };
        let posts = chart.adult(*adult).map_or(&[][..], |d| &d.posts);
        let breaks = post_pieces(posts, |p| matches!(p.at, Place::StaffBreak(_)).then_some(p.at));
        edges += breaks.iter().filter(|(_, taken)| !middle.holds(*taken)).count() as i64;
    }
    edges
}

/// What is neither the first nor the last hour of an adult's time here; `None`: it is too short for
/// that to matter.
#[must_use]
pub(super) fn middle(shifts: &[Span]) -> Option<Span> {
    let (from, to) = (shifts.first()?.from, shifts.last()?.to);
    Span::new(from, to).filter(|s| s.minutes() >= LONG_SHIFT)?;
    Span::new(from.later(EDGE), to.earlier(EDGE))
}
