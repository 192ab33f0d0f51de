//! The rooms that every change is held against can all be, and are as many kinds as they promise.

use super::rooms::{BABIES_BELOW, Room, before, named, rooms};
use fairturn::site::{RoomIndex, Sleep, Toileting};
use std::collections::BTreeSet;

fn all() -> Vec<Room> {
    rooms().expect("every room is read without a fault")
}

#[test]
fn two_hundred_rooms_are_read_and_open() {
    let all = all();
    assert_eq!(all.len(), 200);
    for room in &all {
        let day = room.scenario.open(RoomIndex(0), room.scenario.date);
        assert!(day.is_ok(), "room {}: {day:?}", room.name);
        assert_eq!(room.scenario.site.rooms.len(), 1, "room {}", room.name);
        assert!(room.scenario.about.starts_with("Invented"), "room {}", room.name);
        assert!(room.words().starts_with(&room.scenario.site.standards[0]), "{}", room.words());
        assert!(!room.text.contains("\": "), "room {} is compact text", room.name);
    }
}

#[test]
fn they_have_every_standard_every_size_and_babies_in_one_of_four() {
    let all = all();
    let standards: BTreeSet<&str> =
        all.iter().flat_map(|room| &room.scenario.standards).map(|s| s.id.as_str()).collect();
    assert_eq!(standards.len(), 28, "{standards:?}");
    let size = |room: &Room| room.scenario.site.children.len();
    let count = |wanted: &dyn Fn(&Room) -> bool| all.iter().filter(|room| wanted(room)).count();
    assert_eq!(count(&|room| (20..=24).contains(&size(room))), 24);
    assert_eq!(count(&|room| (4..20).contains(&size(room))), 176);
    let sizes: BTreeSet<usize> = all.iter().map(size).collect();
    assert_eq!(sizes, (4..=24).collect());
    assert_eq!(count(&Room::has_babies), 50);
    assert_eq!(count(&Room::is_short_staffed), 67, "one in three misses somebody");
    let one_sink = |room: &Room| room.scenario.site.spaces.iter().all(|space| space.sinks <= 1);
    assert!(count(&one_sink) >= 100, "half are as awkward as the worst");
}

#[test]
fn babies_sleep_by_the_clock_are_changed_and_have_an_adult_of_theirs() {
    for room in all() {
        let site = &room.scenario.site;
        for baby in site.children.iter().filter(|c| c.months(room.scenario.date) < BABIES_BELOW) {
            let who = format!("room {}: {}", room.name, baby.label);
            assert!(matches!(baby.sleep, Sleep::At(_)), "{who}");
            assert_eq!(baby.toileting, Toileting::Nappies, "{who}");
            assert!(baby.key_adult.is_some(), "{who}");
        }
    }
}

#[test]
fn what_became_of_each_is_kept_and_every_named_room_is_one_of_them() {
    let (all, before, named) =
        (all(), before().expect("results"), named().expect("names with reasons"));
    let names: Vec<&str> = all.iter().map(|room| room.name.as_str()).collect();
    let kept: Vec<&str> = before.outcomes.iter().map(|o| o.room.as_str()).collect();
    assert_eq!(kept, names);
    for outcome in &before.outcomes {
        let room = &outcome.room;
        assert!(outcome.safe || !outcome.problems.is_empty(), "room {room}");
        let broken: BTreeSet<&str> =
            outcome.problems.iter().filter_map(|p| p.split(' ').next()).collect();
        let counted: BTreeSet<&str> = outcome.minutes.keys().map(String::as_str).collect();
        assert_eq!(broken, counted, "room {room}");
        assert!(counted.iter().all(|rule| before.table.rules.iter().any(|r| r == rule)));
        let aims: BTreeSet<&String> = outcome.aims.keys().collect();
        assert_eq!(aims, before.table.aims.iter().collect(), "room {room}");
    }
    for room in named.turned_safe.keys().chain(named.turned_unsafe.keys()) {
        assert!(names.contains(&room.as_str()), "there is no room {room}");
    }
}
