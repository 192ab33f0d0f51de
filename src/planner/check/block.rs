//! A block laid over a chart: who comes to its stations and when they wash. Where the adults are is
//! for [`super::stand`].

use super::come::Coming;
use super::pieces::{Piece, pieces_of};
use super::plan::{self, Base};
use super::stand::Moves;
use super::{BlockQuestion, Washing};
use crate::chart::{Apart, Chart, Place, State, Stay};
use crate::day::{Day, is_for};
use crate::planner::edit::{Edit, StationEdit};
use crate::site::{ChildIndex, Hazard, Mess, Minute, Span, StationIndex};
use crate::solve::gathering_zone;

/// What is changed against what was asked.
#[derive(Clone, Default)]
pub(super) struct Otherwise {
    /// The edits, laid over day and chart.
    pub edits: Vec<Edit>,
    /// What may be elsewhere than the chart has it.
    pub moves: Moves,
    /// Children may come from the room's other spaces.
    pub bring: bool,
    /// The part of the block that says who comes to a station that the chart does not use then;
    /// `None`: all of it.
    pub decided: Option<Span>,
}

impl Otherwise {
    /// Nothing is changed; without a chart nobody has a post yet.
    pub fn as_asked(base: &Base) -> Otherwise {
        let moves = if base.bare { Moves::Anything } else { Moves::None };
        Otherwise { moves, ..Otherwise::default() }
    }

    /// One edit, or several.
    pub fn with(edits: Vec<Edit>) -> Otherwise {
        Otherwise { edits, ..Otherwise::default() }
    }

    /// When a station of the block is left out.
    pub fn closed(&self, at: StationIndex) -> Vec<Span> {
        let spans = self.edits.iter().filter_map(|edit| match edit {
            Edit::Station { station, how: StationEdit::Closed(span) } if *station == at => {
                Some(*span)
            }
            _ => None,
        });
        spans.collect()
    }

    /// Whether some children are kept from a station that the chart sends them to.
    fn sheds(&self, at: StationIndex) -> bool {
        let fewer = |how: &StationEdit| !matches!(how, StationEdit::OutOfReach);
        let mut edits = self.edits.iter();
        edits.any(|e| matches!(e, Edit::Station { station, how } if *station == at && fewer(how)))
    }
}

/// A block laid over a chart, adults where the chart has them.
#[derive(Clone)]
pub(super) struct Laid {
    /// The chart with the block in it.
    pub chart: Chart,
    pub washing: Vec<Washing>,
    /// Stations that the chart below does not use in the block, with who comes to them.
    pub drawn: Vec<(StationIndex, Vec<ChildIndex>)>,
}

/// Lays a block over the chart of a base; `day` is the base's with what is changed.
pub(super) fn lay(day: &Day, base: &Base, question: &BlockQuestion, how: &Otherwise) -> Laid {
    let coming = Coming {
        day,
        base: &base.chart,
        question,
        from_anywhere: base.bare || how.bring,
        decided: how.decided.unwrap_or(question.span),
    };
    let drawn = coming.who();
    let washing = wash(&coming, &drawn);
    let mut chart = base.chart.clone();
    for (at, come) in &drawn {
        let washing =
            washing.iter().find(|w| w.station == *at).filter(|w| w.from < question.span.to);
        let there = There { coming: &coming, at: *at, washing, closed: how.closed(*at) };
        for child in chart.children.iter_mut().filter(|c| come.contains(&c.child)) {
            child.stays = there.way(child.child, &child.stays);
        }
    }
    if base.bare {
        take_along(&coming, &drawn, &mut chart);
    }
    for at in question.stations.iter().filter(|at| how.sheds(**at)) {
        shed(day, &mut chart, question, *at, &how.closed(*at));
    }
    Laid { chart, washing, drawn }
}

/// Where the block is out of doors everybody goes along who may, not only who has a seat.
fn take_along(coming: &Coming<'_>, drawn: &[(StationIndex, Vec<ChildIndex>)], chart: &mut Chart) {
    let (day, block) = (coming.day, coming.question.span);
    let space = plan::main_space(day, coming.question);
    if !day.site[space].outdoors {
        return;
    }
    let zone = gathering_zone(day, space);
    let called = |c: ChildIndex| drawn.iter().any(|(_, come)| come.contains(&c));
    for child in chart.children.iter_mut().filter(|c| !called(c.child)) {
        let goes = |stay: Stay| {
            let free = coming
                .question
                .stations
                .iter()
                .any(|at| stay.space != space && coming.is_free(child.child, &stay, *at));
            let Some(inside) = stay.span.meet(block).filter(|_| free) else { return vec![stay] };
            let (at, state) = (Place::Outdoors, State::Awake);
            let out = Stay { span: inside, space, at, zone, state, meal: None, apart: None };
            with_inside(&stay, inside, vec![out])
        };
        child.stays = child.stays.clone().into_iter().flat_map(goes).collect();
    }
}

/// A station to which children are called.
struct There<'a> {
    coming: &'a Coming<'a>,
    at: StationIndex,
    washing: Option<&'a Washing>,
    closed: Vec<Span>,
}

impl There<'_> {
    /// The way of one who comes.
    fn way(&self, child: ChildIndex, stays: &[Stay]) -> Vec<Stay> {
        let block = self.coming.question.span;
        let called = |s: &Stay| s.span.meets(block) && self.coming.is_free(child, s, self.at);
        let beside = |edge: fn(&Stay) -> Minute, at: Minute| {
            stays.iter().any(|s| edge(s) == at && called(s))
        };
        let one = |stay: &Stay| {
            let comes = !beside(|s| s.span.to, stay.span.from);
            let leaves = !beside(|s| s.span.from, stay.span.to);
            if called(stay) { self.put(stay, comes, leaves) } else { vec![stay.clone()] }
        };
        stays.iter().flat_map(one).collect()
    }

    /// A stay of one who is called from it, with the way there and back and the sinks.
    fn put(&self, stay: &Stay, comes: bool, leaves: bool) -> Vec<Stay> {
        let (day, block) = (self.coming.day, self.coming.question.span);
        let station = day.station(self.at);
        let Some(inside) = stay.span.meet(block) else { return vec![stay.clone()] };
        let mut stays: Vec<Stay> = Vec::new();
        let mut add = |from: Minute, to: Minute, with: &dyn Fn(Span) -> Stay| {
            stays.extend(Span::new(from, to).map(with));
        };
        let as_it_was = |span: Span| Stay { span, ..stay.clone() };
        let moving = |space| {
            move |span: Span| {
                let (at, zone, state) = (Place::Transition, None, State::Awake);
                Stay { span, space, at, zone, state, meal: None, apart: None }
            }
        };
        let walk = day.site.walking(stay.space, station.space);
        let ends = self.washing.map_or(inside.to, |w| w.from.clamp(inside.from, inside.to));
        // Who washes elsewhere, or is there until the end, walks back in what is left of the block.
        let home = if leaves { walk } else { 0 };
        let back = if ends < inside.to { ends } else { ends.earlier(home).max(inside.from) };
        let there = if comes { walk } else { 0 };
        let begins = inside.from.later(there).min(back);
        add(inside.from, begins, &moving(stay.space));
        let mut at = begins;
        let open: Vec<Span> = match Span::new(begins, back) {
            Some(there) => self.closed.iter().fold(vec![there], |open, c| plan::beside(&open, *c)),
            None => Vec::new(),
        };
        for span in open {
            add(at, span.from, &as_it_was);
            add(span.from, span.to, &|span| Stay {
                span,
                space: station.space,
                at: Place::Station(self.at),
                zone: None,
                state: State::Awake,
                meal: None,
                apart: Some(Apart::Kept),
            });
            at = span.to;
        }
        add(at, back, &as_it_was);
        let sinks = self.washing.map_or(station.space, |w| w.space);
        add(back, inside.to, &moving(sinks));
        with_inside(stay, inside, stays)
    }
}

/// A stay with something else inside it.
fn with_inside(stay: &Stay, inside: Span, there: Vec<Stay>) -> Vec<Stay> {
    let part = |from, to| Span::new(from, to).map(|span| Stay { span, ..stay.clone() });
    let (before, after) = (part(stay.span.from, inside.from), part(inside.to, stay.span.to));
    before.into_iter().chain(there).chain(after).collect()
}

/// The end of the block at each wet station: so many minutes at the sinks, and the walk there.
fn wash(coming: &Coming<'_>, drawn: &[(StationIndex, Vec<ChildIndex>)]) -> Vec<Washing> {
    let (day, question) = (coming.day, coming.question);
    let block = question.span;
    let pieces = pieces_of(coming.base, block);
    let Some(last) = pieces.last() else { return Vec::new() };
    let mut washing = Vec::new();
    for at in &question.stations {
        let station = day.station(*at);
        let drawn = drawn.iter().find(|(s, _)| s == at).map(|(_, come)| come);
        let there: Vec<ChildIndex> = match drawn {
            Some(come) => {
                let free = |c: &&ChildIndex| coming.free_minutes(last, **c, *at) > 0;
                come.iter().filter(free).copied().collect()
            }
            None => last.at_station(coming.base, *at),
        };
        if station.mess != Mess::Wet || there.is_empty() {
            continue;
        }
        let space = day.sinks_of(station.space);
        let sinks = day.site[space].sinks;
        let seats = station.seats.max(1) as usize;
        let there = &there[..there.len().min(seats)];
        let helped = there.iter().filter(|c| day.is_helped_to_wash(**c)).count();
        // Whoever the chart has on the move there then washes at the same sinks.
        let moving = |(c, s): &(ChildIndex, Stay)| {
            let same_sinks = day.sinks_of(s.space) == space;
            s.at == Place::Transition && same_sinks && !there.contains(c)
        };
        let others = last.children.iter().filter(|c| moving(c)).count();
        let minutes = day.wash_minutes_helped(there.len() + others, helped, space);
        let minutes = minutes.saturating_add(day.site.walking(station.space, space));
        // What the chart itself has at a station, it also has time for afterwards, or the
        // audit says that it has not.
        let from = match drawn {
            Some(_) => block.to.earlier(minutes).max(block.from),
            None => block.to,
        };
        let (children, others) = (there.len() as u32, others as u32);
        let helped = helped as u32;
        let station = *at;
        washing.push(Washing { station, children, helped, others, space, sinks, minutes, from });
    }
    together(day, &mut washing, block);
    washing
}

/// Those who come from several stations to the same sinks at the end of a block wait for each other.
fn together(day: &Day, washing: &mut [Washing], block: Span) {
    let alone: Vec<Washing> = washing.to_vec();
    for wash in washing.iter_mut().filter(|w| w.from < block.to) {
        let others = alone
            .iter()
            .filter(|w| w.space == wash.space && w.from < block.to && w.station != wash.station);
        let each = u32::from(day.site.settings.wash_minutes);
        let at_sinks = |n: u32| (n * each).div_ceil(wash.sinks.max(1));
        let all = wash.children + others.map(|w| w.children).sum::<u32>();
        let more = at_sinks(all) - at_sinks(wash.children);
        wash.minutes = wash.minutes.saturating_add(u16::try_from(more).unwrap_or(u16::MAX));
        wash.from = block.to.earlier(wash.minutes).max(block.from);
    }
}

/// Sends children elsewhere in the space whom a station is not for, has no seat for, or is closed for
/// then, though the chart has them there.
fn shed(day: &Day, chart: &mut Chart, question: &BlockQuestion, at: StationIndex, closed: &[Span]) {
    let station = day.station(at);
    let place = Place::Station(at);
    let pieces: Vec<Piece> = pieces_of(chart, question.span);
    for piece in pieces {
        let shut = closed.iter().any(|c| c.meets(piece.span));
        let mut seated = 0;
        for (child, _) in piece.children.iter().filter(|(_, s)| s.at == place) {
            let fits = is_for(station, at, &day.site[*child], day.date);
            if fits && !shut && seated < station.seats {
                seated += 1;
                continue;
            }
            let own = chart.children.iter_mut().filter(|c| c.child == *child);
            for stays in own.map(|c| &mut c.stays) {
                let cut = |stay: Stay| {
                    let Some(inside) = stay.span.meet(piece.span).filter(|_| stay.at == place)
                    else {
                        return vec![stay];
                    };
                    let (at, zone) = (Place::WholeGroup, Some(station.zone));
                    let away = Stay { span: inside, at, zone, ..stay.clone() };
                    with_inside(&stay, inside, vec![away])
                };
                *stays = stays.drain(..).flat_map(cut).collect();
            }
        }
    }
}

/// Whether a station has tools, heat or water: whoever leads it may be alone with children, or is in
/// sight of somebody who may.
pub(super) fn is_risky(day: &Day, at: StationIndex) -> bool {
    let is = |h: &Hazard| matches!(h, Hazard::Heat | Hazard::Sharp | Hazard::Water);
    day.station(at).hazards.iter().any(is)
}

/// Whether an adult has to stay at a station until the block is over, also while its children wash:
/// something hot is not left.
pub(super) fn is_never_left(day: &Day, at: StationIndex) -> bool {
    day.station(at).hazards.contains(&Hazard::Heat)
}
