//! What each rule's audit says of charts drawn by hand.

mod a_absurd;
mod a_adults;
mod a_hands;
mod a_places;
mod a_presence;
mod a_ratio;
mod a_young;
mod b_aims;
mod b_day;
mod b_meals;
mod b_people;
mod b_work;
pub mod build;

use build::{Build, span};
use fairturn::chart::Place;
use fairturn::rules::Problem;
use fairturn::rules::reading::Reading;
use fairturn::site::Span;

/// What most tests ask of problems: case, when, by how much.
fn told(problems: &[Problem]) -> Vec<(&'static str, Span, u32)> {
    problems.iter().map(|p| (p.case, p.span, p.by)).collect()
}

#[test]
fn a_slice_ends_where_anybody_changes_place() {
    let mut b = Build::new();
    let blocks = b.station("blocks", build::CLASSROOM);
    let ola = b.child("Ola", 40, "08:30-12:00");
    let ina = b.adult("Ina", "08:00-16:00");
    b.stay(ola, "09:00-09:12", Place::Station(blocks));
    b.post(ina, "09:05-09:20", Place::Door);
    let (day, chart) = (b.day(), &b.chart);
    let slices: Vec<_> = Reading::of(&day, chart).slices([]).iter().map(|s| s.span).collect();
    let expected = [
        "08:00-08:30",
        "08:30-09:00",
        "09:00-09:05",
        "09:05-09:12",
        "09:12-09:20",
        "09:20-12:00",
        "12:00-16:00",
    ];
    assert_eq!(slices, expected.map(span));
}
