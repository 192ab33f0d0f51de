//! Meals as they are eaten: tables that are laid, own sittings for who comes late or sleeps.

use super::clock::{GRID, grid_up};
use super::layout::Piece;
use super::seating::Seating;
use super::way::{overlay, stay};
use crate::chart::{Apart, BlockKind, Group, Place, State};
use crate::day::Day;
use crate::model::Planned;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Span, TableIndex};

/// Spans in which the layout's meals lay each table.
#[must_use]
pub fn laid_by_layout(
    groups: &[Group],
    seatings: &[(MealKind, Seating)],
    pieces: &[Piece],
) -> Vec<(TableIndex, Span)> {
    let mut laid = Vec::new();
    for piece in pieces {
        let BlockKind::Meal(kind) = piece.kind else { continue };
        let Some((_, seating)) = seatings.iter().find(|s| s.0 == kind) else { continue };
        for (g, group) in groups.iter().enumerate() {
            if seating.sitting_of[g] == piece.number {
                laid.extend(
                    group.children.iter().filter_map(|&c| Some((seating.table(c)?, piece.span))),
                );
            }
        }
    }
    laid.sort_unstable();
    laid.dedup();
    laid
}

/// Spans in which any child eats at each table.
#[must_use]
pub fn laid(children: &[(ChildIndex, Vec<Planned>)]) -> Vec<(TableIndex, Span)> {
    let mut laid: Vec<(TableIndex, Span)> = children
        .iter()
        .flat_map(|(_, plan)| plan)
        .filter_map(|p| match p {
            Planned::Fixed(stay) => match stay.at {
                Place::Table(t) => Some((t, stay.span)),
                _ => None,
            },
            Planned::Cell { .. } => None,
        })
        .collect();
    laid.sort_unstable();
    laid.dedup();
    laid
}

/// Gives every child who owes a meal and is not at the room's sitting one of its own.
pub fn feed(day: &Day, pieces: &[Piece], children: &mut [(ChildIndex, Vec<Planned>)]) {
    for meal in &day.schedule.meals {
        let usual =
            pieces.iter().find(|p| p.kind == BlockKind::Meal(meal.kind)).map(|p| p.span.from);
        let mut starts: Vec<Minute> = Vec::new();
        for i in 0..children.len() {
            let (child, plan) = &children[i];
            let owed = meal.kind != MealKind::Breakfast || day.site[*child].breakfast_here;
            let unwashed = eats(plan, meal) && !washed_before(plan, meal);
            if !owed || (eats(plan, meal) && !unwashed) {
                continue;
            }
            let near = usual.unwrap_or(meal.window.from);
            // Who only washes first sits down with the others as soon as that is done.
            let shared = if unwashed { &[][..] } else { &starts };
            // The first start at which a table has a seat left.
            let place = own_starts(day, *child, plan, meal, near, shared)
                .into_iter()
                .find_map(|start| Some((start, free_table(day, meal, start, (*child, children))?)));
            let Some((start, table)) = place else { continue };
            starts.push(start);
            sit(day, &mut children[i].1, meal, start, table);
        }
    }
}

/// Whether a plan already holds the whole of a meal.
fn eats(plan: &[Planned], meal: &Meal) -> bool {
    plan.iter().any(|p| match p {
        Planned::Fixed(s) => s.meal == Some(meal.kind) && s.span.minutes() >= meal.minutes,
        Planned::Cell { .. } => false,
    })
}

/// Whether a child does not come to a meal straight from a sleep of its own, unwashed.
fn washed_before(plan: &[Planned], meal: &Meal) -> bool {
    plan.windows(2).all(|pair| match (&pair[0], &pair[1]) {
        (Planned::Fixed(before), Planned::Fixed(eats)) => {
            eats.meal != Some(meal.kind)
                || before.state == State::Awake
                || before.span.to < eats.span.from
        }
        _ => true,
    })
}

/// The starts, within window and presence and awake, nearest to the room's own sitting first; one at
/// which somebody else already sits down is preferred within a quarter of an hour.
fn own_starts(
    day: &Day,
    child: ChildIndex,
    plan: &[Planned],
    meal: &Meal,
    near: Minute,
    starts: &[Minute],
) -> Vec<Minute> {
    let here = day.child_here(child);
    let fits = |s: &Minute| {
        let Some(span) = Span::new(*s, s.later(meal.minutes)) else { return false };
        // The minutes to wash in are not slept through either.
        let washes = s.earlier(day.schedule.transition_minutes);
        let up = Span { from: washes, to: span.to };
        let awake = !plan.iter().any(|p| match p {
            Planned::Fixed(stay) => {
                let lies = stay.state != State::Awake && stay.span.meets(span);
                let sleeps = stay.state == State::Asleep && stay.span.meets(up);
                lies || sleeps || (stay.at == Place::Outdoors && stay.span.meets(span))
            }
            Planned::Cell { .. } => false,
        });
        awake && meal.window.holds(span) && here.iter().any(|h| h.holds(span))
    };
    let candidates = (grid_up(meal.window.from.0)..meal.window.to.0).step_by(usize::from(GRID));
    let mut found: Vec<Minute> = candidates.map(Minute).filter(fits).collect();
    found.sort_by_key(|s| {
        let shared = if starts.contains(s) { 15 } else { 0 };
        (s.0.abs_diff(near.0).saturating_sub(shared), *s)
    });
    found
}

fn free_table(
    day: &Day,
    meal: &Meal,
    start: Minute,
    (child, children): (ChildIndex, &[(ChildIndex, Vec<Planned>)]),
) -> Option<TableIndex> {
    let span = Span::new(start, start.later(meal.minutes))?;
    let at = |t: TableIndex| {
        let sits = move |p: &Planned| matches!(p, Planned::Fixed(s) if s.at == Place::Table(t) && s.span.meets(span));
        let others = children.iter().filter(move |(c, _)| *c != child);
        others.filter(move |(_, plan)| plan.iter().any(sits)).map(|(c, _)| *c)
    };
    let taken = |t: TableIndex| at(t).count();
    let quarrel = |t: TableIndex| at(t).any(|c| day.site[child].keep_apart.contains(&c));
    let free = |t: &&TableIndex| taken(**t) < day.site[**t].seats as usize && !quarrel(**t);
    meal.tables
        .iter()
        .filter(free)
        .max_by_key(|t| (taken(**t).min(1), std::cmp::Reverse(**t)))
        .copied()
}

fn sit(day: &Day, plan: &mut Vec<Planned>, meal: &Meal, start: Minute, table: TableIndex) {
    let Some(span) = Span::new(start, start.later(meal.minutes)) else { return };
    let space = day.site[table].space;
    if let Some(wash) = Span::new(start.earlier(day.schedule.transition_minutes), start) {
        let mut washes = stay(wash, space, Place::Transition, None);
        washes.apart = Some(Apart::Food);
        overlay(plan, &washes);
    }
    let mut eats = stay(span, space, Place::Table(table), None);
    eats.meal = Some(meal.kind);
    eats.apart = Some(Apart::Food);
    overlay(plan, &eats);
}
