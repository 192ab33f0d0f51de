//! Invented sites of every size are read without a fault, and are as awkward as they promise.

use chrono::NaiveDate;
use fairturn::site::{Child, Minute, RoomIndex, Sleep, Span, Toileting};
use fairturn::standards::method::Mixed;
use fairturn::standards::{Head, Need, Situation, library};
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::{Scenario, read};
use proptest::prelude::*;
use std::collections::BTreeSet;

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
    let sittings = count(&|s| {
        let seats: u32 = s.site.tables.iter().map(|t| t.seats).sum();
        (seats as usize) < s.site.children.len()
    });
    assert!((8..40).contains(&sittings), "some eat in sittings: {sittings}");
}

/// Sites of one room of every size, half of them as awkward as the worst.
fn rooms() -> impl Iterator<Item = (u64, Scenario)> {
    (0..600_u64).map(|seed| {
        let (children, adults) = (1 + seed as usize * 7 % 24, 1 + seed as usize * 5 % 7);
        let invent = if seed.is_multiple_of(2) { awkward } else { invent };
        (seed, without_fault(&invent(1, children, adults, seed)))
    })
}

fn heads(scenario: &Scenario) -> Vec<Head> {
    let months = |child: &Child| child.months(scenario.date);
    let children = scenario.site.children.iter();
    children.map(|c| Head { months: months(c), born: c.born, asleep: false }).collect()
}

/// What the standard asks for with everybody there.
fn need(scenario: &Scenario) -> Need {
    let situation = Situation {
        date: scenario.date,
        adults: &[],
        governing_age: scenario.site.rooms[0].governing_age,
        minute: Minute::hm(10, 0),
        open: Span { from: Minute::hm(8, 0), to: Minute::hm(17, 0) },
        outdoors: false,
    };
    scenario.standards[0].need(&heads(scenario), &situation)
}

#[test]
fn every_built_in_standard_binds_somewhere_on_a_clock_of_its_place() {
    let bound: BTreeSet<String> = rooms().map(|(_, site)| site.standards[0].id.clone()).collect();
    let built_in: BTreeSet<String> = library().iter().map(|s| s.id.clone()).collect();
    assert_eq!(bound, built_in);
    for (seed, site) in rooms() {
        assert_eq!(site.standards.len(), 1, "seed {seed}");
        let zone = site.site.time_zone.name();
        let place = &site.standards[0].place;
        assert_ne!(zone, "Etc/UTC", "{place} has a clock in src/wire/invent/setting.rs");
    }
}

#[test]
fn no_class_is_larger_than_its_standard_allows_and_a_governing_age_stands_where_it_is_asked_for() {
    for (seed, site) in rooms() {
        let (standard, children) = (&site.standards[0], site.site.children.len());
        let most = need(&site).class_size.map_or(children, |most| most as usize);
        assert!(children <= most, "seed {seed}: {children} under {}", standard.id);
        let governing = site.site.rooms[0].governing_age;
        if standard.mixed.asks_governing_age() {
            assert!(governing.is_some(), "seed {seed}: {}", standard.id);
        } else if !matches!(standard.mixed, Mixed::PercentThreshold { .. }) {
            assert_eq!(governing, None, "seed {seed}: {}", standard.id);
        }
    }
}

#[test]
fn homes_are_small_and_sessions_short() {
    let (mut homes, mut sessions) = (0, 0);
    for (seed, site) in rooms() {
        let (id, open) = (&site.standards[0].id, site.site.rooms[0].schedules[0].open);
        let (children, adults) = (site.site.children.len(), site.site.adults.len());
        // Nobody is marched from station to station at home.
        let at_home = site.site.rooms[0].schedules[0].stretches.is_empty();
        let of_homes = ["british-columbia", "england-childminder", "georgia", "oregon"];
        let for_homes = id.ends_with("home") || of_homes.contains(&id.as_str());
        assert_eq!(at_home, for_homes, "seed {seed}: {id}");
        assert!(
            at_home || adults > 1 || children > 8,
            "seed {seed}: one adult with few is at home"
        );
        if at_home {
            homes += 1;
            assert!(children <= 12 && adults <= 3, "seed {seed}: {children} under {id}");
        }
        if id.ends_with("sessional") || id == "head-start-double" {
            sessions += 1;
            assert!(open.minutes() <= 210, "seed {seed}: {open} under {id}");
        }
        if id == "ireland-drop-in" {
            for child in &site.site.children {
                let long: u16 = child.attendance[1].iter().map(|span| span.minutes()).sum();
                assert!(long <= 150, "seed {seed}: {} drops in", child.label);
            }
        }
    }
    assert!(homes > 20 && sessions > 30, "{homes} homes, {sessions} sessions");
}

#[test]
fn adults_hold_what_their_standard_speaks_of_and_nothing_else() {
    for (seed, site) in rooms() {
        let words: Vec<&str> = site.standards[0].qualifications().collect();
        for adult in &site.site.adults {
            let known = adult.qualifications.iter().all(|held| words.contains(&held.as_str()));
            assert!(known, "seed {seed}: {:?}", adult.qualifications);
        }
        let first = &site.site.adults[0];
        assert_eq!(first.qualifications.is_empty(), words.is_empty(), "seed {seed}");
    }
}

#[test]
fn one_room_in_four_has_babies_with_what_babies_need() {
    let mut rooms_with_babies = 0;
    for (seed, site) in rooms() {
        let months = |child: &Child| child.months(site.date);
        let babies = site.site.children.iter().filter(|child| months(child) < 18);
        let babies: Vec<&Child> = babies.collect();
        rooms_with_babies += usize::from(!babies.is_empty());
        let home = site.site.rooms[0].home;
        let open = site.site.rooms[0].schedules[0].open;
        for baby in babies {
            let who = format!("seed {seed}: {}, {} months", baby.label, months(baby));
            assert!(months(baby) >= 6, "{who}");
            let Sleep::At(spans) = &baby.sleep else { panic!("{who}: no clock of its own") };
            assert_eq!(spans.len(), if open.minutes() < 300 { 1 } else { 2 }, "{who}");
            assert_eq!(baby.toileting, Toileting::Nappies, "{who}");
            assert!(baby.key_adult.is_some(), "{who}");
            let own = site.site.stations_of(home).filter(|station| {
                let station = &site.site[*station];
                station.from_months <= months(baby) && station.hazards.is_empty()
            });
            assert!(own.count() >= 5, "{who}: stations for babies");
            for station in &baby.often_chosen {
                assert!(site.site[*station].from_months <= months(baby), "{who}");
            }
        }
    }
    assert!((135..165).contains(&rooms_with_babies), "{rooms_with_babies} of 600");
}

#[test]
fn four_rooms_of_five_have_adults_enough_for_everybody_and_no_other_lacks_many() {
    let sites = (0..400u64)
        .map(|seed| invented(1, 8 + seed as usize * 7 % 13, 2 + seed as usize % 4, seed));
    let lacking = sites.map(|site| {
        let least = site.standards[0].least_adults(site.site.children.len() as u32);
        (need(&site).adults.max(least) as usize).saturating_sub(site.site.adults.len())
    });
    let lacking: Vec<usize> = lacking.collect();
    let enough = lacking.iter().filter(|lacking| **lacking == 0).count();
    assert!((300..340).contains(&enough), "{enough} of 400");
    assert!(lacking.iter().all(|lacking| *lacking <= 1));
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
