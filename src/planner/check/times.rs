//! Another time on the same day at which a block can run as asked.

use super::block::Otherwise;
use super::changes::Seeking;
use super::judge::Trial;
use super::stand::Moves;
use super::{BlockQuestion, Change, NOBODY_FREE, Offer, bring};
use crate::chart::State;
use crate::site::{ChildIndex, Minute, Span};
use crate::solve::GRID;

/// Where everybody has to be elsewhere another time is looked for on every quarter of an hour.
const QUARTER: u16 = 15;

impl Seeking<'_> {
    /// The next time at which the block can run as asked, and the one before, the nearer one first.
    pub(super) fn another_time(&self) -> Vec<(Offer, Trial)> {
        let (block, open) = (self.question.span, self.day.schedule.open);
        // Without a chart a day is looked through that is planned for no block.
        let base = self.base.plain();
        // What was before the last thing that happened is past.
        let now = self.day.happened.iter().map(|h| h.at).max().unwrap_or(open.from);
        let first = now.max(open.from).0.div_ceil(GRID) * GRID;
        let times = |step: u16| -> Vec<u16> {
            (first..open.to.0)
                .step_by(usize::from(GRID))
                .filter(|m| m.is_multiple_of(step))
                .collect()
        };
        let at = |start: u16| -> Option<BlockQuestion> {
            let span = Span::new(Minute(start), Minute(start.checked_add(block.minutes())?))?;
            let question = BlockQuestion { span, ..self.question.clone() };
            question.faults(self.day).is_empty().then_some(question)
        };
        let posted = |start: &u16| {
            let trial = Trial::run(base, &at(*start)?, Otherwise::default())?;
            trial.reasons.is_empty().then(|| self.at_another_time(Vec::new(), trial))
        };
        let moved = |start: &u16| {
            let question = at(*start)?;
            let as_it_is = Trial::run(base, &question, Otherwise::default())?;
            // Other posts bring nobody to a station.
            if as_it_is.reasons.iter().any(|r| r.rule == NOBODY_FREE) {
                return None;
            }
            let moves = if base.bare { Moves::AnythingEnough } else { Moves::Posts };
            let how = Otherwise { moves, ..Otherwise::default() };
            let trial = Trial::run(base, &question, how)?;
            let moves = if base.bare { Vec::new() } else { trial.moves.clone() };
            trial.reasons.is_empty().then(|| self.at_another_time(moves, trial))
        };
        let brought = |start: &u16| {
            let question = at(*start)?;
            let asked = Trial::run(base, &question, Otherwise::default())?;
            let (changes, trial) = bring::brought(base, &question, &asked)?;
            trial.reasons.is_empty().then(|| self.at_another_time(changes, trial))
        };
        type At<'f> = &'f dyn Fn(&u16) -> Option<(Offer, Trial)>;
        // First where everybody can stand as posted, then with other posts, then with other spaces.
        let ways: [(At<'_>, u16); 3] = [(&posted, GRID), (&moved, QUARTER), (&brought, QUARTER)];
        // A day that is only supposed has nobody at a post that is known.
        let ways = if base.bare { &ways[1..2] } else { &ways[..] };
        let mut found: Vec<(Offer, Trial)> = Vec::new();
        for &(way, step) in ways {
            let starts = times(step);
            let later = starts.iter().filter(|s| **s > block.from.0).find_map(way);
            let earlier = starts.iter().rev().filter(|s| **s < block.from.0).find_map(way);
            found.extend(later.into_iter().chain(earlier));
            if !found.is_empty() {
                break;
            }
        }
        found.sort_by_key(|(_, trial)| trial.question.span.from.0.abs_diff(block.from.0));
        found
    }

    fn at_another_time(&self, more: Vec<Change>, trial: Trial) -> (Offer, Trial) {
        let span = trial.question.span;
        let mut changes = vec![Change::AnotherTime { span, asleep: self.newly_asleep(&trial) }];
        changes.extend(more);
        self.offer_of_all(changes, trial)
    }

    /// Who sleeps all through a trial and is awake at some time of the block that was asked for.
    fn newly_asleep(&self, trial: &Trial) -> Vec<ChildIndex> {
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
}
