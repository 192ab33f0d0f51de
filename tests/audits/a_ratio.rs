//! Enough counted adults in every space and minute: `ratio`.

use super::build::{Build, CLASSROOM, span};
use super::told;
use fairturn::chart::{Place, State};
use fairturn::site::{AdultIndex, BreakDue, CarePlace, ChildIndex, Task};
use fairturn::standards::{Standard, find};
use std::sync::Arc;

/// Children of four years, 1:8 by the Irish standard, and adults, all from 8:00 to 12:00.
fn irish(children: usize, adults: &[&str]) -> Build {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a built-in standard")];
    for i in 0..children {
        b.child(&format!("child {i}"), 50, "08:00-12:00");
    }
    for label in adults {
        b.adult(label, "08:00-12:00");
    }
    b
}

/// Invented limits: one adult for so many children of any age.
fn limits(scope: &str, each: u32) -> Arc<Standard> {
    let text = format!(
        r#"{{ "id": "ours", "label": "ours", "edition": "1", "force": "local", "scope": "{scope}",
        "sources": {{ "house": {{ "document": "invented", "tag": "common_practice" }} }},
        "bands": [ {{ "id": "all", "label": "all ages", "ratio": {{ "per_adult": {each} }},
        "source": "house" }} ], "mixed": {{ "method": "fraction_sum", "source": "house" }} }}"#
    );
    Arc::new(Standard::from_json(&text).expect("a standard of the test"))
}

#[test]
fn a_staff_break_inside_a_block_breaks_the_ratio_to_the_minute() {
    let mut b = irish(12, &["Ina", "Per"]);
    assert_eq!(told(&b.audit("ratio")), []);
    let due = BreakDue { minutes: 15, window: span("10:00-11:00"), paid: true, may_leave: false };
    b.site.adults[1].breaks = vec![due];
    b.post(AdultIndex(1), "10:20-10:35", Place::StaffBreak(0));
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("short", span("10:20-10:35"), 1)]);
    let problem = &problems[0];
    assert_eq!((problem.needed, problem.present), (2, 1));
    assert_eq!(problem.standard.as_deref(), Some("ireland-full-day"));
    assert_eq!((problem.space, &problem.adults[..]), (Some(CLASSROOM), &[AdultIndex(0)][..]));
    assert_eq!(problem.children.len(), 12);
    assert_eq!(
        b.words("ratio"),
        ["10:20 to 10:35, classroom: one adult short, 1 on duty, 2 needed (Ireland, full and \
          part day)"]
    );
}

#[test]
fn the_ratio_holds_in_each_space_by_itself() {
    let mut b = irish(12, &["Ina", "Per"]);
    let gym = b.space("gym");
    // Ten go to the gym with one adult and come back one after the other.
    for i in 0..10 {
        b.stay_in(ChildIndex(i), "10:00-10:15", gym, Place::Movement);
    }
    b.post_in(AdultIndex(0), "10:00-10:15", gym, Place::Movement);
    for i in 0..2 {
        b.stay_in(ChildIndex(i), "10:13-10:15", CLASSROOM, Place::Transition);
    }
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("short", span("10:00-10:13"), 1)]);
    assert_eq!(problems[0].space, Some(gym));
}

#[test]
fn a_transition_left_with_one_adult_is_short() {
    let mut b = irish(12, &["Ina", "Per"]);
    let yard = b.space("yard");
    for i in 0..12 {
        b.stay(ChildIndex(i), "10:00-10:05", Place::Transition);
        b.stay_in(ChildIndex(i), "10:05-10:30", yard, Place::Outdoors);
    }
    b.post(AdultIndex(0), "10:00-10:05", Place::Transition);
    b.post_in(AdultIndex(0), "10:05-10:30", yard, Place::Outdoors);
    b.post_in(AdultIndex(1), "10:01-10:30", yard, Place::Outdoors);
    assert_eq!(told(&b.audit("ratio")), [("short", span("10:01-10:05"), 1)]);
}

#[test]
fn who_is_bound_elsewhere_does_not_count() {
    let due = BreakDue { minutes: 10, window: span("08:00-12:00"), paid: true, may_leave: false };
    let task = |watching| Task {
        id: "cots".into(),
        label: "cots".into(),
        minutes: 10,
        window: span("08:00-12:00"),
        space: CLASSROOM,
        watching,
    };
    let short_by = |at: Place, change: fn(&mut Build)| {
        let mut b = irish(12, &["Ina", "Per"]);
        b.site.adults[1].breaks = vec![due.clone()];
        b.schedule.tasks = vec![task(false), task(true)];
        b.site.spaces[0].care_place = Some(CarePlace { seen_from: Vec::new() });
        b.post(AdultIndex(1), "09:07-09:16", at);
        change(&mut b);
        let problems = b.audit("ratio");
        assert!(problems.iter().all(|p| p.span == span("09:07-09:16")), "{problems:?}");
        problems.iter().map(|p| p.by).sum::<u32>()
    };
    let nothing: fn(&mut Build) = |_| {};
    assert_eq!(short_by(Place::StaffBreak(0), nothing), 1, "a staff break");
    assert_eq!(short_by(Place::Task(0), nothing), 1, "a task");
    assert_eq!(short_by(Place::Task(1), nothing), 0, "a task that watches");
    assert_eq!(short_by(Place::Door, nothing), 0, "the door");
    assert_eq!(short_by(Place::Care, nothing), 1, "care out of sight");
    let seen: fn(&mut Build) = |b| {
        let seen_from = vec![super::build::FLOOR];
        b.site.spaces[0].care_place = Some(CarePlace { seen_from });
    };
    assert_eq!(short_by(Place::Care, seen), 0, "care in sight");
    let one_to_one: fn(&mut Build) = |b| b.chart.adults[1].posts[1].for_child = Some(ChildIndex(0));
    assert_eq!(short_by(Place::WholeGroup, one_to_one), 1, "one-to-one");
    let mut b = irish(12, &["Ina", "Per"]);
    b.site.adults[1].counts = false;
    assert_eq!(told(&b.audit("ratio")), [("short", span("08:00-12:00"), 1)]);
}

#[test]
fn every_standard_holds_by_itself() {
    let mut b = irish(12, &["Ina", "Per"]);
    b.standards.push(limits("room", 5));
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("short", span("08:00-12:00"), 1)]);
    assert_eq!(problems[0].standard.as_deref(), Some("ours"));
}

#[test]
fn a_site_standard_counts_all_spaces_together() {
    let mut b = irish(8, &["Ina", "Per"]);
    b.standards = vec![limits("site", 4)];
    let yard = b.space("yard");
    for i in 0..6 {
        b.stay_in(ChildIndex(i), "10:00-10:30", yard, Place::Outdoors);
    }
    assert_eq!(told(&b.audit("ratio")), []);
    b.chart.adults[1].posts[0].span = span("08:00-11:00");
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("short", span("11:00-12:00"), 1)]);
    assert_eq!(problems[0].space, None);
    assert_eq!(
        b.words("ratio"),
        ["11:00 to 12:00, the premises: one adult short, 1 on duty, 2 needed (ours)"]
    );
}

#[test]
fn a_problem_is_cut_where_its_figures_change() {
    let mut b = irish(17, &["Ina"]);
    b.children[16].1 = vec![span("08:00-09:00")];
    b.chart.children[16].stays[0].span = span("08:00-09:00");
    let expected = [("short", span("08:00-09:00"), 2), ("short", span("09:00-12:00"), 1)];
    assert_eq!(told(&b.audit("ratio")), expected);
}

#[test]
fn fractions_that_are_whole_stay_whole() {
    // 5 of 3, 5 of 5, 2 of 6 and 0 of 8 an adult: exactly three.
    let mut b = irish(0, &["Ina", "Per", "Eva"]);
    for (months, n) in [(6, 5), (18, 5), (30, 2)] {
        for i in 0..n {
            b.child(&format!("{months} {i}"), months, "08:00-12:00");
        }
    }
    assert_eq!(told(&b.audit("ratio")), []);
    b.child("one more", 70, "11:00-11:30");
    assert_eq!(told(&b.audit("ratio")), [("short", span("11:00-11:30"), 1)]);
}

/// Fourteen sleepers of three years in the classroom from 12:30 to 13:30.
fn asleep(state: State) -> Build {
    let mut b = Build::new();
    b.standards = vec![find("cfoc-centre").expect("a built-in standard")];
    for i in 0..14 {
        let child = b.child(&format!("child {i}"), 40, "12:00-14:00");
        b.stay(child, "12:30-13:30", Place::Rest).state = state;
    }
    for label in ["Ina", "Per"] {
        let adult = b.adult(label, "12:00-14:00");
        let (minutes, window) = (30, span("12:30-13:30"));
        b.site.adults[adult.0].breaks =
            vec![BreakDue { minutes, window, paid: true, may_leave: false }];
    }
    b.post(AdultIndex(1), "12:40-13:10", Place::StaffBreak(0));
    b
}

#[test]
fn the_rest_rule_is_for_sleepers_and_leaves_the_others_in_the_building() {
    let mut b = asleep(State::Asleep);
    assert_eq!(told(&b.audit("ratio")), []);
    b.site.adults[1].breaks[0].may_leave = true;
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("building", span("12:40-13:10"), 1)]);
    assert_eq!((problems[0].needed, problems[0].present), (2, 1));
    let resting = asleep(State::Resting);
    assert_eq!(told(&resting.audit("ratio")), [("short", span("12:40-13:10"), 1)]);
}

#[test]
fn the_break_of_the_qualified_adult_doubles_the_need() {
    let mut b = Build::new();
    b.standards = vec![find("england-eyfs").expect("a built-in standard")];
    for i in 0..26 {
        b.child(&format!("child {i}"), 45, "08:00-12:00");
    }
    for (label, level) in [("Ina", "level-6"), ("Per", "level-3"), ("Eva", "level-2")] {
        let adult = b.adult(label, "08:00-12:00");
        b.site.adults[adult.0].qualifications = vec![level.into()];
    }
    assert_eq!(told(&b.audit("ratio")), []);
    b.post(AdultIndex(0), "10:00-10:20", Place::StaffBreak(0));
    let problems = b.audit("ratio");
    assert_eq!(told(&problems), [("short", span("10:00-10:20"), 2)]);
    assert_eq!((problems[0].needed, problems[0].present), (4, 2));
}
