//! Rows about adults: each slice against those who are there.

use super::Rows;
use crate::model::needs::counted;
use crate::model::{Line, Model, Slice};
use crate::site::{Adult, AdultIndex};
use crate::standards::{Who, Within};

fn minutes(slice: &Slice) -> i64 {
    i64::from(slice.span.minutes())
}

/// Adults whom duties away from the children take in a slice: tasks that do not watch, care out of
/// sight.
fn away(rows: &Rows<'_, '_>, slice: &Slice) -> Line {
    let mut line = Line::default();
    for (task, var) in rows.unknowns.tasks_at(rows.frame, slice.span) {
        if !rows.frame.day.schedule.tasks[task].watching {
            line.add(1, var);
        }
    }
    for (zones, var) in rows.unknowns.rounds_at(rows.frame, slice.span) {
        if zones.is_empty() {
            line.add(1, var);
        }
    }
    line
}

/// Counted adults wanted, against the counted who are not on a staff break, beside a one-to-one
/// child or called away; those who do not count take the duties first.
pub fn ratio(rows: &Rows<'_, '_>, model: &mut Model) {
    for (slice, needs) in rows.frame.slices.iter().zip(rows.needs) {
        if slice.children.is_empty() {
            continue;
        }
        let here = counted(rows.frame, slice);
        let others = slice.adults.len() as i64 - here.len() as i64 - needs.beside;
        let mut line = needs.counted.clone();
        line.constant += needs.beside_counted.constant - here.len() as i64;
        line.terms.extend(&needs.beside_counted.terms);
        rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, _| here.contains(&a));
        let mut called = away(rows, slice);
        if !called.terms.is_empty() {
            called.constant -= others.max(0);
            let called = model.forced(format!("called@{}", slice.span.from), vec![called]);
            line.add(1, called);
        }
        let switched = needs.switches.iter().map(|(extra, away)| {
            let mut gone = Line::new(extra - extra * away.len() as i64);
            rows.unknowns
                .take_off(rows.frame, slice.span, &mut gone, *extra, |a, _| away.contains(&a));
            gone
        });
        let switched: Vec<Line> = switched.filter(|l| !l.terms.is_empty()).collect();
        if !switched.is_empty() {
            line.add(1, model.forced(format!("switch@{}", slice.span.from), switched));
        }
        model.short("ratio", format!("ratio-short@{}", slice.span.from), line, minutes(slice));
    }
}

/// Adults on the premises against the standards' least.
pub fn least_adults(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    for slice in rows.frame.slices.iter().filter(|s| !s.children.is_empty()) {
        let count = u32::try_from(slice.children.len()).unwrap_or(u32::MAX);
        let least = day.standards.iter().map(|s| s.least_adults(count)).max().unwrap_or(0);
        let mut line = Line::new(i64::from(least) - slice.adults.len() as i64);
        rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, due| {
            day.site[a].breaks[due].may_leave
        });
        model.short("least-adults", format!("least@{}", slice.span.from), line, minutes(slice));
    }
}

/// Wherever an adult is with children, one who may be alone is there: each adult who may not is
/// weighed against those who may.
pub fn never_alone(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    for (slice, needs) in rows.frame.slices.iter().zip(rows.needs) {
        if slice.children.is_empty() {
            continue;
        }
        let short = short_of(rows, slice, needs.spaces.clone(), |a| a.may_be_alone);
        let may_not = slice.adults.iter().filter(|a| !day.site[**a].may_be_alone);
        let lines: Vec<Line> = may_not
            .map(|&adult| {
                let mut line = short.clone();
                rows.unknowns.take_off(rows.frame, slice.span, &mut line, -1, |a, _| a == adult);
                line
            })
            .collect();
        if !lines.is_empty() {
            let alone = model.forced(format!("alone@{}", slice.span.from), lines);
            model.cost("never-alone", alone, minutes(slice));
        }
    }
}

/// `wanted` less the fit adults who are here and not on a staff break.
fn short_of(
    rows: &Rows<'_, '_>,
    slice: &Slice,
    mut wanted: Line,
    fit: impl Fn(&Adult) -> bool,
) -> Line {
    let day = rows.frame.day;
    let fit_here: Vec<AdultIndex> =
        slice.adults.iter().copied().filter(|&a| fit(&day.site[a])).collect();
    wanted.constant -= fit_here.len() as i64;
    rows.unknowns.take_off(rows.frame, slice.span, &mut wanted, 1, |a, _| fit_here.contains(&a));
    wanted
}

/// The own adult or a stand-in beside each one-to-one child.
pub fn one_to_one(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    for slice in &rows.frame.slices {
        for &child in &slice.children {
            let Some(support) = &day.site[child].one_to_one else { continue };
            let may = |a: AdultIndex| support.adult == a || support.stand_ins.contains(&a);
            let mut line = Line::new(1 - slice.adults.iter().filter(|a| may(**a)).count() as i64);
            rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, _| {
                may(a) && slice.adults.contains(&a)
            });
            let name = format!("one-to-one:{}@{}", day.site[child].id, slice.span.from);
            model.short("one-to-one", name, line, minutes(slice));
        }
    }
}

/// Wanted adults (a line) against everybody who is free for a post in a slice.
fn against_free(rows: &Rows<'_, '_>, slice: &Slice, wanted: &Line, beside: i64) -> Line {
    let mut line = wanted.clone();
    line.constant += beside - slice.adults.len() as i64;
    rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, _| slice.adults.contains(&a));
    for (_, var) in rows.unknowns.tasks_at(rows.frame, slice.span) {
        line.add(1, var);
    }
    for (_, var) in rows.unknowns.rounds_at(rows.frame, slice.span) {
        line.add(1, var);
    }
    line
}

/// Adults at staffed stations and tables, against those who are free.
pub fn staffed(rows: &Rows<'_, '_>, model: &mut Model) {
    for (slice, needs) in rows.frame.slices.iter().zip(rows.needs) {
        let line = against_free(rows, slice, &needs.tied, needs.beside);
        model.short("staffed", format!("staffed@{}", slice.span.from), line, minutes(slice));
    }
}

/// Adults at all posts, those who watch included, against those who are free.
pub fn sight(rows: &Rows<'_, '_>, model: &mut Model) {
    for (slice, needs) in rows.frame.slices.iter().zip(rows.needs) {
        let line = against_free(rows, slice, &needs.posted, needs.beside);
        let name = format!("sight@{}", slice.span.from);
        // The posted line holds forced quantities: always made, never skipped.
        model.short("sight", name, line, minutes(slice));
    }
}

/// The lead in the room, first aid on the premises, and what else a standard asks for.
pub fn qualified(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    let asked = day.standards.iter().flat_map(|s| s.asks_for().iter().map(|a| (&a.who, a.within)));
    let own = [(&Who::Lead, Within::Room), (&Who::FirstAid, Within::Premises)];
    let mut all: Vec<(&Who, Within)> = own.into_iter().chain(asked).collect();
    let mut seen: Vec<(&Who, Within)> = Vec::new();
    all.retain(|a| {
        let new = !seen.contains(a);
        seen.push(*a);
        new
    });
    for slice in rows.frame.slices.iter().filter(|s| !s.children.is_empty()) {
        for (who, within) in &all {
            let holds = |a: &Adult| match who {
                Who::Lead => a.lead,
                Who::FirstAid => a.first_aid,
                Who::Qualification(q) => a.qualifications.contains(q),
            };
            let here: Vec<AdultIndex> =
                slice.adults.iter().copied().filter(|&a| holds(&day.site[a])).collect();
            let mut line = Line::new(1 - here.len() as i64);
            rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, due| {
                let gone = *within == Within::Room || day.site[a].breaks[due].may_leave;
                gone && here.contains(&a)
            });
            model.short(
                "qualified",
                format!("qualified@{}", slice.span.from),
                line,
                minutes(slice),
            );
        }
    }
}

/// A missed staff break costs its minutes; two of one adult never overlap.
pub fn staff_break(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for (b, vars) in frame.breaks.iter().zip(&rows.unknowns.breaks) {
        if let Some(&missed) = vars.last() {
            model.cost("staff-break", missed, i64::from(b.minutes));
        }
    }
    for (i, one) in frame.breaks.iter().enumerate() {
        for (j, other) in frame.breaks.iter().enumerate().skip(i + 1) {
            if one.adult != other.adult {
                continue;
            }
            for (s, &a) in one.starts.iter().zip(&rows.unknowns.breaks[i]) {
                for (t, &b) in other.starts.iter().zip(&rows.unknowns.breaks[j]) {
                    if *s < t.later(other.minutes) && *t < s.later(one.minutes) {
                        let line = Line::new(-1).plus(1, a).plus(1, b);
                        let least = i64::from(one.minutes.min(other.minutes));
                        model.short("staff-break", format!("overlap:{i}:{j}@{s}:{t}"), line, least);
                    }
                }
            }
        }
    }
    for ((task, _), vars) in frame.tasks.iter().zip(&rows.unknowns.tasks) {
        if let Some(&undone) = vars.last() {
            let minutes = frame.day.schedule.tasks[*task].minutes;
            // A task left undone is no rule broken; it is dearer than any wish all the same.
            model.cost("staff-break", undone, i64::from(minutes));
        }
    }
}
