//! Who eats when: meals far enough from one another for each child, each once, and sittings by who ate
//! when.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{Apart, BlockKind, Chart, Place, Stay};
use fairturn::page::text::{Look, print_plan};
use fairturn::planner::Plan;
use fairturn::rules::{Problem, rows};
use fairturn::site::*;
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::read;

/// A day from eight to four with these meals: kind, window, minutes.
fn day_with(meals: &[(MealKind, &str, u16)], tables: &[u32]) -> Build {
    let mut build = morning("08:00-14:00");
    build.site.settings.meal_interval = (120, 300);
    let tables = tables.iter().enumerate().map(|(n, seats)| {
        let table = build.table(&format!("table {n}"), CLASSROOM);
        build.site.tables[table.0].seats = *seats;
        table
    });
    let tables: Vec<TableIndex> = tables.collect();
    for &(kind, window, minutes) in meals {
        build.schedule.meals.push(Meal {
            kind,
            window: span(window),
            minutes,
            tables: tables.clone(),
        });
    }
    for name in ["lead", "second", "third"] {
        adult(&mut build, name, "08:00-14:00");
    }
    build
}

fn told<'p>(plan: &'p Plan, case: &str) -> Vec<&'p Problem> {
    plan.problems.iter().filter(|p| p.case == case).collect()
}

/// When a child sits down to a meal, and whether apart from its group.
fn eats(chart: &Chart, child: ChildIndex, kind: MealKind) -> Vec<(Minute, bool)> {
    let stays = &chart.child(child).expect("a child of the chart").stays;
    let at_it = |s: &&Stay| s.meal == Some(kind) && matches!(s.at, Place::Table(_));
    stays.iter().filter(at_it).map(|s| (s.span.from, s.apart == Some(Apart::Food))).collect()
}

use MealKind::{Breakfast, Lunch, MorningSnack};

#[test]
fn two_children_whose_snack_is_too_near_to_lunch_are_not_safe() {
    let meals = [(MorningSnack, "10:30-10:45", 15), (Lunch, "11:45-12:15", 30)];
    let mut build = day_with(&meals, &[6]);
    let children = ["a", "b"].map(|name| build.child(name, 50, "08:00-14:00"));
    let plan = made(&build.day());
    let problems = told(&plan, "too-soon");
    assert_eq!(problems.len(), 1, "{:?}", plan.problems);
    assert_eq!(problems[0].children, children);
    assert!((75..120).contains(&problems[0].present), "{}", problems[0].present);
    assert!(!plan.safe_to_run());
    let text = print_plan(&build.day(), &plan, Look::default());
    assert!(!text.starts_with("Safe to run"), "{text}");
    let words: Vec<&str> = text.split_whitespace().collect();
    assert!(words.join(" ").contains("minutes apart, at least 120 asked"), "{text}");
}

/// The same with the snack left no time by the outing: everybody has it when it can be had.
#[test]
fn a_meal_that_finds_no_time_for_all_is_held_against_the_next() {
    let meals = [(MorningSnack, "10:00-10:40", 15), (Lunch, "11:30-12:45", 30)];
    let mut build = day_with(&meals, &[6]);
    let yard = build.space("yard");
    build.site.spaces[yard.0].outdoors = true;
    build.schedule.parts.push(Part {
        kind: PartKind::Outdoors,
        span: span("09:30-10:20"),
        space: yard,
    });
    let children = ["a", "b"].map(|name| build.child(name, 50, "08:00-14:00"));
    let plan = made(&build.day());
    let first = |kind| eats(&plan.chart, children[0], kind)[0].0;
    let apart = first(Lunch).0 - first(MorningSnack).0;
    assert_eq!(told(&plan, "too-soon").is_empty(), apart >= 120, "{:?}", plan.problems);
    assert!(apart >= 110, "lunch is as late as it can be: {apart}");
}

/// Asleep from 9:15 to 10:00, and up for lunch at noon: there are 120 minutes between, or it is said.
#[test]
fn a_baby_eats_by_its_own_clock_within_the_least() {
    let meals = [(MorningSnack, "09:30-10:30", 15), (Lunch, "11:45-12:45", 30)];
    let mut build = day_with(&meals, &[6]);
    for name in ["a", "b", "c"] {
        build.child(name, 50, "08:00-14:00");
    }
    let baby = build.child("baby", 11, "08:00-14:00");
    build.site.children[baby.0].sleep = Sleep::At(vec![span("09:15-10:00")]);
    let plan = made(&build.day());
    assert_eq!(told(&plan, "too-soon"), Vec::<&Problem>::new());
    assert_eq!(eats(&plan.chart, baby, MorningSnack).len(), 1);
    let [from, to] = [MorningSnack, Lunch].map(|kind| eats(&plan.chart, baby, kind)[0].0);
    assert!(to.0 - from.0 >= 120, "{from} {to}");
}

#[test]
fn a_snack_waits_for_those_who_had_breakfast() {
    let meals = [(Breakfast, "08:15-08:35", 20), (MorningSnack, "09:40-10:10", 15)];
    let mut build = day_with(&meals, &[6]);
    build.site.settings.meal_interval = (90, 300);
    let children = ["a", "b"].map(|name| build.child(name, 50, "08:00-14:00"));
    build.site.children[0].breakfast_here = true;
    let plan = made(&build.day());
    assert_eq!(told(&plan, "too-soon"), Vec::<&Problem>::new());
    assert!(
        children.map(|c| eats(&plan.chart, c, MorningSnack)[0].0 >= Minute::hm(9, 45)) == [true; 2]
    );
    build.schedule.meals[1].window = span("09:30-09:50");
    let plan = made(&build.day());
    assert_eq!(told(&plan, "too-soon").len(), 1, "{:?}", plan.problems);
    assert_eq!(told(&plan, "too-soon")[0].children, [children[0]]);
}

#[test]
fn who_comes_late_is_offered_food_and_has_lunch_with_the_others() {
    let meals = [(MorningSnack, "09:30-10:30", 15), (Lunch, "11:30-12:00", 30)];
    let mut build = day_with(&meals, &[6]);
    for name in ["a", "b", "c"] {
        build.child(name, 50, "08:00-14:00");
    }
    let late = build.child("late", 50, "10:00-14:00");
    let plan = made(&build.day());
    let told: Vec<&Problem> = plan.problems.iter().filter(|p| p.rule == "meals").collect();
    assert_eq!(told, Vec::<&Problem>::new());
    assert_eq!(eats(&plan.chart, late, MorningSnack), [(Minute::hm(10, 0), true)]);
    assert_eq!(eats(&plan.chart, late, Lunch), [(Minute::hm(11, 30), false)]);
}

/// Six children at four seats: whoever had breakfast last has to be in the second sitting.
#[test]
fn who_ate_first_eats_first() {
    let meals = [
        (Breakfast, "08:00-08:45", 15),
        (MorningSnack, "10:00-10:35", 15),
        (Lunch, "12:00-13:05", 25),
    ];
    let mut build = day_with(&meals, &[3]);
    // The youngest come last, and breakfast last.
    for (name, months, here) in [
        ("old a", 60, "08:00-14:00"),
        ("old b", 60, "08:00-14:00"),
        ("old c", 60, "08:00-14:00"),
        ("young a", 40, "08:20-14:00"),
        ("young b", 40, "08:20-14:00"),
        ("young c", 40, "08:20-14:00"),
    ] {
        let child = build.child(name, months, here);
        build.site.children[child.0].breakfast_here = true;
    }
    for (id, children) in [("old", [0, 1, 2]), ("young", [3, 4, 5])] {
        build.site.rooms[0].groups.push(StandingGroup {
            id: id.into(),
            label: id.into(),
            picture: "boat".into(),
            children: children.map(ChildIndex).to_vec(),
        });
    }
    let plan = made(&build.day());
    let told: Vec<&Problem> = plan.problems.iter().filter(|p| p.rule == "meals").collect();
    assert_eq!(told, Vec::<&Problem>::new());
    for kind in [MorningSnack, Lunch] {
        let [old, young] = [0, 3].map(|c| eats(&plan.chart, ChildIndex(c), kind)[0].0);
        assert!(old < young, "{kind:?}: {old} {young}");
    }
}

/// Every way to put the groups of a day into the sittings of a chart's blocks.
fn every_way(sizes: &[usize], seats: usize, sittings: usize) -> Vec<Vec<usize>> {
    let all = 0..sittings.pow(u32::try_from(sizes.len()).expect("few groups"));
    let way = |number: usize| -> Vec<usize> {
        (0..sizes.len()).map(|g| number / sittings.pow(g as u32) % sittings).collect()
    };
    let fits = |way: &Vec<usize>| {
        (0..sittings).all(|at| {
            let there = sizes.iter().zip(way).filter(|(_, sitting)| **sitting == at);
            there.map(|(size, _)| size).sum::<usize>() <= seats
        })
    };
    all.map(way).filter(fits).collect()
}

/// Starts of the sittings of a meal, by the chart's blocks.
fn sittings(chart: &Chart, kind: MealKind) -> Vec<Minute> {
    let blocks = chart.blocks.iter().filter(|b| b.kind == BlockKind::Meal(kind));
    blocks.map(|b| b.span.from).collect()
}

/// At the times that a chart has its sittings, no other way to share them leaves fewer minutes too few
/// between two meals.
#[test]
fn sittings_are_shared_as_well_as_trying_every_way_shares_them() {
    let mut in_two = 0;
    for number in 0..12_usize {
        let meals = [
            (Breakfast, "08:00-08:50", 15),
            (MorningSnack, "09:50-10:40", 15),
            (Lunch, "11:45-12:55", 25),
        ];
        let seats = [4, 5][number % 2];
        let mut build = day_with(&meals, &[seats]);
        let sizes = [[2, 2, 2], [3, 2, 2], [2, 3, 2], [2, 2, 3]][number % 4];
        let mut groups: Vec<Vec<ChildIndex>> = Vec::new();
        for (g, size) in sizes.iter().enumerate() {
            let months = 40 + 8 * ((g + number) % 3) as u32;
            let from = ["08:00", "08:10", "08:20", "08:30"][(g * 5 + number / 2) % 4];
            let child = |build: &mut Build, n: usize| {
                let child = build.child(&format!("{g} {n}"), months, &format!("{from}-14:00"));
                build.site.children[child.0].breakfast_here = (g + number) % 5 != 0;
                child
            };
            groups.push((0..*size).map(|n| child(&mut build, n)).collect());
        }
        for (g, children) in groups.iter().enumerate() {
            build.site.rooms[0].groups.push(StandingGroup {
                id: format!("group {g}"),
                label: format!("group {g}"),
                picture: "boat".into(),
                children: children.clone(),
            });
        }
        let plan = made(&build.day());
        let chart = &plan.chart;
        let left: u32 = told(&plan, "too-soon").iter().map(|p| p.by).sum();
        let [snacks, lunches] = [MorningSnack, Lunch].map(|kind| sittings(chart, kind));
        in_two += usize::from(snacks.len() == 2 && lunches.len() == 2);
        let short = |one: Minute, other: Minute| u32::from(120_u16.saturating_sub(other.0 - one.0));
        let mut least = u32::MAX;
        for first in every_way(&sizes, seats as usize, snacks.len()) {
            for second in every_way(&sizes, seats as usize, lunches.len()) {
                let mut all = 0;
                for (g, children) in groups.iter().enumerate() {
                    let (snack, lunch) = (snacks[first[g]], lunches[second[g]]);
                    for child in children {
                        let breakfast = eats(chart, *child, Breakfast);
                        all += breakfast.first().map_or(0, |b| short(b.0, snack));
                        all += short(snack, lunch);
                    }
                }
                least = least.min(all);
            }
        }
        assert!(left <= least, "day {number}: {left} minutes too few, {least} would do");
    }
    assert!(in_two >= 6, "days in two sittings: {in_two}");
}

/// In no frame of an invented room, of however few layouts that fit, is there a meal twice. In the first
/// one a sitting comes too late for two who leave, and they have it alone before.
#[test]
fn nobody_has_the_same_meal_twice_in_any_layout() {
    use fairturn::solve::{decode::decode, framing::frame, groups, layout::layouts};
    let mut drawn = 0;
    let others = (0..40_u64).map(|seed| {
        let (children, adults) = (6 + seed as usize * 5 % 12, 2 + seed as usize % 4);
        (seed % 2 == 0, children, adults, seed)
    });
    for (is_awkward, children, adults, seed) in [(true, 9, 3, 21)].into_iter().chain(others) {
        let invent = if is_awkward { awkward } else { invent };
        let scenario = read(invent(1, children, adults, seed).as_bytes()).expect("no fault");
        let day = scenario.open(RoomIndex(0), scenario.date).expect("the room is open");
        let standing = groups::standing_groups(&day.site, day.room, day.date, 1);
        let groups = groups::groups_today(&day, &standing);
        for layout in layouts(&day, &groups, 6) {
            let frame = frame(&day, &groups, &layout);
            let (model, unknowns) = rows::model(&frame);
            let (chart, _) = decode(&frame, &unknowns, &vec![0; model.choices.len()]);
            let rule = fairturn::rules::rule("meals").expect("the rule");
            let twice = (rule.audit)(&day, &chart).into_iter().find(|p| p.case.ends_with("-twice"));
            assert_eq!(twice, None, "room {seed}");
            drawn += 1;
        }
    }
    assert!(drawn > 60, "{drawn}");
}
