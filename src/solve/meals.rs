//! Who eats where and when: sittings by group, own sittings for who comes late or sleeps.

use super::clock::{GRID, grid_up};
use super::layout::Piece;
use super::way::{overlay, stay};
use crate::chart::{Apart, BlockKind, Group, Place, State};
use crate::day::Day;
use crate::model::Planned;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Span, TableIndex};

fn meal(day: &Day, kind: MealKind) -> Option<&Meal> {
    day.schedule.meals.iter().find(|m| m.kind == kind)
}

/// Who sits where at a meal: each group in one sitting, youngest first, and its children together at
/// one table wherever that can be.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Seating {
    /// Sitting of each group.
    pub sitting_of: Vec<usize>,
    /// Each child with a seat, and its table.
    pub seats: Vec<(ChildIndex, TableIndex)>,
}

impl Seating {
    /// Seats today's groups at the tables of a meal.
    #[must_use]
    pub fn new(day: &Day, groups: &[Group], kind: MealKind) -> Seating {
        let tables = meal(day, kind).map_or(&[][..], |m| &m.tables);
        let most: usize = tables.iter().map(|&t| day.site[t].seats as usize).sum();
        let youngest = |g: usize| groups[g].children.iter().map(|&c| day.months(c)).min();
        let mut order: Vec<usize> = (0..groups.len()).collect();
        order.sort_by_key(|&g| (youngest(g), g));
        let mut seating = Seating { sitting_of: vec![0; groups.len()], seats: Vec::new() };
        let mut sittings: Vec<Vec<usize>> = Vec::new();
        for g in order {
            let size = |s: &Vec<usize>| s.iter().map(|&o| groups[o].children.len()).sum::<usize>();
            let fits = |s: &Vec<usize>| {
                let with: Vec<usize> = s.iter().copied().chain([g]).collect();
                size(&with) <= most && fit(day, &seat(day, groups, &with, tables))
            };
            let at = sittings.iter().position(fits).unwrap_or_else(|| {
                sittings.push(Vec::new());
                sittings.len() - 1
            });
            sittings[at].push(g);
            seating.sitting_of[g] = at;
        }
        for sitting in &sittings {
            seating.seats.extend(seat(day, groups, sitting, tables));
        }
        seating
    }

    /// How many sittings the meal takes.
    #[must_use]
    pub fn sittings(&self) -> usize {
        self.sitting_of.iter().max().map_or(1, |s| s + 1)
    }

    /// The table of a child.
    #[must_use]
    pub fn table(&self, child: ChildIndex) -> Option<TableIndex> {
        self.seats.iter().find(|s| s.0 == child).map(|s| s.1)
    }
}

/// Whole groups at as few tables as will do; child by child where no whole groups fit.
fn seat(
    day: &Day,
    groups: &[Group],
    sitting: &[usize],
    tables: &[TableIndex],
) -> Vec<(ChildIndex, TableIndex)> {
    let mut best: Option<(usize, Vec<TableIndex>)> = None;
    let ways = tables.len().checked_pow(u32::try_from(sitting.len()).unwrap_or(u32::MAX));
    for way in 0..ways.filter(|&w| w <= 50_000).unwrap_or(0) {
        let mut rest = way;
        let mut at = Vec::new();
        for _ in sitting {
            at.push(tables[rest % tables.len()]);
            rest /= tables.len();
        }
        let everyone: Vec<(ChildIndex, TableIndex)> = sitting
            .iter()
            .zip(&at)
            .flat_map(|(&g, &t)| groups[g].children.iter().map(move |&c| (c, t)))
            .collect();
        let used = tables.iter().filter(|t| at.contains(t)).count();
        if best.as_ref().is_none_or(|b| used < b.0) && fit(day, &everyone) {
            best = Some((used, at));
        }
    }
    if let Some((_, at)) = best {
        let seats = sitting.iter().zip(at);
        return seats.flat_map(|(&g, t)| groups[g].children.iter().map(move |&c| (c, t))).collect();
    }
    // Who has somebody to be kept apart from is seated first, the others beside their group.
    let mut children: Vec<ChildIndex> =
        sitting.iter().flat_map(|&g| groups[g].children.iter().copied()).collect();
    children.sort_by_key(|&c| day.site[c].keep_apart.is_empty());
    let mut seats: Vec<(ChildIndex, TableIndex)> = Vec::new();
    let mut tries = 0;
    if place(day, &children, tables, &mut seats, &mut tries) {
        return seats;
    }
    // With too few seats children sit at the last table all the same, and that is said aloud.
    let last = tables.last().copied();
    children.into_iter().filter_map(|c| Some((c, last?))).collect()
}

/// Seats the children left over, trying table after table; gives up after so many tries.
fn place(
    day: &Day,
    children: &[ChildIndex],
    tables: &[TableIndex],
    seats: &mut Vec<(ChildIndex, TableIndex)>,
    tries: &mut u32,
) -> bool {
    const MOST_TRIES: u32 = 5_000;
    let Some(&child) = children.get(seats.len()) else { return true };
    for &table in tables {
        *tries += 1;
        if *tries > MOST_TRIES {
            return false;
        }
        seats.push((child, table));
        if fit(day, seats) && place(day, children, tables, seats, tries) {
            return true;
        }
        seats.pop();
    }
    false
}

/// Whether nobody lacks a seat or sits beside a child to be kept apart.
fn fit(day: &Day, seats: &[(ChildIndex, TableIndex)]) -> bool {
    let crowded =
        |t: TableIndex| seats.iter().filter(|s| s.1 == t).count() > day.site[t].seats as usize;
    seats.iter().all(|&(child, t)| {
        let apart = &day.site[child].keep_apart;
        !crowded(t) && !seats.iter().any(|&(other, o)| o == t && apart.contains(&other))
    })
}

/// Spans in which the layout's meals lay each table.
#[must_use]
pub fn laid_by_layout(day: &Day, groups: &[Group], pieces: &[Piece]) -> Vec<(TableIndex, Span)> {
    let mut laid = Vec::new();
    for piece in pieces {
        let BlockKind::Meal(kind) = piece.kind else { continue };
        let seating = Seating::new(day, groups, kind);
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
            if !owed || eats(plan, meal) {
                continue;
            }
            let near = usual.unwrap_or(meal.window.from);
            let Some(start) = own_start(day, *child, plan, meal, near, &starts) else { continue };
            starts.push(start);
            let Some(table) = free_table(day, meal, start, (*child, children)) else { continue };
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

/// The start, within window and presence and awake, that is nearest to the room's own sitting; one
/// at which somebody else already sits down is preferred within a quarter of an hour.
fn own_start(
    day: &Day,
    child: ChildIndex,
    plan: &[Planned],
    meal: &Meal,
    near: Minute,
    starts: &[Minute],
) -> Option<Minute> {
    let here = day.child_here(child);
    let fits = |s: &Minute| {
        let Some(span) = Span::new(*s, s.later(meal.minutes)) else { return false };
        let awake = !plan.iter().any(|p| match p {
            Planned::Fixed(stay) => {
                stay.span.meets(span) && (stay.state != State::Awake || stay.at == Place::Outdoors)
            }
            Planned::Cell { .. } => false,
        });
        awake && meal.window.holds(span) && here.iter().any(|h| h.holds(span))
    };
    let candidates = (grid_up(meal.window.from.0)..meal.window.to.0).step_by(usize::from(GRID));
    candidates.map(Minute).filter(fits).min_by_key(|s| {
        let shared = if starts.contains(s) { 15 } else { 0 };
        (s.0.abs_diff(near.0).saturating_sub(shared), *s)
    })
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
        children.iter().filter(move |(_, plan)| plan.iter().any(sits)).map(|(c, _)| *c)
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
