//! One piece of a block: everybody in it, who sees what, and how many adults a station takes.

use crate::chart::{Chart, Place, Post, State, Stay, present_at};
use crate::day::Day;
use crate::model::frame::zones_of;
use crate::planner::counts_in_ratio;
use crate::site::{
    AdultIndex, ChildIndex, Hazard, SpaceIndex, Span, StationIndex, ZoneIndex, slices,
};
use crate::standards::{Head, Outing};

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

    /// The zones of a space that children are in.
    pub fn zones_in_use(&self, day: &Day, chart: &Chart, space: SpaceIndex) -> Vec<ZoneIndex> {
        let mut zones: Vec<ZoneIndex> = self
            .children_in(space)
            .flat_map(|(_, stay)| zones_of(day, &chart.choices, stay))
            .collect();
        zones.sort_unstable();
        zones.dedup();
        zones
    }

    /// Adults who must stand at a station for these children: by its own supervision (one is enough
    /// where everybody awake in the space is at it), or by a standard's water play.
    pub fn needed_at(
        &self,
        day: &Day,
        chart: &Chart,
        at: StationIndex,
        children: &[ChildIndex],
    ) -> u32 {
        self.own_needed_at(day, chart, at, children).max(water_needed(day, at, children))
    }

    fn own_needed_at(
        &self,
        day: &Day,
        chart: &Chart,
        at: StationIndex,
        children: &[ChildIndex],
    ) -> u32 {
        let station = day.station(at);
        let direct =
            self.children.iter().filter(|(_, s)| s.at == Place::Station(at)).count() as u32;
        let there = direct.max((children.len() as u32).min(station.seats));
        let needed = station.supervision.adults_for(there);
        let only_there = |(_, stay): &(ChildIndex, Stay)| {
            stay.state == State::Asleep || stations(chart, stay) == [at]
        };
        if self.children_in(station.space).all(only_there) { needed.min(1) } else { needed }
    }

    /// Counted adults at a station, in order.
    pub fn counted_at(&self, day: &Day, station: StationIndex) -> Vec<AdultIndex> {
        let at = |(adult, post): &&(AdultIndex, Post)| {
            post.at == Place::Station(station) && counts_in_ratio(day, *adult, post)
        };
        self.adults.iter().filter(at).map(|(a, _)| *a).collect()
    }

    /// Counted adults of a space, or of the premises, in order.
    pub fn counted(&self, day: &Day, space: Option<SpaceIndex>) -> Vec<AdultIndex> {
        let counts = |(adult, post): &&(AdultIndex, Post)| {
            space.is_none_or(|s| s == post.space) && counts_in_ratio(day, *adult, post)
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

/// Adults whom the standards ask for at a water station with these children; 0 at any other.
pub(super) fn water_needed(day: &Day, at: StationIndex, children: &[ChildIndex]) -> u32 {
    if !day.station(at).hazards.contains(&Hazard::Water) {
        return 0;
    }
    let heads: Vec<Head> = children.iter().map(|c| day.head(*c, false)).collect();
    let asked = day.standards.iter().filter_map(|s| s.activity_adults(Outing::Water, &heads, true));
    asked.max().unwrap_or(0)
}

/// The stations that a stay may bring a child to.
pub(super) fn stations(chart: &Chart, stay: &Stay) -> Vec<StationIndex> {
    match stay.at {
        Place::Station(s) => vec![s],
        Place::Choice(k) => chart.choices.get(k.0).map_or(Vec::new(), |c| c.open.clone()),
        _ => Vec::new(),
    }
}

/// The zones that an adult at a post sees.
pub(super) fn sees(day: &Day, post: &Post) -> Vec<ZoneIndex> {
    let of_task = |task: usize| day.schedule.tasks.get(task).is_some_and(|t| t.watching);
    match post.at {
        Place::Station(s) => vec![day.station(s).zone],
        Place::Table(t) => vec![day.site[t].zone],
        Place::Zone(z) => vec![z],
        Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => {
            post.zone.into_iter().collect()
        }
        Place::Task(task) if of_task(task) => post.zone.into_iter().collect(),
        Place::Care => {
            day.site[post.space].care_place.as_ref().map_or(Vec::new(), |c| c.seen_from.clone())
        }
        _ => Vec::new(),
    }
}

/// The space whose sinks children of a space use.
pub(super) fn sinks_of(day: &Day, space: SpaceIndex) -> SpaceIndex {
    if day.site[space].sinks > 0 { space } else { day.site[day.room].home }
}
