//! Adults and children together: `least-adults`, `never-alone`, `class-size`.

use super::build::{Build, CLASSROOM, span};
use super::told;
use fairturn::chart::{Place, State};
use fairturn::site::{AdultIndex, BreakDue, ChildIndex, Task};
use fairturn::standards::{Standard, find};
use std::sync::Arc;

/// One child, and adults from 8:00 to 12:00, each with a staff break due.
fn room(adults: &[&str]) -> Build {
    let mut b = Build::new();
    b.child("Ola", 40, "08:30-12:00");
    for label in adults {
        let adult = b.adult(label, "08:00-12:00");
        let (minutes, window) = (15, span("08:00-12:00"));
        b.site.adults[adult.0].breaks =
            vec![BreakDue { minutes, window, paid: false, may_leave: true }];
    }
    b
}

/// Invented limits: class size and floor, of a scope.
fn limits(scope: &str) -> Standard {
    let text = format!(
        r#"{{ "id": "ours", "label": "ours", "edition": "1", "force": "local", "scope": "{scope}",
        "sources": {{ "house": {{ "document": "invented", "tag": "common_practice" }} }},
        "bands": [ {{ "id": "all", "label": "all ages", "ratio": {{ "per_adult": 10 }},
        "class_size": 4, "source": "house" }} ],
        "mixed": {{ "method": "fraction_sum", "source": "house" }},
        "least_adults": [ {{ "from_children": 1, "adults": 2, "source": "house" }} ],
        "floor": {{ "indoors": 300, "outdoors": 500, "source": "house" }} }}"#
    );
    Standard::from_json(&text).expect("a standard of the test")
}

#[test]
fn a_staff_break_outside_leaves_too_few_on_the_premises() {
    let mut b = room(&["Ina", "Per"]);
    b.standards = vec![Arc::new(limits("room"))];
    assert_eq!(told(&b.audit("least-adults")), []);
    b.post(AdultIndex(1), "10:20-10:35", Place::StaffBreak(0));
    let problems = b.audit("least-adults");
    assert_eq!(told(&problems), [("least", span("10:20-10:35"), 1)]);
    assert_eq!(problems[0].adults, [AdultIndex(0)]);
    assert_eq!(problems[0].standard.as_deref(), Some("ours"));
    assert_eq!(
        b.words("least-adults"),
        ["10:20 to 10:35, the premises: only Ina there, at least 2 adults needed (asked by ours)"]
    );
    b.site.adults[1].breaks[0].may_leave = false;
    assert_eq!(told(&b.audit("least-adults")), []);
}

#[test]
fn the_least_is_asked_only_while_children_are_here() {
    let mut b = room(&["Ina"]);
    b.standards = vec![Arc::new(limits("room"))];
    assert_eq!(told(&b.audit("least-adults")), [("least", span("08:30-12:00"), 1)]);
    b.standards = vec![find("ireland-full-day").expect("a built-in standard")];
    assert_eq!(told(&b.audit("least-adults")), []);
}

#[test]
fn who_may_not_be_alone_is_not_left_alone() {
    let mut b = room(&["Ina", "Per", "Eva"]);
    b.site.adults[0].may_be_alone = false;
    b.site.adults[1].may_be_alone = false;
    assert_eq!(told(&b.audit("never-alone")), []);
    b.post(AdultIndex(2), "10:20-10:35", Place::StaffBreak(0));
    b.post_in(AdultIndex(1), "10:25-10:30", CLASSROOM, Place::StaffBreak(0));
    let problems = b.audit("never-alone");
    let expected = [
        ("none-may", span("10:20-10:25"), 1),
        ("alone", span("10:25-10:30"), 1),
        ("none-may", span("10:30-10:35"), 1),
    ];
    assert_eq!(told(&problems), expected);
    assert_eq!(problems[1].adults, [AdultIndex(0)]);
    assert_eq!(
        b.words("never-alone")[..2],
        [
            "10:20 to 10:25, classroom: Ina and Per are with the children and neither may be \
             alone",
            "10:25 to 10:30, classroom: Ina is alone with the children and may not be"
        ]
    );
}

#[test]
fn an_adult_at_a_task_or_in_another_space_is_not_with_the_children() {
    let mut b = room(&["Ina", "Eva"]);
    b.site.adults[0].may_be_alone = false;
    let yard = b.space("yard");
    let task = |watching| Task {
        id: "wipe".into(),
        label: "wipe".into(),
        minutes: 10,
        window: span("08:00-12:00"),
        space: CLASSROOM,
        watching,
    };
    b.schedule.tasks = vec![task(false), task(true)];
    b.post(AdultIndex(1), "09:00-09:10", Place::Task(0));
    b.post(AdultIndex(1), "09:30-09:40", Place::Task(1));
    b.post_in(AdultIndex(1), "10:00-10:10", yard, Place::Outdoors);
    let expected = [("alone", span("09:00-09:10"), 1), ("alone", span("10:00-10:10"), 1)];
    assert_eq!(told(&b.audit("never-alone")), expected);
    // Nobody at all is a matter of the ratio.
    b.post_in(AdultIndex(0), "10:00-10:10", yard, Place::Outdoors);
    assert_eq!(told(&b.audit("never-alone")), expected[..1]);
}

/// Five children in the classroom, one of them leaves at 10:07.
fn five() -> Build {
    let mut b = Build::new();
    for label in ["Ola", "Kim", "Jo", "Mika", "Sol"] {
        b.child(label, 40, "08:00-12:00");
    }
    b.children[4].1 = vec![span("08:00-10:07")];
    b.chart.children[4].stays[0].span = span("08:00-10:07");
    b
}

#[test]
fn a_space_holds_what_its_licence_says() {
    let mut b = five();
    b.site.spaces[0].class_size = Some(5);
    assert_eq!(told(&b.audit("class-size")), []);
    b.site.spaces[0].class_size = Some(4);
    let problems = b.audit("class-size");
    assert_eq!(told(&problems), [("licence", span("08:00-10:07"), 1)]);
    assert_eq!((problems[0].needed, problems[0].present), (5, 4));
    assert_eq!(
        b.words("class-size"),
        ["08:00 to 10:07, classroom: one child too many, 5 together where 4 may be by its licence"]
    );
}

#[test]
fn floor_and_class_size_of_a_standard_hold_in_each_space() {
    let mut b = five();
    b.standards = vec![Arc::new(limits("room"))];
    b.site.spaces[0].floor_area = Some(1199);
    let problems = b.audit("class-size");
    let expected = [
        ("floor", span("08:00-10:07"), 2),
        ("standard", span("08:00-10:07"), 1),
        ("floor", span("10:07-12:00"), 1),
    ];
    assert_eq!(told(&problems), expected);
    let yard = b.space("yard");
    b.site.spaces[yard.0].outdoors = true;
    b.site.spaces[yard.0].floor_area = Some(900);
    b.site.spaces[0].floor_area = None;
    for child in 0..2 {
        b.stay_in(ChildIndex(child), "09:00-12:00", yard, Place::Outdoors);
    }
    let expected = [("standard", span("08:00-09:00"), 1), ("floor", span("09:00-12:00"), 1)];
    assert_eq!(told(&b.audit("class-size")), expected);
}

#[test]
fn sleepers_are_part_of_the_class_and_a_site_is_one() {
    let mut b = five();
    b.standards = vec![Arc::new(limits("site"))];
    let den = b.space("den");
    b.stay_in(ChildIndex(0), "08:00-12:00", den, Place::Rest).state = State::Asleep;
    let problems = b.audit("class-size");
    assert_eq!(told(&problems), [("standard", span("08:00-10:07"), 1)]);
    assert_eq!(problems[0].space, None);
    assert_eq!(
        b.words("class-size"),
        ["08:00 to 10:07, the premises: one child too many, 5 together where 4 may be (asked by \
          ours)"]
    );
}
