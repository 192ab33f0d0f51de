//! Children and adults who come to a station from the other spaces of the room.

use super::draw::left_spaces;
use super::judge::Trial;
use super::lay::Edits;
use super::{BlockQuestion, Change, Reason, words};
use crate::chart::Chart;
use crate::day::Day;

/// A block that children come to from other spaces, with the adults whom that takes, whatever breaks
/// in it; `None` where nobody has to be brought, or nobody can be.
pub(super) fn brought(
    day: &Day,
    chart: Option<&Chart>,
    question: &BlockQuestion,
    asked: &Trial,
) -> Option<(Vec<Change>, Trial)> {
    // Without a chart everybody comes from wherever they are as it is.
    let chart = chart.filter(|_| asked.reasons.iter().any(|r| r.rule == super::NOBODY_FREE))?;
    let edits = Edits { moves: true, bring: true, ..Edits::default() };
    let trial = Trial::run(day, Some(chart), question, edits);
    let drawn = trial.laid.drawn.iter().filter(|(_, come)| !come.is_empty());
    let mut changes: Vec<Change> = drawn
        .map(|(station, come)| {
            let from = left_spaces(day, chart, question, *station, come);
            Change::Bring { station: *station, children: come.clone(), from }
        })
        .filter(|change| matches!(change, Change::Bring { from, .. } if !from.is_empty()))
        .collect();
    if changes.is_empty() {
        return None;
    }
    changes.extend(trial.moves());
    Some((changes, trial))
}

/// The reasons of a block that nothing mends, with what would break if children were brought to it
/// from other spaces.
pub(super) fn with_arithmetic(
    day: &Day,
    chart: Option<&Chart>,
    question: &BlockQuestion,
    asked: &Trial,
) -> Vec<Reason> {
    let mut reasons = asked.reasons.clone();
    let Some((changes, trial)) = brought(day, chart, question, asked) else { return reasons };
    let idle = reasons.iter_mut().find(|r| r.rule == super::NOBODY_FREE);
    if let (Some(idle), Some(breaks)) = (idle, trial.reasons.first()) {
        let changes = words::changes(day, question, &changes);
        if breaks.words != idle.words {
            idle.words = format!("{}. With {changes}: {}", idle.words, breaks.words);
        }
    }
    reasons
}
