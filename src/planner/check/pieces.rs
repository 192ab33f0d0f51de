//! One piece of a block: everybody in it, who sees what, and how many adults a station takes.

use crate::chart::{Chart, Place, Post, State, Stay, present_at};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span, StationIndex, slices};

/// Everybody in a stretch in which nobody changes place.
#[derive(Clone)]
pub(super) struct Piece {
    pub span: Span,
    pub children: Vec<(ChildIndex, Stay)>,
    pub adults: Vec<(AdultIndex, Post)>,
}

impl Piece {
    /// Everybody of a chart in a span that none of its edges cuts.
    pub fn of(chart: &Chart, span: Span) -> Piece {
        let (children, adults) = present_at(chart, span.from);
        Piece {
            span,
            children: children.into_iter().map(|(c, s)| (c, Stay { span, ..*s })).collect(),
            adults: adults.into_iter().map(|(a, p)| (a, Post { span, ..*p })).collect(),
        }
    }

    /// Children of a space with their stays.
    pub fn children_in(&self, space: SpaceIndex) -> impl Iterator<Item = &(ChildIndex, Stay)> {
        self.children.iter().filter(move |(_, s)| s.space == space)
    }

    /// Who is at a station, or may come to it in a choice.
    pub fn at_station(&self, chart: &Chart, station: StationIndex) -> Vec<ChildIndex> {
        let at = |(_, stay): &&(ChildIndex, Stay)| stations(chart, stay).contains(&station);
        self.children.iter().filter(at).map(|(c, _)| *c).collect()
    }

    /// Adults whom a station takes for itself with these children, of whom no more sit down than there
    /// are seats.
    pub fn needed_at(
        &self,
        day: &Day,
        chart: &Chart,
        at: StationIndex,
        children: &[ChildIndex],
    ) -> u32 {
        let is_there = |c: &ChildIndex| {
            self.children.iter().any(|(child, s)| child == c && s.at == Place::Station(at))
        };
        let (there, coming): (Vec<ChildIndex>, Vec<ChildIndex>) =
            children.iter().partition(|c| is_there(c));
        let only_there = |(_, stay): &(ChildIndex, Stay)| {
            stay.state == State::Asleep || stations(chart, stay) == [at]
        };
        let everyone = self.children_in(day.station(at).space).all(only_there);
        day.own_adults(at, &day.may_sit_down(at, &there, &coming), everyone)
    }

    /// Counted adults at a station, in order.
    pub fn counted_at(&self, day: &Day, station: StationIndex) -> Vec<AdultIndex> {
        let at = |(adult, post): &&(AdultIndex, Post)| {
            post.at == Place::Station(station) && day.counts(*adult, post)
        };
        self.adults.iter().filter(at).map(|(a, _)| *a).collect()
    }

    /// Counted adults of a space, or of the premises, in order.
    pub fn counted(&self, day: &Day, space: Option<SpaceIndex>) -> Vec<AdultIndex> {
        let counts = |(adult, post): &&(AdultIndex, Post)| {
            space.is_none_or(|s| s == post.space) && day.counts(*adult, post)
        };
        self.adults.iter().filter(counts).map(|(a, _)| *a).collect()
    }
}

/// A span of a chart, cut at every edge of it.
pub(super) fn pieces_of(chart: &Chart, span: Span) -> Vec<Piece> {
    let inside = chart.edges().into_iter().filter(|m| span.from < *m && *m < span.to);
    let spans = slices(inside.chain([span.from, span.to]));
    spans.into_iter().map(|s| Piece::of(chart, s)).collect()
}

/// The stations that a stay may bring a child to.
pub(super) fn stations(chart: &Chart, stay: &Stay) -> Vec<StationIndex> {
    match stay.at {
        Place::Station(s) => vec![s],
        Place::Choice(k) => chart.choices.get(k.0).map_or(Vec::new(), |c| c.open.clone()),
        _ => Vec::new(),
    }
}
