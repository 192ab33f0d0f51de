//! What would mend a block: each set of changes is laid and judged before it is offered.

use super::judge::Trial;
use super::lay::Edits;
use super::{BlockQuestion, Change, MOST_OFFERS, Offer, around, bring, words};
use crate::chart::{Chart, State};
use crate::day::Day;
use crate::rules::Mend;
use crate::site::{Minute, Span, StationIndex};
use crate::solve::GRID;
use crate::standards::hazards::caution;
use std::cmp::Reverse;

/// Most adults who are asked to come.
const MOST_MORE: u32 = 3;

/// Nothing messy is set out for fewer minutes (common practice).
const WORTH_IT: u16 = 15;

/// Ages in months at which an offer sets the youngest for a station: whole and half years.
const AGES: [u32; 6] = [18, 24, 30, 36, 48, 60];

/// Sets of changes that are enough, least disturbing first, each with the block as it then runs.
pub(super) fn offers(
    day: &Day,
    chart: Option<&Chart>,
    question: &BlockQuestion,
    asked: &Trial,
) -> Vec<(Offer, Trial)> {
    let seeking = Seeking { day, chart, question, asked };
    let mut found: Vec<(Offer, Trial)> = Vec::new();
    type Way = fn(&Seeking<'_>) -> Vec<(Offer, Trial)>;
    let ways: [Way; 9] = [
        |s| s.elsewhere(),
        |s| s.brought_over(),
        |s| s.shorter(),
        |s| s.out_of_reach(),
        |s| s.fewer(),
        |s| s.older(),
        |s| s.one_less(),
        |s| s.another_time(),
        |s| s.more_adults(),
    ];
    for way in ways {
        for (offer, trial) in way(&seeking) {
            // What holds with fewer changes is not offered again with more.
            let all_in = |o: &Offer| o.changes.iter().all(|c| offer.changes.contains(c));
            let known = found.iter().any(|(o, _)| all_in(o));
            if !known && found.len() < MOST_OFFERS {
                found.push((offer, trial));
            }
        }
    }
    found
}

struct Seeking<'a> {
    day: &'a Day,
    chart: Option<&'a Chart>,
    question: &'a BlockQuestion,
    asked: &'a Trial,
}

impl Seeking<'_> {
    /// Tries a change; with a chart adults may be posted elsewhere as well.
    fn try_out(
        &self,
        edits: Edits,
        question: &BlockQuestion,
        own: Change,
    ) -> Option<(Offer, Trial)> {
        for moves in [false, true] {
            if self.chart.is_none() && !moves {
                continue;
            }
            let edits = Edits { moves, ..edits.clone() };
            let trial = Trial::run(self.day, self.chart, question, edits);
            if trial.reasons.is_empty() {
                let mut changes = vec![own];
                changes.extend(trial.moves());
                return Some((self.offer(changes), trial));
            }
        }
        None
    }

    fn offer(&self, changes: Vec<Change>) -> Offer {
        let words = words::changes(self.day, self.question, &changes);
        Offer { changes, words }
    }

    fn one(&self, edits: Edits, own: Change) -> Option<(Offer, Trial)> {
        self.try_out(edits, self.question, own)
    }

    /// The adults of the posted chart stand elsewhere, and children whom a station is not for go
    /// elsewhere.
    fn elsewhere(&self) -> Vec<(Offer, Trial)> {
        if self.chart.is_none() {
            return Vec::new();
        }
        let edits = Edits { moves: true, ..Edits::default() };
        let trial = Trial::run(self.day, self.chart, self.question, edits);
        let changes = trial.moves();
        if trial.reasons.is_empty() && !changes.is_empty() {
            vec![(self.offer(changes), trial)]
        } else {
            Vec::new()
        }
    }

    /// Children come from the room's other spaces, with the adults whom that takes.
    fn brought_over(&self) -> Vec<(Offer, Trial)> {
        let found = bring::brought(self.day, self.chart, self.question, self.asked);
        let found = found.filter(|(_, trial)| trial.reasons.is_empty());
        found.map(|(changes, trial)| (self.offer(changes), trial)).into_iter().collect()
    }

    /// The longest part of the block in which somebody is at each of the stations.
    fn shorter(&self) -> Vec<(Offer, Trial)> {
        let block = self.question.span;
        let idle =
            self.asked.reasons.iter().filter(|r| r.rule == super::NOBODY_FREE).map(|r| r.span);
        let mut idle: Vec<Span> = idle.collect();
        idle.sort_unstable();
        let mut used: Vec<Span> = Vec::new();
        let mut from = block.from;
        for span in idle {
            used.extend(Span::new(from, span.from));
            from = from.max(span.to);
        }
        used.extend(Span::new(from, block.to));
        used.retain(|span| *span != block && span.minutes() >= WORTH_IT.min(block.minutes()));
        used.sort_by_key(|span| (Reverse(span.minutes()), span.from));
        let one = |span: &Span| {
            let question = BlockQuestion { span: *span, ..self.question.clone() };
            let edits = Edits::as_asked(self.chart);
            self.try_out(edits, &question, Change::Shorter { span: *span })
        };
        used.iter().find_map(one).into_iter().collect()
    }

    fn out_of_reach(&self) -> Vec<(Offer, Trial)> {
        let closes = |at: &&StationIndex| {
            let station = self.day.station(**at);
            let closed = |h: &crate::site::Hazard| caution(*h).closed_while_awake_under.is_some();
            !station.out_of_reach && station.hazards.iter().any(closed)
        };
        let barred = self.asked.reasons.iter().any(|r| r.is_mended_by(Mend::OutOfReach));
        let stations = self.question.stations.iter().filter(closes).filter(|_| barred);
        stations
            .filter_map(|at| {
                let edits = Edits { reach: vec![*at], ..Edits::default() };
                self.one(edits, Change::OutOfReach { station: *at })
            })
            .collect()
    }

    /// The most children at a station with whom it can run.
    fn fewer(&self) -> Vec<(Offer, Trial)> {
        let one = |at: &StationIndex| {
            let there = self.most_there(*at).min(self.day.station(*at).seats);
            (1..there).rev().find_map(|children| {
                let edits = Edits { fewer: Some((*at, children)), shed: true, ..Edits::default() };
                self.one(edits, Change::Fewer { station: *at, children })
            })
        };
        self.question.stations.iter().filter_map(one).collect()
    }

    /// The youngest age from which a station can run for all of that age.
    fn older(&self) -> Vec<(Offer, Trial)> {
        let one = |at: &StationIndex| {
            let here = around::present(self.asked, self.day.station(*at).space, |_| true);
            let leaves_out = |m: &&u32| here.iter().any(|c| self.day.months(*c) < **m);
            let somebody = |m: &&u32| here.iter().any(|c| self.day.months(*c) >= **m);
            let ages = AGES.iter().filter(|m| **m > self.day.station(*at).from_months);
            let ages = ages.filter(somebody);
            ages.filter(leaves_out).find_map(|months| {
                let edits = Edits { older: Some((*at, *months)), shed: true, ..Edits::default() };
                self.one(edits, Change::Older { station: *at, from_months: *months })
            })
        };
        self.question.stations.iter().filter_map(one).collect()
    }

    fn one_less(&self) -> Vec<(Offer, Trial)> {
        if self.question.stations.len() < 2 {
            return Vec::new();
        }
        let one = |at: &StationIndex| {
            let stations = self.question.stations.iter().copied().filter(|s| s != at).collect();
            let question = BlockQuestion { stations, ..self.question.clone() };
            self.try_out(Edits::default(), &question, Change::LeaveOut { station: *at })
        };
        self.question.stations.iter().filter_map(one).collect()
    }

    /// The next time at which the block can run as asked, and the one before, the nearer one first.
    fn another_time(&self) -> Vec<(Offer, Trial)> {
        let (block, open) = (self.question.span, self.day.schedule.open);
        let minutes = block.minutes();
        // What was before the last thing that happened is past.
        let now = self.day.happened.iter().map(|h| h.at).max().unwrap_or(open.from);
        let first = now.max(open.from).0.div_ceil(GRID) * GRID;
        let starts: Vec<u16> = (first..open.to.0).step_by(usize::from(GRID)).collect();
        let one = |start: &u16, moves: bool| {
            let span = Span::new(Minute(*start), Minute(start.checked_add(minutes)?))?;
            let question = BlockQuestion { span, ..self.question.clone() };
            if !question.faults(self.day).is_empty() || self.in_a_fixed_part(span) {
                return None;
            }
            let edits = Edits { moves: moves || self.chart.is_none(), ..Edits::default() };
            let trial = Trial::run(self.day, self.chart, &question, edits);
            if !trial.reasons.is_empty() {
                return None;
            }
            let asleep = self.newly_asleep(&trial);
            let mut changes = vec![Change::AnotherTime { span, asleep }];
            changes.extend(trial.moves());
            Some((self.offer(changes), trial))
        };
        let later = || starts.iter().filter(|s| **s > block.from.0);
        let earlier = || starts.iter().rev().filter(|s| **s < block.from.0);
        let brought = |start: &u16| {
            self.brought_at(Span::new(Minute(*start), Minute(start.checked_add(minutes)?))?)
        };
        type At<'f> = &'f dyn Fn(&u16) -> Option<(Offer, Trial)>;
        // First where everybody can stand as posted, then with other posts, then with other spaces.
        let ways: [At<'_>; 3] = [&|s| one(s, false), &|s| one(s, true), &brought];
        // Without a chart nobody has a post yet, and everybody comes from wherever they are.
        let ways = if self.chart.is_some() { &ways[..] } else { &ways[..1] };
        let tried = ways.iter().map(|way| (later().find_map(way), earlier().find_map(way)));
        let mut tried = tried.filter(|(later, earlier)| later.is_some() || earlier.is_some());
        let (later, earlier) = tried.next().unwrap_or_default();
        let mut found: Vec<(Offer, Trial)> = later.into_iter().chain(earlier).collect();
        found.sort_by_key(|(_, trial)| trial.question.span.from.0.abs_diff(block.from.0));
        found
    }

    /// The block at another time, with children who come from the room's other spaces.
    fn brought_at(&self, span: Span) -> Option<(Offer, Trial)> {
        let question = BlockQuestion { span, ..self.question.clone() };
        if !question.faults(self.day).is_empty() {
            return None;
        }
        let asked = Trial::run(self.day, self.chart, &question, Edits::as_asked(self.chart));
        let (brought, trial) = bring::brought(self.day, self.chart, &question, &asked)?;
        if !trial.reasons.is_empty() {
            return None;
        }
        let mut changes = vec![Change::AnotherTime { span, asleep: self.newly_asleep(&trial) }];
        changes.extend(brought);
        Some((self.offer(changes), trial))
    }

    /// Without a chart, no offer is made across a part with a fixed time.
    fn in_a_fixed_part(&self, span: Span) -> bool {
        self.chart.is_none() && words::parts_met(self.day, span).next().is_some()
    }

    /// Who sleeps all through a trial and is awake at some time of the block that was asked for.
    fn newly_asleep(&self, trial: &Trial) -> Vec<crate::site::ChildIndex> {
        let mut asleep = Vec::new();
        let pieces = trial.pieces();
        for (child, _) in &self.day.children {
            let state = |p: &super::pieces::Piece| {
                p.children.iter().find(|(c, _)| c == child).map(|(_, s)| s.state)
            };
            let sleeps = pieces.iter().all(|p| state(p) == Some(State::Asleep));
            let awake =
                self.asked.pieces().iter().any(|p| state(p).is_some_and(|s| s != State::Asleep));
            if sleeps && awake {
                asleep.push(*child);
            }
        }
        asleep
    }

    /// The fewest more adults, for as long as anything breaks.
    fn more_adults(&self) -> Vec<(Offer, Trial)> {
        let spans = || self.asked.reasons.iter().map(|r| r.span);
        let (Some(from), Some(to)) = (spans().map(|s| s.from).min(), spans().map(|s| s.to).max())
        else {
            return Vec::new();
        };
        let span = Span { from, to };
        // Somebody who may lead is asked for only where that is what is missing.
        let lead = self.asked.reasons.iter().any(|r| r.is_mended_by(Mend::Qualified));
        let found = (1..=MOST_MORE).find_map(|adults| {
            [false, true].into_iter().filter(|leads| lead || !leads).find_map(|leads| {
                let edits = Edits { extra: Some((adults, span, leads)), ..Edits::default() };
                self.one(edits, Change::MoreAdults { adults, span, leads })
            })
        });
        found.into_iter().collect()
    }

    /// Most children at a station at any time of the block.
    fn most_there(&self, at: StationIndex) -> u32 {
        let pieces = self.asked.pieces();
        let there = pieces.iter().map(|p| p.at_station(&self.asked.laid.chart, at).len() as u32);
        there.max().unwrap_or(0)
    }
}
