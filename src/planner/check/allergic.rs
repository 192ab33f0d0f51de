//! Children with an allergy who are in the space of a block: nobody calls it a plain go.
//!
//! Whom a station is not for does not come to it by the block itself; but children go where they
//! like, so it is said who has to be kept from it, and what has to be asked before.

use super::judge::Trial;
use super::plan::Base;
use super::{Change, Offer, Reason, words};
use crate::day::Day;
use crate::day::materials::{allergy_at, allergy_to, questions, with_groups};
use crate::planner::list;
use crate::rules::{named, reading::is_awake};
use crate::site::{Child, ChildIndex, Minute, Span, StationIndex};
use crate::standards::foods::Meeting;

/// A child beside a station that is in use, of which something meets an allergy or may do so.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Beside {
    pub station: StationIndex,
    pub child: ChildIndex,
    /// From the first to the last minute of it.
    pub span: Span,
    pub meets: Meeting,
}

/// Every such child in a part of a block as it runs, by station and then by child; those whom the
/// chart itself puts at the station break a rule by that.
pub(super) fn beside(trial: &Trial, part: Span) -> Vec<Beside> {
    let mut found: Vec<Beside> = Vec::new();
    for piece in trial.pieces_in(part) {
        for at in &trial.question.stations {
            let station = trial.day.station(*at);
            let there = piece.at_station(&trial.chart, *at);
            let awake = piece.children_in(station.space).filter(|(_, stay)| is_awake(stay));
            let near = awake.map(|(child, _)| *child).filter(|c| !there.contains(c));
            for child in near.filter(|_| !there.is_empty()) {
                let meets = allergy_at(station, &trial.day.site[child]);
                let same = |b: &&mut Beside| (b.station, b.child) == (*at, child);
                match found.iter_mut().find(same) {
                    Some(before) => before.span.to = piece.span.to,
                    None if meets == Meeting::No => {}
                    None => found.push(Beside { station: *at, child, span: piece.span, meets }),
                }
            }
        }
    }
    found.sort_unstable();
    found
}

/// What has to be done about them: to keep children from a station, and to ask.
pub(super) fn changes(trial: &Trial, beside: &[Beside]) -> Vec<Change> {
    let mut changes = Vec::new();
    for (station, kept, asked) in by_station(beside) {
        if !kept.is_empty() {
            changes.push(Change::KeepFrom { station, children: kept });
        }
        if !asked.is_empty() {
            let words = to_ask(trial, station, &asked);
            changes.push(Change::Ask { station, words, children: asked });
        }
    }
    changes
}

/// Why it is no plain go: a line for each station with children to be kept from it, and one for each
/// about which something has to be asked.
pub(super) fn reasons(trial: &Trial, beside: &[Beside]) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (station, kept, asked) in by_station(beside) {
        for (children, asks) in [(kept, false), (asked, true)] {
            let of = |b: &&Beside| b.station == station && children.contains(&b.child);
            let spans = || beside.iter().filter(of).map(|b| b.span);
            let (Some(from), Some(to)) =
                (spans().map(|s| s.from).min(), spans().map(|s| s.to).max())
            else {
                continue;
            };
            let span = Span { from, to };
            let words = sentence(trial, station, span, &children, asks);
            let present = children.len() as u32;
            let barred = Reason::of(named::BARRED.slug, span, (0, present), words);
            reasons.push(Reason { children, ..barred });
        }
    }
    reasons
}

/// By station: who is to be kept from it, and for whom something has to be asked.
fn by_station(beside: &[Beside]) -> Vec<(StationIndex, Vec<ChildIndex>, Vec<ChildIndex>)> {
    let of_one = beside.chunk_by(|a, b| a.station == b.station);
    let who = |some: &[Beside], yes: bool| {
        let some = some.iter().filter(|b| (b.meets == Meeting::Yes) == yes);
        some.map(|b| b.child).collect()
    };
    of_one.map(|some| (some[0].station, who(some, true), who(some, false))).collect()
}

fn sentence(trial: &Trial, at: StationIndex, span: Span, who: &[ChildIndex], asks: bool) -> String {
    let (day, station) = (&trial.day, trial.day.station(at));
    let children: Vec<&Child> = who.iter().map(|c| &day.site[*c]).collect();
    let labels: Vec<&str> = children.iter().map(|c| c.label.as_str()).collect();
    let (one, labels) = (labels.len() == 1, list(&labels));
    let (is, has) = if one { ("is", "has an allergy") } else { ("are", "have allergies") };
    let (head, space) = (format!("{span}, {}", station.label), &day.site[station.space].label);
    if asks {
        let asked = questions(station, &children).join("; ");
        return format!("{head}: {asked}; {labels}, awake in {space}, {has}");
    }
    let meets = |word: &&String| children.iter().any(|c| allergy_to(word, c) == Meeting::Yes);
    let what: Vec<String> =
        station.allergens.iter().filter(meets).map(|word| with_groups(word)).collect();
    format!(
        "{head}: {labels}, awake in {space}, {is} allergic to something there ({})",
        what.join("; ")
    )
}

/// The words of a station of which has to be asked whether they meet an allergy of some children.
fn to_ask(trial: &Trial, at: StationIndex, who: &[ChildIndex]) -> Vec<String> {
    let station = trial.day.station(at);
    let open = |word: &&String| {
        let met = who.iter().map(|c| allergy_to(word, &trial.day.site[*c]));
        met.max().is_some_and(|worst| worst != Meeting::No)
    };
    station.allergens.iter().filter(open).cloned().collect()
}

/// Sets of changes that are enough, each with the block as it then runs: what mends the block, and
/// with it what children with an allergy need who are beside it then.
pub(super) fn offers(
    day: &Day,
    base: &Base,
    asked: &Trial,
    beside_it: &[Beside],
) -> Vec<(Offer, Trial)> {
    let question = &asked.question;
    let offer = |changes: Vec<Change>| {
        let words = words::changes(day, question, &changes);
        Offer { changes, words }
    };
    if asked.reasons.is_empty() {
        let changes = changes(asked, beside_it);
        let any = (!changes.is_empty()).then(|| (offer(changes), asked.clone()));
        return any.into_iter().collect();
    }
    let found = super::changes::offers(day, base, asked).into_iter();
    let with_care = |(Offer { changes: mut all, .. }, trial): (Offer, Trial)| {
        all.extend(changes(&trial, &beside(&trial, trial.question.span)));
        (offer(all), trial)
    };
    found.map(with_care).collect()
}

/// The first child with an allergy who is beside a longer block and was not beside the block itself,
/// from when on, and why that is no plain go.
pub(super) fn first_to_come(block: &Trial, longer: &Trial, rest: Span) -> Option<(Minute, String)> {
    let known = beside(block, block.question.span);
    let is_known = |b: &Beside| known.iter().any(|k| (k.station, k.child) == (b.station, b.child));
    let later = beside(longer, rest).into_iter().filter(|b| !is_known(b));
    let first = later.min_by_key(|b| (b.span.from, b.station, b.child))?;
    let reason = reasons(longer, &[first]).pop()?;
    Some((first.span.from, format!("{}.", reason.words)))
}
