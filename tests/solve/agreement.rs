//! On tiny days every assignment of the open decisions is tried: what the rows say it costs is what
//! the audit finds in the chart, rule by rule.

use super::tiny::{aged, agree, no_breaks, tiny};
use crate::audits::build::CLASSROOM;
use fairturn::site::*;

#[test]
fn staffed_stations_and_breaks() {
    let mut build = tiny();
    let clay = build.station("clay", CLASSROOM);
    build.station("books", CLASSROOM);
    build.site.stations[clay.0].supervision = Supervision::Staffed { children_per_adult: 2 };
    agree(&build, &["staffed", "sight"]);
}

#[test]
fn zones_and_one_who_may_not_be_alone() {
    let mut build = tiny();
    let loft = build.zone("loft", CLASSROOM);
    let blocks = build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    build.site.stations[blocks.0].zone = loft;
    build.site.adults[1].may_be_alone = false;
    agree(&build, &["never-alone", "sight"]);
}

#[test]
fn reset_and_wet_stations() {
    let mut build = tiny();
    let paint = build.station("paint", CLASSROOM);
    let sand = build.station("sand", CLASSROOM);
    build.station("books", CLASSROOM);
    for wet in [paint, sand] {
        build.site.stations[wet.0].mess = Mess::Wet;
        build.site.stations[wet.0].reset_minutes = 10;
    }
    no_breaks(&mut build);
    agree(&build, &["reset"]);
}

#[test]
fn still_stretches() {
    let mut build = tiny();
    build.schedule.movement.longest_still = 20;
    let books = build.station("books", CLASSROOM);
    let writing = build.station("writing", CLASSROOM);
    build.station("blocks", CLASSROOM);
    for still in [books, writing] {
        build.site.stations[still.0].energy = Energy::Still;
    }
    no_breaks(&mut build);
    agree(&build, &["movement"]);
}

#[test]
fn ratio_while_somebody_is_on_a_staff_break() {
    let mut build = tiny();
    build
        .standards
        .push(fairturn::standards::find("ireland-full-day").expect("a built-in standard"));
    aged(&mut build, 31);
    build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    let mut third: Vec<ChildIndex> = Vec::new();
    for name in ["a", "b", "c"] {
        third.push(build.child(name, 31, "09:00-09:40"));
    }
    build.site.rooms[0].groups[0].children.extend(third);
    build.site.rooms[0].group_size = (2, 5);
    build.site.stations.iter_mut().for_each(|s| s.seats = 6);
    agree(&build, &["ratio"]);
}
