//! How many of a group may be young, whatever the number of adults: `class-size`, room for more, the
//! block check.

use super::build::{Build, CLASSROOM, span};
use super::told;
use fairturn::chart::Place;
use fairturn::planner::{self, BlockQuestion};
use fairturn::site::{ChildIndex, SpaceIndex};
use fairturn::standards::find;

/// Children of these ages and two adults in the classroom all morning, under a standard.
fn group(standard: &str, months: &[u32]) -> Build {
    let mut b = Build::new();
    b.standards = vec![find(standard).expect("a built-in standard")];
    for (n, months) in months.iter().enumerate() {
        b.child(&format!("child {n}"), *months, "08:00-12:00");
    }
    for label in ["Ina", "Per", "Eva"] {
        let adult = b.adult(label, "08:00-12:00");
        b.site.adults[adult.0].lead = true;
        b.site.adults[adult.0].first_aid = true;
    }
    b
}

/// British Columbia, multi-age care: of eight at most three under 36 months, at most one of these under
/// 12 months.
#[test]
fn a_second_adult_allows_no_fourth_young_child_in_a_group() {
    let mut b = group("british-columbia", &[6, 20, 30, 40, 50, 60, 70, 80]);
    assert_eq!(told(&b.audit("class-size")), []);
    let late = b.child("Late", 35, "10:00-11:00");
    b.children.remove(7);
    b.chart.children.remove(7);
    let problems = b.audit("class-size");
    assert_eq!(told(&problems), [("young", span("10:00-11:00"), 1)]);
    assert_eq!((problems[0].needed, problems[0].present), (4, 3));
    assert_eq!(problems[0].children, [ChildIndex(0), ChildIndex(1), ChildIndex(2), late]);
    assert_eq!(problems[0].space, Some(CLASSROOM));
    assert_eq!(
        b.words("class-size"),
        [
            "10:00 to 11:00, classroom: one child under 36 months too many, 4 together where 3 may be \
          (asked by British Columbia, multi-age care)"
        ]
    );
    assert_eq!(told(&b.audit("ratio")), [], "there are adults enough");
}

#[test]
fn babies_have_a_cap_of_their_own_and_a_ninth_child_is_too_many() {
    let b = group("british-columbia", &[6, 8, 9, 11, 50, 60, 70, 80, 90]);
    let when = span("08:00-12:00");
    let expected = [("standard", when, 1), ("young", when, 1), ("young", when, 3)];
    assert_eq!(told(&b.audit("class-size")), expected);
    assert_eq!(
        b.words("class-size"),
        [
            "08:00 to 12:00, classroom: one child too many, 9 together where 8 may be (asked by \
             British Columbia, multi-age care)",
            "08:00 to 12:00, classroom: one child under 36 months too many, 4 together where 3 may be \
             (asked by British Columbia, multi-age care)",
            "08:00 to 12:00, classroom: 3 children under 12 months too many, 4 together where 1 may be \
             (asked by British Columbia, multi-age care)",
        ]
    );
}

#[test]
fn two_groups_in_two_spaces_each_have_their_three() {
    let mut b = group("british-columbia", &[20, 25, 30, 31, 32, 33]);
    assert_eq!(told(&b.audit("class-size")), [("young", span("08:00-12:00"), 3)]);
    let loft: SpaceIndex = b.space("loft");
    for child in 0..3 {
        b.stay_in(ChildIndex(child), "08:00-12:00", loft, Place::WholeGroup);
    }
    assert_eq!(told(&b.audit("class-size")), []);
}

/// A home is one group, wherever in it the children are.
#[test]
fn a_home_has_its_cap_over_all_spaces() {
    let mut b = group("head-start-home", &[6, 8, 20, 21, 22, 40, 41]);
    let loft: SpaceIndex = b.space("loft");
    b.stay_in(ChildIndex(0), "08:00-12:00", loft, Place::WholeGroup);
    let problems = b.audit("class-size");
    assert_eq!(told(&problems), [("young", span("08:00-12:00"), 1)]);
    assert_eq!((problems[0].space, problems[0].present), (None, 4));
    let small = group("cfoc-small-home", &[6, 20, 22]);
    assert_eq!(told(&small.audit("class-size")), [("young", span("08:00-12:00"), 1)]);
    let seven = group("cfoc-small-home", &[30, 31, 40, 41, 50, 51, 60]);
    assert_eq!(told(&seven.audit("class-size")), [("standard", span("08:00-12:00"), 1)]);
}

/// Nobody under 36 months joins three of them, and no second baby joins one.
#[test]
fn there_is_no_room_for_more_young_ones_than_the_cap() {
    let more = |months: &[u32]| -> Vec<u32> {
        let b = group("british-columbia", months);
        let rooms = planner::room_for(&b.day(), &b.chart);
        rooms[0].more.iter().map(|(_, n)| *n).collect()
    };
    assert_eq!(more(&[40, 50]), [1, 3, 3, 6, 6, 6]);
    assert_eq!(more(&[6, 40]), [0, 2, 2, 6, 6, 6]);
    assert_eq!(more(&[20, 22, 30, 40]), [0, 0, 0, 4, 4, 4]);
    assert_eq!(more(&[20, 22, 30, 31, 40]), [0, 0, 0, 0, 0, 0], "there are too many already");
}

/// A messy block is no go while the group is not one that may be together.
#[test]
fn a_block_is_no_go_with_a_fourth_young_child() {
    let said = |months: &[u32]| {
        let mut b = group("british-columbia", months);
        let paint = b.station("paint", CLASSROOM);
        b.site.stations[paint.0].seats = 8;
        let question = BlockQuestion { span: span("10:00-10:30"), stations: vec![paint] };
        let check = planner::check(&b.day(), None, &question);
        let sizes = check.reasons.iter().filter(|r| r.rule == "class-size");
        sizes.map(|r| r.words.clone()).collect::<Vec<_>>()
    };
    assert_eq!(said(&[20, 22, 30, 40]), Vec::<String>::new());
    let four = said(&[20, 22, 30, 31, 40]);
    let [one] = &four[..] else { panic!("{four:?}") };
    assert!(one.contains("one child under 36 months too many, 4 together where 3 may be"), "{one}");
}

/// Illinois: toddlers are in no group with children of 3 years, however many adults there are.
#[test]
fn ages_that_are_kept_apart_are_too_many_together() {
    let mut b = group("illinois", &[20, 20, 40, 41, 42]);
    assert_eq!(told(&b.audit("class-size")), [("standard", span("08:00-12:00"), 2)]);
    assert_eq!(
        b.words("class-size"),
        ["08:00 to 12:00, classroom: 2 children too many, 5 together where 3 may be (asked by \
             Illinois, day care centers); not in one group: toddlers, 15 through 23 months or younger \
             and 3 years or older"]
    );
    assert_eq!(told(&b.audit("ratio")), [], "there are adults enough");
    b = group("illinois", &[20, 20, 30, 31, 32]);
    assert_eq!(told(&b.audit("class-size")), [], "toddlers and twos may be together");
}
