//! A block laid over a chart: who comes to its stations, who stands at them, who washes at its end.

use super::pieces::Piece;
use super::{BlockQuestion, Change, Washing};
use crate::chart::{Chart, Place, Post, State, Stay};
use crate::day::{Day, is_for};
use crate::site::{AdultIndex, ChildIndex, Mess, Minute, Span, StationIndex, slices};

/// What is changed against what was asked.
#[derive(Clone, Default)]
pub(super) struct Edits {
    /// Adults may be posted elsewhere than the chart has them.
    pub moves: bool,
    /// Children whom a station is not for, or no longer has a seat for, go elsewhere.
    pub shed: bool,
    /// At most so many children at a station.
    pub fewer: Option<(StationIndex, u32)>,
    /// Only children from an age on at a station.
    pub older: Option<(StationIndex, u32)>,
    /// Stations that the young cannot reach.
    pub reach: Vec<StationIndex>,
    /// So many more adults for a span, and whether the first of them leads the room.
    pub extra: Option<(u32, Span, bool)>,
    /// Children and adults may come from the room's other spaces.
    pub bring: bool,
    /// The part of the block that says who comes to a station that the chart does not use then;
    /// `None`: all of it.
    pub decided: Option<Span>,
}

impl Edits {
    /// Nothing is changed; without a chart nobody has a post yet.
    pub fn as_asked(chart: Option<&Chart>) -> Edits {
        Edits { moves: chart.is_none(), ..Edits::default() }
    }
}

/// A block laid over a chart.
#[derive(Clone)]
pub(super) struct Laid {
    /// The chart with the block in it.
    pub chart: Chart,
    /// Adults who stand elsewhere than in the chart below.
    pub moves: Vec<Change>,
    pub washing: Vec<Washing>,
    /// Stations that the chart below does not use in the block, with who comes to them.
    pub drawn: Vec<(StationIndex, Vec<ChildIndex>)>,
}

/// How a block is laid.
pub(super) struct Laying<'a> {
    pub day: &'a Day,
    pub base: &'a Chart,
    pub question: &'a BlockQuestion,
    /// There is no chart: everybody goes where they are needed.
    pub bare: bool,
    pub edits: &'a Edits,
    pub(super) drawn: Vec<(StationIndex, Vec<ChildIndex>)>,
    pub(super) washing: Vec<Washing>,
}

/// Lays a block over a chart.
pub(super) fn lay(
    day: &Day,
    base: &Chart,
    question: &BlockQuestion,
    bare: bool,
    edits: &Edits,
) -> Laid {
    let (drawn, washing) = (Vec::new(), Vec::new());
    let mut laying = Laying { day, base, question, bare, edits, drawn, washing };
    let pieces = laying.pieces([]);
    laying.draw(&pieces);
    laying.wash(&pieces);
    let starts: Vec<Minute> = laying.washing.iter().map(|w| w.from).collect();
    let below = laying.pieces(starts);
    let mut placed: Vec<Piece> = Vec::new();
    for piece in &below {
        let next = laying.place(piece, placed.last());
        placed.push(next);
    }
    let moves = if bare { Vec::new() } else { moves(&below, &placed, day) };
    Laid {
        chart: woven(base, question.span, &placed),
        moves,
        washing: laying.washing,
        drawn: laying.drawn,
    }
}

impl Laying<'_> {
    fn pieces(&self, further: impl IntoIterator<Item = Minute>) -> Vec<Piece> {
        let block = self.question.span;
        let edges = self.base.edges().into_iter().chain(further);
        let inside = edges.filter(|m| block.from < *m && *m < block.to);
        slices(inside.chain([block.from, block.to]))
            .into_iter()
            .map(|span| Piece::of(self.base, span))
            .collect()
    }

    /// The end of the block at each wet station: so many minutes at the sinks, and the walk there.
    fn wash(&mut self, pieces: &[Piece]) {
        let block = self.question.span;
        let Some(last) = pieces.last() else { return };
        let mut washing = Vec::new();
        for at in &self.question.stations {
            let station = self.day.station(*at);
            let drawn = self.drawn.iter().find(|(s, _)| s == at).map(|(_, come)| come);
            let there: Vec<ChildIndex> = match drawn {
                Some(come) => {
                    let free = |c: &&ChildIndex| self.free_minutes(last, **c, *at, last.span) > 0;
                    come.iter().filter(free).copied().collect()
                }
                None => last.at_station(self.base, *at),
            };
            if station.mess != Mess::Wet || there.is_empty() {
                continue;
            }
            let space = self.day.sinks_of(station.space);
            let sinks = self.day.site[space].sinks;
            let each = u32::from(self.day.site.settings.wash_minutes);
            let children = (there.len() as u32).min(station.seats.max(1));
            // Whoever the chart has on the move there then washes at the same sinks.
            let moving = |(c, s): &(ChildIndex, Stay)| {
                let same_sinks = self.day.sinks_of(s.space) == space;
                s.at == Place::Transition && same_sinks && !there.contains(c)
            };
            let others = last.children.iter().filter(|c| moving(c)).count() as u32;
            let at_sinks = ((children + others) * each).div_ceil(sinks.max(1));
            let minutes = u16::try_from(at_sinks).unwrap_or(u16::MAX);
            let minutes = minutes.saturating_add(self.day.site.walking(station.space, space));
            // What the chart itself has at a station, it also has time for afterwards, or the
            // audit says that it has not.
            let from = match drawn {
                Some(_) => block.to.earlier(minutes).max(block.from),
                None => block.to,
            };
            washing.push(Washing { station: *at, children, others, space, sinks, minutes, from });
        }
        together(self.day, &mut washing, block);
        self.washing = washing;
    }

    /// Children in their places in a piece, then the adults.
    fn place(&self, below: &Piece, before: Option<&Piece>) -> Piece {
        let mut piece = below.clone();
        for (at, come) in &self.drawn {
            let station = self.day.station(*at);
            let wash = self.washing.iter().find(|w| w.station == *at);
            let sinks = wash.filter(|w| w.from <= piece.span.from);
            for (child, stay) in &mut piece.children {
                if come.contains(child) && self.is_free(stay, *at) {
                    let (space, place) = match sinks {
                        Some(w) => (w.space, Place::Transition),
                        None => (station.space, Place::Station(*at)),
                    };
                    let (zone, state, meal) = (None, State::Awake, None);
                    *stay = Stay { space, at: place, zone, state, meal, apart: None, ..*stay };
                }
            }
        }
        if self.edits.shed {
            self.shed(&mut piece);
        }
        if self.edits.moves {
            self.post(&mut piece, below, before);
        }
        piece
    }

    /// Sends children elsewhere in the space whom a station is not for or has no seat for.
    fn shed(&self, piece: &mut Piece) {
        for at in &self.question.stations {
            let station = self.day.station(*at);
            let mut seated = 0;
            for (child, stay) in &mut piece.children {
                if stay.at != Place::Station(*at) {
                    continue;
                }
                let fits = is_for(station, *at, &self.day.site[*child], self.day.date);
                if fits && seated < station.seats {
                    seated += 1;
                } else {
                    stay.at = Place::Zone(station.zone);
                }
            }
        }
    }
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

/// A chart with a span of it drawn anew.
fn woven(base: &Chart, block: Span, placed: &[Piece]) -> Chart {
    let mut chart = base.clone();
    for day in &mut chart.children {
        let stays = placed.iter().flat_map(|p| &p.children).filter(|(c, _)| *c == day.child);
        let inner: Vec<Stay> = stays.map(|(_, s)| s.clone()).collect();
        let outer = cut(&day.stays, block, |s| s.span, |s, span| Stay { span, ..s });
        day.stays = joined(
            outer.into_iter().chain(inner).collect(),
            |s| s.span,
            |s, span| Stay { span, ..s },
        );
    }
    for day in &mut chart.adults {
        let posts = placed.iter().flat_map(|p| &p.adults).filter(|(a, _)| *a == day.adult);
        let inner: Vec<Post> = posts.map(|(_, p)| p.clone()).collect();
        let outer = cut(&day.posts, block, |p| p.span, |p, span| Post { span, ..p });
        day.posts = joined(
            outer.into_iter().chain(inner).collect(),
            |p| p.span,
            |p, span| Post { span, ..p },
        );
    }
    chart
}

/// What of a day lies outside a span.
pub(super) fn cut<T: Clone>(
    all: &[T],
    out: Span,
    get: impl Fn(&T) -> Span,
    with: impl Fn(T, Span) -> T,
) -> Vec<T> {
    let outside = |one: &T| {
        let whole = get(one);
        let before = Span::new(whole.from, whole.to.min(out.from));
        let after = Span::new(whole.from.max(out.to), whole.to);
        [before, after]
            .into_iter()
            .flatten()
            .map(|span| with(one.clone(), span))
            .collect::<Vec<T>>()
    };
    all.iter().flat_map(outside).collect()
}

/// In order of time, equal neighbours as one.
fn joined<T: Clone + PartialEq>(
    mut all: Vec<T>,
    get: impl Fn(&T) -> Span,
    with: impl Fn(T, Span) -> T,
) -> Vec<T> {
    all.sort_by_key(|one| get(one));
    let mut whole: Vec<T> = Vec::new();
    for one in all {
        let span = get(&one);
        match whole.last_mut() {
            Some(last) if get(last).to == span.from && with(last.clone(), span) == one => {
                *last = with(last.clone(), Span { to: span.to, ..get(last) });
            }
            _ => whole.push(one),
        }
    }
    whole
}

/// Adults who stand elsewhere than in the chart, longest stretches of it.
fn moves(below: &[Piece], placed: &[Piece], day: &Day) -> Vec<Change> {
    let mut moves: Vec<Change> = Vec::new();
    for (before, after) in below.iter().zip(placed) {
        for ((adult, old), (_, new)) in before.adults.iter().zip(&after.adults) {
            // Who comes for the block goes where it takes them; the chart says nothing of them.
            if (old.at, old.space) == (new.at, new.space) || day.site[*adult].id == super::NEWCOMER
            {
                continue;
            }
            let (span, instead) = (after.span, old.at);
            let to = match new.at {
                Place::Transition => stood_at(&moves, *adult, span).unwrap_or(new.at),
                at => at,
            };
            let goes_on = moves.iter_mut().rev().find_map(|m| match m {
                Change::Move { adult: a, to: t, instead: i, span }
                    if (*a, *t, *i) == (*adult, to, instead) && span.to == after.span.from =>
                {
                    Some(span)
                }
                _ => None,
            });
            match goes_on {
                Some(before) => before.to = span.to,
                None => moves.push(Change::Move { adult: *adult, to, instead, span }),
            }
        }
    }
    moves
}

/// The station from which an adult who was posted there goes to the sinks with its children.
fn stood_at(moves: &[Change], adult: AdultIndex, washing: Span) -> Option<Place> {
    moves.iter().rev().find_map(|m| match m {
        Change::Move { adult: a, to: to @ Place::Station(_), span, .. }
            if *a == adult && span.to == washing.from =>
        {
            Some(*to)
        }
        _ => None,
    })
}
