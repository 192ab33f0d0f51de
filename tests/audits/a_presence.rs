//! Everybody somewhere, once, while here: `present`.

use super::b_meals::{eat, lunch};
use super::build::{Build, CLASSROOM, span};
use super::told;
use fairturn::chart::{ChoiceIndex, Place};
use fairturn::site::{MealKind, Minute, Span, StationIndex};

/// A child and an adult, each here from 8:00 to 12:00.
fn two() -> Build {
    let mut b = Build::new();
    b.station("art", CLASSROOM);
    let ola = b.child("Ola", 40, "08:00-12:00");
    let ina = b.adult("Ina", "08:00-12:00");
    b.stay(ola, "09:00-09:12", Place::Station(StationIndex(0)));
    b.post(ina, "09:00-09:12", Place::Station(StationIndex(0)));
    b
}

#[test]
fn tiles_that_fit_are_fine() {
    assert_eq!(told(&two().audit("present")), []);
}

#[test]
fn a_gap_an_overlap_and_a_stay_while_away_are_told_to_the_minute() {
    let mut b = two();
    b.chart.children[0].stays[1].span = span("09:03-09:14");
    b.chart.adults[0].posts[2].span = span("09:12-12:07");
    let expected = [
        ("missing", span("09:00-09:03"), 1),
        ("twice", span("09:12-09:14"), 1),
        ("away", span("12:00-12:07"), 1),
    ];
    let problems = b.audit("present");
    assert_eq!(told(&problems), expected);
    assert_eq!(problems[2].adults.len(), 1);
    assert_eq!(b.words("present")[0], "09:00 to 09:03: Ola is here, and the chart gives no place");
}

#[test]
fn a_child_left_out_or_away_all_day_is_told() {
    let mut b = two();
    b.chart.children.clear();
    assert_eq!(told(&b.audit("present")), [("missing", span("08:00-12:00"), 1)]);
    let mut b = two();
    b.children.clear();
    assert_eq!(told(&b.audit("present")), [("away", span("08:00-12:00"), 1)]);
}

#[test]
fn an_appointment_in_the_middle_is_not_a_gap() {
    let mut b = two();
    b.children[0].1 = vec![span("08:00-09:00"), span("09:12-12:00")];
    assert_eq!(told(&b.audit("present")), [("away", span("09:00-09:12"), 1)]);
    b.chart.children[0].stays.remove(1);
    assert_eq!(told(&b.audit("present")), []);
}

#[test]
fn stays_listed_out_of_order_are_told() {
    let mut b = two();
    b.chart.children[0].stays.swap(0, 1);
    assert_eq!(told(&b.audit("present")), [("order", span("08:00-09:00"), 1)]);
}

#[test]
fn what_is_unknown_unfit_or_elsewhere_is_told() {
    let mut b = two();
    let den = b.space("den");
    b.chart.children[0].stays[0].at = Place::Choice(ChoiceIndex(7));
    b.chart.children[0].stays[1].space = den;
    b.chart.children[0].stays[2].at = Place::Door;
    b.chart.adults[0].posts[2].zone = b.site.zones_of(den).next();
    let expected = [
        ("unknown", span("08:00-09:00"), 1),
        ("elsewhere", span("09:00-09:12"), 1),
        ("unfit", span("09:12-12:00"), 1),
        ("elsewhere", span("09:12-12:00"), 1),
    ];
    assert_eq!(told(&b.audit("present")), expected);
    assert_eq!(b.words("present")[1], "09:00 to 09:12: Ola is said to be in den, where art is not");
}

#[test]
fn an_empty_span_is_told_as_one_minute() {
    let mut b = two();
    b.chart.adults[0].posts[1].span = Span { from: Minute::hm(9, 12), to: Minute::hm(9, 0) };
    let expected = [("missing", span("09:00-09:12"), 1), ("unknown", span("09:12-09:13"), 1)];
    assert_eq!(told(&b.audit("present")), expected);
}

#[test]
fn who_is_fetched_from_a_meal_has_half_of_it_at_least() {
    let (mut b, [ola, _], _) = lunch();
    b.children[0].1 = vec![span("09:00-12:15")];
    b.stay(ola, "12:00-12:30", Place::WholeGroup);
    eat(&mut b, ola, "12:00-12:15", MealKind::Lunch);
    assert_eq!(b.audit("meals"), [], "fetched at 12:15");
    b.children[0].1 = vec![span("09:00-12:14")];
    b.stay(ola, "12:00-12:30", Place::WholeGroup);
    eat(&mut b, ola, "12:00-12:14", MealKind::Lunch);
    assert_eq!(b.audit("meals")[0].present, 14);
    b.children[0].1 = vec![span("09:00-12:20")];
    b.stay(ola, "12:00-12:14", Place::WholeGroup);
    eat(&mut b, ola, "11:59-12:14", MealKind::Lunch);
    assert_eq!(b.audit("meals").len(), 1, "it is still here after the table");
}
