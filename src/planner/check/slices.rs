//! The figures of a block, slice by slice.

use super::judge::Trial;
use super::pieces::Piece;
use super::{Left, SliceCheck, StandardNeed, Tied, busy};
use crate::chart::{Place, State, Stay};
use crate::day::Day;
use crate::planner::counting::{AGE_RANGES, AgeRange, situation};
use crate::site::{AdultIndex, ChildIndex, Minute, SpaceIndex};
use crate::standards::{Head, Scope, Standard};

/// Every slice of the block, by time and then by space; one in which the same people are at the same
/// places goes on.
pub(super) fn slices(trial: &Trial) -> Vec<SliceCheck> {
    let mut slices: Vec<SliceCheck> = Vec::new();
    for space in trial.spaces() {
        let mut before: Option<Piece> = None;
        for piece in trial.pieces() {
            let here = within(&piece, space);
            if here.children.is_empty() {
                before = None;
                continue;
            }
            match (&before, slices.last_mut()) {
                (Some(b), Some(last)) if same_people(b, &here) => last.span.to = piece.span.to,
                _ => slices.push(slice(trial, &piece, space)),
            }
            before = Some(here);
        }
    }
    slices.sort_by_key(|s| (s.span, s.space));
    slices
}

fn within(piece: &Piece, space: SpaceIndex) -> Piece {
    let mut here = piece.clone();
    here.children.retain(|(_, s)| s.space == space);
    here.adults.retain(|(_, p)| p.space == space);
    here
}

fn same_people(a: &Piece, b: &Piece) -> bool {
    let children = |p: &Piece| -> Vec<(ChildIndex, Place, State)> {
        p.children.iter().map(|(c, s)| (*c, s.at, s.state)).collect()
    };
    let adults = |p: &Piece| -> Vec<(AdultIndex, Place, Option<ChildIndex>)> {
        p.adults.iter().map(|(a, post)| (*a, post.at, post.for_child)).collect()
    };
    a.span.to == b.span.from && children(a) == children(b) && adults(a) == adults(b)
}

fn slice(trial: &Trial, piece: &Piece, space: SpaceIndex) -> SliceCheck {
    let day = &trial.day;
    let heads = heads(day, piece, Some(space));
    let count = |range: &AgeRange| heads.iter().filter(|h| range.holds(h.months)).count() as u32;
    let tied = tied(trial, piece, space);
    let at_asked: Vec<AdultIndex> = tied.iter().flat_map(|t| &t.adults).copied().collect();
    SliceCheck {
        span: piece.span,
        space,
        by_range: AGE_RANGES.iter().map(|r| (*r, count(r))).filter(|(_, n)| *n > 0).collect(),
        asleep: heads.iter().filter(|h| h.asleep).count() as u32,
        needs: day.standards.iter().map(|s| need(day, piece, space, s)).collect(),
        adults: piece.adults.iter().filter(|(_, p)| p.space == space).map(|(a, _)| *a).collect(),
        counted: piece.counted(day, Some(space)),
        elsewhere: busy::elsewhere(day, piece, space, &at_asked),
        left: left(trial, piece, space, &tied),
        tied,
    }
}

/// `1 child`, `2 children`.
pub(super) fn counted_children(n: u32) -> String {
    if n == 1 { "1 child".to_owned() } else { format!("{n} children") }
}

/// The children of a space, or of the premises, as a standard sees them.
pub(super) fn heads(day: &Day, piece: &Piece, space: Option<SpaceIndex>) -> Vec<Head> {
    let here = piece.children.iter().filter(|(_, s)| space.is_none_or(|at| at == s.space));
    here.map(|(c, s)| day.head(*c, s.state == State::Asleep)).collect()
}

fn need(day: &Day, piece: &Piece, space: SpaceIndex, standard: &Standard) -> StandardNeed {
    let premises = standard.scope == Scope::Site;
    let at = (!premises).then_some(space);
    let (heads, adults) = (heads(day, piece, at), piece.counted(day, at));
    let (needed, words) = asked(day, standard, &heads, &adults, at, piece.span.from);
    let present = adults.len() as u32;
    StandardNeed { standard: standard.id.clone(), premises, needed, present, words }
}

/// What a standard asks for with these children and adults, and its sentence.
pub(super) fn asked(
    day: &Day,
    standard: &Standard,
    heads: &[Head],
    adults: &[AdultIndex],
    space: Option<SpaceIndex>,
    minute: Minute,
) -> (u32, String) {
    let held: Vec<&[String]> =
        adults.iter().map(|a| day.site[*a].qualifications.as_slice()).collect();
    let at = situation(day, space, minute, &held);
    (standard.need(heads, &at).adults, standard.sentence(heads, &at))
}

/// Stations in use in a space that were asked for, those whose children wash among them.
fn tied(trial: &Trial, piece: &Piece, space: SpaceIndex) -> Vec<Tied> {
    let (day, chart) = (&trial.day, &trial.chart);
    let mut tied = Vec::new();
    for at in &trial.question.stations {
        let children = piece.at_station(chart, *at);
        if !children.is_empty() && day.station(*at).space == space {
            let needed = piece.needed_at(day, chart, *at, &children);
            let adults = piece.counted_at(day, *at);
            let at_the_sinks = false;
            tied.push(Tied { station: *at, children, at_the_sinks, needed, adults });
            continue;
        }
        let wash = trial.laid.washing.iter().find(|w| w.station == *at && w.space == space);
        let drawn = trial.laid.drawn.iter().find(|(s, _)| s == at).map(|(_, come)| come);
        let (Some(wash), Some(come)) = (wash, drawn) else { continue };
        if piece.span.from < wash.from {
            continue;
        }
        let washing =
            piece.children_in(space).filter(|(c, s)| come.contains(c) && s.at == Place::Transition);
        let children: Vec<ChildIndex> = washing.map(|(c, _)| *c).collect();
        let along =
            piece.adults.iter().filter(|(_, p)| p.space == space && p.at == Place::Transition);
        let along: Vec<AdultIndex> = along.map(|(a, _)| *a).collect();
        let counted = piece.counted(day, Some(space));
        let adults = along.into_iter().filter(|a| counted.contains(a)).collect();
        if !children.is_empty() {
            tied.push(Tied { station: *at, children, at_the_sinks: true, needed: 1, adults });
        }
    }
    tied
}

/// Children at no station with an adult of its own and not being changed, and who is left for them:
/// nobody whose own post ties them.
fn left(trial: &Trial, piece: &Piece, space: SpaceIndex, tied: &[Tied]) -> Left {
    let (day, chart) = (&trial.day, &trial.chart);
    let staffed = |at: Place| match at {
        Place::Station(s) => {
            day.takes_own_adult(s)
                || tied.iter().any(|t| t.station == s && t.needed > 0)
                || !piece.counted_at(day, s).is_empty()
        }
        _ => false,
    };
    // Others who are on the move have the same adults with them.
    let washing = tied.iter().any(|t| t.at_the_sinks);
    let at_sinks = |s: &Stay| washing && s.at == Place::Transition;
    let care = piece.adults.iter().any(|(_, p)| p.space == space && p.at == Place::Care);
    let changed = |s: &Stay| care && s.at == Place::Care;
    let here: Vec<_> = piece
        .children_in(space)
        .filter(|(_, s)| !staffed(s.at) && !at_sinks(s) && !changed(s))
        .collect();
    let bound = |(adult, post): &&(AdultIndex, crate::chart::Post)| {
        busy::ties(post) || tied.iter().any(|t| t.at_the_sinks && t.adults.contains(adult))
    };
    let counted = piece.counted(day, Some(space));
    let adults: Vec<AdultIndex> = piece
        .adults
        .iter()
        .filter(|who| counted.contains(&who.0) && !bound(who))
        .map(|(a, _)| *a)
        .collect();
    let watching = |p: &crate::chart::Post| p.space == space && p.for_child.is_none();
    let seen = |zone| piece.adults.iter().any(|(_, p)| watching(p) && day.sees(p).contains(&zone));
    let sight = here.iter().all(|(_, stay)| match stay.at {
        Place::Transition | Place::Care => piece.adults.iter().any(|(_, p)| watching(p)),
        _ => day.zones_of(&chart.choices, stay).into_iter().all(seen),
    });
    let heads: Vec<Head> =
        here.iter().map(|(c, s)| day.head(*c, s.state == State::Asleep)).collect();
    let alone = |s: &std::sync::Arc<Standard>| {
        asked(day, s, &heads, &adults, Some(space), piece.span.from).0
    };
    Left {
        children: here.iter().map(|(c, _)| *c).collect(),
        sight,
        alone_needed: day.standards.iter().map(alone).max().unwrap_or(0),
        adults,
    }
}
