//! What would mend a block: each set of changes is laid and judged before it is offered. Where no single
//! change is enough, one that mends a part is tried with another one that mends the rest.

use super::block::Otherwise;
use super::judge::{Trial, weight};
use super::kinds::{KINDS, Kind};
use super::plan::{self, Base};
use super::stand::Moves;
use super::{BlockQuestion, Change, MOST_OFFERS, NOBODY_FREE, Offer, bring, words};
use crate::day::Day;
use crate::planner::edit::Edit;
use crate::site::{Span, StationIndex};
use std::cmp::Reverse;

/// Nothing messy is set out for fewer minutes (common practice).
const WORTH_IT: u16 = 15;

/// Nobody is told to stand elsewhere, or to do something at another time, more often for one block.
const MOST_MOVES: usize = 8;

/// So many changes that mend a part are tried with others.
const MOST_IN_PART: usize = 4;
/// So many sets of two are tried.
const MOST_PAIRS: usize = 24;

/// Sets of changes that are enough, least disturbing first, each with the block as it then runs.
pub(super) fn offers(day: &Day, base: &Base, asked: &Trial) -> Vec<(Offer, Trial)> {
    let question = &asked.question;
    let seeking = Seeking { day, base, question, asked };
    let mut found: Vec<(Offer, Trial)> = Vec::new();
    type Way = fn(&Seeking<'_>) -> Vec<(Offer, Trial)>;
    let ways: [Way; 6] = [
        |s| s.elsewhere(),
        |s| s.brought_over(),
        |s| s.shorter(),
        |s| s.otherwise(),
        |s| s.another_time(),
        |s| s.more_adults(),
    ];
    for way in ways {
        for (offer, trial) in way(&seeking) {
            // What holds with fewer changes is not offered again with more.
            let all_in = |o: &Offer| o.changes.iter().all(|c| offer.changes.contains(c));
            let known = found.iter().any(|(o, _)| all_in(o));
            // Nobody is called where somebody who is there can do it.
            let hires = offer.changes.iter().any(|c| matches!(c, Change::MoreAdults { .. }));
            let moves = |o: &Offer| o.changes.iter().all(Change::is_a_move);
            // What only takes others to stand elsewhere as well is offered beside no plain move.
            let elsewhere = offer.changes.iter().any(Change::is_a_move);
            let other =
                |c: &Change| matches!(c, Change::AnotherTime { .. } | Change::Shorter { .. });
            let more = elsewhere && !offer.changes.iter().any(other);
            let known = known || ((hires || more) && found.iter().any(|(o, _)| moves(o)));
            if !known && found.len() < MOST_OFFERS {
                found.push((offer, trial));
            }
        }
    }
    found
}

pub(super) struct Seeking<'a> {
    pub day: &'a Day,
    pub base: &'a Base,
    pub question: &'a BlockQuestion,
    pub asked: &'a Trial,
}

/// One change of a block that is asked about.
#[derive(Clone)]
pub(super) struct One {
    pub question: BlockQuestion,
    pub edits: Vec<Edit>,
    pub told: Vec<Change>,
}

impl One {
    /// Nothing is changed yet.
    fn as_asked(question: &BlockQuestion) -> One {
        One { question: question.clone(), edits: Vec::new(), told: Vec::new() }
    }
}

impl Seeking<'_> {
    /// A change as it would run, first with everybody as posted, then elsewhere where that helps; the
    /// one with least that breaks.
    fn run(&self, one: &One) -> Option<Trial> {
        let mut best: Option<Trial> = None;
        let ways = match self.base.bare {
            true => &[Moves::AnythingEnough][..],
            false => &[Moves::None, Moves::Posts],
        };
        for &moves in ways {
            let how = Otherwise { moves, ..Otherwise::with(one.edits.clone()) };
            let Some(trial) = Trial::run(self.base, &one.question, how) else { continue };
            if trial.reasons.is_empty() {
                return Some(trial);
            }
            if best.as_ref().is_none_or(|b| weight(&trial.reasons) < weight(&b.reasons)) {
                best = Some(trial);
            }
        }
        best
    }

    fn offer(&self, mut told: Vec<Change>, trial: Trial) -> (Offer, Trial) {
        told.extend(trial.moves.iter().cloned());
        self.offer_of_all(told, trial)
    }

    fn if_enough(&self, one: &One) -> Option<(Offer, Trial)> {
        let trial = self.run(one).filter(|trial| trial.reasons.is_empty())?;
        Some(self.offer(one.told.clone(), trial))
    }

    /// Everybody is as asked, and adults of the posted chart elsewhere, or else as little as may be of
    /// what is still to come of it.
    fn elsewhere(&self) -> Vec<(Offer, Trial)> {
        let with = |moves: Moves| {
            let how = Otherwise { moves, ..Otherwise::default() };
            let trial = Trial::run(self.base, self.question, how)?;
            let few = (1..=MOST_MOVES).contains(&trial.moves.len());
            (trial.reasons.is_empty() && few).then(|| self.offer(Vec::new(), trial))
        };
        let ways = [Moves::Posts, Moves::Least].into_iter().filter(|_| !self.base.bare);
        ways.filter_map(with).next().into_iter().collect()
    }

    /// Children come from the room's other spaces, with the adults whom that takes.
    fn brought_over(&self) -> Vec<(Offer, Trial)> {
        let found = bring::brought(self.base, self.question, self.asked);
        let found = found.filter(|(_, trial)| trial.reasons.is_empty());
        found.map(|(changes, trial)| self.offer_of_all(changes, trial)).into_iter().collect()
    }

    /// An offer of changes that tell the moves already.
    pub(super) fn offer_of_all(&self, changes: Vec<Change>, trial: Trial) -> (Offer, Trial) {
        let words = words::changes(self.day, self.question, &changes);
        (Offer { changes, words }, trial)
    }

    /// The longest part of the block in which somebody is at each of the stations, or in which nothing
    /// breaks.
    fn shorter(&self) -> Vec<(Offer, Trial)> {
        let block = self.question.span;
        let without = |all: bool| {
            let reasons = self.asked.reasons.iter().filter(|r| all || r.rule == NOBODY_FREE);
            reasons.fold(vec![block], |used, reason| plan::beside(&used, reason.span))
        };
        let mut used = without(false);
        used.extend(without(true));
        used.retain(|span| *span != block && span.minutes() >= WORTH_IT.min(block.minutes()));
        used.sort_by_key(|span| (Reverse(span.minutes()), span.from));
        let one = |span: &Span| {
            let question = BlockQuestion { span: *span, ..self.question.clone() };
            let told = vec![Change::Shorter { span: *span }];
            self.if_enough(&One { question, edits: Vec::new(), told })
        };
        used.iter().find_map(one).into_iter().collect()
    }

    /// Stations that are otherwise than asked: one change, or two of which each mends a part.
    fn otherwise(&self) -> Vec<(Offer, Trial)> {
        let as_asked = One::as_asked(self.question);
        let asked_weight = weight(&self.asked.reasons);
        let mut found: Vec<(Offer, Trial)> = Vec::new();
        let mut in_part: Vec<(u64, One, Trial)> = Vec::new();
        for kind in KINDS {
            let mut enough: Vec<StationIndex> = Vec::new();
            for (station, one) in self.of_kind(kind, &as_asked, self.asked) {
                // Fewer and older only as few, and as old, as it takes.
                if enough.contains(&station) {
                    continue;
                }
                let Some(trial) = self.run(&one) else { continue };
                let left = weight(&trial.reasons);
                if trial.reasons.is_empty() {
                    enough.push(station);
                    found.push(self.offer(one.told, trial));
                } else if left < asked_weight {
                    in_part.push((left, one, trial));
                }
            }
        }
        in_part.sort_by_key(|(left, one, _)| (one.told.len(), *left));
        let mut tried = 0;
        for (_, one, trial) in in_part.iter().take(MOST_IN_PART) {
            if found.len() >= MOST_OFFERS {
                break;
            }
            for kind in KINDS.into_iter().chain([Kind::MoreAdults]) {
                for (_, two) in self.of_kind(kind, one, trial) {
                    if tried >= MOST_PAIRS || two.told[0] == two.told[1] {
                        continue;
                    }
                    tried += 1;
                    let Some(trial) = self.run(&two) else { continue };
                    if trial.reasons.is_empty() {
                        found.push(self.offer(two.told, trial));
                        break;
                    }
                }
            }
        }
        found
    }

    /// The fewest more adults, for as long as anything breaks.
    fn more_adults(&self) -> Vec<(Offer, Trial)> {
        let as_asked = One::as_asked(self.question);
        let ones = self.of_kind(Kind::MoreAdults, &as_asked, self.asked);
        ones.iter().find_map(|(_, one)| self.if_enough(one)).into_iter().collect()
    }
}
