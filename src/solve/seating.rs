//! Who sits where at a meal: sittings by group, tables by group or, where that cannot be, by child.

use crate::chart::Group;
use crate::day::Day;
use crate::site::{ChildIndex, MealKind, TableIndex};
use crate::steps::{self, Stage};
use std::collections::BTreeMap;

/// Who sits where at a meal: each group in one sitting, and its children together at one table
/// wherever that can be.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Seating {
    /// Sitting of each group.
    pub sitting_of: Vec<usize>,
    /// Each child with a seat, and its table.
    pub seats: Vec<(ChildIndex, TableIndex)>,
}

/// More ways to share the sittings of a meal are not looked at.
const MOST_WAYS: usize = 64;

/// More ways to put groups into sittings are not tried.
const MOST_TRIED: usize = 10_000;

/// The ways in which today's groups can share the sittings of a meal, as few sittings as will do: the
/// sitting of each group. The first has the youngest in the first sitting, as far as seats allow.
#[must_use]
pub fn ways(day: &Day, groups: &[Group], kind: MealKind) -> Vec<Vec<usize>> {
    let tables = tables(day, kind);
    let most: usize = tables.iter().map(|&t| day.site[t].seats as usize).sum();
    let order = youngest_first(day, groups);
    let fits = |sitting: &[usize]| {
        let children = sitting.iter().map(|&g| groups[g].children.len());
        children.sum::<usize>() <= most && can_sit(day, groups, sitting, tables)
    };
    let mut by_age = vec![0; groups.len()];
    let mut sittings: Vec<Vec<usize>> = Vec::new();
    for &g in &order {
        let takes = |s: &Vec<usize>| fits(&s.iter().copied().chain([g]).collect::<Vec<usize>>());
        let at = sittings.iter().position(takes).unwrap_or_else(|| {
            sittings.push(Vec::new());
            sittings.len() - 1
        });
        sittings[at].push(g);
        by_age[g] = at;
    }
    let mut ways = vec![by_age];
    if sittings.len() < 2 {
        return ways;
    }
    let mut known: Vec<Option<bool>> = vec![None; 1 << groups.len().min(16)];
    for count in 2..=sittings.len() {
        let others = shared(&order, count, |sitting| {
            let mask = sitting.iter().fold(0, |mask, g| mask | 1 << g);
            *known[mask].get_or_insert_with(|| fits(sitting))
        });
        if count < sittings.len() && !others.is_empty() {
            ways.clear();
        }
        ways.extend(others);
        if ways.len() > 1 {
            break;
        }
    }
    let mut once: Vec<Vec<usize>> = Vec::new();
    for way in ways {
        if !once.contains(&way) {
            once.push(way);
        }
    }
    once.truncate(MOST_WAYS);
    once
}

/// Of each way to share the sittings of a meal, how many tables are laid at once at the most: an adult
/// sits at each.
#[must_use]
pub fn tables_at_once(
    day: &Day,
    groups: &[Group],
    kind: MealKind,
    ways: &[Vec<usize>],
) -> Vec<usize> {
    let order = youngest_first(day, groups);
    let mut known: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
    let mut laid = |sitting: Vec<usize>| {
        let count = |sitting: &Vec<usize>| {
            let mut at: Vec<TableIndex> =
                seat(day, groups, sitting, tables(day, kind)).into_iter().map(|s| s.1).collect();
            at.sort_unstable();
            at.dedup();
            at.len()
        };
        *known.entry(sitting).or_insert_with_key(count)
    };
    let mut most = |way: &Vec<usize>| {
        let last = way.iter().max().copied().unwrap_or(0);
        let sitting = |at: usize| order.iter().copied().filter(move |&g| way[g] == at).collect();
        (0..=last).map(|at| laid(sitting(at))).max().unwrap_or(0)
    };
    ways.iter().map(&mut most).collect()
}

/// Every way to share so many sittings that fits, those first that have fewer younger groups behind
/// older ones; none where there are too many to try.
fn shared(
    order: &[usize],
    count: usize,
    mut fits: impl FnMut(&[usize]) -> bool,
) -> Vec<Vec<usize>> {
    let groups = u32::try_from(order.len()).unwrap_or(u32::MAX);
    let Some(all) = count.checked_pow(groups).filter(|all| *all <= MOST_TRIED) else {
        return Vec::new();
    };
    let mut found: Vec<(usize, Vec<usize>)> = Vec::new();
    for number in 0..all {
        let mut rest = number;
        let mut way = vec![0; order.len()];
        for &g in order.iter().rev() {
            way[g] = rest % count;
            rest /= count;
        }
        let sitting =
            |at: usize| -> Vec<usize> { (0..order.len()).filter(|&g| way[g] == at).collect() };
        if (0..count).map(sitting).all(|s| !s.is_empty() && fits(&s)) {
            let pairs = (0..order.len()).flat_map(|a| (a + 1..order.len()).map(move |b| (a, b)));
            let behind = pairs.filter(|&(a, b)| way[order[b]] < way[order[a]]).count();
            found.push((behind, way));
        }
    }
    found.sort();
    found.into_iter().map(|(_, way)| way).collect()
}

fn youngest_first(day: &Day, groups: &[Group]) -> Vec<usize> {
    let youngest = |g: usize| groups[g].children.iter().map(|&c| day.months(c)).min();
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by_key(|&g| (youngest(g), g));
    order
}

fn tables(day: &Day, kind: MealKind) -> &[TableIndex] {
    day.schedule.meal(kind).map_or(&[], |m| &m.tables)
}

/// Whether the children of some groups can sit at tables at once.
fn can_sit(day: &Day, groups: &[Group], sitting: &[usize], tables: &[TableIndex]) -> bool {
    place(day, &children(day, groups, sitting), tables, &mut Vec::new(), &mut 0)
        || fit(day, &seat(day, groups, sitting, tables))
}

/// The children of some groups; who has somebody to be kept apart from comes first, the others beside
/// their group.
fn children(day: &Day, groups: &[Group], sitting: &[usize]) -> Vec<ChildIndex> {
    let mut children: Vec<ChildIndex> =
        sitting.iter().flat_map(|&g| groups[g].children.iter().copied()).collect();
    children.sort_by_key(|&c| day.site[c].keep_apart.is_empty());
    children
}

impl Seating {
    /// Seats today's groups at the tables of a meal, each in its sitting.
    #[must_use]
    pub fn of(day: &Day, groups: &[Group], kind: MealKind, sitting_of: Vec<usize>) -> Seating {
        let order = youngest_first(day, groups);
        let sittings = sitting_of.iter().max().map_or(0, |last| last + 1);
        let in_sitting = |at: usize| -> Vec<usize> {
            order.iter().copied().filter(|&g| sitting_of[g] == at).collect()
        };
        let seats = (0..sittings)
            .flat_map(|at| seat(day, groups, &in_sitting(at), tables(day, kind)))
            .collect();
        Seating { sitting_of, seats }
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
    let children = children(day, groups, sitting);
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
