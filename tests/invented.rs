//! Invented sites of every size are read without a fault, and are as awkward as they promise.

use chrono::NaiveDate;
use fairturn::site::RoomIndex;
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::{Scenario, read};
use proptest::prelude::*;

fn tuesday() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday")
}

fn invented(rooms: usize, children: usize, adults: usize, seed: u64) -> Scenario {
    without_fault(&invent(rooms, children, adults, seed))
}

fn without_fault(text: &str) -> Scenario {
    match read(text.as_bytes()) {
        Ok(scenario) => scenario,
        Err(faults) => panic!("{faults:#?}\nin\n{text}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..Default::default() })]

    #[test]
    fn every_invented_site_is_read_and_every_room_opens(
        children in 1usize..=24,
        adults in 1usize..=8,
        seed in 0u64..200,
    ) {
        let scenario = invented(1, children, adults, seed);
        prop_assert_eq!(scenario.site.children.len(), children);
        prop_assert_eq!(scenario.site.adults.len(), adults);
        prop_assert!(scenario.open(RoomIndex(0), tuesday()).is_ok());
        prop_assert!(scenario.about.contains("Invented"));
        let worst = without_fault(&awkward(1, children, adults, seed));
        prop_assert_eq!(worst.site.children.len(), children);
        prop_assert!(worst.open(RoomIndex(0), tuesday()).is_ok());
    }
}

#[test]
fn two_hundred_seeds_of_a_middling_room_are_read() {
    for seed in 0..200 {
        invented(1, 14, 3, seed);
    }
}

#[test]
fn sites_of_several_rooms_are_read() {
    for (rooms, children, adults) in [(2, 20, 5), (3, 40, 9), (8, 180, 34), (5, 3, 2), (3, 12, 2)] {
        for seed in 0..12 {
            let worst = without_fault(&awkward(rooms, children, adults, seed));
            for scenario in [invented(rooms, children, adults, seed), worst] {
                for room in 0..rooms {
                    let day = scenario.open(RoomIndex(room), tuesday());
                    assert!(day.is_ok(), "{rooms} rooms, seed {seed}: {day:?}");
                }
            }
        }
    }
}

#[test]
fn nothing_asked_for_is_one_of_each() {
    let scenario = invented(0, 0, 0, 5);
    let site = &scenario.site;
    assert_eq!((site.rooms.len(), site.children.len(), site.adults.len()), (1, 1, 1));
}

#[test]
fn the_sites_differ_and_are_as_awkward_as_real_ones() {
    let all: Vec<Scenario> = (0..60).map(|seed| invented(1, 16, 5, seed)).collect();
    let count = |wanted: &dyn Fn(&Scenario) -> bool| all.iter().filter(|s| wanted(s)).count();
    let any_child = |wanted: &dyn Fn(&fairturn::site::Child) -> bool| {
        count(&|s| s.site.children.iter().any(wanted))
    };
    assert!(any_child(&|c| c.attendance[..5].iter().any(Vec::is_empty)) > 30, "part-timers");
    assert!(any_child(&|c| !c.allergies.is_empty()) > 30, "allergies");
    assert!(any_child(&|c| !c.keep_apart.is_empty()) > 30, "keep-apart");
    assert!(any_child(&|c| c.one_to_one.is_some()) > 5, "one-to-one");
    assert!(any_child(&|c| c.months(tuesday()) < 30) > 15, "toddlers");
    assert!(any_child(&|c| c.months(tuesday()) > 48) > 30, "older ones");
    assert_eq!(count(&|s| !s.days[0].adults.is_empty()), 20, "one site in three misses somebody");
    let mut standards: Vec<&String> = all.iter().map(|s| &s.site.standards[0]).collect();
    standards.sort();
    standards.dedup();
    assert_eq!(standards.len(), 6, "every standard binds somewhere");
    let sittings = count(&|s| {
        let seats: u32 = s.site.tables.iter().map(|t| t.seats).sum();
        (seats as usize) < s.site.children.len()
    });
    assert!((8..40).contains(&sittings), "some eat in sittings: {sittings}");
}

#[test]
fn the_worst_of_sites_are_more_awkward_still() {
    let pairs: Vec<(Scenario, Scenario)> = (0..60)
        .map(|seed| (invented(1, 16, 5, seed), without_fault(&awkward(1, 16, 5, seed))))
        .collect();
    let more = |count: &dyn Fn(&Scenario) -> usize| {
        let usual: usize = pairs.iter().map(|(usual, _)| count(usual)).sum();
        let worst: usize = pairs.iter().map(|(_, worst)| count(worst)).sum();
        assert!(worst * 4 > usual * 5, "{usual} and {worst}");
    };
    more(&|s| s.site.children.iter().filter(|c| c.one_to_one.is_some()).count());
    more(&|s| s.site.children.iter().filter(|c| !c.allergies.is_empty()).count());
    more(&|s| s.site.children.iter().filter(|c| !c.keep_apart.is_empty()).count());
    more(&|s| s.days[0].children.len());
    more(&|s| {
        let half = |a: &&fairturn::site::Adult| a.shifts[1].iter().any(|s| s.minutes() <= 300);
        s.site.adults.iter().filter(half).count()
    });
    for (seed, (_, worst)) in pairs.iter().enumerate() {
        assert!(worst.site.spaces.iter().all(|s| s.sinks <= 1), "seed {seed}");
        assert_eq!(!worst.days[0].adults.is_empty(), seed % 3 == 0, "one in three misses somebody");
    }
    assert_eq!(awkward(2, 20, 5, 8), awkward(2, 20, 5, 8), "the same seed invents the same site");
    assert_ne!(awkward(2, 20, 5, 8), invent(2, 20, 5, 8));
}
