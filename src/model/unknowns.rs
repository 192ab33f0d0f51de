//! The unknowns of a frame: where each cell goes, when each break, task and care round starts.

use super::frame::RoundOption;
use super::{Frame, Line, Model, Slice, Target, Var};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, StationIndex};
use crate::steps::{self, Stage};

/// A stay at a station counts as a visit from so many minutes.
pub const VISIT_MINUTES: u16 = 5;

/// The options of a frame as unknowns of a model.
#[derive(Clone, Debug)]
pub struct Unknowns {
    /// By cell and option.
    pub cells: Vec<Vec<Var>>,
    /// By staff break due and start; the last one is "missed".
    pub breaks: Vec<Vec<Var>>,
    /// By task and start; the last one is "not done".
    pub tasks: Vec<Vec<Var>>,
    /// By care round and way to run it.
    pub rounds: Vec<Vec<Var>>,
    /// Choice number of each cell, break, task and round in the model.
    pub choices: ChoiceNumbers,
}

/// Where each kind of unknown begins among a model's choices.
#[derive(Clone, Copy, Debug)]
pub struct ChoiceNumbers {
    /// Of the first break.
    pub breaks: usize,
    /// Of the first task.
    pub tasks: usize,
    /// Of the first care round.
    pub rounds: usize,
}

impl Unknowns {
    /// Makes the options and choices of a frame.
    pub fn new(frame: &Frame<'_>, model: &mut Model) -> Unknowns {
        let day = frame.day;
        let mut cells = Vec::new();
        for (c, cell) in frame.cells.iter().enumerate() {
            let name = format!("cell{c}:{}@{}", frame.groups[cell.group].id, cell.span.from);
            let option = |o: &super::CellOption| match &o.target {
                Target::Station(s) => format!("{name}:{}", day.station(*s).id),
                Target::Nest { zone, open } => {
                    let open: Vec<&str> =
                        open.iter().map(|&s| day.station(s).id.as_str()).collect();
                    format!("{name}:{}:{}", day.site[*zone].id, open.join("+"))
                }
                Target::Unplaced => format!("{name}:unplaced"),
            };
            let vars: Vec<Var> = cell.options.iter().map(|o| model.option(option(o))).collect();
            model.choice(name.clone(), vars.clone());
            cells.push(vars);
        }
        let numbers = |model: &Model| model.choices.len();
        let first_break = numbers(model);
        let mut breaks = Vec::new();
        for b in &frame.breaks {
            let name = format!("break:{}:{}", day.site[b.adult].id, b.due);
            breaks.push(starts(model, &name, &b.starts, "missed"));
        }
        let first_task = numbers(model);
        let mut tasks = Vec::new();
        for (task, task_starts) in &frame.tasks {
            let name = format!("task:{}", day.schedule.tasks[*task].id);
            tasks.push(starts(model, &name, task_starts, "not-done"));
        }
        let first_round = numbers(model);
        let mut rounds = Vec::new();
        for (r, ways) in frame.rounds.iter().enumerate() {
            let name = format!("care:{r}");
            let starts = |w: &RoundOption| {
                w.runs.first().map_or(format!("{name}:none"), |r| format!("{name}@{}", r.from))
            };
            let vars: Vec<Var> = ways.iter().map(|w| model.option(starts(w))).collect();
            model.choice(name, vars.clone());
            rounds.push(vars);
        }
        let choices = ChoiceNumbers { breaks: first_break, tasks: first_task, rounds: first_round };
        Unknowns { cells, breaks, tasks, rounds, choices }
    }

    /// Minus one for each of these adults who is on a staff break in a slice.
    pub fn take_off(
        &self,
        frame: &Frame<'_>,
        slice: Span,
        line: &mut Line,
        times: i64,
        who: impl Fn(AdultIndex, usize) -> bool,
    ) {
        steps::count(Stage::Model, 1 + frame.breaks.len() as u64 / 4);
        for (b, vars) in frame.breaks.iter().zip(&self.breaks) {
            if !who(b.adult, b.due) {
                continue;
            }
            for (start, var) in b.starts.iter().zip(vars) {
                if covers(*start, b.minutes, slice) {
                    line.add(times, *var);
                }
            }
        }
    }

    /// Tasks under way in a slice, as (position in the schedule, unknown).
    pub fn tasks_at<'a>(
        &'a self,
        frame: &'a Frame<'_>,
        slice: Span,
    ) -> impl Iterator<Item = (usize, Var)> + 'a {
        frame.tasks.iter().zip(&self.tasks).flat_map(move |((task, task_starts), vars)| {
            let minutes = frame.day.schedule.tasks[*task].minutes;
            task_starts
                .iter()
                .zip(vars)
                .filter(move |(s, _)| covers(**s, minutes, slice))
                .map(move |(_, v)| (*task, *v))
        })
    }

    /// Care rounds under way in a slice, each way to run one with its unknown.
    pub fn rounds_at<'a>(
        &'a self,
        frame: &'a Frame<'_>,
        slice: Span,
    ) -> impl Iterator<Item = (&'a RoundOption, Var)> + 'a {
        frame.rounds.iter().zip(&self.rounds).flat_map(move |(ways, vars)| {
            let under_way = move |w: &RoundOption| w.runs.iter().any(|r| r.meets(slice));
            ways.iter().zip(vars).filter(move |(w, _)| under_way(w)).map(|(w, v)| (w, *v))
        })
    }

    /// Options by which a child visits a station, in cells where the child is here.
    #[must_use]
    pub fn visits(&self, frame: &Frame<'_>, child: ChildIndex, station: StationIndex) -> Vec<Var> {
        let mut visits = Vec::new();
        for (c, cell) in frame.cells.iter().enumerate() {
            let here =
                frame.day.child_here(child).iter().any(|h| {
                    h.meet(cell.span).is_some_and(|common| common.minutes() >= VISIT_MINUTES)
                });
            if !here || !frame.groups[cell.group].children.contains(&child) {
                continue;
            }
            for (option, var) in cell.options.iter().zip(&self.cells[c]) {
                let goes = option.target == Target::Station(station)
                    && option.instead.iter().all(|i| i.0 != child);
                if goes || option.instead.contains(&(child, station)) {
                    visits.push(*var);
                }
            }
        }
        visits
    }
}

fn starts(model: &mut Model, name: &str, starts: &[Minute], otherwise: &str) -> Vec<Var> {
    let mut vars: Vec<Var> = starts.iter().map(|s| model.option(format!("{name}@{s}"))).collect();
    vars.push(model.option(format!("{name}:{otherwise}")));
    model.choice(name, vars.clone());
    vars
}

fn covers(start: Minute, minutes: u16, slice: Span) -> bool {
    start <= slice.from && slice.to <= start.later(minutes)
}

/// Children of a cell who are here in some slice of it.
#[must_use]
pub fn members(frame: &Frame<'_>, cell: usize) -> Vec<ChildIndex> {
    let mut members: Vec<ChildIndex> = frame
        .slices
        .iter()
        .flat_map(|s: &Slice| s.cells.iter().filter(|c| c.0 == cell).flat_map(|c| c.1.clone()))
        .collect();
    members.sort_unstable();
    members.dedup();
    members
}
