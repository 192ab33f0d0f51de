//! Key adults, one-to-one support, who may not be alone, who does not take what, fair shares.

use super::naive::left_open;
use super::{due, place_in, posted, posts_in};
use crate::audits::build::{Build, CLASSROOM, FLOOR};
use fairturn::chart::Place;
use fairturn::site::people::NotTaken;
use fairturn::site::*;
use fairturn::solve::demand::Duties;
use fairturn::standards::find;

#[test]
fn the_key_adult_stays_with_the_young_ones() {
    let mut b = Build::new();
    let nook = b.zone("nook", CLASSROOM);
    let (blocks, books) = (b.station("blocks", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[books.0].zone = nook;
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom"].iter().map(|l| b.adult(l, "09:00-10:00")).collect();
    let choice = b.choice("09:00-10:00", &[books]);
    for i in 0..6 {
        let young = i < 2;
        let child = b.child(&format!("c{i}"), if young { 20 } else { 50 }, "09:00-10:00");
        b.stay(child, "09:00-10:00", if young { choice } else { Place::Station(blocks) });
        if young {
            b.site.children[child.0].key_adult = Some(adults[1]);
        }
    }
    let (_, chart) = posted(&b, &Duties::default());
    assert_eq!(place_in(&chart, adults[1], "09:00-10:00"), Place::Zone(nook));
    assert_eq!(place_in(&chart, adults[0], "09:00-10:00"), Place::Zone(FLOOR));
}

#[test]
fn a_stand_in_is_beside_the_child_during_the_own_adults_break() {
    let mut b = Build::new();
    let yard = b.space("yard");
    let own = b.adult("Own", "09:00-12:00");
    let spare = b.adult("Spare", "09:00-12:00");
    let third = b.adult("Third", "09:00-12:00");
    b.adult("Fourth", "09:00-12:00");
    b.site.adults[own.0].breaks = vec![due(20, "09:00-12:00")];
    let child = b.child("Ola", 50, "09:00-12:00");
    let stand_ins = vec![third, spare];
    b.site.children[child.0].one_to_one = Some(OneToOne { adult: own, stand_ins });
    let other = b.child("Pim", 50, "09:00-12:00");
    for c in [child, other] {
        b.stay(c, "10:00-10:10", Place::Transition);
        b.stay_in(c, "10:10-11:00", yard, Place::Outdoors);
    }
    let duties = Duties { breaks: vec![(own, 0, Minute::hm(10, 30))], ..Duties::default() };
    let (day, chart) = posted(&b, &duties);
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let beside = posts_in(&chart, third, "10:30-10:50");
    assert_eq!(beside.len(), 1);
    assert_eq!((beside[0].for_child, beside[0].covers), (Some(child), Some(own)));
    let post = |when| posts_in(&chart, own, when);
    assert!(post("09:00-10:30").iter().all(|p| p.for_child == Some(child)));
    assert!(post("10:50-12:00").iter().all(|p| p.for_child == Some(child)));
    assert_eq!(post("10:10-10:30")[0].space, yard);
}

#[test]
fn who_may_not_be_alone_never_is() {
    let mut b = Build::new();
    let yard = b.space("yard");
    let students: Vec<AdultIndex> =
        ["Sol", "Sky"].iter().map(|l| b.adult(l, "09:00-11:00")).collect();
    for s in &students {
        b.site.adults[s.0].may_be_alone = false;
    }
    let ina = b.adult("Ina", "09:00-11:00");
    let tom = b.adult("Tom", "09:00-11:00");
    for i in 0..8 {
        let child = b.child(&format!("c{i}"), 50, "09:00-11:00");
        if i % 2 == 0 {
            b.stay_in(child, "09:30-10:30", yard, Place::Outdoors);
        }
    }
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let space = |a| posts_in(&chart, a, "09:30-10:30")[0].space;
    assert_ne!(space(ina), space(tom));
}

#[test]
fn who_does_not_go_out_stays_in() {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[yard.0].outdoors = true;
    let ina = b.adult("Ina", "09:00-11:00");
    let tom = b.adult("Tom", "09:00-11:00");
    b.site.adults[ina.0].posts_not_taken = vec![NotTaken::Outdoors];
    let child = b.child("Ola", 50, "09:00-11:00");
    b.stay_in(child, "09:30-10:30", yard, Place::Outdoors);
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(left_open(&day, &chart), [0; 6]);
    assert_eq!(posts_in(&chart, ina, "09:30-10:30")[0].space, CLASSROOM);
    assert_eq!(place_in(&chart, tom, "09:30-10:30"), Place::Outdoors);
}

#[test]
fn wet_posts_are_shared() {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let paint = b.station("paint", CLASSROOM);
    b.site.stations[paint.0].mess = Mess::Wet;
    b.site.stations[paint.0].supervision = Supervision::Staffed { children_per_adult: 6 };
    let blocks = b.station("blocks", CLASSROOM);
    let turns = ["09:00-09:20", "09:25-09:45", "09:50-10:10", "10:15-10:35"];
    for i in 0..8usize {
        let child = b.child(&format!("c{i}"), 50, "09:00-11:00");
        for (t, when) in turns.iter().enumerate() {
            let wet = (i + t) % 2 == 0;
            b.stay(child, when, Place::Station(if wet { paint } else { blocks }));
        }
        for when in ["09:20-09:25", "09:45-09:50", "10:10-10:15"] {
            b.stay(child, when, Place::Transition);
        }
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom"].iter().map(|l| b.adult(l, "09:00-11:00")).collect();
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(left_open(&day, &chart), [0; 6]);
    for a in adults {
        let wet = posts_in(&chart, a, "09:00-11:00");
        let wet = wet.iter().filter(|p| p.at == Place::Station(paint)).count();
        assert_eq!(wet, 2, "four turns at the paint, two adults");
    }
}
