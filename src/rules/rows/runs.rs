//! Stretches in which the same children are at the same open cells.

use super::Rows;
use crate::model::frame::RoundOption;
use crate::model::{Line, Target, Var};
use crate::site::{ChildIndex, Span, StationIndex};
use crate::steps::{self, Stage};

/// A stretch in which nobody comes to an open cell or leaves one, and in which each way to run a
/// care round has the same children at the changing place, or none.
pub(super) struct Run {
    /// When.
    pub span: Span,
    /// Cells under way, each with its children who are here.
    pub cells: Vec<(usize, Vec<ChildIndex>)>,
    /// Ways to run a care round that fetch any of them, with those whom they fetch.
    pub fetched: Vec<(Var, Vec<ChildIndex>)>,
}

/// The runs of a frame, in order of time.
pub(super) fn runs(rows: &Rows<'_, '_>) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for slice in rows.frame.slices.iter().filter(|s| !s.cells.is_empty()) {
        steps::count(Stage::Model, 1 + slice.children.len() as u64 / 4);
        let here = |c: &ChildIndex| slice.cells.iter().any(|(_, children)| children.contains(c));
        let fetches = |(way, var): (&RoundOption, Var)| {
            let whom: Vec<ChildIndex> = way.changed_in(slice.span).filter(here).collect();
            (!whom.is_empty()).then_some((var, whom))
        };
        let rounds = rows.unknowns.rounds_at(rows.frame, slice.span);
        let fetched: Vec<(Var, Vec<ChildIndex>)> = rounds.filter_map(fetches).collect();
        match runs.last_mut() {
            Some(run)
                if run.span.to == slice.span.from
                    && run.cells == slice.cells
                    && run.fetched == fetched =>
            {
                run.span.to = slice.span.to;
            }
            _ => runs.push(Run { span: slice.span, cells: slice.cells.clone(), fetched }),
        }
    }
    runs
}

impl Run {
    /// Minutes.
    pub fn minutes(&self) -> i64 {
        i64::from(self.span.minutes())
    }

    /// A line less 1 for each way to run a care round that has all of these children.
    pub fn unless_fetched(&self, mut line: Line, children: &[ChildIndex]) -> Line {
        for (var, whom) in &self.fetched {
            if children.iter().all(|c| whom.contains(c)) {
                line.add(-1, *var);
            }
        }
        line
    }
}

/// Where an option of a cell brings a child: to one station, to several open ones, or nowhere.
pub(super) fn stations_of<'a>(
    rows: &'a Rows<'_, '_>,
    (cell, option): (usize, usize),
    child: ChildIndex,
) -> &'a [StationIndex] {
    let option = &rows.frame.cells[cell].options[option];
    let instead = option.instead.iter().find(|i| i.0 == child).map(|i| &i.1);
    match (&option.target, instead) {
        (_, Some(station)) | (Target::Station(station), None) => std::slice::from_ref(station),
        (Target::Nest { open, .. }, None) => open,
        (Target::Unplaced, None) => &[],
    }
}

/// The options of a cell with their unknowns: (cell, option), unknown.
pub(super) fn options<'a>(
    rows: &'a Rows<'_, '_>,
    cell: usize,
) -> impl Iterator<Item = ((usize, usize), Var)> + 'a {
    let options = rows.unknowns.cells[cell].iter();
    steps::count(Stage::Model, 1 + options.len() as u64 / 8);
    options.enumerate().map(move |(o, &var)| ((cell, o), var))
}
