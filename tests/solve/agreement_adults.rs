//! Rows and audit about the adults, on every assignment of tiny days.

use super::tiny::{aged, agree, no_breaks, tiny};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::site::*;
use fairturn::standards::Standard;
use std::sync::Arc;

fn two_stations(build: &mut Build) {
    build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
}

/// A third adult with a staff break of ten minutes like the others'.
fn third(build: &mut Build) -> AdultIndex {
    let third = build.adult("third", "09:00-09:40");
    build.site.adults[third.0].breaks = build.site.adults[0].breaks.clone();
    third
}

#[test]
fn the_lead_and_the_first_aider_take_their_staff_breaks() {
    let mut build = tiny();
    two_stations(&mut build);
    third(&mut build);
    build.site.adults[0].first_aid = false;
    build.site.adults[1].first_aid = true;
    build.site.adults[1].breaks[0].may_leave = true;
    agree(&build, &["qualified", "staff-break"]);
}

#[test]
fn one_child_has_an_own_adult_and_a_stand_in() {
    for (own_counts, stand_in_counts) in [(true, true), (false, true), (true, false)] {
        let mut build = tiny();
        two_stations(&mut build);
        let own = third(&mut build);
        build.site.adults[own.0].counts = own_counts;
        build.site.adults[1].counts = stand_in_counts;
        build.site.children[0].one_to_one =
            Some(OneToOne { adult: own, stand_ins: vec![AdultIndex(1)] });
        // Without a standard nobody has to count: the child keeps its adult, others go unseen.
        agree(&build, &["one-to-one", "sight"]);
        ireland(&mut build);
        agree(&build, &["one-to-one"]);
    }
}

/// Two adults are the least on the premises with three children.
pub fn two_at_the_least(build: &mut Build) {
    let limits = r#"{
        "id": "harbour-board", "label": "Harbour board", "edition": "2026", "force": "local",
        "scope": "site", "sources": {
            "house": { "document": "Harbour board, limits of the house", "tag": "common_practice" }
        },
        "bands": [ { "id": "all", "label": "all", "ratio": { "per_adult": 40 }, "source": "house" } ],
        "mixed": { "method": "per_band_sum", "source": "house" },
        "least_adults": [ { "from_children": 3, "adults": 2, "source": "house" } ]
    }"#;
    let limits = Standard::from_json(limits).expect("limits of the house");
    build.standards.push(Arc::new(limits));
}

#[test]
fn two_adults_are_the_least() {
    let mut build = tiny();
    two_stations(&mut build);
    build.site.adults[0].breaks[0].may_leave = true;
    two_at_the_least(&mut build);
    agree(&build, &["least-adults"]);
}

/// Binds the day to a standard that has one adult for eight children of this age.
fn ireland(build: &mut Build) {
    let ireland = fairturn::standards::find("ireland-full-day").expect("a built-in standard");
    build.standards.push(ireland);
}

fn changed(seen_from: Vec<ZoneIndex>) -> Build {
    let mut build = tiny();
    two_stations(&mut build);
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from });
    build.site.children[0].toileting = Toileting::Nappies;
    build.site.children[2].toileting = Toileting::Learning;
    build.schedule.care_rounds.push(CareRound { window: span("09:00-09:30") });
    build
}

#[test]
fn a_care_round_in_sight() {
    agree(&changed(vec![FLOOR]), &["sight"]);
}

#[test]
fn a_care_round_out_of_sight() {
    agree(&changed(Vec::new()), &["sight"]);
    let mut build = changed(Vec::new());
    ireland(&mut build);
    agree(&build, &["sight", "ratio"]);
}

#[test]
fn a_task_takes_its_adult_away() {
    for watching in [false, true] {
        let mut build = tiny();
        two_stations(&mut build);
        build.schedule.tasks.push(Task {
            id: "cots".into(),
            label: "cots".into(),
            minutes: 10,
            window: span("09:05-09:35"),
            space: CLASSROOM,
            watching,
        });
        agree(&build, &["sight"]);
        // Now two are wanted all the time: whoever watches from a task is one of them.
        ireland(&mut build);
        let more = ["a", "b", "c"].map(|name| build.child(name, 31, "09:00-09:40"));
        build.site.rooms[0].groups[0].children.extend(more);
        build.site.rooms[0].group_size = (2, 5);
        build.site.stations.iter_mut().for_each(|s| s.seats = 6);
        aged(&mut build, 31);
        agree(&build, &["sight", "ratio"]);
    }
}

#[test]
fn the_ratio_of_level_6_holds_only_while_both_are_there() {
    let mut build = tiny();
    let england = fairturn::standards::find("england-eyfs").expect("a built-in standard");
    build.standards.push(england);
    two_stations(&mut build);
    for g in 0..2 {
        let more: Vec<ChildIndex> =
            (2..5).map(|c| build.child(&format!("child {g}{c}"), 50, "09:00-09:40")).collect();
        build.site.rooms[0].groups[g].children.extend(more);
    }
    build.site.rooms[0].group_size = (2, 5);
    build.site.stations.iter_mut().for_each(|s| s.seats = 5);
    build.site.adults[0].qualifications = vec!["level-6".into()];
    build.site.adults[1].qualifications = vec!["level-3".into()];
    agree(&build, &["ratio"]);
    third(&mut build);
    build.site.adults[2].qualifications = vec!["level-4".into()];
    agree(&build, &["ratio"]);
}

#[test]
fn one_who_may_not_be_alone_while_a_task_is_done() {
    let mut build = tiny();
    two_stations(&mut build);
    build.site.adults[0].may_be_alone = false;
    build.site.adults[0].breaks.clear();
    build.schedule.tasks.push(Task {
        id: "laundry".into(),
        label: "laundry".into(),
        minutes: 10,
        window: span("09:05-09:35"),
        space: CLASSROOM,
        watching: false,
    });
    agree(&build, &["never-alone"]);
}

#[test]
fn nobody_at_all_is_told_with_a_binding_standard_and_without() {
    let mut build = tiny();
    two_stations(&mut build);
    no_breaks(&mut build);
    for (_, shifts) in &mut build.adults {
        *shifts = vec![span("09:00-09:20"), span("09:31-09:40")];
    }
    agree(&build, &[]);
    let told = |build: &Build, rule: &str| -> Vec<Span> {
        let day = build.day();
        let plan = fairturn::planner::make(&day, &fairturn::planner::Options::default());
        let of = plan.problems.into_iter().filter(|p| p.rule == rule);
        of.map(|p| p.span).collect()
    };
    let alone = span("09:20-09:31");
    assert!(told(&build, "sight").iter().all(|s| alone.holds(*s)));
    let unseen: u16 = told(&build, "sight").iter().map(|s| s.minutes()).sum();
    assert!(unseen >= alone.minutes(), "{unseen} minutes without anybody are told");
    assert_eq!(told(&build, "ratio"), []);
    ireland(&mut build);
    agree(&build, &[]);
    assert_eq!(told(&build, "ratio"), [alone]);
}

#[test]
fn an_adult_who_does_not_count_frees_one_who_does() {
    let mut build = tiny();
    two_stations(&mut build);
    build.site.adults[1].counts = false;
    ireland(&mut build);
    aged(&mut build, 31);
    agree(&build, &["ratio"]);
    no_breaks(&mut build);
    build.site.adults[0].breaks = tiny().site.adults[0].breaks.clone();
    agree(&build, &["ratio"]);
}
