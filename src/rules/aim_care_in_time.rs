//! Nobody waits too long for a clean nappy.

use super::reading::{Reading, is_awake};
use super::{Aim, Decided, rows};
use crate::chart::{Chart, ChildDay, Place};
use crate::day::Day;
use crate::site::{ChildIndex, Span, Toileting};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "care-in-time",
    says: "A child in nappies is changed before it has been awake for longer than the care \
           interval since it came or was last changed, and goes home before that: the minutes \
           beyond it, of all children.",
    unit: "minutes too long without a change",
    unit_of_one: "minute too long without a change",
    measure: Some(measure),
    rows: Some(rows::care::care_in_time),
    decided: Decided::Options,
};

/// A wait of a child in nappies that is longer than the care interval.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LongWait {
    /// Who.
    pub child: ChildIndex,
    /// From coming in, or the end of the last change, to the next or to going home.
    pub span: Span,
    /// Minutes of it in which the child is awake.
    pub awake: u32,
    /// How many of them are too many.
    pub beyond: u32,
}

fn measure(day: &Day, chart: &Chart) -> i64 {
    long_waits(day, chart).iter().map(|w| i64::from(w.beyond)).sum()
}

/// Every wait for a change that is too long, child by child in the chart's order.
#[must_use]
pub fn long_waits(day: &Day, chart: &Chart) -> Vec<LongWait> {
    let reading = Reading::of(day, chart);
    let nappies = |c: &&ChildDay| day.site[c.child].toileting == Toileting::Nappies;
    let children = reading.chart.children.iter().filter(nappies);
    children.flat_map(waits).filter_map(|wait| too_long(day, wait)).collect()
}

fn too_long(day: &Day, wait: LongWait) -> Option<LongWait> {
    let beyond = wait.awake.checked_sub(u32::from(day.site.settings.care_interval))?;
    (beyond > 0).then_some(LongWait { beyond, ..wait })
}

/// Every wait of one child, long or not.
fn waits(child: &ChildDay) -> Vec<LongWait> {
    let mut stays: Vec<_> = child.stays.iter().collect();
    stays.sort_by_key(|s| s.span);
    let mut waits: Vec<LongWait> = Vec::new();
    let mut goes_on = false;
    for stay in stays {
        let awake = if is_awake(stay) { u32::from(stay.span.minutes()) } else { 0 };
        match waits.last_mut() {
            _ if stay.at == Place::Care => goes_on = false,
            // Who comes back from elsewhere comes back clean.
            Some(wait) if goes_on && wait.span.to >= stay.span.from => {
                wait.span.to = wait.span.to.max(stay.span.to);
                wait.awake += awake;
            }
            _ => {
                waits.push(LongWait { child: child.child, span: stay.span, awake, beyond: 0 });
                goes_on = true;
            }
        }
    }
    waits
}
