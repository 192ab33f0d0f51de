//! A finished chart read slice by slice, for the audits alone.
//!
//! A chart may come from a person's hand: who or what it names may not exist, spans may be empty.
//! [`Reading::of`] drops what cannot be read at all, which the rule `present` reports, so that
//! every other audit may index freely.

use super::Problem;
use crate::chart::{AdultDay, Chart, ChildDay, Place, Post, State, Stay};
use crate::day::Day;
use crate::site::{
    AdultIndex, ChildIndex, Minute, Site, SpaceIndex, Span, StationIndex, ZoneIndex, slices,
};
use crate::steps::{self, Stage};
use std::borrow::Cow;

/// A chart in which everything that is named exists.
pub struct Reading<'a> {
    /// The date that it is judged by.
    pub day: &'a Day,
    /// The chart, without what cannot be read.
    pub chart: Cow<'a, Chart>,
}

/// A stretch in which nobody changes place, and everybody in it.
pub struct Slice<'a> {
    /// When.
    pub span: Span,
    /// Each child who is in the chart then, once, in the chart's order.
    pub children: Vec<(ChildIndex, &'a Stay)>,
    /// Each adult who is in the chart then, once, in the chart's order.
    pub adults: Vec<(AdultIndex, &'a Post)>,
}

impl<'a> Reading<'a> {
    /// Reads a chart: a stay or post with an empty span, of an unknown person or in an unknown
    /// space is dropped; at an unknown place it becomes unplaced; an unknown zone is none.
    #[must_use]
    pub fn of(day: &'a Day, chart: &'a Chart) -> Reading<'a> {
        let chart = if is_known(day, chart) {
            Cow::Borrowed(chart)
        } else {
            Cow::Owned(without_the_unknown(day, chart))
        };
        Reading { day, chart }
    }

    /// The slices between the edges of all stays and posts and the given further edges.
    #[must_use]
    pub fn slices(&self, further: impl IntoIterator<Item = Minute>) -> Vec<Slice<'_>> {
        let edges = self.chart.edges().into_iter().chain(further);
        let present = |span: Span| {
            steps::count(Stage::Audit, 1 + self.chart.children.len() as u64 / 4);
            let (children, adults) = crate::chart::present_at(&self.chart, span.from);
            Slice { span, children: first_of_each(children), adults: first_of_each(adults) }
        };
        slices(edges).into_iter().map(present).collect()
    }

    /// The stations that a child's stay may bring the child to: its own, or all that are open in
    /// its choice.
    #[must_use]
    pub fn stations(&self, stay: &Stay) -> Vec<StationIndex> {
        match stay.at {
            Place::Station(s) => vec![s],
            Place::Choice(k) => {
                let mut open = self.chart.choices[k.0].open.clone();
                open.sort_unstable();
                open.dedup();
                open
            }
            _ => Vec::new(),
        }
    }

    /// The zones that a child's stay may bring the child to; none on the move, at care or
    /// unplaced.
    #[must_use]
    pub fn zones(&self, stay: &Stay) -> Vec<ZoneIndex> {
        let site = &*self.day.site;
        match stay.at {
            Place::Station(_) | Place::Choice(_) => {
                let mut zones: Vec<ZoneIndex> =
                    self.stations(stay).into_iter().map(|s| site[s].zone).collect();
                zones.sort_unstable();
                zones.dedup();
                zones
            }
            Place::Table(t) => vec![site[t].zone],
            Place::Zone(z) => vec![z],
            Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => {
                stay.zone.into_iter().collect()
            }
            _ => Vec::new(),
        }
    }

    /// The zones that an adult at this post sees, whomever the post is for.
    #[must_use]
    pub fn sees(&self, post: &Post) -> Vec<ZoneIndex> {
        let site = &*self.day.site;
        match post.at {
            Place::Station(s) => vec![site[s].zone],
            Place::Table(t) => vec![site[t].zone],
            Place::Zone(z) => vec![z],
            Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => {
                post.zone.into_iter().collect()
            }
            Place::Task(_) if self.watches(post) => post.zone.into_iter().collect(),
            Place::Care => {
                site[post.space].care_place.as_ref().map_or(Vec::new(), |c| c.seen_from.clone())
            }
            _ => Vec::new(),
        }
    }

    /// Whether an adult at this post watches the children who are on the move in its space.
    #[must_use]
    pub fn watches_transition(&self, post: &Post) -> bool {
        matches!(
            post.at,
            Place::Transition
                | Place::WholeGroup
                | Place::Movement
                | Place::Outdoors
                | Place::Rest
                | Place::Zone(_)
        )
    }

    /// Whether whoever is at a place of a space is at a changing place from which nobody sees the
    /// space, nor is seen: those who are there are by themselves.
    #[must_use]
    pub fn is_by_itself(&self, space: SpaceIndex, at: Place) -> bool {
        let seen =
            self.day.site[space].care_place.as_ref().is_some_and(|c| !c.seen_from.is_empty());
        at == Place::Care && !seen
    }

    /// Whether an adult counts in ratio, in the post's space, while at this post.
    #[must_use]
    pub fn counts(&self, adult: AdultIndex, post: &Post) -> bool {
        self.day.site[adult].counts
            && post.for_child.is_none()
            && self.is_with_children(post)
            && !self.is_by_itself(post.space, post.at)
    }

    /// Whether an adult at this post is neither on a staff break nor away at a task.
    #[must_use]
    pub fn is_with_children(&self, post: &Post) -> bool {
        match post.at {
            Place::StaffBreak(_) | Place::Preparation => false,
            Place::Task(_) => self.watches(post),
            _ => true,
        }
    }

    /// Whether an adult has left the building on a staff break.
    #[must_use]
    pub fn is_off_the_premises(&self, adult: AdultIndex, post: &Post) -> bool {
        let Place::StaffBreak(due) = post.at else { return false };
        self.day.site[adult].breaks.get(due).is_none_or(|b| b.may_leave)
    }

    fn watches(&self, post: &Post) -> bool {
        let Place::Task(task) = post.at else { return true };
        self.day.schedule.tasks.get(task).is_some_and(|t| t.watching)
    }
}

impl<'a> Slice<'a> {
    /// Spaces with children in them, in order.
    #[must_use]
    pub fn spaces(&self) -> Vec<SpaceIndex> {
        let mut spaces: Vec<SpaceIndex> = self.children.iter().map(|(_, s)| s.space).collect();
        spaces.sort_unstable();
        spaces.dedup();
        spaces
    }

    /// The children in a space, with their stays.
    #[must_use]
    pub fn children_in(&self, space: SpaceIndex) -> Vec<(ChildIndex, &'a Stay)> {
        steps::count(Stage::Audit, 1 + self.children.len() as u64 / 16);
        self.children.iter().copied().filter(|(_, s)| s.space == space).collect()
    }

    /// The adults in a space, with their posts.
    #[must_use]
    pub fn adults_in(&self, space: SpaceIndex) -> Vec<(AdultIndex, &'a Post)> {
        self.adults.iter().copied().filter(|(_, p)| p.space == space).collect()
    }

    /// The children at a place.
    #[must_use]
    pub fn children_at(&self, place: Place) -> Vec<ChildIndex> {
        sorted(self.children.iter().filter(|(_, s)| s.at == place).map(|(c, _)| *c))
    }

    /// Each station that children may be at, with those children, in order of stations.
    #[must_use]
    pub fn stations_in_use(&self, reading: &Reading) -> Vec<(StationIndex, Vec<ChildIndex>)> {
        let mut used: Vec<(StationIndex, ChildIndex)> = Vec::new();
        for (child, stay) in &self.children {
            used.extend(reading.stations(stay).into_iter().map(|s| (s, *child)));
        }
        let stations = sorted(used.iter().map(|(s, _)| *s));
        steps::count(Stage::Audit, (used.len() * (stations.len() + 64)) as u64 / 256);
        let there = |s: StationIndex| sorted(used.iter().filter(|u| u.0 == s).map(|u| u.1));
        stations.into_iter().map(|s| (s, there(s))).collect()
    }
}

/// In order, each once.
pub fn sorted<T: Ord>(who: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut who: Vec<T> = who.into_iter().collect();
    steps::count(Stage::Audit, 1 + who.len() as u64 / 16);
    who.sort_unstable();
    who.dedup();
    who
}

/// Joins equal problems of adjacent spans into one, in order of time.
#[must_use]
pub fn merged(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|p| p.span.from);
    let mut whole: Vec<Problem> = Vec::new();
    for problem in problems {
        steps::count(Stage::Audit, 1 + whole.len() as u64 / 8);
        let goes_on = |before: &&mut Problem| {
            before.span.to == problem.span.from
                && **before == Problem { span: before.span, ..problem.clone() }
        };
        match whole.iter_mut().rev().find(goes_on) {
            Some(before) => before.span.to = problem.span.to,
            None => whole.push(problem),
        }
    }
    whole.sort_by_key(|p| p.span.from);
    whole
}

fn first_of_each<P: PartialEq + Copy, T>(present: Vec<(P, T)>) -> Vec<(P, T)> {
    let mut once: Vec<(P, T)> = Vec::new();
    for (who, what) in present {
        if once.iter().all(|(before, _)| *before != who) {
            once.push((who, what));
        }
    }
    once
}

/// Whether a place exists.
pub(super) fn place_is_known(day: &Day, chart: &Chart, at: Place) -> bool {
    let site = &*day.site;
    match at {
        Place::Station(s) => s.0 < site.stations.len() && s.0 < day.stations.len(),
        Place::Table(t) => t.0 < site.tables.len(),
        Place::Zone(z) => z.0 < site.zones.len(),
        Place::Choice(k) => chart.choices.get(k.0).is_some_and(|c| {
            c.space.0 < site.spaces.len() && c.open.iter().all(|s| s.0 < day.stations.len())
        }),
        Place::Task(t) => t < day.schedule.tasks.len(),
        _ => true,
    }
}

fn zone_is_known(site: &Site, zone: Option<ZoneIndex>) -> bool {
    zone.is_none_or(|z| z.0 < site.zones.len())
}

/// Whether a span can be read at all.
pub(super) fn span_is_known(span: Span) -> bool {
    span.from < span.to && span.to <= Minute::END_OF_DAY
}

/// Whether everything that a stay names exists.
pub(super) fn stay_is_known(day: &Day, chart: &Chart, stay: &Stay) -> bool {
    span_is_known(stay.span)
        && stay.space.0 < day.site.spaces.len()
        && zone_is_known(&day.site, stay.zone)
        && place_is_known(day, chart, stay.at)
}

/// Whether everything that a post names exists; a staff break has to be one of the adult's.
pub(super) fn post_is_known(day: &Day, chart: &Chart, adult: AdultIndex, post: &Post) -> bool {
    let own_break = match post.at {
        Place::StaffBreak(due) => day.site.adults.get(adult.0).is_none_or(|a| due < a.breaks.len()),
        _ => true,
    };
    span_is_known(post.span)
        && post.space.0 < day.site.spaces.len()
        && zone_is_known(&day.site, post.zone)
        && place_is_known(day, chart, post.at)
        && own_break
        && post.for_child.is_none_or(|c| c.0 < day.site.children.len())
        && post.covers.is_none_or(|a| a.0 < day.site.adults.len())
}

fn is_known(day: &Day, chart: &Chart) -> bool {
    let child = |c: &ChildDay| {
        c.child.0 < day.site.children.len() && c.stays.iter().all(|s| stay_is_known(day, chart, s))
    };
    let adult = |a: &AdultDay| {
        a.adult.0 < day.site.adults.len()
            && a.posts.iter().all(|p| post_is_known(day, chart, a.adult, p))
    };
    let members = || chart.groups.iter().flat_map(|g| &g.children);
    chart.children.iter().all(child)
        && chart.adults.iter().all(adult)
        && members().all(|c| c.0 < day.site.children.len())
}

fn without_the_unknown(day: &Day, chart: &Chart) -> Chart {
    let site = &*day.site;
    let readable =
        |span: Span, space: SpaceIndex| span_is_known(span) && space.0 < site.spaces.len();
    let place = |at: Place| if place_is_known(day, chart, at) { at } else { Place::Unplaced };
    let mut known = chart.clone();
    for group in &mut known.groups {
        group.children.retain(|c| c.0 < site.children.len());
    }
    known.children.retain(|c| c.child.0 < site.children.len());
    for stay in known.children.iter_mut().flat_map(|c| &mut c.stays) {
        stay.at = place(stay.at);
        stay.zone = stay.zone.filter(|z| z.0 < site.zones.len());
    }
    known.adults.retain(|a| a.adult.0 < site.adults.len());
    for post in known.adults.iter_mut().flat_map(|a| &mut a.posts) {
        post.at = place(post.at);
        post.zone = post.zone.filter(|z| z.0 < site.zones.len());
        post.covers = post.covers.filter(|a| a.0 < site.adults.len());
    }
    known.children.iter_mut().for_each(|c| c.stays.retain(|s| readable(s.span, s.space)));
    known.adults.iter_mut().for_each(|a| a.posts.retain(|p| readable(p.span, p.space)));
    known
}

/// Whether a child is up; resting counts as awake.
#[must_use]
pub fn is_awake(stay: &Stay) -> bool {
    stay.state != State::Asleep
}
