//! Who sits where at a meal: sittings by group, tables by group or, where that cannot be, by child.

use crate::chart::Group;
use crate::day::Day;
use crate::site::{ChildIndex, MealKind, TableIndex};
use crate::steps::{self, Stage};

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
        let tables =
            day.schedule.meals.iter().find(|m| m.kind == kind).map_or(&[][..], |m| &m.tables);
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
        steps::count(Stage::Layouts, 1);
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
        steps::count(Stage::Layouts, 1);
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
