//! Nobody is assigned to anything until most of the children who are due are in.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, span};
use fairturn::chart::{Block, BlockKind};
use fairturn::day::{KeptCell, KeptFor};
use fairturn::planner::notes;
use fairturn::site::*;

/// A morning to which children come at these times.
fn coming(times: &[&str]) -> Build {
    let mut build = morning("09:00-11:00");
    for (n, from) in times.iter().enumerate() {
        build.child(&format!("child {n}"), 50, &format!("{from}-11:00"));
    }
    adult(&mut build, "lead", "09:00-11:00");
    adult(&mut build, "second", "09:00-11:00");
    build
}

fn first_turn(build: &Build) -> Minute {
    let blocks = made(&build.day()).chart.blocks;
    let turns = blocks.iter().filter(|b| b.kind == BlockKind::Turn);
    turns.map(|b| b.span.from).min().expect("there are turns")
}

#[test]
fn no_turn_begins_before_two_thirds_are_in() {
    let late = ["09:00", "09:00", "09:00", "09:40", "09:50", "10:00"];
    let mut build = coming(&late);
    assert_eq!(build.day().most_in(), Minute::hm(9, 40), "the fourth of six");
    assert!(first_turn(&build) >= Minute::hm(9, 40));
    build.site.settings.most_in_percent = 50;
    assert!(first_turn(&build) < Minute::hm(9, 40), "half of them are enough for this site");
    assert!(first_turn(&coming(&["09:00"; 6])) < Minute::hm(9, 40), "they are all in");
}

#[test]
fn who_comes_after_lunch_is_not_waited_for() {
    let mut build = coming(&["09:00", "09:00", "10:45", "10:50"]);
    assert_eq!(build.day().most_in(), Minute::hm(10, 45));
    let window = span("10:30-11:00");
    build.schedule.meals.push(Meal {
        kind: MealKind::Lunch,
        window,
        minutes: 20,
        tables: Vec::new(),
    });
    assert_eq!(build.day().most_in(), Minute::hm(9, 0));
}

#[test]
fn a_chart_with_a_turn_too_early_says_so() {
    // The last one comes after lunch: nobody waits for that one, nor is it counted.
    let mut build = coming(&["09:00", "09:00", "09:40", "10:00", "10:50"]);
    build.schedule.meals.push(Meal {
        kind: MealKind::Lunch,
        window: span("10:30-11:00"),
        minutes: 20,
        tables: Vec::new(),
    });
    let turn = Block { id: "turn-1".into(), kind: BlockKind::Turn, span: span("09:10-09:30") };
    build.chart.blocks.push(turn);
    let told = notes(&build.day(), &build.chart);
    assert_eq!(
        told,
        [
            "Note: turns begin at 09:10, when 2 of 4 children due in the morning have come; until most \
             of them are in (at 09:40) nobody should be assigned."
        ]
    );
    let who = KeptFor::Child(ChildIndex(0));
    build.kept.push(KeptCell { who, station: StationIndex(0), span: span("09:10-09:30") });
    assert!(notes(&build.day(), &build.chart).is_empty(), "the teacher wants it so");
}

#[test]
fn what_the_teacher_keeps_is_not_put_off() {
    let mut build = coming(&["09:00", "09:00", "09:00", "09:40", "09:50", "10:00"]);
    let who = KeptFor::Child(ChildIndex(0));
    build.kept.push(KeptCell { who, station: StationIndex(0), span: span("09:10-09:20") });
    let plan = made(&build.day());
    assert_eq!(plan.problems, []);
    assert!(first_turn(&build) <= Minute::hm(9, 10));
}
