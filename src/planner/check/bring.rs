//! Children and adults who come to a station from the other spaces of the room.

use super::block::Otherwise;
use super::come::left_spaces;
use super::judge::Trial;
use super::plan::Base;
use super::stand::Moves;
use super::{BlockQuestion, Change, Reason, words};

/// A block that children come to from other spaces, with the adults whom that takes, whatever breaks
/// in it; `None` where nobody has to be brought, or nobody can be.
pub(super) fn brought(
    base: &Base,
    question: &BlockQuestion,
    asked: &Trial,
) -> Option<(Vec<Change>, Trial)> {
    // Without a chart everybody comes from wherever they are as it is.
    let idle = asked.reasons.iter().any(|r| r.rule == super::NOBODY_FREE);
    if base.bare || !idle {
        return None;
    }
    let how = Otherwise { moves: Moves::Posts, bring: true, ..Otherwise::default() };
    let trial = Trial::run(base, question, how)?;
    let drawn = trial.laid.drawn.iter().filter(|(_, come)| !come.is_empty());
    let mut changes: Vec<Change> = drawn
        .map(|(station, come)| {
            let from = left_spaces(&base.day, &base.chart, question, *station, come);
            Change::Bring { station: *station, children: come.clone(), from }
        })
        .filter(|change| matches!(change, Change::Bring { from, .. } if !from.is_empty()))
        .collect();
    if changes.is_empty() {
        return None;
    }
    changes.extend(trial.moves.iter().cloned());
    Some((changes, trial))
}

/// The reasons of a block that nothing mends, with what would break if children were brought to it
/// from other spaces.
pub(super) fn with_arithmetic(base: &Base, asked: &Trial) -> Vec<Reason> {
    let question = &asked.question;
    let mut reasons = asked.reasons.clone();
    let Some((changes, trial)) = brought(base, question, asked) else { return reasons };
    let idle = reasons.iter_mut().find(|r| r.rule == super::NOBODY_FREE);
    if let (Some(idle), Some(breaks)) = (idle, trial.reasons.first()) {
        let changes = words::changes(&base.day, question, &changes);
        if breaks.words != idle.words {
            idle.words = format!("{}. With {changes}: {}", idle.words, breaks.words);
        }
    }
    reasons
}
