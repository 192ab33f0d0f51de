//! Rows of the aims that open cells decide.

use super::Rows;
use crate::chart::{BlockKind, State};
use crate::model::unknowns::members;
use crate::model::{Line, Model, Planned, Target, Var};
use crate::site::{Energy, Mess, StationIndex};
use std::collections::BTreeMap;

fn station_options<'a>(
    rows: &'a Rows<'_, '_>,
    cell: usize,
) -> impl Iterator<Item = (StationIndex, Var)> + 'a {
    let options = rows.frame.cells[cell].options.iter().zip(&rows.unknowns.cells[cell]);
    options.filter_map(|(o, v)| match o.target {
        Target::Station(s) => Some((s, *v)),
        Target::Nest { .. } | Target::Unplaced => None,
    })
}

/// One for each owed visit that no cell makes.
pub fn must_do(rows: &Rows<'_, '_>, model: &mut Model) {
    for &(child, station) in &rows.frame.day.must_do {
        let mut line = Line::new(1);
        for var in rows.unknowns.visits(rows.frame, child, station) {
            line.add(-1, var);
        }
        model.short("must-do", format!("must-do:{}:{}", child.0, station.0), line, 1);
    }
}

/// One for each child and station visited again in one assigned stretch.
pub fn no_repeat(rows: &Rows<'_, '_>, model: &mut Model) {
    let mut visits: BTreeMap<(usize, usize, StationIndex), Vec<Var>> = BTreeMap::new();
    for (c, cell) in rows.frame.cells.iter().enumerate() {
        for (station, var) in station_options(rows, c) {
            visits.entry((cell.group, cell.stretch, station)).or_default().push(var);
        }
    }
    for ((group, stretch, station), vars) in visits {
        let line = vars.iter().fold(Line::new(-1), |l, v| l.plus(1, *v));
        let count = rows.frame.groups[group].children.len() as i64;
        model.short("no-repeat", format!("again:{group}:{stretch}:{}", station.0), line, count);
    }
}

/// A care round that fetches children from something costs how much it disturbs.
pub fn little_disturbance(rows: &Rows<'_, '_>, model: &mut Model) {
    for (ways, vars) in rows.frame.rounds.iter().zip(&rows.unknowns.rounds) {
        for (way, var) in ways.iter().zip(vars) {
            model.cost("little-waiting", *var, way.disturbs);
        }
    }
}

/// Three still turns in a row; something vigorous right before rest; something wet right before
/// whole-group time.
pub fn balance(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    for (g, plan) in frame.group_plans.iter().enumerate() {
        let count = frame.groups[g].children.len() as i64;
        let mut turns: Vec<usize> = Vec::new();
        for planned in plan {
            match planned {
                Planned::Cell { cell, .. } => turns.push(*cell),
                Planned::Fixed(s) if s.at == crate::chart::Place::Transition => {}
                Planned::Fixed(_) => turns.clear(),
            }
            let Planned::Cell { .. } = planned else { continue };
            if let [.., a, b, c] = turns[..] {
                let mut line = Line::new(-2);
                for cell in [a, b, c] {
                    for (station, var) in station_options(rows, cell) {
                        if day.station(station).energy == Energy::Still {
                            line.add(1, var);
                        }
                    }
                }
                model.short("balance", format!("still-row:{g}:{c}"), line, count);
            }
        }
        for (cell, next) in cells_before(rows, plan) {
            for (station, var) in station_options(rows, cell) {
                let s = day.station(station);
                let bad = match next {
                    BlockKind::Rest => s.energy == Energy::Vigorous,
                    BlockKind::Circle => s.mess == Mess::Wet,
                    _ => false,
                };
                if bad {
                    model.cost("balance", var, count);
                }
            }
        }
    }
}

/// Each open cell with the kind of the first block after it that is no transition.
fn cells_before(rows: &Rows<'_, '_>, plan: &[Planned]) -> Vec<(usize, BlockKind)> {
    let mut found = Vec::new();
    for planned in plan {
        let Planned::Cell { span, cell } = planned else { continue };
        let after = rows
            .frame
            .blocks
            .iter()
            .find(|b| b.span.from >= span.to && b.kind != BlockKind::Transition);
        found.extend(after.map(|b| (*cell, b.kind)));
    }
    found
}

/// Each visit costs more the more often the child has been at the station before, today included.
pub fn fair_shares(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    let mut today: BTreeMap<(usize, StationIndex), Vec<Var>> = BTreeMap::new();
    for (c, cell) in frame.cells.iter().enumerate() {
        let here = members(frame, c);
        for (station, var) in station_options(rows, c) {
            let visits = &frame.day.record.visits;
            let before = |child| {
                visits.iter().filter(|v| v.child == child && v.station == station).count() as i64
            };
            let each: i64 = here.iter().map(|&child| 2 * before(child)).sum();
            if each > 0 {
                model.cost("fair-shares", var, each);
            }
            today.entry((cell.group, station)).or_default().push(var);
        }
    }
    for ((group, station), vars) in today {
        let line = vars.iter().fold(Line::new(-1), |l, v| l.plus(1, *v));
        let count = frame.groups[group].children.len() as i64;
        model.short("fair-shares", format!("twice:{group}:{}", station.0), line, 2 * count);
    }
}

/// One for each child and turn away from every station that the child often chooses.
pub fn often_chosen(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    for c in 0..frame.cells.len() {
        let here = members(frame, c);
        for (station, var) in station_options(rows, c) {
            let away = |child: &&crate::site::ChildIndex| {
                let often = &day.site[**child].often_chosen;
                !often.is_empty() && !often.contains(&station)
            };
            let each = here.iter().filter(away).count() as i64;
            if each > 0 {
                model.cost("often-chosen", var, each);
            }
        }
    }
}

/// By preference staff breaks fall while most children sleep: one for every five waking children and
/// slice in a break.
pub fn breaks_in_rest(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for (b, vars) in frame.breaks.iter().zip(&rows.unknowns.breaks) {
        for (start, var) in b.starts.iter().zip(vars) {
            let inside = |s: &&crate::model::Slice| {
                *start <= s.span.from && s.span.to <= start.later(b.minutes)
            };
            let awake: usize = frame
                .slices
                .iter()
                .filter(inside)
                .map(|s| {
                    let asleep = frame.children.iter().flat_map(|(_, p)| p).filter(|p| {
                        matches!(p, Planned::Fixed(stay) if stay.state == State::Asleep && stay.span.holds(s.span))
                    });
                    s.children.len() - asleep.count().min(s.children.len())
                })
                .sum();
            if awake > 4 {
                model.cost("fair-posts", *var, (awake / 5) as i64);
            }
        }
    }
}
