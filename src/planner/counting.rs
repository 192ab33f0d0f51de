//! Who counts, and in which age range.

use crate::chart::{Chart, Place, Post, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute, Span, slices};

/// Ages in whole months, `[from, below)`; whole years, which every parent and teacher counts in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct AgeRange {
    /// Youngest inside.
    pub from_months: u32,
    /// Youngest past it; `None`: open.
    pub below_months: Option<u32>,
}

/// The ranges that records and answers are given in.
pub const AGE_RANGES: [AgeRange; 6] = [
    AgeRange { from_months: 0, below_months: Some(12) },
    AgeRange { from_months: 12, below_months: Some(24) },
    AgeRange { from_months: 24, below_months: Some(36) },
    AgeRange { from_months: 36, below_months: Some(48) },
    AgeRange { from_months: 48, below_months: Some(60) },
    AgeRange { from_months: 60, below_months: None },
];

impl AgeRange {
    /// Whether an age lies inside.
    #[must_use]
    pub fn holds(self, months: u32) -> bool {
        self.from_months <= months && self.below_months.is_none_or(|below| months < below)
    }
}

/// Whether an adult at this post counts in the ratio of the post's space.
///
/// Nobody on a staff break, on a task that takes the eyes off the children, beside one child alone,
/// or changing a child out of everyone's sight does.
#[must_use]
pub fn counts_in_ratio(day: &Day, adult: AdultIndex, post: &Post) -> bool {
    let watches = match post.at {
        Place::StaffBreak(_) => false,
        Place::Task(task) => day.schedule.tasks.get(task).is_some_and(|t| t.watching),
        Place::Care => {
            day.site[post.space].care_place.as_ref().is_some_and(|c| !c.seen_from.is_empty())
        }
        _ => true,
    };
    watches && post.for_child.is_none() && day.site[adult].counts
}

/// Everybody at one time.
pub(super) struct Now<'a> {
    /// When.
    pub span: Span,
    /// Children with their stays.
    pub children: Vec<(ChildIndex, &'a Stay)>,
    /// Adults with their posts.
    pub adults: Vec<(AdultIndex, &'a Post)>,
}

/// The day in pieces in which nobody changes place and no standard changes its mind: cut at every
/// edge of the chart, and every quarter of an hour from the opening on and from the closing back.
pub(super) fn pieces<'a>(day: &Day, chart: &'a Chart) -> Vec<Now<'a>> {
    let mut edges = chart.edges();
    let (Some(&first), Some(&last)) = (edges.first(), edges.last()) else { return Vec::new() };
    let open = day.schedule.open;
    let quarters = (0..=96).flat_map(|k| [open.from.later(15 * k), open.to.earlier(15 * k)]);
    edges.extend(quarters.filter(|m| first < *m && *m < last));
    slices(edges).into_iter().map(|span| now(chart, span)).collect()
}

fn now(chart: &Chart, span: Span) -> Now<'_> {
    let at: Minute = span.from;
    let (children, adults) = crate::chart::present_at(chart, at);
    Now { span, children, adults }
}
