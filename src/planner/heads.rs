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
    /// Who counts all of them, in order: who is on the move with them; where nobody is, the one who
    /// watches them from a zone or another place of the space.
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
            let with = || now.adults.iter().filter(|(_, post)| moving(post.space, post.at));
            let mut adults: Vec<AdultIndex> = with().map(|(adult, _)| *adult).collect();
            let own = |child: &ChildIndex| {
                with().any(|(_, post)| post.for_child.is_none_or(|own| own == *child))
            };
            if !children.iter().all(own) {
                let watching = now.adults.iter().filter(|(_, post)| {
                    post.space == space && post.for_child.is_none() && Day::watches_moves(post.at)
                });
                let first = watching.min_by_key(|(_, p)| !matches!(p.at, Place::Zone(_)));
                adults.extend(first.map(|(adult, _)| *adult));
                adults.sort_unstable();
            }
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
