//! Rows about stations: who is where in which cell.

use super::Rows;
use super::runs::{Run, options, runs, stations_of};
use crate::day::KeptFor;
use crate::model::{Line, Model, Target, Var};
use crate::site::{ChildIndex, Mess, Minute, StationIndex};
use crate::steps::{self, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// Pairs of places with two children to be kept apart that a model tells; far more than any usual room
/// has.
const MOST_APART: usize = 10_000;

/// Options of a cell that use a station, or keep it from others.
fn users(rows: &Rows<'_, '_>, cell: usize, station: StationIndex) -> Vec<Var> {
    let options = rows.frame.cells[cell].options.iter().zip(&rows.unknowns.cells[cell]);
    steps::count(Stage::Model, 1 + options.len() as u64 / 8);
    options.filter(|(o, _)| o.stations().contains(&station)).map(|(_, v)| *v).collect()
}

fn stations(rows: &Rows<'_, '_>) -> impl Iterator<Item = StationIndex> {
    (0..rows.frame.day.stations.len()).map(StationIndex)
}

/// The first and the last run of a cell with its children who are here, if anybody is.
fn ends(runs: &[Run], cell: usize) -> Option<[(&Run, &[ChildIndex]); 2]> {
    steps::count(Stage::Model, 1 + runs.len() as u64 / 8);
    let mut used = runs.iter().filter_map(|run| {
        let here = run.cells.iter().find(|(c, here)| *c == cell && !here.is_empty())?;
        Some((run, &here.1[..]))
    });
    let first = used.next()?;
    Some([first, used.next_back().unwrap_or(first)])
}

/// Between two groups at a station its reset minutes pass; one wet station at a time unless the site
/// allows more.
pub fn reset(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day, runs) = (rows.frame, rows.frame.day, runs(rows));
    let ends: Vec<_> = (0..frame.cells.len()).map(|cell| ends(&runs, cell)).collect();
    for station in stations(rows) {
        let reset = day.station(station).reset_minutes;
        let mut soon: BTreeMap<(Minute, Minute), Vec<Line>> = BTreeMap::new();
        for (i, one) in frame.cells.iter().enumerate() {
            for (j, other) in frame.cells.iter().enumerate() {
                let (Some([_, leaving]), Some([coming, _])) = (ends[i], ends[j]) else { continue };
                let (from, to) = (leaving.0.span.to, coming.0.span.from);
                let between = to.0.checked_sub(from.0);
                if one.group == other.group || between.is_none_or(|b| b >= reset) {
                    continue;
                }
                let mut line = Line::new(-1);
                users(rows, i, station).into_iter().for_each(|v| line.add(1, v));
                users(rows, j, station).into_iter().for_each(|v| line.add(1, v));
                line = leaving.0.unless_fetched(line, leaving.1);
                line = coming.0.unless_fetched(line, coming.1);
                // Who was there before as well needs no reset.
                let stays = |c: &&usize| {
                    let cell = &frame.cells[**c];
                    cell.group == other.group && cell.span.to == one.span.to
                };
                if let Some(before) = (0..frame.cells.len()).collect::<Vec<_>>().iter().find(stays)
                {
                    users(rows, *before, station).into_iter().for_each(|v| line.add(-1, v));
                }
                soon.entry((from, to)).or_default().push(line);
            }
        }
        for ((from, to), lines) in soon {
            let name = format!("reset:{}@{from}", day.station(station).id);
            let missing = model.forced(name, lines);
            model.cost("reset", missing, i64::from(reset - (to.0 - from.0)));
        }
    }
    if !day.site.settings.two_wet_stations {
        one_wet_at_a_time(rows, &runs, model);
    }
}

fn one_wet_at_a_time(rows: &Rows<'_, '_>, runs: &[Run], model: &mut Model) {
    let day = rows.frame.day;
    let wet: Vec<StationIndex> =
        stations(rows).filter(|&s| day.station(s).mess == Mess::Wet).collect();
    // Whom a care round fetches makes no stretch of its own: while it has all of a cell, that cell is
    // taken to use nothing.
    let same = |a: &Run, b: &Run| a.cells == b.cells && a.span.to == b.span.from;
    for runs in runs.chunk_by(same) {
        let (first, last) = (&runs[0], &runs[runs.len() - 1]);
        let mut line = Line::new(-1);
        for &station in &wet {
            let uses =
                first.cells.iter().filter(|(_, here)| !here.is_empty()).map(|(cell, here)| {
                    let uses = users(rows, *cell, station).into_iter();
                    let mut line = uses.fold(Line::default(), |l, v| l.plus(1, v));
                    let ways = runs.iter().flat_map(|run| &run.fetched);
                    let all = ways.filter(|(_, whom)| here.iter().all(|c| whom.contains(c)));
                    let all: BTreeSet<Var> = all.map(|way| way.0).collect();
                    if !line.terms.is_empty() {
                        all.into_iter().for_each(|var| line.add(-1, var));
                    }
                    line
                });
            let uses: Vec<Line> = uses.filter(|l| !l.terms.is_empty()).collect();
            if !uses.is_empty() {
                let name = format!("wet:{}@{}", day.station(station).id, first.span.from);
                line.add(1, model.forced(name, uses));
            }
        }
        if line.terms.len() > 1 {
            let minutes = i64::from(last.span.to.0 - first.span.from.0);
            model.short("reset", format!("wet@{}", first.span.from), line, minutes);
        }
    }
}

/// Two children to be kept apart are at one station: for each such pair of two groups, the minutes.
pub fn keep_apart(rows: &Rows<'_, '_>, model: &mut Model) {
    let site = &rows.frame.day.site;
    let apart = |a: ChildIndex, b: ChildIndex| {
        site[a].keep_apart.contains(&b) || site[b].keep_apart.contains(&a)
    };
    let mut together: BTreeMap<Vec<Var>, i64> = BTreeMap::new();
    for run in runs(rows) {
        let all = run.cells.iter().flat_map(|(cell, here)| here.iter().map(|c| (*cell, *c)));
        let all: Vec<(usize, ChildIndex)> = all.collect();
        for (i, &(cell, a)) in all.iter().enumerate() {
            let others = all[i + 1..].iter().filter(|(other, b)| *other != cell && apart(a, *b));
            for &(other, b) in others {
                for station in stations(rows) {
                    let alone_there = |(cell, child): (usize, ChildIndex)| {
                        let there = options(rows, cell)
                            .filter(move |(o, _)| stations_of(rows, *o, child) == [station]);
                        there.map(|(_, var)| var)
                    };
                    let both: Vec<Vec<Var>> =
                        [(cell, a), (other, b)].map(|who| alone_there(who).collect()).to_vec();
                    if both.iter().all(|vars| !vars.is_empty()) && together.len() < MOST_APART {
                        // Who is being changed is not there.
                        let away = run
                            .fetched
                            .iter()
                            .filter(|(_, whom)| whom.contains(&a) || whom.contains(&b));
                        let line = both.concat().into_iter();
                        let line: Vec<Var> = line.chain(away.map(|f| f.0)).collect();
                        *together.entry(line).or_default() += run.minutes();
                    }
                }
            }
        }
    }
    let rounds: BTreeSet<Var> = rows.unknowns.rounds.iter().flatten().copied().collect();
    for (n, (vars, minutes)) in together.into_iter().enumerate() {
        let sign = |var: &Var| if rounds.contains(var) { -1 } else { 1 };
        let line = vars.iter().fold(Line::new(-1), |line, var| line.plus(sign(var), *var));
        model.short("keep-apart", format!("apart:{n}"), line, minutes);
    }
}

/// A group's kept cell costs the minutes in which its children are elsewhere for no reason.
pub fn kept(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    let runs = if frame.day.kept.is_empty() { Vec::new() } else { runs(rows) };
    for kept in &frame.day.kept {
        let KeptFor::Group(id) = &kept.who else { continue };
        for run in &runs {
            let Some(common) = run.span.meet(kept.span) else { continue };
            let minutes = i64::from(common.minutes());
            for (cell, here) in &run.cells {
                if &frame.groups[frame.cells[*cell].group].id != id {
                    continue;
                }
                let fetched =
                    run.fetched.iter().any(|(_, whom)| here.iter().any(|c| whom.contains(c)));
                let mut elsewhere = Line::default();
                for ((_, option), var) in options(rows, *cell) {
                    let option = &frame.cells[*cell].options[option];
                    let reason = |c: &&ChildIndex| option.instead.iter().any(|i| i.0 == **c);
                    let without = here.iter().filter(|c| !reason(c)).count() as i64;
                    if option.target != Target::Station(kept.station) {
                        elsewhere.add(without, var);
                    }
                }
                // Being changed is a reason.
                for (var, whom) in &run.fetched {
                    let mine = whom.iter().filter(|c| here.contains(c)).count() as i64;
                    if mine > 0 {
                        elsewhere.add(-mine, *var);
                    }
                }
                if !fetched {
                    elsewhere.terms.iter().for_each(|(v, n)| model.cost("kept", *v, n * minutes));
                    continue;
                }
                let name = format!("elsewhere:{cell}@{}", run.span.from);
                model.short("kept", name, elsewhere, minutes);
            }
        }
    }
}
