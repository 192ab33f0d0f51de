//! Who counts, and in which age range.

use crate::chart::{Chart, Post, State, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute, SpaceIndex, Span, slices};
use crate::standards::{Head, Situation};

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

/// Everybody at one time.
pub(super) struct Now<'a> {
    /// When.
    pub span: Span,
    /// Children with their stays.
    pub children: Vec<(ChildIndex, &'a Stay)>,
    /// Adults with their posts.
    pub adults: Vec<(AdultIndex, &'a Post)>,
}

impl Now<'_> {
    /// The children in a space, or on the premises, as a standard sees them: without those who are
    /// changed out of everybody's sight, by themselves with whoever changes them.
    pub fn heads(&self, day: &Day, space: Option<SpaceIndex>) -> Vec<Head> {
        self.children
            .iter()
            .filter(|(_, stay)| space.is_none_or(|s| s == stay.space))
            .filter(|(_, stay)| !day.is_by_itself(stay.space, stay.at))
            .map(|(child, stay)| day.head(*child, stay.state == State::Asleep))
            .collect()
    }

    /// The qualifications of each adult who counts in a space, or on the premises.
    pub fn counted<'d>(&self, day: &'d Day, space: Option<SpaceIndex>) -> Vec<&'d [String]> {
        self.adults
            .iter()
            .filter(|(adult, post)| {
                space.is_none_or(|s| s == post.space) && day.counts(*adult, post)
            })
            .map(|(adult, _)| day.site[*adult].qualifications.as_slice())
            .collect()
    }
}

/// The day in pieces in which nobody changes place.
pub(super) fn pieces(chart: &Chart) -> Vec<Now<'_>> {
    let now = |span: Span| {
        let (children, adults) = crate::chart::present_at(chart, span.from);
        Now { span, children, adults }
    };
    slices(chart.edges()).into_iter().map(now).collect()
}

/// What a standard asks about one space, or the premises, besides the children.
pub(super) fn situation<'a>(
    day: &Day,
    space: Option<SpaceIndex>,
    minute: Minute,
    adults: &'a [&'a [String]],
) -> Situation<'a> {
    Situation {
        date: day.date,
        adults,
        governing_age: day.site[day.room].governing_age,
        minute,
        open: day.schedule.open,
        outdoors: space.is_some_and(|s| day.site[s].outdoors),
    }
}
