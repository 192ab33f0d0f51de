//! Nobody works too long without a staff break.

use super::pieces::post_pieces;
use super::settled::fives;
use super::{Aim, Decided, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{AdultIndex, Span};

/// Longest time at work, in minutes, that should go by without a staff break: four and a half hours
/// in Ireland (Organisation of Working Time Act 1997, section 12: secondary), and the same for whoever
/// is under 18 in the United Kingdom (Working Time Regulations 1998, regulation 12(4)).
pub const LONGEST_WORK: u16 = 270;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "long-work",
    says: "Nobody to whom a staff break is due works for more than four and a half hours at a time \
           without one: the stretches of 5 minutes, begun, beyond that.",
    unit: "stretches of 5 minutes at work too long",
    unit_of_one: "stretch of 5 minutes at work too long",
    measure: Some(measure),
    rows: Some(rows::breaks::long_work),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let due = |adult: &AdultIndex| !day.site[*adult].breaks.is_empty();
    let adults = day.adults.iter().filter(|(adult, _)| due(adult));
    let beyond = |work: Span| fives(work.minutes().saturating_sub(LONGEST_WORK));
    adults.flat_map(|(adult, shifts)| at_work(chart, *adult, shifts)).map(beyond).sum()
}

/// The stretches of an adult's shifts between staff breaks.
fn at_work(chart: &Chart, adult: AdultIndex, shifts: &[Span]) -> Vec<Span> {
    let posts = chart.adult(adult).map_or(&[][..], |d| &d.posts);
    let breaks = post_pieces(posts, |p| matches!(p.at, Place::StaffBreak(_)).then_some(()));
    let mut stretches = Vec::new();
    for shift in shifts {
        let mut from = shift.from;
        for (_, taken) in breaks.iter().filter(|(_, taken)| taken.meets(*shift)) {
            stretches.extend(Span::new(from, taken.from));
            from = taken.to;
        }
        stretches.extend(Span::new(from, shift.to));
    }
    stretches
}
