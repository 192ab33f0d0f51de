//! Rows about sitting still: each child's way, stretch by stretch.

use super::Rows;
use super::runs::{options, stations_of};
use crate::chart::{Place, State};
use crate::model::{Line, Model, Planned, Var};
use crate::site::{ChildIndex, Energy, Span};
use crate::steps::{self, Stage};
use std::collections::BTreeMap;

/// A stretch of a child's way that may be part of a still one.
enum Step {
    /// Still whatever is decided.
    Still(Span),
    /// Still with these options of an open cell.
    Open(Span, Vec<Var>),
    /// Ends whatever was still.
    Ends,
}

/// No child sits still for longer than allowed: every run of stretches that may be still, in which
/// all are and the ones before and after it are not, costs the minutes that it is too long.
///
/// Who has no place is taken to move about: that costs enough by itself.
pub fn movement(rows: &Rows<'_, '_>, model: &mut Model) {
    let longest = i64::from(rows.frame.day.schedule.movement.longest_still);
    let mut alike: BTreeMap<Line, i64> = BTreeMap::new();
    for (child, plan) in &rows.frame.children {
        let steps = steps(rows, *child, plan);
        for run in steps.split(|step| matches!(step, Step::Ends)) {
            for from in 0..run.len() {
                for to in from + 1..=run.len() {
                    if let Some(line) = too_still(rows, *child, run, (from, to), longest) {
                        *alike.entry(line).or_default() += 1;
                    }
                }
            }
        }
    }
    for (n, (line, children)) in alike.into_iter().enumerate() {
        if line.terms.is_empty() {
            let settled = model.forced(format!("still:{n}"), vec![line]);
            model.cost("movement", settled, children);
        } else {
            model.short("movement", format!("still:{n}"), line, children);
        }
    }
}

/// The line of a run's steps from one to another: its minutes over the longest while all of them
/// are still and their neighbours are not. `None` where that cannot be.
fn too_still(
    rows: &Rows<'_, '_>,
    child: ChildIndex,
    run: &[Step],
    (from, to): (usize, usize),
    longest: i64,
) -> Option<Line> {
    steps::count(Stage::Model, 1);
    let inside = &run[from..to];
    let span = |step: &Step| match step {
        Step::Still(span) | Step::Open(span, _) => Some(*span),
        Step::Ends => None,
    };
    let minutes: i64 = inside.iter().filter_map(span).map(|s| i64::from(s.minutes())).sum();
    let over = minutes - longest;
    let beside = [from.checked_sub(1), Some(to)].into_iter().flatten();
    let beside: Vec<&Step> = beside.filter_map(|i| run.get(i)).collect();
    if over <= 0 || beside.iter().any(|step| matches!(step, Step::Still(_))) {
        return None;
    }
    let mut line = Line::new(over);
    for step in inside {
        if let Step::Open(_, vars) = step {
            line.constant -= over;
            vars.iter().for_each(|var| line.add(over, *var));
        }
    }
    for step in beside {
        if let Step::Open(_, vars) = step {
            vars.iter().for_each(|var| line.add(-over, *var));
        }
    }
    // Being changed is neither still nor moving.
    for (ways, vars) in rows.frame.rounds.iter().zip(&rows.unknowns.rounds) {
        for (way, var) in ways.iter().zip(vars) {
            let mine = way.children.iter().filter(|c| c.0 == child);
            let common =
                mine.flat_map(|c| inside.iter().filter_map(span).filter_map(|s| s.meet(c.1)));
            let changed: i64 = common.map(|s| i64::from(s.minutes())).sum();
            if changed > 0 {
                line.add(-changed.min(over), *var);
            }
        }
    }
    line.terms.sort_unstable();
    Some(line)
}

fn steps(rows: &Rows<'_, '_>, child: ChildIndex, plan: &[Planned]) -> Vec<Step> {
    let station = |s| rows.frame.day.station(s);
    let mut steps = Vec::new();
    let mut last = None;
    for planned in plan {
        let span = planned.span();
        if last.is_some_and(|end| end < span.from) {
            // Away in between.
            steps.push(Step::Ends);
        }
        last = Some(span.to);
        let step = match planned {
            Planned::Cell { cell, .. } => {
                let still = |o| match stations_of(rows, o, child) {
                    [only] if !is_nest(rows, o) => station(*only).energy == Energy::Still,
                    _ => false,
                };
                let vars: Vec<Var> =
                    options(rows, *cell).filter(|(o, _)| still(*o)).map(|(_, var)| var).collect();
                if vars.is_empty() { Step::Ends } else { Step::Open(span, vars) }
            }
            Planned::Fixed(stay) => match stay.at {
                Place::Rest if stay.state == State::Asleep => Step::Ends,
                Place::WholeGroup | Place::Table(_) | Place::Rest => Step::Still(span),
                Place::Station(s) if station(s).energy == Energy::Still => Step::Still(span),
                Place::Transition if span.minutes() < 15 => continue,
                Place::Care | Place::Unplaced => continue,
                _ => Step::Ends,
            },
        };
        steps.push(step);
    }
    steps
}

fn is_nest(rows: &Rows<'_, '_>, (cell, option): (usize, usize)) -> bool {
    let target = &rows.frame.cells[cell].options[option].target;
    matches!(target, crate::model::Target::Nest { .. })
}
