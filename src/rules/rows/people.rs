//! Rows about adults: each slice against those who are there.

use super::Rows;
use super::team::{Missing, without};
use crate::model::{Line, Model, Slice, Var};
use crate::site::{Adult, AdultIndex};
use crate::standards::{Who, Within};

fn minutes(slice: &Slice) -> i64 {
    i64::from(slice.span.minutes())
}

/// A missing adult costs the minutes of the slice.
fn cost(rows: &Rows<'_, '_>, model: &mut Model, rule: &str, of: impl Fn(&Missing) -> Option<Var>) {
    for (slice, missing) in rows.frame.slices.iter().zip(rows.missing) {
        if let Some(var) = of(missing) {
            model.cost(rule, var, minutes(slice));
        }
    }
}

/// Counted adults wanted, against the counted who are not on a staff break or called away.
pub fn ratio(rows: &Rows<'_, '_>, model: &mut Model) {
    cost(rows, model, "ratio", |m| m.ratio);
}

/// The own adult or a stand-in beside each one-to-one child.
pub fn one_to_one(rows: &Rows<'_, '_>, model: &mut Model) {
    cost(rows, model, "one-to-one", |m| m.one_to_one);
}

/// Adults at staffed stations.
pub fn staffed(rows: &Rows<'_, '_>, model: &mut Model) {
    cost(rows, model, "staffed", |m| m.staffed);
}

/// Zones, transitions and changing places that nobody sees.
pub fn sight(rows: &Rows<'_, '_>, model: &mut Model) {
    cost(rows, model, "sight", |m| m.sight);
}

/// Tables at which no adult sits; the rest of the rule is up to the layout.
pub fn tables(rows: &Rows<'_, '_>, model: &mut Model) {
    cost(rows, model, "meals", |m| m.tables);
}

/// Adults on the premises against the standards' least.
pub fn least_adults(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    for slice in rows.frame.slices.iter().filter(|s| !s.children.is_empty()) {
        let count = u32::try_from(slice.children.len()).unwrap_or(u32::MAX);
        let least = day.standards.iter().map(|s| s.least_adults(count)).max().unwrap_or(0);
        let here = slice.adults.len() + slice.held.len();
        let mut line = Line::new(i64::from(least) - here as i64);
        rows.unknowns.take_off(rows.frame, slice.span, &mut line, 1, |a, due| {
            day.site[a].breaks[due].may_leave
        });
        model.short("least-adults", format!("least@{}", slice.span.from), line, minutes(slice));
    }
}

/// Children too many in a space.
pub fn class_size(rows: &Rows<'_, '_>, model: &mut Model) {
    for (slice, needs) in rows.frame.slices.iter().zip(rows.needs) {
        for &too_many in &needs.too_many {
            model.cost("class-size", too_many, minutes(slice));
        }
    }
}

/// Wherever an adult is with children, one who may be alone is there.
///
/// Where a standard wants somebody in each space, that is asked of each; elsewhere nobody has to be
/// there at all, and only with a single space has everybody to be in it.
pub fn never_alone(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, site) = (rows.frame, &rows.frame.day.site);
    for ((slice, needs), missing) in frame.slices.iter().zip(rows.needs).zip(rows.missing) {
        let may_not: Vec<AdultIndex> =
            slice.adults.iter().copied().filter(|&a| !site[a].may_be_alone).collect();
        if slice.children.is_empty() || may_not.is_empty() {
            continue;
        }
        let may = without(frame, rows.unknowns, slice, |a, _| a.may_be_alone);
        let mut lines = Vec::new();
        if needs.in_each_space {
            let line = needs.spaces.clone().plus_line(1, &may);
            lines.push(missing.ratio.into_iter().fold(line, |l, var| l.plus(-1, var)));
        }
        if site.spaces.len() == 1 {
            lines.extend(may_not.iter().map(|&adult| {
                let mut line = Line::new(1).plus_line(1, &may);
                rows.unknowns.take_off(frame, slice.span, &mut line, -1, |a, _| a == adult);
                for (task, var) in rows.unknowns.tasks_at(frame, slice.span) {
                    if !frame.day.schedule.tasks[task].watching {
                        line.add(-1, var);
                    }
                }
                line
            }));
        }
        if let Some(alone) = model.rising(format!("alone@{}", slice.span.from), lines) {
            model.cost("never-alone", alone, minutes(slice));
        }
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
            let here = slice.adults.iter().chain(&slice.held).copied();
            let here: Vec<AdultIndex> = here.filter(|&a| holds(&day.site[a])).collect();
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
}
