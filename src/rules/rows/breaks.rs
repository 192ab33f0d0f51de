//! Rows of the aims that say when staff breaks are had.

use super::Rows;
use crate::day::{GRID, grid_up};
use crate::model::frame::BreakChoice;
use crate::model::{Line, Model, Var};
use crate::rules::aim_long_work::LONGEST_WORK;
use crate::rules::aim_middle_breaks::middle;
use crate::site::{Minute, Span};

/// One for each staff break in the first or last hour.
pub fn middle_breaks(rows: &Rows<'_, '_>, model: &mut Model) {
    let frame = rows.frame;
    for (due, vars) in frame.breaks.iter().zip(&rows.unknowns.breaks) {
        let here = frame.day.adults.iter().find(|(adult, _)| *adult == due.adult);
        let Some(middle) = here.and_then(|(_, shifts)| middle(shifts)) else { continue };
        for (start, var) in due.starts.iter().zip(vars) {
            let taken = Span { from: *start, to: start.later(due.minutes) };
            if !middle.holds(taken) {
                model.cost("middle-breaks", *var, 1);
            }
        }
    }
}

/// One for each five minutes after which an adult has worked too long without a staff break: a break
/// must lie in every stretch that is as long as that.
pub fn long_work(rows: &Rows<'_, '_>, model: &mut Model) {
    let day = rows.frame.day;
    for (adult, shifts) in &day.adults {
        let all = rows.frame.breaks.iter().zip(&rows.unknowns.breaks);
        let own: Vec<(&BreakChoice, &Vec<Var>)> =
            all.filter(|(due, _)| due.adult == *adult).collect();
        // What was had before a moment, or fits nowhere, is not seen here.
        if own.is_empty() || own.len() < day.site[*adult].breaks.len() {
            continue;
        }
        for work in shifts.iter().flat_map(|shift| too_long(*shift)) {
            let mut line = Line::new(1);
            for (due, vars) in &own {
                for (start, var) in due.starts.iter().zip(vars.iter()) {
                    if work.meets(Span { from: *start, to: start.later(due.minutes) }) {
                        line.add(-1, *var);
                    }
                }
            }
            model.short("long-work", format!("long-work:{}@{}", adult.0, work.from), line, 1);
        }
    }
}

/// Every stretch of a shift, on the grid, that is five minutes longer than anybody should work.
fn too_long(shift: Span) -> impl Iterator<Item = Span> {
    let starts = (grid_up(shift.from.0)..shift.to.0).step_by(usize::from(GRID));
    let stretch = |from| Span::new(Minute(from), Minute(from).later(LONGEST_WORK + GRID));
    starts.filter_map(stretch).filter(move |work| shift.holds(*work))
}
