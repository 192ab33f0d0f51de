//! The block check: go, go with changes, or no-go.

mod command;
mod counter;
mod facts;
mod published;
mod recount;
mod strict;
mod together;

use crate::audits::build::Build;
use fairturn::chart::Place;
use fairturn::planner::check::{BlockCheck, BlockQuestion, Change, check};
use fairturn::site::{AdultIndex, StationIndex, Supervision};

/// An adult who counts, may be alone, leads and holds a first-aid certificate.
fn adult(build: &mut Build, label: &str, here: &str) -> AdultIndex {
    let adult = build.adult(label, here);
    let facts = &mut build.site.adults[adult.0];
    (facts.lead, facts.first_aid) = (true, true);
    adult
}

/// A staffed station of the classroom.
fn staffed(build: &mut Build, label: &str, seats: u32, each: u32) -> StationIndex {
    let station = build.station(label, crate::audits::build::CLASSROOM);
    let facts = &mut build.site.stations[station.0];
    facts.seats = seats;
    facts.supervision = Supervision::Staffed { children_per_adult: each };
    station
}

fn question(when: &str, stations: &[StationIndex]) -> BlockQuestion {
    BlockQuestion { span: crate::audits::build::span(when), stations: stations.to_vec() }
}

/// Without a chart.
fn by_facts(build: &Build, when: &str, stations: &[StationIndex]) -> BlockCheck {
    check(&build.day(), None, &question(when, stations))
}

/// By the chart that was drawn.
fn by_chart(build: &Build, when: &str, stations: &[StationIndex]) -> BlockCheck {
    check(&build.day(), Some(&build.chart), &question(when, stations))
}

/// The rules that break as asked, each once, in order.
fn broken(check: &BlockCheck) -> Vec<&'static str> {
    let mut rules: Vec<&str> = check.reasons.iter().map(|r| r.rule).collect();
    rules.dedup();
    rules
}

/// Every change of every offer.
fn offered(check: &BlockCheck) -> Vec<&Change> {
    check.offers.iter().flat_map(|o| &o.changes).collect()
}

/// When, needed and present by the first standard.
fn figures(check: &BlockCheck) -> Vec<(String, u32, u32)> {
    let row = |s: &fairturn::planner::check::SliceCheck| {
        (s.span.to_string(), s.needs[0].needed, s.needs[0].present)
    };
    check.slices.iter().map(row).collect()
}

/// A watching post in the classroom's zone.
const WATCH: Place = Place::Zone(crate::audits::build::FLOOR);
