//! Between two places: `reset`, `sinks`; and `keep-apart`, `kept`.

use super::build::{Build, CLASSROOM, span};
use super::told;
use fairturn::chart::{Apart, Place};
use fairturn::day::{KeptCell, KeptFor};
use fairturn::site::{ChildIndex, MealKind, Mess, StationIndex};

fn children(b: &mut Build, labels: &[&str]) -> Vec<ChildIndex> {
    labels.iter().map(|label| b.child(label, 45, "08:00-12:00")).collect()
}

fn at(b: &mut Build, who: &[ChildIndex], when: &str, place: Place) {
    for child in who {
        b.stay(*child, when, place);
    }
}

#[test]
fn ten_minutes_of_reset_do_not_fit_a_transition_of_five() {
    let mut b = Build::new();
    let paint = b.station("paint", CLASSROOM);
    b.site.stations[paint.0].reset_minutes = 10;
    let who = children(&mut b, &["Ola", "Kim", "Jo", "Mika"]);
    at(&mut b, &who[..2], "09:00-09:12", Place::Station(paint));
    at(&mut b, &who[2..], "09:22-09:34", Place::Station(paint));
    assert_eq!(told(&b.audit("reset")), []);
    at(&mut b, &who[2..], "09:17-09:34", Place::Station(paint));
    let problems = b.audit("reset");
    assert_eq!(told(&problems), [("reset", span("09:17-09:22"), 5)]);
    assert_eq!((problems[0].needed, problems[0].present), (10, 5));
    assert_eq!(problems[0].children, who[2..]);
    assert_eq!(
        b.words("reset"),
        ["09:17 to 09:22, paint: not reset before Jo and Mika, 5 of the 10 minutes it takes"]
    );
}

#[test]
fn one_group_needs_no_reset_within_its_turn() {
    let mut b = Build::new();
    let paint = b.station("paint", CLASSROOM);
    b.site.stations[paint.0].reset_minutes = 10;
    let who = children(&mut b, &["Ola", "Kim", "Jo"]);
    // Jo comes late, Ola is changed in between.
    at(&mut b, &who[..2], "09:00-09:20", Place::Station(paint));
    at(&mut b, &who[2..], "09:06-09:20", Place::Station(paint));
    b.stay(who[0], "09:08-09:13", Place::Care);
    assert_eq!(told(&b.audit("reset")), []);
    // The next group follows at once.
    let next = children(&mut b, &["Mika"]);
    at(&mut b, &next, "09:20-09:32", Place::Station(paint));
    assert_eq!(told(&b.audit("reset")), [("reset", span("09:20-09:30"), 10)]);
}

#[test]
fn a_choice_is_one_use_and_a_turn_before_it_is_another() {
    let mut b = Build::new();
    let paint = b.station("paint", CLASSROOM);
    b.site.stations[paint.0].reset_minutes = 10;
    let choice = b.choice("08:00-12:00", &[paint]);
    let who = children(&mut b, &["Ola", "Kim"]);
    b.stay(who[0], "08:30-08:50", choice);
    b.stay(who[1], "08:50-09:00", choice);
    assert_eq!(told(&b.audit("reset")), []);
    b.stay(who[0], "08:00-08:30", Place::Station(paint));
    assert_eq!(told(&b.audit("reset")), [("reset", span("08:30-08:40"), 10)]);
}

#[test]
fn two_wet_stations_are_one_too_many_unless_the_site_allows_them() {
    let mut b = Build::new();
    let (paint, water) = (b.station("paint", CLASSROOM), b.station("water", CLASSROOM));
    b.site.stations[paint.0].mess = Mess::Wet;
    b.site.stations[water.0].mess = Mess::Wet;
    let who = children(&mut b, &["Ola", "Kim"]);
    b.stay(who[0], "09:00-09:20", Place::Station(paint));
    b.stay(who[1], "09:12-09:30", Place::Station(water));
    assert_eq!(told(&b.audit("reset")), [("wet", span("09:12-09:20"), 1)]);
    assert_eq!(
        b.words("reset"),
        ["09:12 to 09:20: 2 wet stations in use at once, water among them"]
    );
    b.site.settings.two_wet_stations = true;
    assert_eq!(told(&b.audit("reset")), []);
}

/// Seven children who are at blocks, on the move from 9:25 and at the table from 9:30.
fn before_snack() -> Build {
    let mut b = Build::new();
    let table = b.table("table", CLASSROOM);
    let who = children(&mut b, &["Ola", "Kim", "Jo", "Mika", "Sol", "Ana", "Lu"]);
    for child in who {
        b.stay(child, "09:25-09:30", Place::Transition);
        b.stay(child, "09:30-09:50", Place::Table(table)).meal = Some(MealKind::MorningSnack);
    }
    b
}

#[test]
fn a_transition_holds_those_who_wash_at_the_sinks() {
    let mut b = before_snack();
    assert_eq!(told(&b.audit("sinks")), [], "seven at two sinks take four minutes");
    b.site.settings.wash_minutes = 2;
    let problems = b.audit("sinks");
    assert_eq!(told(&problems), [("too-short", span("09:25-09:30"), 2)]);
    assert_eq!((problems[0].needed, problems[0].present), (7, 5));
    assert_eq!(
        b.words("sinks"),
        [
            "09:25 to 09:30, classroom: too short for 7 children at the sinks, 5 minutes where 7 are \
          needed"
        ]
    );
    // Three start two minutes earlier.
    for child in 0..3 {
        b.stay(ChildIndex(child), "09:23-09:30", Place::Transition);
    }
    assert_eq!(told(&b.audit("sinks")), []);
}

#[test]
fn a_yard_without_sinks_uses_those_of_the_classroom() {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[yard.0].sinks = 0;
    b.site.spaces[CLASSROOM.0].sinks = 1;
    let who = children(&mut b, &["Ola", "Kim", "Jo", "Mika"]);
    for child in &who[..2] {
        b.stay_in(*child, "10:00-10:30", yard, Place::Outdoors);
        b.stay_in(*child, "10:30-10:33", yard, Place::Transition);
    }
    let table = b.table("table", CLASSROOM);
    for child in &who[2..] {
        b.stay(*child, "10:30-10:33", Place::Transition);
        b.stay(*child, "10:33-10:50", Place::Table(table)).meal = Some(MealKind::MorningSnack);
    }
    assert_eq!(told(&b.audit("sinks")), [("too-short", span("10:30-10:33"), 1)]);
    b.site.spaces[yard.0].sinks = 1;
    assert_eq!(told(&b.audit("sinks")), []);
}

#[test]
fn hands_are_not_left_unwashed() {
    let mut b = Build::new();
    let (water, table) = (b.station("water", CLASSROOM), b.table("table", CLASSROOM));
    b.site.stations[water.0].mess = Mess::Wet;
    let who = children(&mut b, &["Ola", "Kim", "Jo"]);
    b.stay(who[0], "09:00-09:20", Place::Station(water));
    b.stay(who[1], "09:00-09:20", Place::Outdoors);
    b.stay(who[2], "09:20-09:40", Place::Table(table)).meal = Some(MealKind::MorningSnack);
    let expected = [
        ("after-wet", span("09:20-09:21"), 1),
        ("after-outdoors", span("09:20-09:21"), 1),
        ("before-meal", span("09:20-09:21"), 1),
    ];
    assert_eq!(told(&b.audit("sinks")), expected);
    assert_eq!(b.words("sinks")[2], "09:20: Jo to table without washing hands");
    b.stay(who[0], "09:20-09:25", Place::Transition);
    b.stay(who[1], "09:20-09:25", Place::Care);
    // Who comes in at that minute washes at the door.
    b.children[who[2].0].1 = vec![span("09:20-12:00")];
    b.chart.children[who[2].0].stays.remove(0);
    assert_eq!(told(&b.audit("sinks")), []);
}

#[test]
fn two_to_be_kept_apart_are_never_together() {
    let mut b = Build::new();
    let (art, books) = (b.station("art", CLASSROOM), b.station("books", CLASSROOM));
    let table = b.table("table", CLASSROOM);
    let who = children(&mut b, &["Ola", "Kim"]);
    b.site.children[who[1].0].keep_apart = vec![who[0]];
    let wide = b.choice("08:00-09:00", &[art, books]);
    at(&mut b, &who, "08:00-09:00", wide);
    assert_eq!(told(&b.audit("keep-apart")), [], "a choice has room to go elsewhere");
    b.stay(who[0], "09:00-09:20", Place::Station(art));
    b.stay(who[1], "09:10-09:30", Place::Station(art));
    at(&mut b, &who, "09:40-09:50", Place::Table(table));
    let narrow = b.choice("10:00-10:10", &[books]);
    at(&mut b, &who, "10:00-10:10", narrow);
    let problems = b.audit("keep-apart");
    let expected = [
        ("station", span("09:10-09:20"), 1),
        ("table", span("09:40-09:50"), 1),
        ("station", span("10:00-10:10"), 1),
    ];
    assert_eq!(told(&problems), expected);
    assert_eq!(problems[0].children, who);
    assert_eq!(
        b.words("keep-apart")[0],
        "09:10 to 09:20, art: Ola and Kim are together and are to be kept apart"
    );
}

#[test]
fn two_to_be_kept_apart_share_no_small_group_while_both_are_here() {
    let mut b = Build::new();
    let who = children(&mut b, &["Ola", "Kim"]);
    b.site.children[who[0].0].keep_apart = vec![who[1]];
    b.group("boats", &who);
    b.children[who[1].0].1 = vec![span("10:00-12:00")];
    b.chart.children[who[1].0].stays[0].span = span("10:00-12:00");
    assert_eq!(told(&b.audit("keep-apart")), [("group", span("10:00-12:00"), 1)]);
}

/// The group of boats has blocks kept from 9:00 to 9:20.
fn boats() -> (Build, Vec<ChildIndex>, StationIndex) {
    let mut b = Build::new();
    let blocks = b.station("blocks", CLASSROOM);
    let who = children(&mut b, &["Ola", "Kim"]);
    b.group("boats", &who);
    at(&mut b, &who, "09:00-09:20", Place::Station(blocks));
    let kept = KeptFor::Group("boats".into());
    b.kept = vec![KeptCell { who: kept, station: blocks, span: span("09:00-09:20") }];
    (b, who, blocks)
}

#[test]
fn a_kept_cell_is_kept_by_everyone_without_a_reason() {
    let (mut b, who, _) = boats();
    assert_eq!(told(&b.audit("kept")), []);
    b.stay(who[1], "09:14-09:20", Place::WholeGroup);
    let problems = b.audit("kept");
    assert_eq!(told(&problems), [("elsewhere", span("09:14-09:20"), 1)]);
    assert_eq!(problems[0].children, [who[1]]);
    assert_eq!(b.words("kept"), ["09:14 to 09:20, blocks: kept for Kim, who is not there"]);
    b.stay(who[1], "09:14-09:20", Place::Care).apart = Some(Apart::Care);
    assert_eq!(told(&b.audit("kept")), []);
}

#[test]
fn a_kept_cell_of_a_child_knows_no_reason_and_of_nobody_is_told() {
    let (mut b, who, blocks) = boats();
    let when = span("09:00-09:20");
    b.kept = vec![KeptCell { who: KeptFor::Child(who[0]), station: blocks, span: when }];
    b.stay(who[0], "09:05-09:10", Place::Care).apart = Some(Apart::Care);
    assert_eq!(told(&b.audit("kept")), [("elsewhere", span("09:05-09:10"), 1)]);
    b.children[who[0].0].1 = vec![span("08:00-09:05"), span("09:10-12:00")];
    assert_eq!(told(&b.audit("kept")), [], "away in that time");
    b.kept[0].who = KeptFor::Group("whales".into());
    assert_eq!(told(&b.audit("kept")), [("no-group", when, 1)]);
}

#[test]
fn nobody_washes_on_the_way_from_the_yard_to_the_sand_in_it() {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[yard.0].outdoors = true;
    let (sand, blocks) = (b.station("sand", yard), b.station("blocks", CLASSROOM));
    let ola = children(&mut b, &["Ola"])[0];
    b.stay_in(ola, "10:00-10:20", yard, Place::Outdoors);
    b.stay_in(ola, "10:20-10:40", yard, Place::Station(sand));
    assert_eq!(told(&b.audit("sinks")), []);
    b.chart.children[ola.0].stays.pop();
    b.stay(ola, "10:20-10:40", Place::Station(blocks));
    assert_eq!(told(&b.audit("sinks")), [("after-outdoors", span("10:20-10:21"), 1)]);
}
