//! Rows about care rounds.

use super::Rows;
use crate::chart::{Place, State};
use crate::model::{Line, Model, Planned, Var};
use crate::site::{ChildIndex, Minute, Span, Toileting};

/// Minutes that a child in nappies is awake beyond the care interval, from one change to the next.
pub fn care_in_time(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    let nappies = |c: &ChildIndex| day.site[*c].toileting == Toileting::Nappies;
    for (child, plan) in rows.frame.children.iter().filter(|(c, _)| nappies(c)) {
        for here in day.child_here(*child) {
            waits(rows, (*child, plan), *here, model);
        }
    }
}

/// A time at which a child is clean: it comes or goes home, or it is changed.
struct Clean {
    /// The earliest and the latest that it may be.
    within: (Minute, Minute),
    /// Ways to run the round with the child's turn in each; none where the time is fixed.
    ways: Vec<(Var, Span)>,
    /// The child is changed then whichever way is taken.
    sure: bool,
}

impl Clean {
    fn at(minute: Minute) -> Clean {
        Clean { within: (minute, minute), ways: Vec::new(), sure: true }
    }
}

fn waits(
    rows: &Rows<'_, '_>,
    (child, plan): (ChildIndex, &[Planned]),
    here: Span,
    model: &mut Model,
) {
    let interval = i64::from(rows.frame.day.site.settings.care_interval);
    // Minutes that the child has been up since it came; nobody is changed asleep.
    let up = |until: Minute| -> i64 {
        let asleep = |p: &&Planned| matches!(p, Planned::Fixed(s) if s.state == State::Asleep);
        let before = Span { from: here.from, to: until };
        let slept = plan.iter().filter(asleep).filter_map(|p| p.span().meet(before));
        i64::from(until.0 - here.from.0) - slept.map(|s| i64::from(s.minutes())).sum::<i64>()
    };
    let times = times(rows, child, here);
    let mut latest = here.from;
    for pair in times.windows(2) {
        let (from, to) = (&pair[0], &pair[1]);
        // Of times that may change places nothing is said.
        let in_order = latest <= from.within.0 && from.within.1 <= to.within.0;
        latest = latest.max(from.within.1);
        if !in_order || !from.sure || !to.sure {
            continue;
        }
        let mut line = Line::new(-interval);
        let mut add = |time: &Clean, sign: i64, edge: fn(&Span) -> Minute| {
            if time.ways.is_empty() {
                line.constant += sign * up(time.within.0);
            }
            time.ways.iter().for_each(|(var, span)| line.add(sign * up(edge(span)), *var));
        };
        add(from, -1, |s| s.to);
        add(to, 1, |s| s.from);
        let name = format!("unchanged:{}@{}", child.0, from.within.0);
        model.short("care-in-time", name, line, 1);
    }
}

/// The times in one presence of a child, in order.
fn times(rows: &Rows<'_, '_>, child: ChildIndex, here: Span) -> Vec<Clean> {
    let mut times = vec![Clean::at(here.from), Clean::at(here.to)];
    for (ways, vars) in rows.frame.rounds.iter().zip(&rows.unknowns.rounds) {
        let turns = ways.iter().zip(vars).flat_map(|(way, var)| {
            let mine = way.children.iter().filter(|c| c.0 == child && here.holds(c.1));
            mine.map(|c| (*var, c.1))
        });
        let turns: Vec<(Var, Span)> = turns.collect();
        let first = turns.iter().map(|t| t.1.from).min();
        let last = turns.iter().map(|t| t.1.to).max();
        if let (Some(first), Some(last)) = (first, last) {
            let sure = turns.len() == ways.len();
            times.push(Clean { within: (first, last), ways: turns, sure });
        }
    }
    times.sort_by_key(|t| t.within);
    times
}

/// One for each child in nappies who is not changed after its last sleep.
pub fn clean_after_sleep(rows: &Rows<'_, '_>, model: &mut Model) {
    let (frame, day) = (rows.frame, rows.frame.day);
    let nappies = |c: &ChildIndex| day.site[*c].toileting == Toileting::Nappies;
    for (child, plan) in frame.children.iter().filter(|(c, _)| nappies(c)) {
        let asleep = |p: &&Planned| matches!(p, Planned::Fixed(s) if s.state == State::Asleep);
        let woke = plan.iter().filter(asleep).map(|p| p.span().to).max();
        let home = plan.iter().map(|p| p.span().to).max();
        let (Some(woke), Some(home)) = (woke, home) else { continue };
        let changed = |p: &Planned| matches!(p, Planned::Fixed(s) if s.at == Place::Care && s.span.from >= woke);
        if woke.later(day.site.settings.care_minutes) > home || plan.iter().any(changed) {
            continue;
        }
        let mut line = Line::new(1);
        for (ways, vars) in frame.rounds.iter().zip(&rows.unknowns.rounds) {
            for (way, var) in ways.iter().zip(vars) {
                if way.children.iter().any(|(c, span)| c == child && span.from >= woke) {
                    line.add(-1, *var);
                }
            }
        }
        model.short("clean-after-sleep", format!("after-sleep:{}", child.0), line, 1);
    }
}
