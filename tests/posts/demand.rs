//! How many adults the children's stays and the duties call for.

use super::due;
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::Place;
use fairturn::model::asked::Needs;
use fairturn::site::*;
use fairturn::solve::demand::{
    Class, Demand, Duties, adults_wanted, adults_wanted_at_best, demands, demands_with,
};
use fairturn::standards::find;

/// The demand of the slice with a minute in it.
fn at(b: &Build, duties: &Duties, minute: &str) -> Demand {
    let minute = Minute::parse(minute).expect("a time of the test");
    let found = demands(&b.day(), &b.chart, duties);
    found.into_iter().find(|d| d.span.contains(minute)).expect("a slice of the day")
}

fn places(demand: &Demand) -> Vec<(Place, u32, Class)> {
    demand.posts.iter().map(|w| (w.at, w.adults, w.class)).collect()
}

#[test]
fn a_slice_wants_its_ratio_or_its_places_whichever_is_more() {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let far = b.zone("far corner", CLASSROOM);
    let glue = b.station("glue", CLASSROOM);
    b.site.stations[glue.0].supervision = Supervision::Staffed { children_per_adult: 2 };
    let snack = b.table("snack", CLASSROOM);
    b.site.tables[snack.0].zone = far;
    for i in 0..4 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        b.stay(child, "09:10-09:20", Place::Station(glue));
        b.stay(
            child,
            "09:20-09:30",
            if i < 3 { Place::Station(glue) } else { Place::Table(snack) },
        );
        b.stay(child, "09:30-09:40", Place::Transition);
    }
    b.adult("Ina", "08:30-10:00");
    let none = Duties::default();
    let all = at(&b, &none, "09:05");
    assert_eq!(places(&all), [(Place::WholeGroup, 1, Class::Sight)]);
    assert_eq!((adults_wanted(&all), all.counted_on_hand), (1, 1));
    // Everybody awake is at that one table: its one adult has them all.
    let one_table = at(&b, &none, "09:15");
    assert_eq!(places(&one_table), [(Place::Station(glue), 1, Class::Staffed)]);
    // Three of four are: two adults for them, and one where the fourth eats.
    let two_places = at(&b, &none, "09:25");
    let expected =
        [(Place::Station(glue), 2, Class::Staffed), (Place::Table(snack), 1, Class::Table)];
    assert_eq!(places(&two_places), expected);
    assert_eq!((adults_wanted(&two_places), two_places.ratio[0].1), (3, 1));
    let moving = at(&b, &none, "09:35");
    assert_eq!(places(&moving), [(Place::Transition, 1, Class::Sight)]);
    for i in 0..5 {
        b.child(&format!("d{i}"), 50, "09:00-10:00");
    }
    let ratio = at(&b, &none, "09:05");
    assert_eq!((adults_wanted(&ratio), ratio.ratio[0].1), (2, 2), "nine children in a circle");
}

#[test]
fn who_counts_for_nobody_comes_on_top() {
    let mut b = Build::new();
    let own = b.adult("Own", "09:00-10:00");
    b.site.adults[own.0].breaks = vec![due(10, "09:00-10:00")];
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![] });
    let task = |watching| Task {
        id: "wipe".into(),
        label: "wipe the tables".into(),
        minutes: 10,
        window: span("09:00-10:00"),
        space: CLASSROOM,
        watching,
    };
    b.schedule.tasks = vec![task(false), task(true)];
    let child = b.child("Ola", 50, "09:00-10:00");
    b.site.children[child.0].one_to_one = Some(OneToOne { adult: own, stand_ins: vec![] });
    b.child("Pim", 50, "09:00-10:00");
    let from = |hour, minute| Minute::hm(hour, minute);
    let duties = Duties {
        breaks: vec![(own, 0, from(9, 40))],
        tasks: vec![(0, from(9, 10)), (1, from(9, 20))],
        care: vec![(CLASSROOM, span("09:30-09:40"))],
        door: vec![(CLASSROOM, span("09:50-10:00"))],
        ..Duties::default()
    };
    let wanted = |minute| adults_wanted(&at(&b, &duties, minute));
    assert_eq!(wanted("09:05"), 2, "beside the child, and one who watches");
    assert_eq!(wanted("09:15"), 3, "a task that takes all attention");
    assert_eq!(wanted("09:25"), 2, "a task from which the circle is watched");
    assert_eq!(wanted("09:35"), 3, "out of sight with a child");
    assert_eq!(wanted("09:55"), 3, "at the door");
    let hands = |minute| at(&b, &duties, minute).counted_on_hand;
    assert_eq!((hands("09:39"), hands("09:40"), hands("09:50")), (1, 0, 1));
}

#[test]
fn a_choice_wants_its_zones_watched_and_its_staffed_station_staffed_by_seats() {
    let mut b = Build::new();
    let far = b.zone("far corner", CLASSROOM);
    let (glue, blocks) = (b.station("glue", CLASSROOM), b.station("blocks", CLASSROOM));
    b.site.stations[glue.0].supervision = Supervision::Staffed { children_per_adult: 2 };
    b.site.stations[glue.0].zone = far;
    let choice = b.choice("09:00-10:00", &[glue, blocks]);
    for i in 0..3 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        b.stay(child, "09:00-10:00", choice);
    }
    let demand = at(&b, &Duties::default(), "09:30");
    let expected =
        [(Place::Station(glue), 2, Class::Staffed), (Place::Zone(FLOOR), 1, Class::Sight)];
    assert_eq!(places(&demand), expected);
}

#[test]
fn the_ratio_is_told_with_and_without_the_qualified_ones() {
    let mut b = Build::new();
    b.standards = vec![find("england-eyfs").expect("a standard")];
    for i in 0..20 {
        b.child(&format!("c{i}"), 50, "09:00-10:00");
    }
    for level in ["level-6", "level-3"] {
        let adult = b.adult(level, "09:00-10:00");
        b.site.adults[adult.0].qualifications = vec![level.into()];
    }
    b.site.adults[0].breaks = vec![due(10, "09:00-10:00")];
    let duties =
        Duties { breaks: vec![(AdultIndex(0), 0, Minute::hm(9, 30))], ..Duties::default() };
    let both = at(&b, &duties, "09:00");
    assert_eq!((adults_wanted(&both), adults_wanted_at_best(&both)), (3, 2));
    let one = at(&b, &duties, "09:35");
    assert_eq!(one.span, span("09:30-09:40"));
    assert_eq!((adults_wanted(&one), adults_wanted_at_best(&one)), (3, 3));
}

#[test]
fn what_is_remembered_changes_no_answer() {
    let (b, duties) = super::whole::whole_day(14, 4);
    let day = b.day();
    let mut needs = Needs::new(&day);
    let first = demands_with(&mut needs, &b.chart, &duties);
    assert_eq!(first, demands_with(&mut needs, &b.chart, &duties));
    assert_eq!(first, demands(&day, &b.chart, &duties));
    let covered: u32 = first.iter().map(|d| u32::from(d.span.minutes())).sum();
    assert_eq!(covered, 8 * 60, "the slices tile the day");
}
