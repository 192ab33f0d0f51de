//! Head counts: whom to count when children are on the move.

use super::counting::pieces;
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span};

/// The children on the move in one space at one time, and the adults with them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HeadCount {
    /// When.
    pub span: Span,
    /// Where they set out from.
    pub space: SpaceIndex,
    /// Whose heads, in order.
    pub children: Vec<ChildIndex>,
    /// Who is with them, in order; each of them counts all of the children.
    pub adults: Vec<AdultIndex>,
}

/// Every transition of the day with the heads to count, by time and space.
#[must_use]
pub fn head_counts(day: &Day, chart: &Chart) -> Vec<HeadCount> {
    let mut counts: Vec<HeadCount> = Vec::new();
    for now in pieces(chart) {
        for space in (0..day.site.spaces.len()).map(SpaceIndex) {
            let moving = |s: SpaceIndex, at: Place| s == space && at == Place::Transition;
            let children: Vec<ChildIndex> = now
                .children
                .iter()
                .filter(|(_, stay)| moving(stay.space, stay.at))
                .map(|(child, _)| *child)
                .collect();
            if children.is_empty() {
                continue;
            }
            let adults: Vec<AdultIndex> = now
                .adults
                .iter()
                .filter(|(_, post)| moving(post.space, post.at))
                .map(|(adult, _)| *adult)
                .collect();
            let before = counts.iter_mut().rev().find(|c| c.space == space);
            match before {
                Some(c)
                    if c.span.to == now.span.from
                        && c.children == children
                        && c.adults == adults =>
                {
                    c.span.to = now.span.to;
                }
                _ => counts.push(HeadCount { span: now.span, space, children, adults }),
            }
        }
    }
    counts
}
