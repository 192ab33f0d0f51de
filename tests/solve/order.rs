//! An earlier aim is never given up for a later one, however dear that is; swapping two aims makes
//! another chart.

use super::milp::polish;
use super::tiny::{Tiny, assignments, no_breaks, tiny};
use crate::audits::build::{Build, CLASSROOM, today};
use fairturn::day::Visit;
use fairturn::model::Model;
use fairturn::planner::{Options, make};
use fairturn::site::{ChildIndex, StationIndex};
use fairturn::solve::search::{Steps, search};

const CLAY: StationIndex = StationIndex(0);
const STEPS: Steps = Steps { annealing: 3_000, descent: 1_500 };

/// One child owes a visit to the clay, where its group has been a hundred times; there are stations
/// enough for everybody to go elsewhere.
fn owed_and_worn_out() -> Build {
    let mut build = tiny();
    build.station("clay", CLASSROOM);
    for name in ["blocks", "books", "puzzles"] {
        build.station(name, CLASSROOM);
    }
    no_breaks(&mut build);
    build.must_do.push((ChildIndex(0), CLAY));
    for n in 1..=100 {
        for child in 0..2 {
            let date = today() - chrono::Days::new(n);
            build.record.visits.push(Visit { child: ChildIndex(child), station: CLAY, date });
        }
    }
    build
}

fn level(model: &Model, slug: &str) -> usize {
    model.levels.iter().position(|l| l.slug == slug).expect("a level")
}

#[test]
fn one_missed_visit_outweighs_any_number_of_a_later_aim() {
    let build = owed_and_worn_out();
    let day = build.day();
    let tiny = Tiny::new(&day);
    let (owed, shares) = (level(&tiny.model, "must-do"), level(&tiny.model, "fair-shares"));
    let searched = search(&tiny.frame, &tiny.model, None, STEPS, 1);
    let away = assignments(&tiny.model)
        .min_by_key(|(_, levels)| (levels[shares], levels.clone()))
        .expect("there are assignments");
    let before = away.1[shares];
    assert_eq!(away.1[owed], 1, "staying away costs the one visit alone");
    let polished = polish(&tiny.model, away.0, 2_000).taken;
    for taken in [searched, polished] {
        let levels = tiny.model.value(&taken);
        assert_eq!(levels[owed], 0);
        let more = levels[shares] - before;
        assert!(more >= 40, "the visit costs {more} of a later aim");
    }
    let plan = make(&day, &Options::default());
    let missed = plan.aims.iter().find(|a| a.slug == "must-do").expect("the aim");
    assert_eq!(missed.value, 0);
}

#[test]
fn two_aims_swapped_make_another_chart() {
    let build = owed_and_worn_out();
    let day = build.day();
    let tiny = Tiny::new(&day);
    let mut swapped = tiny.model.clone();
    swapped.levels.swap(level(&tiny.model, "must-do"), level(&tiny.model, "fair-shares"));
    let best = |model: &Model| {
        let optimum = assignments(model).map(|a| a.1).min().expect("there are assignments");
        let taken = search(&tiny.frame, model, None, STEPS, 1);
        assert_eq!(model.value(&taken), optimum);
        taken
    };
    let visits = |taken: &[usize]| {
        let at_clay = |c: &&fairturn::chart::ChildDay| {
            c.child == ChildIndex(0)
                && c.stays.iter().any(|s| s.at == fairturn::chart::Place::Station(CLAY))
        };
        tiny.chart(taken).0.children.iter().filter(at_clay).count()
    };
    assert_eq!(visits(&best(&tiny.model)), 1);
    assert_eq!(visits(&best(&swapped)), 0);
}
