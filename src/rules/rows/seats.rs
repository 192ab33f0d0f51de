//! Rows about seats: nobody unplaced, no station and no choice with more children than seats.

use super::Rows;
use super::runs::{Run, options, runs, stations_of};
use crate::model::{Line, Model, Target, Var};
use crate::site::{ChildIndex, StationIndex, slices};
use crate::steps::{self, Stage};
use std::collections::BTreeMap;

/// Nobody unplaced; no station with more children than seats; no choices that have fewer seats
/// between them than children.
pub fn seats(rows: &Rows<'_, '_>, model: &mut Model) {
    let runs = runs(rows);
    unplaced(rows, &runs, model);
    for run in &runs {
        let users = users(rows, run);
        let mut by_station: BTreeMap<StationIndex, Vec<&User>> = BTreeMap::new();
        for user in users.iter().filter(|u| u.at.len() == 1 && !u.nest) {
            by_station.entry(user.at[0]).or_default().push(user);
        }
        let short_at = by_station
            .iter()
            .map(|(station, there)| (*station, stations(rows, run, *station, there, model)))
            .collect();
        choices(rows, run, &users, &short_at, model);
    }
    undisturbed(rows, model);
}

/// Children of one cell whom one of its options brings to the same place.
struct User {
    cell: usize,
    var: Var,
    at: Vec<StationIndex>,
    nest: bool,
    children: Vec<ChildIndex>,
}

fn users(rows: &Rows<'_, '_>, run: &Run) -> Vec<User> {
    let mut users: Vec<User> = Vec::new();
    for (cell, here) in &run.cells {
        for (option, var) in options(rows, *cell) {
            let nest =
                matches!(rows.frame.cells[*cell].options[option.1].target, Target::Nest { .. });
            let mut by_place: BTreeMap<Vec<StationIndex>, Vec<ChildIndex>> = BTreeMap::new();
            for &child in here {
                let at = stations_of(rows, option, child);
                if !at.is_empty() {
                    by_place.entry(at.to_vec()).or_default().push(child);
                }
            }
            let all = by_place.into_iter();
            users.extend(all.map(|(at, children)| User { cell: *cell, var, at, nest, children }));
        }
    }
    users
}

/// Whoever has no place; who is being changed is not without one.
fn unplaced(rows: &Rows<'_, '_>, runs: &[Run], model: &mut Model) {
    for (c, vars) in rows.unknowns.cells.iter().enumerate() {
        let Some(&unplaced) = vars.last() else { continue };
        let (mut all, mut line) = (0, Line::default());
        for run in runs {
            let Some((_, here)) = run.cells.iter().find(|cell| cell.0 == c) else { continue };
            all += run.minutes() * here.len() as i64;
            for (var, whom) in &run.fetched {
                let mine = whom.iter().filter(|child| here.contains(child)).count() as i64;
                line.add(-mine * run.minutes(), *var);
            }
        }
        line.add(all, unplaced);
        if line.terms.len() == 1 {
            model.cost("seats", unplaced, all);
        } else {
            model.short("seats", format!("unplaced:{c}"), line, 1);
        }
    }
}

/// The children of all these users who are not being changed.
fn count(users: &[&User], away: &[ChildIndex]) -> i64 {
    let children = users.iter().flat_map(|u| &u.children).filter(|c| !away.contains(c));
    children.count() as i64
}

/// A line that reaches `over(nobody away)` while all of these options are taken, and what is left of
/// it where a care round has somebody.
fn pattern(run: &Run, users: &[&User], over: impl Fn(&[ChildIndex]) -> i64) -> Option<Line> {
    let whole = over(&[]);
    if whole <= 0 {
        return None;
    }
    let mut line = Line::new(whole - whole * users.len() as i64);
    users.iter().for_each(|u| line.add(whole, u.var));
    for (var, whom) in &run.fetched {
        line.add(over(whom).max(0) - whole, *var);
    }
    Some(line)
}

/// Sets of up to `most` of these, no two of one cell, each handed to `found`.
fn sets<'u>(
    users: &[&'u User],
    most: usize,
    set: &mut Vec<&'u User>,
    found: &mut impl FnMut(&[&'u User]),
) {
    for (i, user) in users.iter().enumerate() {
        if set.len() < most && set.iter().all(|u| u.cell != user.cell) {
            set.push(user);
            steps::count(Stage::Model, 1);
            found(set);
            sets(&users[i + 1..], most, set, found);
            set.pop();
        }
    }
}

/// More children at a station than it has seats.
fn stations(
    rows: &Rows<'_, '_>,
    run: &Run,
    station: StationIndex,
    there: &[&User],
    model: &mut Model,
) -> Option<Var> {
    let seats = i64::from(rows.frame.day.station(station).seats);
    let mut taken = Line::new(-seats);
    there.iter().for_each(|u| taken.add(u.children.len() as i64, u.var));
    let mut lines = vec![taken];
    for (var, whom) in &run.fetched {
        let fetched = there.iter().flat_map(|u| &u.children).filter(|c| whom.contains(c));
        lines[0].add(-(fetched.count() as i64), *var);
    }
    if lines[0].terms.iter().any(|t| t.1 < 0) {
        sets(there, 2, &mut Vec::new(), &mut |set| {
            lines.extend(pattern(run, set, |away| count(set, away) - seats));
        });
    }
    let name = format!("seats:{}@{}", rows.frame.day.station(station).id, run.span.from);
    let short = model.rising(name, lines);
    if let Some(short) = short {
        model.cost("seats", short, run.minutes());
    }
    short
}

/// Children who may at the most be assigned to the stations of a nest, each other cell at one of them.
fn most_assigned(users: &[User], nest: &User) -> i64 {
    let mut by_cell: BTreeMap<usize, usize> = BTreeMap::new();
    let near = |u: &&User| !u.nest && u.cell != nest.cell && nest.at.contains(&u.at[0]);
    for user in users.iter().filter(near) {
        let most = by_cell.entry(user.cell).or_default();
        *most = user.children.len().max(*most);
    }
    by_cell.into_values().sum::<usize>() as i64
}

/// Choices with fewer seats than children: by themselves, or two together that share a station.
/// Whoever is assigned to one of their stations has a seat there first.
fn choices(
    rows: &Rows<'_, '_>,
    run: &Run,
    users: &[User],
    short_at: &BTreeMap<StationIndex, Option<Var>>,
    model: &mut Model,
) {
    let nests: Vec<&User> = users.iter().filter(|u| u.nest).collect();
    // Minus the seats that those who are assigned to these stations leave.
    let left = |open: &[StationIndex]| -> Line {
        let seats = |s: &StationIndex| i64::from(rows.frame.day.station(*s).seats);
        let mut line = Line::new(-open.iter().map(seats).sum::<i64>());
        for user in users.iter().filter(|u| !u.nest && open.contains(&u.at[0])) {
            line.add(user.children.len() as i64, user.var);
        }
        // Who has no seat there takes none away.
        let missed = open.iter().filter_map(|s| short_at.get(s).copied().flatten());
        missed.for_each(|short| line.add(-1, short));
        line
    };
    let fetched = |mut line: Line, users: &[&User]| -> Line {
        for (var, whom) in &run.fetched {
            line.add(-(count(users, &[]) - count(users, whom)), *var);
        }
        line
    };
    let mut alone: BTreeMap<usize, Vec<Line>> = BTreeMap::new();
    for nest in &nests {
        let seats = nest.at.iter().map(|s| i64::from(rows.frame.day.station(*s).seats));
        if nest.children.len() as i64 + most_assigned(users, nest) <= seats.sum::<i64>() {
            continue;
        }
        let line = left(&nest.at).plus(nest.children.len() as i64, nest.var);
        alone.entry(nest.cell).or_default().push(fetched(line, &[nest]));
    }
    let alone: BTreeMap<usize, Option<Var>> = alone
        .into_iter()
        .map(|(cell, lines)| {
            (cell, model.rising(format!("choice:{cell}@{}", run.span.from), lines))
        })
        .collect();
    let mut lines = Vec::new();
    for (i, one) in nests.iter().enumerate() {
        for other in nests[i + 1..].iter().filter(|o| o.cell != one.cell) {
            let mut open: Vec<StationIndex> = one.at.iter().chain(&other.at).copied().collect();
            open.sort_unstable();
            open.dedup();
            let both = count(&[one, other], &[]);
            let seats = open.iter().map(|s| i64::from(rows.frame.day.station(*s).seats));
            if open.len() == one.at.len() + other.at.len() || both <= seats.sum::<i64>() {
                continue;
            }
            let line = left(&open).plus(both, one.var).plus(both, other.var);
            let line = fetched(line.plus_line(-both, &Line::new(1)), &[one, other]);
            let told =
                [one, other].map(|u| alone.get(&u.cell).copied().flatten()).into_iter().flatten();
            lines.push(told.fold(line, |line, short| line.plus(-1, short)));
        }
    }
    let together = model.rising(format!("choices@{}", run.span.from), lines);
    for short in alone.into_values().chain([together]).flatten() {
        model.cost("seats", short, run.minutes());
    }
}

/// A nest has its stations to itself where no rule and no visit that is owed stands against it:
/// whoever is assigned there, or nests there as well, draws its adult away. No aim measures it; it
/// stands right before the wish for the key adult.
fn undisturbed(rows: &Rows<'_, '_>, model: &mut Model) {
    let cells = &rows.frame.cells;
    for span in slices(cells.iter().flat_map(|c| [c.span.from, c.span.to])) {
        // Each nest as if it took every seat of its stations.
        let mut taken: BTreeMap<StationIndex, (bool, Line)> = BTreeMap::new();
        for (c, cell) in cells.iter().enumerate().filter(|(_, c)| c.span.holds(span)) {
            for (option, var) in cell.options.iter().zip(&rows.unknowns.cells[c]) {
                let nest = matches!(option.target, Target::Nest { .. });
                for station in option.stations() {
                    let seats = i64::from(rows.frame.day.station(station).seats);
                    let entry = taken.entry(station).or_insert((false, Line::new(-seats)));
                    entry.0 |= nest;
                    entry.1.add(if nest { seats } else { 1 }, *var);
                }
            }
        }
        for (station, (_, line)) in taken.into_iter().filter(|(_, (nest, _))| *nest) {
            let name = format!("disturbed:{}@{}", rows.frame.day.station(station).id, span.from);
            model.short("key-adult", name, line, i64::from(span.minutes()));
        }
    }
}
