//! While children sleep, and the hours with fewer adults.

use super::*;
use fairturn::standards::Outing;

/// Children of an age, so many of them asleep.
fn some_asleep(asleep: u32, awake: u32, months: u32) -> Vec<Head> {
    let mut all = heads(asleep + awake, months);
    for head in &mut all[..asleep as usize] {
        head.asleep = true;
    }
    all
}

/// CFOC 1.1.1.2 (verified): one adult in the room, from 31 months.
#[test]
fn cfoc_leaves_one_adult_with_sleepers_of_31_months() {
    let cfoc = built_in("cfoc-centre");
    let all_asleep = cfoc.need(&some_asleep(12, 0, 40), &plain());
    assert_eq!((all_asleep.adults, all_asleep.in_building), (1, 2), "others on the floor");
    assert_eq!(all_asleep.class_size, Some(14), "the class size still holds");
    assert_eq!(cfoc.need(&some_asleep(10, 2, 40), &plain()).adults, 2, "1 and 1");
    assert_eq!(cfoc.need(&some_asleep(8, 0, 30), &plain()).adults, 2, "30 months: in full");
    assert_eq!(cfoc.need(&some_asleep(8, 0, 31), &plain()).adults, 1);
}

/// Where a rest rule begins at an age: the rule, its age, an age below it and one above it.
const FROM_AN_AGE: [(&str, u32, u32); 9] = [
    ("cfoc-centre", 30, 40),
    ("cfoc-large-home", 30, 40),
    ("california", 23, 40),
    ("pennsylvania", 11, 40),
    ("virginia", 15, 40),
    ("ontario", 17, 40),
    ("north-carolina", 23, 40),
    ("north-carolina-rated", 23, 40),
    ("north-carolina-seven-points", 23, 40),
];

/// The full ratio for a child too young for the rest rule, asleep or awake, and for those beside it.
#[test]
fn nobody_is_fewer_beside_a_child_who_is_too_young_for_the_rest() {
    for (id, below, above) in FROM_AN_AGE {
        let standard = built_in(id);
        assert_eq!(standard.rest.as_ref().map(|r| r.from_months), Some(below + 1), "{id}");
        for n in [1, 7, 12, 20, 24] {
            for (young_asleep, young_awake) in [(1, 0), (0, 1), (2, 1)] {
                let mut children = some_asleep(n, 0, above);
                children.extend(some_asleep(young_asleep, young_awake, below));
                let need = standard.need(&children, &plain());
                children.iter_mut().for_each(|h| h.asleep = false);
                let awake = standard.need(&children, &plain());
                let what = format!("{id}: {n} and {young_asleep} asleep, {young_awake} awake");
                assert_eq!((need.adults, need.in_building), (awake.adults, awake.adults), "{what}");
            }
        }
        let old_enough = standard.need(&some_asleep(24, 0, above), &plain());
        assert!(old_enough.adults < old_enough.in_building.max(3), "{id}: without one, fewer");
    }
    // Every other rule that begins at an age is in the list; Wisconsin's has none.
    let ages = fairturn::standards::library().iter().filter_map(|s| Some((s, s.rest.as_ref()?)));
    let from_an_age = ages.filter(|(_, rest)| rest.from_months > 0).map(|(s, _)| s.id.as_str());
    let mut listed: Vec<&str> = FROM_AN_AGE.iter().map(|(id, ..)| *id).collect();
    let mut found: Vec<&str> = from_an_age.collect();
    listed.sort_unstable();
    found.sort_unstable();
    assert_eq!(found, listed);
}

/// CFOC 1.1.1.2: 12 threes and one infant asleep are 13 at the infant's 1:3.
#[test]
fn an_infant_beside_the_cots_keeps_all_adults() {
    let mut children = some_asleep(12, 0, 40);
    children.extend(some_asleep(1, 0, 8));
    let cfoc = built_in("cfoc-centre");
    assert_eq!(cfoc.need(&children, &plain()).adults, 5);
    let words = cfoc.sentence(&children, &plain());
    assert!(
        words.contains("13 asleep, and no fewer adults beside a child under 31 months"),
        "{words}"
    );
    assert_eq!(built_in("california").need(&children, &plain()).adults, 4, "1:4 for 13");
    let mut both = some_asleep(4, 0, 20);
    both.extend(some_asleep(4, 0, 33));
    assert_eq!(cfoc.need(&both, &plain()).adults, 2, "8 at the toddlers' 1:4");
}

/// California 101230 (verified): 1:24 napping, the other teachers at hand.
#[test]
fn california_counts_sleepers_by_24() {
    let at = |n| {
        let need = built_in("california").need(&some_asleep(n, 0, 40), &plain());
        (need.adults, need.in_building)
    };
    assert_eq!(at(24), (1, 2));
    assert_eq!(at(25), (2, 3));
    let awake = built_in("california").need(&some_asleep(20, 4, 40), &plain());
    assert_eq!((awake.adults, awake.in_building), (2, 2), "four awake have an adult of their own");
}

/// 55 Pa. Code 3270.55 (verified): a ratio of its own for each age, none for infants.
#[test]
fn pennsylvania_has_a_napping_ratio_by_age() {
    let at = |n, months| {
        let need = built_in("pennsylvania").need(&some_asleep(n, 0, months), &plain());
        (need.adults, need.in_building)
    };
    assert_eq!(at(11, 18), (2, 3), "1:10");
    assert_eq!(at(12, 30), (1, 2), "1:12");
    assert_eq!(at(13, 30), (2, 3));
    assert_eq!(at(20, 40), (1, 2), "1:20");
    assert_eq!(at(8, 6), (2, 2), "infants: in full");
}

/// 22VAC40-185-350 (verified, an older text): doubled from 16 months, never for infants.
#[test]
fn virginia_doubles_the_children_at_rest() {
    let at = |n, months| {
        let need = built_in("virginia").need(&some_asleep(n, 0, months), &plain());
        (need.adults, need.in_building)
    };
    assert_eq!(at(10, 18), (1, 2), "1:10 and the adults of 1:5 in the building");
    assert_eq!(at(16, 30), (1, 2));
    assert_eq!(at(20, 40), (1, 2));
    assert_eq!(at(21, 40), (2, 3));
    assert_eq!(at(36, 80), (1, 2));
    assert_eq!(at(8, 12), (2, 2), "infants");
    assert_eq!(at(8, 15), (2, 2), "one day under 16 months is an infant");
}

/// Wisconsin 251.05(4)(e) (verified): one worker, the awake in full, the group size lifted.
#[test]
fn wisconsin_lifts_the_group_size_while_all_sleep() {
    let at = |asleep, awake| {
        let need = built_in("wisconsin").need(&some_asleep(asleep, awake, 40), &plain());
        (need.adults, need.in_building, need.class_size)
    };
    assert_eq!(at(21, 0), (1, 3, None));
    assert_eq!(at(19, 2), (2, 3, Some(20)), "two awake count in full");
}

/// O. Reg. 137/15 (verified; rounding up derived): two thirds, never infants, never outdoors.
#[test]
fn ontario_keeps_two_thirds_at_rest() {
    let ontario = built_in("ontario");
    let resting = |children: &[Head]| ontario.need(children, &plain()).adults;
    assert_eq!(resting(&some_asleep(24, 0, 40)), 2, "of 3");
    assert_eq!(resting(&some_asleep(16, 0, 40)), 2, "of 2: 1.33 rounds up");
    assert_eq!(resting(&some_asleep(4, 20, 40)), 3, "twenty awake need 3");
    assert_eq!(resting(&some_asleep(9, 0, 12)), 3, "infants");
    let outdoors = Situation { outdoors: true, ..plain() };
    assert_eq!(ontario.need(&some_asleep(24, 0, 40), &outdoors).adults, 3);
}

/// Australia relaxes nothing.
#[test]
fn australia_counts_sleepers_in_full() {
    assert_eq!(built_in("australia").need(&some_asleep(12, 0, 40), &plain()).adults, 2);
}

/// Netherlands, article 5(10) of 2012 (verified): half the adults, at some hours.
#[test]
fn the_half_staff_hours_have_their_limits() {
    let netherlands = built_in("netherlands");
    let half = &netherlands.reduced[0];
    let span = |h: u16, m: u16, minutes: u16| {
        Span::new(Minute::hm(h, m), Minute::hm(h, m).later(minutes)).expect("a span")
    };
    let ten_hours = span(7, 30, 630);
    let faults = |used: &[Span]| half.faults(used, ten_hours).len();
    assert_eq!(faults(&[span(11, 0, 10)]), 1, "never at 11:00");
    assert_eq!(faults(&[span(13, 0, 120)]), 0);
    assert_eq!(faults(&[span(12, 45, 121)]), 1, "over the two hours in a row");
    assert_eq!(faults(&[span(12, 30, 60), span(13, 30, 61)]), 1, "touching spans are one");
    assert_eq!(faults(&[span(14, 0, 61)]), 1, "past 15:00");
    assert_eq!(faults(&[span(7, 30, 90), span(13, 0, 90)]), 0, "three hours a day");
    assert_eq!(faults(&[span(7, 30, 90), span(13, 0, 91)]), 1);
    assert_eq!(half.faults(&[span(13, 0, 60)], span(8, 0, 540)).len(), 1, "a day of nine hours");
    assert_eq!(netherlands.need(&heads(16, 40), &plain()).adults, 2, "never planned with");
    assert_eq!(half.faults(&[], span(8, 0, 60)), Vec::<String>::new());
}

/// CFOC 1.1.1.5 (text verified, 1:4 from memory): own adults for the young, the others besides.
#[test]
fn a_water_table_counts_as_water_for_cfoc() {
    let cfoc = built_in("cfoc-centre");
    let at_water = |ages: &[(u32, u32)]| cfoc.activity_adults(Outing::Water, &mix(ages), true);
    assert_eq!(at_water(&[(1, 8), (3, 40)]), Some(2));
    assert_eq!(at_water(&[(1, 20), (3, 40)]), Some(2));
    assert_eq!(at_water(&[(2, 20), (5, 40)]), Some(4));
    assert_eq!(cfoc.activity_adults(Outing::Trip, &mix(&[(3, 40)]), false), None);
    let pools = r#", "activities": [{"what": "water", "ratios": [{"children_per_adult": 6}],
        "source": "s"}]"#;
    let pools = inline(&[("all", None, "12")], r#""method": "youngest""#, pools);
    assert_eq!(pools.activity_adults(Outing::Water, &heads(7, 60), true), None, "no water table");
    assert_eq!(pools.activity_adults(Outing::Water, &heads(7, 60), false), Some(2));
}
