//! The chart read by minute, child and place, and cut at a minute.

use super::{Chart, Place, Post, Stay};
use crate::site::{AdultIndex, ChildIndex, Minute, SpaceIndex, Span};

/// Children at a minute, each with the stay.
pub type Stays<'a> = Vec<(ChildIndex, &'a Stay)>;

/// Adults at a minute, each with the post.
pub type Posts<'a> = Vec<(AdultIndex, &'a Post)>;

/// Everybody in the chart at a minute: children with their stay, adults with their post.
#[must_use]
pub fn present_at(chart: &Chart, at: Minute) -> (Stays<'_>, Posts<'_>) {
    let children = chart
        .children
        .iter()
        .filter_map(|c| c.stays.iter().find(|s| s.span.contains(at)).map(|s| (c.child, s)))
        .collect();
    let adults = chart
        .adults
        .iter()
        .filter_map(|a| a.posts.iter().find(|p| p.span.contains(at)).map(|p| (a.adult, p)))
        .collect();
    (children, adults)
}

/// The stays of a minute in one space.
#[must_use]
pub fn stays_in(chart: &Chart, space: SpaceIndex, at: Minute) -> Stays<'_> {
    present_at(chart, at).0.into_iter().filter(|(_, s)| s.space == space).collect()
}

/// The children at a place at a minute.
#[must_use]
pub fn who_is_at(chart: &Chart, place: Place, at: Minute) -> Vec<ChildIndex> {
    present_at(chart, at).0.into_iter().filter(|(_, s)| s.at == place).map(|(c, _)| c).collect()
}

/// Makes two of the one that goes on over an edge.
pub fn cut_over<T: Clone>(all: &mut Vec<T>, edge: Minute, span: fn(&mut T) -> &mut Span) {
    let parts = |span: Span| Some((Span::new(span.from, edge)?, Span::new(edge, span.to)?));
    let over = |(n, one): (usize, &mut T)| parts(*span(one)).map(|parts| (n, parts));
    if let Some((n, (before, after))) = all.iter_mut().enumerate().find_map(over) {
        let mut second = all[n].clone();
        *span(&mut all[n]) = before;
        *span(&mut second) = after;
        all.insert(n + 1, second);
    }
}
