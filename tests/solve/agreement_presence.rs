//! Rows and audit where not all children of a cell are there all the time: late ones, ones who go
//! and come back, ones who are being changed; and where young groups nest side by side.

use super::tiny::{aged, agree, agree_below, at_most, no_breaks, tiny};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::day::{KeptCell, KeptFor};
use fairturn::site::*;

/// A third group of one child in `tiny`, with stations for some of the children only.
fn crowded() -> Build {
    let mut build = tiny();
    let blocks = build.station("blocks", CLASSROOM);
    let books = build.station("books", CLASSROOM);
    build.site.stations[blocks.0].seats = 3;
    build.site.stations[books.0].seats = 2;
    no_breaks(&mut build);
    build
}

fn comes(build: &mut Build, child: usize, here: &[&str]) {
    build.children[child].1 = here.iter().map(|h| span(h)).collect();
}

#[test]
fn a_late_child_takes_a_seat_from_when_it_comes() {
    let mut build = crowded();
    comes(&mut build, 3, &["09:12-09:40"]);
    agree(&build, &["seats"]);
}

#[test]
fn who_is_away_in_the_middle_is_neither_unplaced_nor_missed_at_a_kept_cell() {
    let mut build = crowded();
    comes(&mut build, 2, &["09:00-09:06", "09:31-09:40"]);
    let who = KeptFor::Group("group 1".into());
    build.kept.push(KeptCell { who, station: StationIndex(0), span: span("09:00-09:15") });
    agree(&build, &["seats", "kept"]);
}

#[test]
fn a_station_is_reset_from_when_its_last_child_left() {
    let mut build = crowded();
    build.station("puzzles", CLASSROOM);
    build.site.stations[0].reset_minutes = 15;
    build.site.stations[1].reset_minutes = 15;
    comes(&mut build, 0, &["09:00-09:10", "09:25-09:40"]);
    comes(&mut build, 1, &["09:00-09:08", "09:30-09:40"]);
    // Who comes later to a station in use was not told apart by the rows.
    agree_below(&build, &["reset"]);
}

#[test]
fn two_to_be_kept_apart_meet_only_while_both_are_there() {
    let mut build = crowded();
    build.site.stations[0].seats = 5;
    for (a, b) in [(0, 2), (2, 0), (1, 2), (2, 1)] {
        build.site.children[a].keep_apart.push(ChildIndex(b));
    }
    comes(&mut build, 2, &["09:10-09:40"]);
    comes(&mut build, 1, &["09:00-09:33"]);
    agree(&build, &["keep-apart", "seats"]);
}

/// Circle, then three turns, most of them still; two groups.
fn still() -> Build {
    let mut build = tiny();
    let whole = span("09:00-10:15");
    build.schedule.open = whole;
    let circle = Part { kind: PartKind::Circle, span: span("09:00-09:15"), space: CLASSROOM };
    build.schedule.parts.push(circle);
    build.schedule.stretches[0].span = span("09:15-10:15");
    for (_, here) in build.children.iter_mut() {
        *here = vec![whole];
    }
    for (_, here) in build.adults.iter_mut() {
        *here = vec![whole];
    }
    for (name, energy) in [("books", Energy::Still), ("blocks", Energy::Moving)] {
        let station = build.station(name, CLASSROOM);
        build.site.stations[station.0].energy = energy;
        build.site.stations[station.0].seats = 9;
    }
    build.schedule.movement.longest_still = 25;
    no_breaks(&mut build);
    build
}

#[test]
fn still_turns_in_a_row_are_too_long_once() {
    agree_below(&still(), &["movement"]);
}

#[test]
fn a_child_who_comes_between_sits_less() {
    let mut build = still();
    comes(&mut build, 0, &["09:20-09:52"]);
    comes(&mut build, 2, &["09:00-09:30", "09:41-10:15"]);
    agree_below(&build, &["movement"]);
}

/// One child of each group in nappies, a care round in the first turn.
fn changed(mut build: Build, round: &str) -> Build {
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    for child in [0, 2] {
        build.site.children[child].toileting = Toileting::Nappies;
    }
    build.schedule.care_rounds.push(CareRound { window: span(round) });
    build
}

#[test]
fn who_is_being_changed_sits_at_no_station_meanwhile() {
    agree_below(&changed(still(), "09:15-09:45"), &["movement"]);
    let mut build = changed(crowded(), "09:00-09:25");
    build.site.children[0].keep_apart.push(ChildIndex(3));
    build.site.children[3].keep_apart.push(ChildIndex(0));
    agree(&build, &["seats", "keep-apart"]);
    let mut build = changed(crowded(), "09:05-09:40");
    let who = KeptFor::Group("group 1".into());
    build.kept.push(KeptCell { who, station: StationIndex(1), span: span("09:00-09:15") });
    agree(&build, &["seats", "kept"]);
}

/// Two young groups and an older one around three small stations of one zone.
pub fn nests() -> Build {
    let mut build = tiny();
    aged(&mut build, 20);
    for name in ["blocks", "books", "dolls"] {
        let station = build.station(name, CLASSROOM);
        build.site.stations[station.0].seats = 1;
    }
    let older: Vec<ChildIndex> = ["a"].map(|name| build.child(name, 50, "09:00-09:40")).to_vec();
    build.site.rooms[0].groups.push(StandingGroup {
        id: "older".into(),
        label: "older".into(),
        picture: "kite".into(),
        children: older,
    });
    build.site.rooms[0].group_size = (1, 3);
    no_breaks(&mut build);
    build
}

#[test]
fn nests_share_seats_with_nests_and_with_who_is_assigned() {
    agree(&nests(), &["seats"]);
    let mut build = nests();
    build.site.stations[1].seats = 4;
    agree(&build, &["seats"]);
    // Of two nests and an older group at the stations that they share, the rows may see less.
    build.site.stations[1].seats = 3;
    comes(&mut build, 1, &["09:10-09:33"]);
    at_most(&build);
}

#[test]
fn the_young_who_are_to_be_kept_apart_nest_side_by_side() {
    let mut build = nests();
    build.site.children[0].keep_apart = vec![ChildIndex(2), ChildIndex(4)];
    build.site.children[2].keep_apart.push(ChildIndex(0));
    build.site.children[4].keep_apart.push(ChildIndex(0));
    agree(&build, &["seats"]);
    // With a single station there is no choice but to meet.
    build.site.stations.truncate(1);
    build.site.stations[0].seats = 5;
    agree(&build, &["keep-apart"]);
}
