//! One-to-one, staffed stations, sight, and who must be there.

use super::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::{ChoiceIndex, Place, State};
use fairturn::rules::Unit;
use fairturn::site::*;
use fairturn::standards::{Asked, Who, Within, find};
use std::sync::Arc;

/// Ola, with Ann at the side all day and Ben as stand-in, and Cy who is neither.
fn one_to_one() -> (Build, ChildIndex, [AdultIndex; 3]) {
    let mut b = Build::new();
    let ola = b.child("Ola", 50, "09:00-12:00");
    let [ann, ben, cy] = ["Ann", "Ben", "Cy"].map(|a| b.adult(a, "08:00-16:00"));
    b.site.children[0].one_to_one = Some(OneToOne { adult: ann, stand_ins: vec![ben] });
    b.post(ann, "09:00-12:00", Place::WholeGroup).for_child = Some(ola);
    (b, ola, [ann, ben, cy])
}

#[test]
fn a_stand_in_may_take_over_for_the_staff_break() {
    let (mut b, ola, [ann, ben, _]) = one_to_one();
    b.post(ann, "10:00-10:15", Place::StaffBreak(0));
    b.post(ben, "10:00-10:15", Place::Zone(FLOOR)).for_child = Some(ola);
    assert_eq!(b.audit("one-to-one"), []);
}

#[test]
fn a_staff_break_without_a_stand_in_is_told_to_the_minute() {
    let (mut b, ola, [ann, ben, cy]) = one_to_one();
    b.post(ann, "10:02-10:17", Place::StaffBreak(0)).for_child = Some(ola);
    b.post(ben, "10:02-10:10", Place::WholeGroup);
    let found = b.audit("one-to-one");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].case, found[0].span), ("nobody", span("10:02-10:17")));
    assert_eq!((&found[0].children, found[0].by, found[0].space), (&vec![ola], 1, Some(CLASSROOM)));
    assert_eq!(
        b.words("one-to-one"),
        [
            "10:02 to 10:17, classroom: Ola is without one-to-one support, Ann or Ben must be there for \
          Ola alone"
        ]
    );
    b.post(cy, "10:02-10:17", Place::WholeGroup).for_child = Some(ola);
    let found = b.audit("one-to-one");
    assert_eq!((found.len(), found[0].case, &found[0].adults), (1, "not-named", &vec![cy]));
    assert_eq!(
        b.words("one-to-one"),
        [
            "10:02 to 10:17, classroom: Ola is one-to-one with Cy, who is no named stand-in; it must be \
          Ann or Ben"
        ]
    );
}

#[test]
fn the_own_adult_in_another_space_or_at_the_door_is_not_there() {
    let (mut b, ola, [ann, ..]) = one_to_one();
    let den = b.space("den");
    b.stay(ola, "11:00-11:30", Place::Rest).state = State::Asleep;
    b.post_in(ann, "11:00-11:30", den, Place::Rest).for_child = Some(ola);
    b.post(ann, "09:00-09:05", Place::Door).for_child = Some(ola);
    b.post(ann, "09:30-09:40", Place::Care).for_child = Some(ola);
    b.stay(ola, "09:35-09:40", Place::Care);
    let spans: Vec<_> = b.audit("one-to-one").iter().map(|p| p.span).collect();
    assert_eq!(spans, ["09:00-09:05", "09:30-09:35", "11:00-11:30"].map(span));
}

/// Five children at a dough station with one adult for four, one more child at the blocks.
fn dough() -> (Build, StationIndex, StationIndex, [AdultIndex; 2]) {
    let mut b = Build::new();
    let dough = b.station("dough", CLASSROOM);
    let blocks = b.station("blocks", CLASSROOM);
    b.site.stations[0].supervision = Supervision::Staffed { children_per_adult: 4 };
    b.site.stations[0].seats = 6;
    let adults = ["Ann", "Ben"].map(|a| b.adult(a, "09:00-10:00"));
    for label in ["Ada", "Bo", "Cai", "Dee", "Eli"] {
        let child = b.child(label, 50, "09:00-10:00");
        b.stay(child, "09:10-09:30", Place::Station(dough));
    }
    let fay = b.child("Fay", 50, "09:00-10:00");
    b.stay(fay, "09:10-09:30", Place::Station(blocks));
    (b, dough, blocks, adults)
}

#[test]
fn a_staffed_station_has_one_adult_for_so_many_children() {
    let (mut b, dough, _, [ann, ben]) = dough();
    b.post(ann, "09:10-09:30", Place::Station(dough));
    b.post(ben, "09:10-09:30", Place::Station(dough));
    assert_eq!(b.audit("staffed"), []);
    b.post(ben, "09:17-09:22", Place::WholeGroup);
    let found = b.audit("staffed");
    assert_eq!((found.len(), found[0].span), (1, span("09:17-09:22")));
    assert_eq!((found[0].needed, found[0].present, found[0].by), (2, 1, 1));
    assert_eq!((found[0].unit, found[0].at), (Unit::Adults, Some(Place::Station(dough))));
    assert_eq!(
        b.words("staffed"),
        ["09:17 to 09:22, dough: 1 at it, 2 adults needed for Ada, Bo, Cai, Dee and Eli"]
    );
}

#[test]
fn who_does_not_count_or_is_there_for_one_child_does_not_staff_a_station() {
    let (mut b, dough, _, [ann, ben]) = dough();
    b.post(ann, "09:10-09:30", Place::Station(dough)).for_child = Some(ChildIndex(0));
    b.post(ben, "09:10-09:30", Place::Station(dough));
    b.site.adults[1].counts = false;
    let found = b.audit("staffed");
    assert_eq!((found.len(), found[0].present, found[0].by), (1, 0, 2));
    assert_eq!(
        b.words("staffed"),
        ["09:10 to 09:30, dough: no adult at it, 2 adults needed for Ada, Bo, Cai, Dee and Eli"]
    );
}

#[test]
fn everyone_at_one_table_with_the_one_adult_is_fine() {
    let (mut b, dough, blocks, [ann, _]) = dough();
    b.post(ann, "09:10-09:30", Place::Station(dough));
    let fay = ChildIndex(5);
    b.stay(fay, "09:10-09:30", Place::Rest).state = State::Asleep;
    assert_eq!(b.audit("staffed"), [], "a sleeper does not spread the watch");
    b.stay(fay, "09:10-09:30", Place::Rest).state = State::Resting;
    assert_eq!(b.audit("staffed").len(), 1);
    b.stay(fay, "09:10-09:30", Place::Station(blocks));
    assert_eq!(b.audit("staffed").len(), 1);
}

#[test]
fn a_staffed_station_open_in_a_choice_is_staffed_for_its_seats() {
    let (mut b, dough, blocks, [ann, ben]) = dough();
    b.site.stations[0].seats = 4;
    let choice = b.choice("09:10-09:30", &[dough, blocks]);
    for child in 0..6 {
        b.stay(ChildIndex(child), "09:10-09:30", choice);
    }
    assert_eq!(b.audit("staffed")[0].needed, 1, "four of the six may sit down");
    b.post(ann, "09:10-09:30", Place::Station(dough));
    assert_eq!(b.audit("staffed"), []);
    b.site.stations[0].seats = 5;
    assert_eq!(b.audit("staffed")[0].needed, 2);
    b.post(ben, "09:10-09:30", Place::Station(dough));
    assert_eq!(b.audit("staffed"), []);
}

/// Two zones; Ada is at the blocks in the corner, Bo on the floor.
fn corner() -> (Build, ZoneIndex, [AdultIndex; 2]) {
    let mut b = Build::new();
    let corner = b.zone("blocks corner", CLASSROOM);
    let blocks = b.station("blocks", CLASSROOM);
    b.site.stations[0].zone = corner;
    let adults = ["Ann", "Ben"].map(|a| b.adult(a, "09:00-12:00"));
    let ada = b.child("Ada", 50, "09:00-12:00");
    b.child("Bo", 50, "09:00-12:00");
    b.stay(ada, "10:00-11:00", Place::Station(blocks));
    b.post(adults[1], "10:00-11:00", Place::Zone(corner));
    (b, corner, adults)
}

#[test]
fn a_zone_that_nobody_sees_is_told_to_the_minute() {
    let (mut b, corner, [_, ben]) = corner();
    assert_eq!(b.audit("sight"), []);
    b.post(ben, "10:20-10:35", Place::StaffBreak(0));
    let found = b.audit("sight");
    assert_eq!((found.len(), found[0].case, found[0].zone), (1, "zone", Some(corner)));
    assert_eq!((found[0].span, &found[0].children), (span("10:20-10:35"), &vec![ChildIndex(0)]));
    assert_eq!(
        b.words("sight"),
        ["10:20 to 10:35, blocks corner: nobody has it in sight, Ada is there"]
    );
}

#[test]
fn the_door_tasks_and_another_childs_adult_see_nothing() {
    let (mut b, corner, [ann, ben]) = corner();
    for (label, watching) in [("cots", false), ("wiping", true)] {
        b.schedule.tasks.push(Task {
            id: label.into(),
            label: label.into(),
            minutes: 10,
            window: span("09:00-12:00"),
            space: CLASSROOM,
            watching,
        });
    }
    b.post(ben, "10:05-10:10", Place::Door);
    b.post(ben, "10:15-10:25", Place::Task(0)).zone = Some(corner);
    b.post(ben, "10:30-10:35", Place::Task(1)).zone = Some(corner);
    b.post(ben, "10:40-10:45", Place::Zone(corner)).for_child = Some(ChildIndex(1));
    b.post(ann, "10:50-10:55", Place::Zone(corner)).for_child = Some(ChildIndex(1));
    let spans: Vec<_> = b.audit("sight").iter().map(|p| (p.zone, p.span)).collect();
    let unseen = ["10:05-10:10", "10:15-10:25", "10:40-10:45"].map(|s| (Some(corner), span(s)));
    assert_eq!(spans, unseen, "Bo is in the sight of the own adult from 10:50");
}

#[test]
fn an_own_adult_sees_the_own_child_and_a_choice_uses_all_its_zones() {
    let (mut b, corner, [ann, ben]) = corner();
    b.post(ben, "10:00-11:00", Place::Zone(corner)).for_child = Some(ChildIndex(0));
    assert_eq!(b.audit("sight"), []);
    let table = b.station("books", CLASSROOM);
    let choice = b.choice("10:00-10:30", &[StationIndex(0), table]);
    b.stay(ChildIndex(1), "10:00-10:30", choice);
    let found = b.audit("sight");
    assert_eq!((found.len(), found[0].zone), (1, Some(corner)));
    assert_eq!((found[0].span, &found[0].children), (span("10:00-10:30"), &vec![ChildIndex(1)]));
    b.post(ann, "10:00-10:30", Place::Zone(corner));
    assert_eq!(b.audit("sight")[0].zone, Some(FLOOR));
}

#[test]
fn a_transition_and_a_child_being_changed_have_an_adult_with_them() {
    let (mut b, _, [ann, ben]) = corner();
    let ada = ChildIndex(0);
    b.table("long table", CLASSROOM);
    b.stay(ada, "09:10-09:15", Place::Transition);
    b.stay(ada, "09:20-09:25", Place::Care);
    b.post(ann, "09:05-09:30", Place::Table(TableIndex(0)));
    b.post(ben, "09:05-09:30", Place::Zone(FLOOR));
    let cases =
        |b: &Build| -> Vec<_> { b.audit("sight").iter().map(|p| (p.case, p.span)).collect() };
    assert_eq!(cases(&b), [("care", span("09:20-09:25"))]);
    b.post(ben, "09:05-09:30", Place::Table(TableIndex(0)));
    assert_eq!(
        cases(&b),
        [("transition", span("09:10-09:15")), ("care", span("09:20-09:25"))],
        "who sits at the table watches no transition"
    );
    assert_eq!(
        b.words("sight"),
        [
            "09:10 to 09:15, classroom: nobody watches the transition of Ada",
            "09:20 to 09:25, classroom: Ada is at the changing place without an adult"
        ]
    );
    b.post(ben, "09:10-09:15", Place::Transition);
    b.post(ann, "09:20-09:25", Place::Care);
    assert_eq!(cases(&b), []);
    b.post(ben, "09:20-09:25", Place::Care);
    assert_eq!(cases(&b), [("zone", span("09:20-09:25"))], "out of sight, both see nobody else");
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    assert_eq!(cases(&b), []);
}

#[test]
fn an_absurd_chart_is_told_and_does_not_stop_the_reading() {
    let (mut b, _, [ann, ben]) = corner();
    b.stay(ChildIndex(0), "09:10-09:20", Place::Door);
    b.stay_in(ChildIndex(1), "09:10-09:20", SpaceIndex(0), Place::Choice(ChoiceIndex(9)));
    b.post(ann, "09:10-09:20", Place::Task(7));
    b.post(ben, "09:10-09:20", Place::StaffBreak(7)).for_child = Some(ChildIndex(99));
    let found = b.audit("sight");
    assert_eq!((found.len(), found[0].case, found[0].at), (1, "place", Some(Place::Door)));
    assert_eq!(
        b.words("sight"),
        ["09:10 to 09:20, classroom, the door: nobody has it in sight, Ada is there"]
    );
    for slug in ["one-to-one", "staffed", "qualified", "meals", "rest", "movement", "staff-break"] {
        b.words(slug);
    }
}

#[test]
fn a_lead_is_with_the_children_and_first_aid_on_the_premises() {
    let mut b = Build::new();
    b.child("Ada", 50, "09:00-12:00");
    let [ann, ben] = ["Ann", "Ben"].map(|a| b.adult(a, "08:00-13:00"));
    b.site.adults[0].lead = true;
    b.site.adults[1].first_aid = true;
    let due = BreakDue { minutes: 15, window: span("10:00-12:00"), paid: true, may_leave: false };
    b.site.adults[0].breaks.push(due.clone());
    b.site.adults[1].breaks.push(due);
    assert_eq!(b.audit("qualified"), []);
    b.post(ann, "10:03-10:18", Place::StaffBreak(0));
    b.post(ben, "11:00-11:15", Place::StaffBreak(0));
    let found = b.audit("qualified");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "lead", span("10:03-10:18")));
    assert_eq!(b.words("qualified"), ["10:03 to 10:18, classroom: nobody who may lead is there"]);
    b.site.adults[1].breaks[0].may_leave = true;
    assert_eq!(
        b.words("qualified")[1],
        "11:00 to 11:15, the premises: nobody with first aid is there"
    );
    assert_eq!(b.audit("qualified")[1].space, None);
}

#[test]
fn what_a_standard_asks_for_is_there_and_is_not_told_twice() {
    let mut b = Build::new();
    b.child("Ada", 50, "09:00-12:00");
    let [ann, _] = ["Ann", "Ben"].map(|a| b.adult(a, "08:00-13:00"));
    b.site.adults[0].qualifications.push("level-6".into());
    b.site.adults[1].lead = true;
    let mut standard = (*find("england-eyfs").expect("a built-in standard")).clone();
    let level_6 = || Who::Qualification("level-6".into());
    for (who, within) in [(Who::Lead, Within::Room), (level_6(), Within::Room)] {
        standard.asks_for.push(Asked { who, within, source: String::new() });
    }
    b.standards.push(Arc::new(standard));
    let found = b.audit("qualified");
    assert_eq!((found.len(), found[0].case), (1, "first-aid"), "asked by the rule and a standard");
    b.site.adults[1].first_aid = true;
    let den = SpaceIndex(b.site.spaces.len());
    b.space("den");
    b.site.rooms[0].spaces.retain(|s| *s != den);
    b.post_in(ann, "10:00-10:20", den, Place::Zone(FLOOR));
    let found = b.audit("qualified");
    assert_eq!((found.len(), found[0].case), (1, "qualification"));
    assert_eq!(
        (found[0].span, &*found[0].standard.clone().expect("an id")),
        (span("10:00-10:20"), "england-eyfs")
    );
    let words = &b.words("qualified")[0];
    assert!(
        words.starts_with("10:00 to 10:20, classroom: nobody with level-6 is there (asked by "),
        "{words}"
    );
}
