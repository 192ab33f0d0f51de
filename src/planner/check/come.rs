//! Who comes to a station that the chart does not use, and what they leave for it.

use super::pieces::{Piece, pieces_of};
use super::{BlockQuestion, words};
use crate::chart::{Chart, Place, State, Stay};
use crate::day::{Day, KeptFor, is_for};
use crate::planner::list;
use crate::site::{ChildIndex, SpaceIndex, Span, StationIndex};
use std::cmp::Reverse;

/// Under so many months a child is an infant.
const INFANT: u32 = 12;

/// Children who leave a turn that the chart gives them.
pub(super) struct TakenAway {
    /// Where the turn is.
    pub station: StationIndex,
    /// Who leaves it, in order.
    pub children: Vec<ChildIndex>,
    /// Those of them who must be offered it today and have no other turn there.
    pub owed: Vec<ChildIndex>,
}

/// Who may come to the stations of a block.
pub(super) struct Coming<'a> {
    pub day: &'a Day,
    pub base: &'a Chart,
    pub question: &'a BlockQuestion,
    /// Children may come from the room's other spaces.
    pub from_anywhere: bool,
    /// The part of the block that says who comes.
    pub decided: Span,
}

impl Coming<'_> {
    /// Whether a child may be called to a station from where it is, or stays at it meanwhile.
    pub fn is_free(&self, child: ChildIndex, stay: &Stay, station: StationIndex) -> bool {
        let of_the_space = self.from_anywhere || stay.space == self.day.station(station).space;
        let loose = is_loose(self.day, stay, self.question) || self.is_between(child, stay);
        of_the_space && loose
    }

    /// Whether a child is on its way from one thing that it may be called from to another one in the
    /// same space: who is at a station meanwhile has nothing to tidy up and nowhere to go.
    fn is_between(&self, child: ChildIndex, moving: &Stay) -> bool {
        let stays = self.base.child(child).map_or(&[][..], |c| &c.stays);
        let Some(at) = stays.iter().position(|s| s.span.holds(moving.span)) else { return false };
        let is_way = |s: &&Stay| s.at == Place::Transition && s.space == moving.space;
        if !is_way(&moving) {
            return false;
        }
        let before = stays[..at].iter().rev().find(|s| !is_way(s));
        let after = stays[at..].iter().find(|s| !is_way(s));
        let block = self.question.span;
        let fine = |s: Option<&Stay>| {
            s.is_some_and(|s| {
                s.space == moving.space
                    && s.span.meets(block)
                    && is_loose(self.day, s, self.question)
            })
        };
        fine(before) && fine(after)
    }

    /// Who comes to the stations that the chart does not use: those who are owed a visit, then those
    /// who are free longest without missing what they must be offered today, then those who leave no
    /// turn, then the youngest, who ask for most. An infant is not seated because a seat is free: who
    /// is under a year comes where it is owed a visit, or where nobody older is there.
    pub fn who(&self) -> Vec<(StationIndex, Vec<ChildIndex>)> {
        let pieces: Vec<Piece> = pieces_of(self.base, self.decided);
        let mut taken: Vec<ChildIndex> = Vec::new();
        let mut drawn = Vec::new();
        for at in &self.question.stations {
            if pieces.iter().any(|p| !p.at_station(self.base, *at).is_empty()) {
                continue;
            }
            let station = self.day.station(*at);
            let mut free = Vec::new();
            for (child, _) in &self.day.children {
                let minutes: u32 = pieces.iter().map(|p| self.free_minutes(p, *child, *at)).sum();
                let fits = is_for(station, *at, &self.day.site[*child], self.day.date);
                if minutes > 0 && fits && !taken.contains(child) && !self.is_kept(*child) {
                    let (owed, turns) = self.turn_minutes(*child);
                    let wants = self.day.must_do.contains(&(*child, *at));
                    let unhurt = Reverse(minutes.saturating_sub(owed));
                    let months = self.day.months(*child);
                    free.push((!wants, unhurt, Reverse(minutes), turns, months, *child));
                }
            }
            free.sort_unstable();
            let grown = |c: &(bool, _, _, _, u32, _)| !c.0 || c.4 >= INFANT;
            if free.iter().any(grown) {
                free.retain(grown);
            }
            let mut come: Vec<ChildIndex> = Vec::new();
            for (.., child) in free {
                let apart = |c: &ChildIndex| {
                    let (one, other) = (&self.day.site[child], &self.day.site[*c]);
                    one.keep_apart.contains(c) || other.keep_apart.contains(&child)
                };
                if (come.len() as u32) < station.seats && !come.iter().any(apart) {
                    come.push(child);
                }
            }
            come.sort_unstable();
            taken.extend(&come);
            drawn.push((*at, come));
        }
        drawn
    }

    /// Whether the teacher keeps a child where it is at some time of the block, alone or with its
    /// group.
    fn is_kept(&self, child: ChildIndex) -> bool {
        let group = self.base.group_of(child).map(|g| &g.id);
        let whose = |who: &KeptFor| match who {
            KeptFor::Child(kept) => *kept == child,
            KeptFor::Group(id) => group == Some(id),
        };
        self.day.kept.iter().any(|k| k.span.meets(self.decided) && whose(&k.who))
    }

    /// Minutes of a piece in which a child may be called to a station.
    pub fn free_minutes(&self, piece: &Piece, child: ChildIndex, at: StationIndex) -> u32 {
        let stay = piece.children.iter().find(|(c, _)| *c == child).map(|(_, stay)| stay);
        let free = stay.is_some_and(|stay| self.is_free(child, stay, at));
        if free { u32::from(piece.span.minutes()) } else { 0 }
    }

    /// Minutes of the block that a child spends at turns: those it is owed, and all of them.
    fn turn_minutes(&self, child: ChildIndex) -> (u32, u32) {
        let (mut owed, mut turns) = (0, 0);
        for (station, span) in turns_of(self.base, child, self.question) {
            let minutes = u32::from(span.meet(self.decided).map_or(0, Span::minutes));
            turns += minutes;
            if is_owed(self.day, self.base, child, station, self.decided) {
                owed += minutes;
            }
        }
        (owed, turns)
    }
}

/// Whether a child is where it may be called away from: nobody is out of a movement break, nor from out
/// of doors to a station indoors.
fn is_loose(day: &Day, stay: &Stay, question: &BlockQuestion) -> bool {
    let free = match stay.at {
        Place::Zone(_) | Place::WholeGroup | Place::Choice(_) => true,
        Place::Station(s) => !question.stations.contains(&s),
        Place::Outdoors => question.stations.iter().any(|s| day.station(*s).space == stay.space),
        _ => false,
    };
    free && stay.state == State::Awake
}

/// The turns of a child in a chart at stations that were not asked for, each with its span.
fn turns_of<'a>(
    chart: &'a Chart,
    child: ChildIndex,
    question: &'a BlockQuestion,
) -> impl Iterator<Item = (StationIndex, Span)> + 'a {
    let days = chart.children.iter().filter(move |d| d.child == child);
    days.flat_map(|d| &d.stays).filter_map(|stay| match stay.at {
        Place::Station(s) if !question.stations.contains(&s) => Some((s, stay.span)),
        _ => None,
    })
}

/// Whether a child must be offered a station today and has no turn there but in the block.
fn is_owed(
    day: &Day,
    chart: &Chart,
    child: ChildIndex,
    station: StationIndex,
    block: Span,
) -> bool {
    let stays = || chart.children.iter().filter(|d| d.child == child).flat_map(|d| &d.stays);
    let other = |s: &Stay| s.at == Place::Station(station) && !s.span.meets(block);
    day.must_do.contains(&(child, station)) && !stays().any(other)
}

/// The turns of a posted chart that children who come to a station leave, by station.
pub(super) fn taken_away(
    day: &Day,
    posted: &Chart,
    question: &BlockQuestion,
    come: &[ChildIndex],
) -> Vec<TakenAway> {
    let mut left: Vec<TakenAway> = Vec::new();
    for child in come {
        let turns = turns_of(posted, *child, question);
        let mut stations: Vec<StationIndex> =
            turns.filter(|(_, span)| span.meets(question.span)).map(|(s, _)| s).collect();
        stations.sort_unstable();
        stations.dedup();
        for station in stations {
            let at = left.iter().position(|t| t.station == station).unwrap_or_else(|| {
                left.push(TakenAway { station, children: Vec::new(), owed: Vec::new() });
                left.len() - 1
            });
            left[at].children.push(*child);
            if is_owed(day, posted, *child, station, question.span) {
                left[at].owed.push(*child);
            }
        }
    }
    left
}

/// The spaces that children who come to a station leave for it, in order.
pub(super) fn left_spaces(
    day: &Day,
    posted: &Chart,
    question: &BlockQuestion,
    station: StationIndex,
    come: &[ChildIndex],
) -> Vec<SpaceIndex> {
    let here = day.station(station).space;
    let days = posted.children.iter().filter(|d| come.contains(&d.child));
    let stays = days.flat_map(|d| &d.stays).filter(|s| s.span.meets(question.span));
    let left = stays.filter(|s| s.space != here && is_loose(day, s, question));
    let mut spaces: Vec<SpaceIndex> = left.map(|s| s.space).collect();
    spaces.sort_unstable();
    spaces.dedup();
    spaces
}

/// What those who come are at in a span, as the end of a sentence; empty where they are at many things.
pub(super) fn meanwhile(chart: &Chart, come: &[ChildIndex], span: Span) -> String {
    let stays = chart.children.iter().filter(|d| come.contains(&d.child)).flat_map(|d| &d.stays);
    let mut there = stays.filter(|s| s.span.meets(span));
    let words = |s: &Stay| match (s.meal, s.at) {
        (Some(meal), _) => format!(": they have {}", words::meal(meal).to_lowercase()),
        (None, Place::Rest) => ": they rest".to_owned(),
        (None, Place::Care) => ": they are at the changing place".to_owned(),
        (None, Place::Outdoors) => ": they are out of doors".to_owned(),
        (None, Place::Movement) => ": they have a movement break".to_owned(),
        (None, Place::Transition) => ": they are on the way".to_owned(),
        _ => String::new(),
    };
    let first = there.next().map(words).unwrap_or_default();
    if there.all(|s| words(s) == first) { first } else { String::new() }
}

/// Where the children are for whom a station is and who could come to it from another space, as the
/// end of a sentence; empty where there is nobody.
pub(super) fn elsewhere(day: &Day, chart: &Chart, at: StationIndex, span: Span) -> String {
    let station = day.station(at);
    let question = BlockQuestion { span, stations: vec![at] };
    let fits = |c: ChildIndex| is_for(station, at, &day.site[c], day.date);
    let first = pieces_of(chart, span).into_iter().next();
    let mut spaces: Vec<(SpaceIndex, usize)> = Vec::new();
    for (child, stay) in first.iter().flat_map(|p| &p.children) {
        if stay.space == station.space || !is_loose(day, stay, &question) || !fits(*child) {
            continue;
        }
        match spaces.iter_mut().find(|(s, _)| *s == stay.space) {
            Some((_, n)) => *n += 1,
            None => spaces.push((stay.space, 1)),
        }
    }
    if spaces.is_empty() {
        return String::new();
    }
    let told: Vec<String> =
        spaces.iter().map(|(s, n)| format!("{n} who may are in {}", day.site[*s].label)).collect();
    format!(" in {}; {}", day.site[station.space].label, list(&told))
}
