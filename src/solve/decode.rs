//! The options taken in a frame, made into the children's stays and the adults' duties.

use super::demand::Duties;
use super::way::{apart, overlay, stay};
use crate::chart::{Apart, Cell, Chart, ChildDay, ChoiceIndex, OpenChoice, Place, Stay};
use crate::model::frame::blank_chart;
use crate::model::{CellOption, Frame, Planned, Target, Unknowns};
use crate::site::{ChildIndex, Span};

/// The chart of a frame with these options taken, adults still unposted, and their duties.
#[must_use]
pub fn decode(frame: &Frame<'_>, unknowns: &Unknowns, taken: &[usize]) -> (Chart, Duties) {
    let mut chart = blank_chart(frame);
    let nests: Vec<Option<ChoiceIndex>> = frame
        .cells
        .iter()
        .enumerate()
        .map(|(c, cell)| nest(&mut chart, cell.span, &cell.options[taken[c]]))
        .collect();
    let place = |child: Option<ChildIndex>, span: Span, cell: usize| -> Stay {
        let option = &frame.cells[cell].options[taken[cell]];
        let instead = option.instead.iter().find(|i| Some(i.0) == child);
        match (&option.target, instead, nests[cell]) {
            (_, Some(&(_, other)), _) => {
                let space = frame.day.station(other).space;
                apart(stay(span, space, Place::Station(other), None), Apart::Barred)
            }
            (Target::Nest { .. }, None, Some(k)) => {
                stay(span, option.space, Place::Choice(k), None)
            }
            (Target::Station(s), None, _) => stay(span, option.space, Place::Station(*s), None),
            _ => stay(span, option.space, Place::Unplaced, None),
        }
    };
    for (g, plan) in frame.group_plans.iter().enumerate() {
        let cells = plan.iter().map(|planned| {
            let stays = match planned {
                Planned::Fixed(stay) => stay.clone(),
                Planned::Cell { span, cell } => place(None, *span, *cell),
            };
            let starts = |b: &crate::chart::Block| b.span.contains(stays.span.from);
            let block = frame.blocks.iter().position(starts).unwrap_or(0);
            Cell { block, span: stays.span, space: stays.space, at: stays.at }
        });
        chart.groups[g].cells = cells.collect();
    }
    let rounds: Vec<_> = frame
        .rounds
        .iter()
        .enumerate()
        .map(|(r, ways)| &ways[taken[unknowns.choices.rounds + r]])
        .collect();
    for (child, plan) in &frame.children {
        let mut plan: Vec<Planned> = plan
            .iter()
            .map(|planned| match planned {
                Planned::Cell { span, cell } => Planned::Fixed(place(Some(*child), *span, *cell)),
                fixed @ Planned::Fixed(_) => fixed.clone(),
            })
            .collect();
        for round in &rounds {
            for (_, span) in round.children.iter().filter(|(c, _)| c == child) {
                let changed = stay(*span, round.space, Place::Care, None);
                overlay(&mut plan, &apart(changed, Apart::Care));
            }
        }
        let stays = plan
            .into_iter()
            .filter_map(|p| match p {
                Planned::Fixed(stay) => Some(stay),
                Planned::Cell { .. } => None,
            })
            .collect();
        chart.children.push(ChildDay { child: *child, stays });
    }
    let care = rounds.iter().flat_map(|r| r.runs.iter().map(|run| (r.space, *run))).collect();
    (chart, Duties { care, ..duties(frame, unknowns, taken) })
}

fn nest(chart: &mut Chart, span: Span, option: &CellOption) -> Option<ChoiceIndex> {
    let Target::Nest { open, .. } = &option.target else { return None };
    chart.choices.push(OpenChoice { span, space: option.space, open: open.clone() });
    Some(ChoiceIndex(chart.choices.len() - 1))
}

fn duties(frame: &Frame<'_>, unknowns: &Unknowns, taken: &[usize]) -> Duties {
    let mut duties = Duties::default();
    for (i, b) in frame.breaks.iter().enumerate() {
        if let Some(&start) = b.starts.get(taken[unknowns.choices.breaks + i]) {
            duties.breaks.push((b.adult, b.due, start));
        }
    }
    for (i, (task, starts)) in frame.tasks.iter().enumerate() {
        if let Some(&start) = starts.get(taken[unknowns.choices.tasks + i]) {
            duties.tasks.push((*task, start));
        }
    }
    duties
}
