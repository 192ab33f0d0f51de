//! A meal earlier or later: everything from the way to the table to the way from it moves, what lies
//! before and after gets longer or shorter.

use crate::chart::{BlockKind, Chart, Place, Stay};
use crate::site::{MealKind, Minute, Span};

/// Whoever is changed right before a stretch that gets longer is with the others again for what is put
/// in: being changed takes no longer.
fn after_care(before: &[Stay], stays: &mut Vec<Stay>, put_in: Span) {
    let is_care = |s: &Stay| s.at == Place::Care && s.span.to == put_in.from;
    let care = before.iter().position(is_care).filter(|n| *n > 0);
    if let Some(care) = care.filter(|n| before[*n - 1].span.to == before[*n].span.from) {
        stays[care].span.to = put_in.from;
        stays.insert(care + 1, Stay { span: put_in, ..before[care - 1].clone() });
    }
}

/// What is left of the stretch that gets shorter, at least, in minutes.
const LEAST: u16 = 10;

/// The posted chart with a meal moved by so many minutes; `None` where it has begun, or where what
/// lies before or after is no turn or choice, or gets too short.
pub(super) fn shifted(chart: &Chart, meal: MealKind, by: i16, at: Minute) -> Option<Chart> {
    let is_meal = |k: BlockKind| k == BlockKind::Meal(meal);
    let first = chart.blocks.iter().position(|b| is_meal(b.kind))?;
    let last = chart.blocks.iter().rposition(|b| is_meal(b.kind))?;
    let moving = |i: usize| chart.blocks.get(i).is_some_and(|b| b.kind == BlockKind::Transition);
    let before = if first > 0 && moving(first - 1) {
        first.checked_sub(2)?
    } else {
        first.checked_sub(1)?
    };
    let after = if moving(last + 1) { last + 2 } else { last + 1 };
    let (before, after) = (chart.blocks.get(before)?, chart.blocks.get(after)?);
    let gives = |kind| matches!(kind, BlockKind::Turn | BlockKind::Choice | BlockKind::Outdoors);
    let (start, end) = (before.span.to, after.span.from);
    let shrinks = if by > 0 { after } else { before };
    let far = before.span.from.max(at);
    let left = shrinks.span.minutes().checked_sub(by.unsigned_abs())?;
    if !gives(shrinks.kind) || left < LEAST || start.0.checked_add_signed(by)? <= far.0 {
        return None;
    }
    let warp = |edge: Minute| -> Option<Minute> {
        if edge < start || edge > end {
            return Some(edge);
        }
        edge.0.checked_add_signed(by).map(Minute)
    };
    let mut moved = chart.clone();
    let spans = moved
        .blocks
        .iter_mut()
        .map(|b| &mut b.span)
        .chain(moved.choices.iter_mut().map(|c| &mut c.span))
        .chain(moved.groups.iter_mut().flat_map(|g| &mut g.cells).map(|c| &mut c.span))
        .chain(moved.children.iter_mut().flat_map(|c| &mut c.stays).map(|s| &mut s.span))
        .chain(moved.adults.iter_mut().flat_map(|a| &mut a.posts).map(|p| &mut p.span));
    for span in spans {
        // Somebody's stay that would be turned round by it says that it cannot be.
        *span = Span::new(warp(span.from)?, warp(span.to)?)?;
    }
    if let Some(put_in) = Span::new(start, warp(start)?) {
        let children = moved.children.iter_mut().zip(&chart.children);
        children.for_each(|(now, before)| after_care(&before.stays, &mut now.stays, put_in));
    }
    Some(moved)
}
