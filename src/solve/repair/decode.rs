//! The options taken in the rest, made into a chart behind the past of the posted one.

use super::{Broken, Rest};
use crate::chart::{Apart, Cell, Chart, ChildDay, ChoiceIndex, OpenChoice, Place, Stay};
use crate::model::{CellOption, Planned, Target};
use crate::site::{ChildIndex, Mess, Minute, Span};
use crate::solve::clock::{GRID, grid_up};
use crate::solve::demand::Duties;
use crate::solve::way::{apart, join, overlay, stay};

/// The chart with these options taken, adults still unposted, and their duties from the moment on.
pub(super) fn decode(rest: &Rest<'_>, broken: Broken<'_>, taken: &[usize]) -> (Chart, Duties) {
    let frame = &rest.frame;
    let mut chart = Chart {
        room: broken.posted.room,
        date: broken.posted.date,
        groups: frame.groups.clone(),
        blocks: frame.blocks.clone(),
        choices: frame.choices.clone(),
        children: Vec::new(),
        adults: Vec::new(),
    };
    let nests = nests(rest, taken, &mut chart);
    let placing = Placing { rest, broken, taken, nests };
    for (g, plan) in frame.group_plans.iter().enumerate() {
        chart.groups[g].cells = placing.cells(g, plan);
    }
    let (breaks, tasks) = (frame.cells.len(), frame.cells.len() + frame.breaks.len());
    let first_round = tasks + frame.tasks.len();
    let rounds: Vec<_> =
        frame.rounds.iter().enumerate().map(|(r, ways)| &ways[taken[first_round + r]]).collect();
    for (child, plan) in &frame.children {
        let mut plan: Vec<Planned> =
            plan.iter().flat_map(|p| placing.stays(*child, p)).map(Planned::Fixed).collect();
        for round in &rounds {
            for (_, span) in round.children.iter().filter(|(c, _)| c == child) {
                let changed = stay(*span, round.space, Place::Care, None);
                overlay(&mut plan, &apart(changed, Apart::Care));
            }
        }
        let settled = |p| match p {
            Planned::Fixed(stay) => Some(stay),
            Planned::Cell { .. } => None,
        };
        let stays = join(plan).into_iter().filter_map(settled).collect();
        chart.children.push(ChildDay { child: *child, stays });
    }
    let mut duties = rest.done.clone();
    duties.care = rounds.iter().flat_map(|r| r.runs.iter().map(|run| (r.space, *run))).collect();
    for (i, b) in frame.breaks.iter().enumerate() {
        if let Some(&start) = b.starts.get(taken[breaks + i]) {
            duties.breaks.push((b.adult, b.due, start));
        }
    }
    for (i, (task, starts)) in frame.tasks.iter().enumerate() {
        if let Some(&start) = starts.get(taken[tasks + i]) {
            duties.tasks.push((*task, start));
        }
    }
    (chart, duties)
}

/// The choice of each cell that is one: the posted one where nothing is open that was not, and
/// nothing shut.
fn nests(rest: &Rest<'_>, taken: &[usize], chart: &mut Chart) -> Vec<Option<ChoiceIndex>> {
    let cells = rest.frame.cells.iter().enumerate();
    let nest = |(c, cell): (usize, &crate::model::VarCell)| {
        let option = &cell.options[taken[c]];
        let Target::Nest { open, .. } = &option.target else { return None };
        if let Some((target, Some(k))) = &rest.cells[c].at
            && *target == option.target
        {
            return Some(*k);
        }
        chart.choices.push(OpenChoice { span: cell.span, space: option.space, open: open.clone() });
        Some(ChoiceIndex(chart.choices.len() - 1))
    };
    cells.map(nest).collect()
}

struct Placing<'a, 'd> {
    rest: &'a Rest<'d>,
    broken: Broken<'a>,
    taken: &'a [usize],
    nests: Vec<Option<ChoiceIndex>>,
}

impl Placing<'_, '_> {
    fn option(&self, cell: usize) -> &CellOption {
        &self.rest.frame.cells[cell].options[self.taken[cell]]
    }

    /// Where an open cell brings a child, or its group.
    fn place(&self, child: Option<ChildIndex>, span: Span, cell: usize) -> Stay {
        let option = self.option(cell);
        let day = self.rest.frame.day;
        let instead = option.instead.iter().find(|i| Some(i.0) == child);
        match (&option.target, instead, self.nests[cell]) {
            (_, Some(&(_, other)), _) => {
                let space = day.station(other).space;
                apart(stay(span, space, Place::Station(other), None), Apart::Barred)
            }
            (Target::Nest { .. }, None, Some(k)) => {
                stay(span, option.space, Place::Choice(k), None)
            }
            (Target::Station(s), None, _) => stay(span, option.space, Place::Station(*s), None),
            _ => stay(span, option.space, Place::Unplaced, None),
        }
    }

    /// The stays of a planned piece: who leaves what is going on tidies up and washes first.
    fn stays(&self, child: ChildIndex, planned: &Planned) -> Vec<Stay> {
        match planned {
            Planned::Fixed(stay) => vec![stay.clone()],
            Planned::Cell { span, cell } => {
                let there = self.place(Some(child), *span, *cell);
                let posted = self.rest.cells[*cell].children.iter().find(|(c, _)| *c == child);
                let leaves = self.rest.cells[*cell].under_way
                    && posted.is_some()
                    && self.rest.moves_child(*cell, self.taken[*cell], child);
                if leaves { self.after_tidying(there, *cell) } else { vec![there] }
            }
        }
    }

    fn after_tidying(&self, there: Stay, cell: usize) -> Vec<Stay> {
        let until = self.tidied(cell);
        if there.span.from >= until {
            // Back from care, when the others have tidied up long since.
            return vec![there];
        }
        let moving = Span::new(there.span.from, until.min(there.span.to));
        let rest = Span::new(until, there.span.to).filter(|s| s.minutes() >= GRID);
        let moving = if rest.is_none() { Some(there.span) } else { moving };
        let tidies = moving.map(|span| stay(span, there.space, Place::Transition, None));
        tidies.into_iter().chain(rest.map(|span| Stay { span, ..there.clone() })).collect()
    }

    /// When what is going on in a cell is tidied up.
    fn tidied(&self, cell: usize) -> Minute {
        let day = self.rest.frame.day;
        let facts = &self.rest.frame.cells[cell];
        let posted = self.rest.cells[cell].at.as_ref();
        let wet =
            matches!(posted, Some((Target::Station(s), _)) if day.station(*s).mess == Mess::Wet);
        let count = self.rest.cells[cell].children.len();
        let wash = if wet { day.wash_minutes(count, facts.options[0].space) } else { 0 };
        Minute(grid_up(facts.span.from.0 + wash.max(day.schedule.transition_minutes)))
    }

    /// The cells of a group: the posted ones before the moment, then as taken.
    fn cells(&self, g: usize, plan: &[Planned]) -> Vec<Cell> {
        let at = self.broken.at;
        let group = &self.rest.frame.groups[g];
        let posted = self.broken.posted.groups.iter().find(|p| p.id == group.id);
        let posted = posted.map_or(&[][..], |p| &p.cells);
        let blocks = &self.rest.frame.blocks;
        let block = |from: Minute| {
            let own = posted.iter().find(|c| c.span.contains(from)).map(|c| c.block);
            let starts = || blocks.iter().position(|b| b.span.contains(from));
            own.or_else(starts).unwrap_or(0)
        };
        let past = Span::new(Minute(0), at);
        let before =
            posted.iter().filter_map(|c| Some(Cell { span: c.span.meet(past?)?, ..c.clone() }));
        let mut cells: Vec<Cell> = before.collect();
        for planned in plan.iter().filter(|p| p.span().from >= at) {
            let stays = match planned {
                Planned::Fixed(stay) => vec![stay.clone()],
                Planned::Cell { span, cell } => {
                    let there = self.place(None, *span, *cell);
                    let posted = self.rest.posted_option(*cell);
                    let leaves = self.rest.cells[*cell].under_way
                        && posted != Some(self.taken[*cell])
                        && self.rest.moves(*cell, self.taken[*cell]) > 0;
                    if leaves { self.after_tidying(there, *cell) } else { vec![there] }
                }
            };
            for stay in stays {
                let next = Cell {
                    block: block(stay.span.from),
                    span: stay.span,
                    space: stay.space,
                    at: stay.at,
                };
                match cells.last_mut() {
                    Some(last)
                        if last.span.to == next.span.from
                            && Cell { span: last.span, ..next.clone() } == *last =>
                    {
                        last.span.to = next.span.to;
                    }
                    _ => cells.push(next),
                }
            }
        }
        cells
    }
}
