//! A whole day of a mixed-age room: read as a teacher would.

use super::naive::{left_at, left_open};
use super::{due, place_in, posted};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::{AdultDay, Chart, Place, State};
use fairturn::rules::{Problem, audit};
use fairturn::site::*;
use fairturn::solve::demand::{Class, Duties, adults_wanted_at_best, demands};
use fairturn::standards::find;

/// The zone of the young ones.
const NOOK: ZoneIndex = ZoneIndex(4);

fn minute(text: &str) -> Minute {
    Minute::parse(text).expect("a time of the test")
}

/// A day with turns, snack, yard, lunch and rest for so many children and adults.
pub(super) fn whole_day(children: usize, adults: usize) -> (Build, Duties) {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let yard = b.space("yard");
    b.site.spaces[yard.0].outdoors = true;
    let window = b.zone("window", CLASSROOM);
    let far = b.zone("far corner", CLASSROOM);
    let nook = b.zone("nook", CLASSROOM);
    assert_eq!(nook, NOOK);
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![nook] });
    let zones = [FLOOR, FLOOR, window, window, far, nook];
    let stations: Vec<StationIndex> = zones
        .iter()
        .enumerate()
        .map(|(i, &zone)| {
            let s = b.station(&format!("station {i}"), CLASSROOM);
            b.site.stations[s.0].zone = zone;
            s
        })
        .collect();
    b.site.stations[2].supervision = Supervision::Staffed { children_per_adult: 6 };
    b.site.stations[2].mess = Mess::Wet;
    b.site.stations[4].supervision = Supervision::InSight;
    let tables = [b.table("round table", CLASSROOM), b.table("long table", CLASSROOM)];
    b.site.tables[1].zone = window;
    let team: Vec<AdultIndex> =
        (0..adults).map(|a| b.adult(&format!("a{a}"), "08:00-16:00")).collect();
    b.site.adults[0].lead = true;
    let young_choice = b.choice("09:00-14:30", &[stations[5]]);
    let choice = b.choice("08:30-16:00", &[stations[0], stations[3], stations[4]]);
    let mut duties = Duties::default();
    for c in 0..children {
        let young = c % 5 == 0;
        let months = if young { 22 } else { 36 + 2 * c as u32 };
        let child = b.child(&format!("c{c}"), months, "08:30-15:30");
        b.stay(child, "08:30-09:00", choice);
        b.stay(child, "14:30-15:30", choice);
        let group = c % 4;
        for (t, when) in ["09:15-09:30", "09:35-09:50", "09:55-10:10"].iter().enumerate() {
            let at =
                if young { young_choice } else { Place::Station(stations[1 + (group + t) % 4]) };
            b.stay(child, when, at);
        }
        for when in ["09:30-09:35", "09:50-09:55", "10:10-10:20", "11:40-11:50", "12:20-12:30"] {
            b.stay(child, when, if young { young_choice } else { Place::Transition });
        }
        for when in ["10:20-10:40", "11:50-12:20"] {
            b.stay(child, when, Place::Table(tables[c % 2]));
        }
        b.stay(child, "10:40-10:45", Place::Transition);
        b.stay_in(child, "10:45-11:40", yard, Place::Outdoors);
        if young {
            b.site.children[child.0].key_adult = Some(team[1]);
            let from = minute("10:10").later(0);
            let when = Span::new(from, from.later(5)).expect("five minutes");
            b.stay(child, &format!("{}-{}", when.from, when.to), Place::Care);
        }
        let quiet = months >= 48;
        b.stay(child, "12:30-12:50", Place::Rest).zone = Some(FLOOR);
        if quiet {
            b.stay(child, "12:50-14:30", Place::Station(stations[5]));
        } else {
            let stay = b.stay(child, "12:50-14:30", Place::Rest);
            (stay.zone, stay.state) = (Some(FLOOR), State::Asleep);
        }
    }
    for (i, &a) in team.iter().enumerate() {
        b.site.adults[a.0].breaks = vec![due(15, "09:00-12:00"), due(30, "12:50-14:30")];
        duties.breaks.push((a, 1, minute("12:55").later(30 * (i as u16 % 3))));
    }
    duties.breaks.push((team[0], 0, minute("09:40")));
    duties.door = vec![(CLASSROOM, span("08:30-09:00"))];
    duties.care = vec![(CLASSROOM, span("10:10-10:15"))];
    (b, duties)
}

/// The posts of everybody, one a line.
fn in_words(b: &Build, chart: &Chart) -> String {
    let mut lines = String::new();
    for (adult, p) in chart.adults.iter().flat_map(|a| a.posts.iter().map(move |p| (a.adult, p))) {
        let who = &b.site[adult].label;
        lines += &format!("{who} {} {:?} {:?} {:?}\n", p.span, p.at, p.for_child, p.covers);
    }
    lines
}

#[test]
fn a_whole_day_reads_well() {
    let (b, duties) = whole_day(14, 4);
    let (day, chart) = posted(&b, &duties);
    let words = in_words(&b, &chart);
    // Nine o'clock's five zones have four adults, and one of them is on a staff break.
    assert_eq!(left_open(&day, &chart), [0, 0, 0, 0, 2 * 10, 0], "{words}");
    let changes = |a: &AdultDay| {
        let zones = a.posts.iter().filter_map(|p| match p.at {
            Place::Station(s) => Some(b.site[s].zone),
            Place::Zone(z) => Some(z),
            _ => None,
        });
        let zones: Vec<ZoneIndex> = zones.collect();
        zones.windows(2).filter(|w| w[0] != w[1]).count()
    };
    let changed: Vec<usize> = chart.adults.iter().map(changes).collect();
    assert!(changed.iter().sum::<usize>() <= 4, "few changes of zone: {words}");
    // The key adult of the young ones is with them all through the turns.
    assert_eq!(place_in(&chart, AdultIndex(1), "09:15-10:10"), Place::Zone(NOOK));
    assert_eq!(place_in(&chart, AdultIndex(1), "10:10-10:15"), Place::Care);
}

#[test]
fn enough_adults_by_the_demand_leave_nothing_open() {
    for (children, adults) in [(10, 2), (12, 3), (14, 4), (20, 5), (24, 8)] {
        let (b, duties) = whole_day(children, adults);
        let (day, chart) = posted(&b, &duties);
        for demand in demands(&day, &b.chart, &duties) {
            let left = left_at(&day, &chart, demand.span.from);
            let enough = adults_wanted_at_best(&demand) <= demand.counted_on_hand;
            let duty = demand.posts.iter().any(|w| w.class == Class::Duty);
            let who = format!("{children} and {adults}, {}: {:?}", demand.span, demand.posts);
            if enough || !duty {
                assert_eq!(enough, left == [0; 6], "{who} {left:?}");
            }
        }
    }
}

#[test]
fn with_enough_adults_the_audit_has_nothing_to_say_of_the_posts() {
    let (b, duties) = whole_day(24, 8);
    let (day, chart) = posted(&b, &duties);
    assert_eq!(left_open(&day, &chart), [0; 6]);
    let slugs = ["present", "ratio", "never-alone", "one-to-one", "staffed", "sight"];
    let problems: Vec<Problem> =
        audit(&day, &chart).into_iter().filter(|p| slugs.contains(&p.rule)).collect();
    assert_eq!(problems, [], "{}", in_words(&b, &chart));
}
