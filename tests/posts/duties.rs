//! Staff breaks and who covers, care rounds, tasks, the door, the way out.

use super::naive::left_open;
use super::{due, place_in, posted, posts_in};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::Place;
use fairturn::site::*;
use fairturn::solve::demand::Duties;

fn minute(text: &str) -> Minute {
    Minute::parse(text).expect("a time of the test")
}

#[test]
fn the_sole_provider_is_everywhere_in_turn() {
    let mut b = Build::new();
    let yard = b.space("yard");
    let snack = b.table("snack", CLASSROOM);
    let ina = b.adult("Ina", "08:00-16:00");
    for i in 0..4 {
        let child = b.child(&format!("c{i}"), 30 + 9 * i, "08:30-12:00");
        b.stay(child, "09:30-09:50", Place::Table(snack));
        b.stay(child, "09:50-10:00", Place::Transition);
        b.stay_in(child, "10:00-11:00", yard, Place::Outdoors);
    }
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(place_in(&chart, ina, "09:30-09:50"), Place::Table(snack));
    assert_eq!(place_in(&chart, ina, "09:50-10:00"), Place::Transition);
    assert_eq!(place_in(&chart, ina, "10:00-11:00"), Place::Outdoors);
    assert_eq!(posts_in(&chart, ina, "10:00-11:00")[0].space, yard);
    assert_eq!(left_open(&day, &chart), [0; 6]);
}

#[test]
fn a_post_left_for_a_staff_break_is_covered_by_name() {
    let mut b = Build::new();
    let far = b.zone("far corner", CLASSROOM);
    let glue = b.station("glue", CLASSROOM);
    b.site.stations[glue.0].supervision = Supervision::Staffed { children_per_adult: 6 };
    b.site.stations[glue.0].zone = far;
    for i in 0..6 {
        let child = b.child(&format!("c{i}"), 50, "09:00-11:00");
        if i < 3 {
            b.stay(child, "09:00-11:00", Place::Station(glue));
        }
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom", "Uma"].iter().map(|l| b.adult(l, "09:00-11:00")).collect();
    for &a in &adults {
        b.site.adults[a.0].breaks = vec![due(15, "09:00-11:00")];
    }
    let breaks: Vec<_> = adults
        .iter()
        .zip(["09:30", "09:45", "10:00"])
        .map(|(&a, from)| (a, 0, minute(from)))
        .collect();
    let (day, chart) = posted(&b, &Duties { breaks, ..Duties::default() });
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let glued: Vec<_> = adults
        .iter()
        .flat_map(|&a| posts_in(&chart, a, "09:00-11:00"))
        .filter(|p| p.at == Place::Station(glue))
        .collect();
    let covering = glued.iter().filter(|p| p.covers.is_some()).count();
    assert!(covering >= 1, "who takes over at the glue covers for somebody: {glued:?}");
    for post in glued.iter().filter(|p| p.covers.is_some()) {
        let away = post.covers.expect("covers");
        assert!(matches!(place_in(&chart, away, &short(post.span)), Place::StaffBreak(0)));
    }
}

fn short(span: Span) -> String {
    format!("{}-{}", span.from, span.to)
}

#[test]
fn one_adult_does_a_whole_task_and_one_a_whole_care_round() {
    let mut b = Build::new();
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![] });
    b.schedule.tasks = vec![Task {
        id: "cots".into(),
        label: "put up the cots".into(),
        minutes: 20,
        window: span("09:00-11:00"),
        space: CLASSROOM,
        watching: false,
    }];
    let children: Vec<_> = (0..4).map(|i| b.child(&format!("c{i}"), 26, "09:00-11:00")).collect();
    for (i, &child) in children.iter().enumerate() {
        let from = minute("10:00").later(5 * i as u16);
        let when = Span::new(from, from.later(5)).expect("five minutes");
        b.stay(child, &short(when), Place::Care);
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom", "Uma"].iter().map(|l| b.adult(l, "09:00-11:00")).collect();
    b.site.adults[0].posts_not_taken = vec![fairturn::site::people::NotTaken::Care];
    let duties = Duties {
        tasks: vec![(0, minute("10:05"))],
        care: vec![(CLASSROOM, span("10:00-10:20"))],
        ..Duties::default()
    };
    let (day, chart) = posted(&b, &duties);
    assert_eq!(left_open(&day, &chart), [0; 6]);
    for (when, place) in [("10:05-10:25", Place::Task(0)), ("10:00-10:20", Place::Care)] {
        let whole = |a: &&AdultIndex| {
            posts_in(&chart, **a, when).iter().any(|p| p.at == place && p.span == span(when))
        };
        assert_eq!(adults.iter().filter(whole).count(), 1, "{place:?}: {:?}", chart.adults);
    }
}

#[test]
fn nobody_stands_idle_at_the_changing_place() {
    let mut b = Build::new();
    let rug = b.zone("rug", CLASSROOM);
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    let blocks = b.station("blocks", CLASSROOM);
    b.site.stations[blocks.0].zone = rug;
    let choice = b.choice("09:20-10:00", &[blocks]);
    for i in 0..4 {
        let child = b.child(&format!("c{i}"), 40, "09:00-10:00");
        b.stay(child, "09:00-09:20", Place::Movement).zone = Some(FLOOR);
        b.stay(child, "09:20-10:00", choice);
        if i < 2 {
            b.stay(child, ["09:20-09:25", "09:25-09:30"][i], Place::Care);
        }
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom", "Uma"].iter().map(|l| b.adult(l, "09:00-10:00")).collect();
    let care = vec![(CLASSROOM, span("09:20-09:30"))];
    let (day, chart) = posted(&b, &Duties { care, ..Duties::default() });
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let at_care = |a: &&AdultIndex| place_in(&chart, **a, "09:20-09:30") == Place::Care;
    assert_eq!(adults.iter().filter(at_care).count(), 1, "{:?}", chart.adults);
}

#[test]
fn somebody_is_at_the_door_while_the_others_watch() {
    let mut b = Build::new();
    let far = b.zone("far corner", CLASSROOM);
    let (blocks, books) = (b.station("blocks", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[books.0].zone = far;
    let choice = b.choice("08:30-09:00", &[blocks, books]);
    for i in 0..3 {
        let child = b.child(&format!("c{i}"), 50, "08:30-10:00");
        b.stay(child, "08:30-09:00", choice);
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom", "Uma"].iter().map(|l| b.adult(l, "08:00-10:00")).collect();
    let door = vec![(CLASSROOM, span("08:30-09:00"))];
    let (day, chart) = posted(&b, &Duties { door, ..Duties::default() });
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let mut places: Vec<Place> =
        adults.iter().map(|&a| place_in(&chart, a, "08:30-09:00")).collect();
    places.sort_unstable();
    assert_eq!(places, [Place::Zone(FLOOR), Place::Zone(far), Place::Door]);
}

#[test]
fn nobody_wanders_when_nothing_asks_for_it() {
    let mut b = Build::new();
    let zones = [FLOOR, b.zone("window", CLASSROOM), b.zone("far corner", CLASSROOM)];
    let stations: Vec<StationIndex> = zones
        .iter()
        .map(|&zone| {
            let station = b.station("station", CLASSROOM);
            b.site.stations[station.0].zone = zone;
            station
        })
        .collect();
    let turns = ["09:00-09:15", "09:20-09:35", "09:40-09:55"];
    for i in 0..9usize {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        for (t, when) in turns.iter().enumerate() {
            b.stay(child, when, Place::Station(stations[(i + t) % 3]));
        }
        b.stay(child, "09:15-09:20", Place::Transition);
        b.stay(child, "09:35-09:40", Place::Transition);
    }
    let adults: Vec<AdultIndex> =
        ["Ina", "Tom", "Uma"].iter().map(|l| b.adult(l, "09:00-10:00")).collect();
    let (day, chart) = posted(&b, &Duties::default());
    assert_eq!(left_open(&day, &chart), [0; 6]);
    for &a in &adults {
        let places: Vec<Place> = turns.iter().map(|when| place_in(&chart, a, when)).collect();
        assert!(places.iter().all(|p| *p == places[0]), "one zone in three turns: {places:?}");
        assert_eq!(place_in(&chart, a, "09:15-09:20"), Place::Transition);
    }
}
