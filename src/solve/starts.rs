//! Blocks by name, and every time at which a staff break or a task could start.

use super::clock::{GRID, grid_up};
use super::few;
use super::layout::{Layout, Piece};
use crate::chart::Block;
use crate::day::Day;
use crate::model::frame::BreakChoice;
use crate::site::{Minute, Span};

/// The room's blocks with readable ids.
pub fn blocks(layout: &Layout) -> Vec<Block> {
    let mut counts = std::collections::BTreeMap::new();
    let mut named = |p: &Piece| {
        let name = p.kind.word();
        let n = counts.entry(name).or_insert(0_usize);
        *n += 1;
        Block { id: format!("{name}-{n}"), kind: p.kind, span: p.span }
    };
    layout.pieces.iter().map(&mut named).collect()
}

/// Staff breaks due that fit somewhere, with every start on the grid that there is room for.
pub fn breaks(day: &Day) -> Vec<BreakChoice> {
    let (mut breaks, most) = (Vec::new(), few::most_starts(day));
    for (adult, here) in &day.adults {
        for (due, b) in day.site[*adult].breaks.iter().enumerate() {
            let fits = |s: &Minute| {
                Span::new(*s, s.later(b.minutes)).is_some_and(|b| here.iter().any(|h| h.holds(b)))
            };
            let starts = few::starts(b.starts(GRID).filter(fits).collect(), most, None);
            if !starts.is_empty() {
                breaks.push(BreakChoice { adult: *adult, due, minutes: b.minutes, starts });
            }
        }
    }
    breaks
}

/// Tasks with every start on the grid that there is room for.
pub fn tasks(day: &Day) -> Vec<(usize, Vec<Minute>)> {
    let (mut tasks, most) = (Vec::new(), few::most_starts(day));
    for (i, task) in day.schedule.tasks.iter().enumerate() {
        let (first, last) = (grid_up(task.window.from.0), task.window.to.0);
        let starts: Vec<Minute> = (first..last)
            .step_by(usize::from(GRID))
            .filter(|s| s + task.minutes <= last)
            .map(Minute)
            .collect();
        let starts = few::starts(starts, most, None);
        if !starts.is_empty() {
            tasks.push((i, starts));
        }
    }
    tasks
}
