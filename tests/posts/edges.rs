//! Days that are nearly nothing, long ways, late comers.

use super::naive::left_open;
use super::{due, place_in, posted, posts_in};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::Place;
use fairturn::site::*;
use fairturn::solve::demand::Duties;

#[test]
fn without_children_adults_wait_and_without_adults_nothing_is_posted() {
    let mut b = Build::new();
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(chart.adults, []);
    let ina = b.adult("Ina", "08:00-16:00");
    let (_, chart) = posted(&b, &Duties::default());
    assert_eq!(place_in(&chart, ina, "08:00-16:00"), Place::Preparation);
    assert!(day.adults.is_empty());
    let mut b = Build::new();
    b.child("Ola", 30, "09:00-12:00");
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(chart.adults, []);
    assert_eq!(left_open(&day, &chart)[0], 180, "one adult is missing for three hours");
}

#[test]
fn a_site_without_a_zone_in_use_still_has_its_adults() {
    let mut b = Build::new();
    let ina = b.adult("Ina", "08:00-10:00");
    let child = b.child("Ola", 30, "08:30-09:30");
    b.chart.children[0].stays[0].zone = None;
    b.site.zones.clear();
    let (_, chart) = posted(&b, &Duties::default());
    assert_eq!(chart.child(child).map(|c| c.stays.len()), Some(1));
    let posts = posts_in(&chart, ina, "08:00-10:00");
    assert!(posts.iter().all(|p| p.space == CLASSROOM), "{posts:?}");
}

#[test]
fn a_shift_in_two_pieces_and_a_break_at_its_start() {
    let mut b = Build::new();
    b.child("Ola", 50, "08:00-16:00");
    b.adult("Tom", "08:00-16:00");
    let ina = b.adult("Ina", "08:00-16:00");
    b.adults[ina.0].1 = vec![span("08:00-11:00"), span("13:00-16:00")];
    b.site.adults[ina.0].breaks = vec![due(15, "13:00-14:00")];
    let duties = Duties { breaks: vec![(ina, 0, Minute::hm(13, 0))], ..Duties::default() };
    let (day, chart) = posted(&b, &duties);
    assert_eq!(left_open(&day, &chart), [0; 6]);
    assert_eq!(posts_in(&chart, ina, "11:00-13:00"), []);
}

#[test]
fn nobody_is_in_the_yard_before_the_way_there_is_walked() {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[0].walking = vec![(yard, 5)];
    let early = b.child("Ola", 50, "09:00-11:00");
    b.stay(early, "09:30-09:35", Place::Transition);
    b.stay_in(early, "09:35-10:30", yard, Place::Outdoors);
    b.stay_in(early, "10:30-10:35", yard, Place::Transition);
    let late = b.child("Pim", 50, "09:00-11:00");
    b.stay(late, "10:00-10:05", Place::Transition);
    b.stay_in(late, "10:05-10:30", yard, Place::Outdoors);
    b.stay_in(late, "10:30-10:35", yard, Place::Transition);
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom"].iter().map(|l| b.adult(l, "09:00-11:00")).collect();
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(left_open(&day, &chart), [0; 6]);
    for a in adults {
        let posts = posts_in(&chart, a, "09:00-11:00");
        for w in posts.windows(2).filter(|w| w[0].space != w[1].space) {
            let walked = w[0].at == Place::Transition || w[1].at == Place::Transition;
            assert!(walked, "{:?} to {:?}", w[0], w[1]);
        }
    }
}

#[test]
fn a_new_child_has_its_adult_near() {
    let mut b = Build::new();
    let far = b.zone("far corner", CLASSROOM);
    let (blocks, books) = (b.station("blocks", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[books.0].zone = far;
    let ina = b.adult("Ina", "09:00-10:00");
    let tom = b.adult("Tom", "09:00-10:00");
    for i in 0..4 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        let turns = if i == 0 { [books, blocks] } else { [blocks, books] };
        b.stay(child, "09:00-09:30", Place::Station(turns[0]));
        b.stay(child, "09:30-10:00", Place::Station(turns[1]));
    }
    let until = crate::audits::build::today();
    b.site.children[0].settling_in = Some(SettlingIn { until, with: tom });
    let (_, chart) = posted(&b, &Duties::default());
    assert_eq!(place_in(&chart, tom, "09:00-09:30"), Place::Zone(far));
    assert_eq!(place_in(&chart, tom, "09:30-10:00"), Place::Zone(FLOOR));
    assert_eq!(place_in(&chart, ina, "09:00-09:30"), Place::Zone(FLOOR));
    // The day after, nobody has to change places.
    b.site.children[0].settling_in =
        Some(SettlingIn { until: until.pred_opt().expect("a date"), with: tom });
    let (_, chart) = posted(&b, &Duties::default());
    for a in [ina, tom] {
        assert_eq!(posts_in(&chart, a, "09:00-10:00").len(), 1);
    }
}
