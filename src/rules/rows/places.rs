//! Rows about stations: who is where in which cell.

use super::Rows;
use crate::chart::{Place, State};
use crate::day::KeptFor;
use crate::model::unknowns::members;
use crate::model::{Line, Model, Planned, Target, Var};
use crate::site::{Energy, Mess, Minute, Span, StationIndex};
use std::collections::BTreeMap;

/// Options of a cell that use a station, or keep it from others.
fn users(rows: &Rows<'_, '_>, cell: usize, station: StationIndex) -> Vec<Var> {
    let options = rows.frame.cells[cell].options.iter().zip(&rows.unknowns.cells[cell]);
    options.filter(|(o, _)| o.stations().contains(&station)).map(|(_, v)| *v).collect()
}

fn stations(rows: &Rows<'_, '_>) -> impl Iterator<Item = StationIndex> {
    (0..rows.frame.day.stations.len()).map(StationIndex)
}

/// Children whom an option brings to a station: the group, or single ones who go there instead.
fn brings(rows: &Rows<'_, '_>, cell: usize, option: usize, station: StationIndex) -> i64 {
    let count = members(rows.frame, cell).len();
    let option = &rows.frame.cells[cell].options[option];
    let instead = option.instead.iter().filter(|i| i.1 == station).count();
    let group = match &option.target {
        Target::Station(s) if *s == station => count - option.instead.len().min(count),
        _ => 0,
    };
    (group + instead) as i64
}

/// Nobody unplaced; no station with more children than seats; a nest shares its stations with
/// nobody.
pub fn seats(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for (c, cell) in frame.cells.iter().enumerate() {
        let members = members(frame, c);
        let count = members.len() as i64;
        let Some(&unplaced) = rows.unknowns.cells[c].last() else { continue };
        let all = count * i64::from(cell.span.minutes());
        // Whoever is being changed is not without a place.
        let mut line = Line::default().plus(all, unplaced);
        for (ways, vars) in frame.rounds.iter().zip(&rows.unknowns.rounds) {
            for (way, &var) in ways.iter().zip(vars) {
                let mine = way.children.iter().filter(|(child, _)| members.contains(child));
                let common = mine.filter_map(|(_, span)| span.meet(cell.span));
                let fetched: i64 = common.map(|s| i64::from(s.minutes())).sum();
                if fetched > 0 {
                    line.add(-fetched, var);
                }
            }
        }
        if line.terms.len() == 1 {
            model.cost("seats", unplaced, all);
        } else {
            model.short("seats", format!("unplaced:{c}"), line, 1);
        }
    }
    for station in stations(rows) {
        let seats = i64::from(frame.day.station(station).seats);
        for span in cell_spans(rows) {
            let mut taken = Line::new(-seats);
            for (c, cell) in frame.cells.iter().enumerate().filter(|(_, c)| c.span.holds(span)) {
                for (o, &var) in rows.unknowns.cells[c].iter().enumerate() {
                    let nest = matches!(&cell.options[o].target, Target::Nest { open, .. } if open.contains(&station));
                    let count = if nest { seats } else { brings(rows, c, o, station) };
                    if count > 0 {
                        taken.add(count, var);
                    }
                }
            }
            let name = format!("seats:{}@{}", frame.day.station(station).id, span.from);
            model.short("seats", name, taken, i64::from(span.minutes()));
        }
    }
}

/// Stretches in which the set of open cells does not change.
fn cell_spans(rows: &Rows<'_, '_>) -> Vec<Span> {
    let edges = rows.frame.cells.iter().flat_map(|c| [c.span.from, c.span.to]);
    crate::site::slices(edges)
}

/// Between two groups at a station its reset minutes pass; one wet station at a time unless the site
/// allows more.
pub fn reset(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    for station in stations(rows) {
        let reset = day.station(station).reset_minutes;
        let mut soon: BTreeMap<(Minute, Minute), Vec<Line>> = BTreeMap::new();
        for (i, one) in frame.cells.iter().enumerate() {
            for (j, other) in frame.cells.iter().enumerate() {
                let between = other.span.from.0.checked_sub(one.span.to.0);
                if one.group == other.group || between.is_none_or(|b| b >= reset) {
                    continue;
                }
                let mut line = Line::new(-1);
                users(rows, i, station).into_iter().for_each(|v| line.add(1, v));
                users(rows, j, station).into_iter().for_each(|v| line.add(1, v));
                // Who was there before as well needs no reset.
                let stays = |c: &&usize| {
                    let cell = &frame.cells[**c];
                    cell.group == other.group && cell.span.to == one.span.to
                };
                if let Some(before) = (0..frame.cells.len()).collect::<Vec<_>>().iter().find(stays)
                {
                    users(rows, *before, station).into_iter().for_each(|v| line.add(-1, v));
                }
                soon.entry((one.span.to, other.span.from)).or_default().push(line);
            }
        }
        for ((from, to), lines) in soon {
            let name = format!("reset:{}@{from}", day.station(station).id);
            let missing = model.forced(name, lines);
            model.cost("reset", missing, i64::from(reset - (to.0 - from.0)));
        }
    }
    if !day.site.settings.two_wet_stations {
        one_wet_at_a_time(rows, model);
    }
}

fn one_wet_at_a_time(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    let wet: Vec<StationIndex> =
        stations(rows).filter(|&s| day.station(s).mess == Mess::Wet).collect();
    for span in cell_spans(rows) {
        let mut line = Line::new(-1);
        for &station in &wet {
            let cells = frame.cells.iter().enumerate().filter(|(_, c)| c.span.holds(span));
            let uses = cells.map(|(c, _)| {
                users(rows, c, station).into_iter().fold(Line::default(), |l, v| l.plus(1, v))
            });
            let uses: Vec<Line> = uses.filter(|l| !l.terms.is_empty()).collect();
            if !uses.is_empty() {
                let name = format!("wet:{}@{}", day.station(station).id, span.from);
                line.add(1, model.forced(name, uses));
            }
        }
        if line.terms.len() > 1 {
            model.short("reset", format!("wet@{}", span.from), line, i64::from(span.minutes()));
        }
    }
}

/// Two groups with children to be kept apart do not share a station.
pub fn keep_apart(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    for (i, one) in frame.cells.iter().enumerate() {
        for (j, other) in frame.cells.iter().enumerate().skip(i + 1) {
            let Some(common) = one.span.meet(other.span) else { continue };
            let theirs = members(frame, j);
            let pairs = members(frame, i).into_iter().flat_map(|c| &day.site[c].keep_apart);
            let quarrels = pairs.filter(|c| theirs.contains(c)).count() as i64;
            for station in stations(rows).filter(|_| quarrels > 0) {
                let mut line = Line::new(-1);
                users(rows, i, station).into_iter().for_each(|v| line.add(1, v));
                users(rows, j, station).into_iter().for_each(|v| line.add(1, v));
                let name = format!("apart:{i}:{j}:{}", day.station(station).id);
                model.short("keep-apart", name, line, 2 * quarrels * i64::from(common.minutes()));
            }
        }
    }
}

/// A group's kept cell costs the minutes in which it is elsewhere.
pub fn kept(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for kept in &frame.day.kept {
        let KeptFor::Group(id) = &kept.who else { continue };
        for (c, cell) in frame.cells.iter().enumerate() {
            let common = cell.span.meet(kept.span);
            let Some(common) = common.filter(|_| &frame.groups[cell.group].id == id) else {
                continue;
            };
            let each = i64::from(common.minutes()) * members(frame, c).len() as i64;
            for (option, var) in cell.options.iter().zip(&rows.unknowns.cells[c]) {
                if option.target != Target::Station(kept.station) {
                    model.cost("kept", *var, each);
                }
            }
        }
    }
}

/// One stretch of a group's way in which nobody has to move: its minutes that are still anyway, and
/// cells that are still or not as they go.
enum Stillness {
    Still(u16),
    Open(usize, u16),
    Moved,
    Neither,
}

/// No still stretch longer than allowed, over whatever the open cells may add to it.
pub fn movement(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    let longest = frame.day.schedule.movement.longest_still;
    for (g, plan) in frame.group_plans.iter().enumerate() {
        if frame.groups[g].children.iter().any(|&c| frame.day.is_young(c)) {
            continue;
        }
        let way: Vec<Stillness> = plan.iter().map(stillness).collect();
        for from in 0..way.len() {
            let mut total = 0_u16;
            let mut line = Line::new(1);
            for step in &way[from..] {
                match step {
                    Stillness::Moved => break,
                    Stillness::Neither => continue,
                    Stillness::Still(minutes) => total += minutes,
                    Stillness::Open(cell, minutes) => {
                        total += minutes;
                        line.constant -= 1;
                        let options = frame.cells[*cell].options.iter();
                        for (option, var) in options.zip(&rows.unknowns.cells[*cell]) {
                            let instead = option.instead.iter().map(|i| Target::Station(i.1));
                            if instead.chain([option.target.clone()]).any(|t| is_still(rows, &t)) {
                                line.add(1, *var);
                            }
                        }
                    }
                }
                if total > longest && !line.terms.is_empty() {
                    let over = i64::from(total - longest) * frame.groups[g].children.len() as i64;
                    model.short("movement", format!("still:{g}:{from}"), line, over);
                    break;
                }
            }
        }
    }
}

fn is_still(rows: &Rows<'_, '_>, target: &Target) -> bool {
    match target {
        Target::Station(s) => rows.frame.day.station(*s).energy == Energy::Still,
        Target::Nest { .. } | Target::Unplaced => false,
    }
}

fn stillness(planned: &Planned) -> Stillness {
    let minutes = planned.span().minutes();
    match planned {
        Planned::Cell { cell, .. } => Stillness::Open(*cell, minutes),
        Planned::Fixed(stay) => match stay.at {
            Place::WholeGroup | Place::Table(_) => Stillness::Still(minutes),
            Place::Rest if stay.state == State::Asleep => Stillness::Moved,
            Place::Transition if minutes < 15 => Stillness::Neither,
            _ => Stillness::Moved,
        },
    }
}
