//! What a block check must see: every adult at every minute, and changes that mend only together.

use super::{WATCH, adult, broken, by_chart, by_facts, offered, staffed};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::Place;
use fairturn::day::{KeptCell, KeptFor};
use fairturn::planner::check::{Change, Verdict};
use fairturn::site::{AdultIndex, CarePlace, ChildIndex, Hazard, Mess, Minute, Toileting};
use fairturn::standards::find;

/// A room under the Irish rule with so many 3-year-olds and a changing place that sees the floor.
fn room(children: usize) -> Build {
    let mut build = Build::new();
    build.standards.push(find("ireland-full-day").expect("built in"));
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    for at in 0..children {
        build.child(&format!("child {at}"), 40, "08:00-16:00");
    }
    build
}

/// Bo changes a child for ten minutes, two children sit at the dock, and small parts lie where a
/// toddler can reach them: beads away alone leaves the dock unseen, Cy at the dock alone leaves the
/// beads.
#[test]
fn beads_away_and_a_zone_covered_for_ten_minutes_are_found_together() {
    let mut build = room(6);
    let pip = build.child("Pip", 26, "08:00-16:00");
    build.site.children[pip.0].toileting = Toileting::Nappies;
    let dock = build.zone("dock", CLASSROOM);
    let boats = build.station("boats", CLASSROOM);
    build.site.stations[boats.0].zone = dock;
    let beads = build.station("beads", CLASSROOM);
    build.site.stations[beads.0].hazards.push(Hazard::SmallParts);
    let [_, bo, _] = ["Ada", "Bo", "Cy"].map(|label| adult(&mut build, label, "08:00-16:00"));
    for child in [0, 1] {
        build.stay(ChildIndex(child), "10:00-10:45", Place::Station(boats));
    }
    build.stay(pip, "10:20-10:30", Place::Care);
    for who in 0..3 {
        build.post(AdultIndex(who), "10:00-10:45", WATCH);
    }
    build.post(bo, "10:00-10:45", Place::Zone(dock));
    build.post(bo, "10:20-10:30", Place::Care);
    let check = by_chart(&build, "10:00-10:45", &[beads]);
    assert_eq!((check.verdict, broken(&check)), (Verdict::GoWithChanges, vec!["barred", "sight"]));
    let both = check.offers.iter().find(|o| o.changes.len() > 1).expect("both together");
    let [away, covered] = &both.changes[..] else { panic!("{:?}", both.changes) };
    assert_eq!(away, &Change::OutOfReach { station: beads });
    let Change::Move { adult, to, span: when, .. } = covered else { panic!("{covered:?}") };
    assert_eq!(*to, Place::Zone(dock));
    assert!(when.holds(span("10:20-10:30")), "{when:?}");
    assert_ne!(*adult, bo, "who is at the changing place");
    let alone =
        |o: &&fairturn::planner::check::Offer| o.changes == [Change::OutOfReach { station: beads }];
    assert!(!check.offers.iter().any(|o| alone(&o)), "it is not enough by itself");
}

/// Two tables with an adult each, and one of the two adults changes a child for ten minutes.
#[test]
fn one_of_two_stations_is_closed_for_the_ten_minutes_of_a_nappy() {
    let mut build = room(8);
    build.site.children[7].toileting = Toileting::Nappies;
    let (paint, dough) = (staffed(&mut build, "paint", 4, 4), staffed(&mut build, "dough", 4, 4));
    let (ada, bo) =
        (adult(&mut build, "Ada", "08:00-16:00"), adult(&mut build, "Bo", "08:00-16:00"));
    for child in 0..8 {
        let at = if child < 4 { paint } else { dough };
        build.stay(ChildIndex(child), "10:00-10:45", Place::Station(at));
    }
    build.stay(ChildIndex(7), "10:20-10:30", Place::Care);
    build.post(ada, "10:00-10:45", Place::Station(paint));
    build.post(bo, "10:00-10:45", Place::Station(dough));
    build.post(bo, "10:20-10:30", Place::Care);
    let check = by_chart(&build, "10:00-10:45", &[paint, dough]);
    assert_eq!(broken(&check), ["staffed"], "{:?}", check.reasons);
    let pause = Change::Pause { station: dough, span: span("10:20-10:30") };
    assert!(check.offers.iter().any(|o| o.changes == [pause.clone()]), "{:?}", check.offers);
}

#[test]
fn without_a_chart_nobody_is_called_from_where_the_teacher_keeps_a_child() {
    let mut build = room(6);
    adult(&mut build, "Ada", "08:00-16:00");
    let letters = build.station("letters", CLASSROOM);
    let dough = staffed(&mut build, "dough", 6, 8);
    for child in [1, 4] {
        let (who, station) = (KeptFor::Child(ChildIndex(child)), letters);
        build.kept.push(KeptCell { who, station, span: span("10:00-10:45") });
    }
    let check = by_facts(&build, "10:00-10:45", &[dough]);
    let come: Vec<usize> = check.slices[0].tied[0].children.iter().map(|c| c.0).collect();
    assert_eq!(come, [0, 2, 3, 5], "{:?}", check.reasons);
    assert!(!broken(&check).contains(&"kept"), "{:?}", check.reasons);
}

/// A wet, hot pan whose children wash at the end: its adult stays at it, and another one has the others.
#[test]
fn what_is_hot_is_never_left_while_hands_are_washed() {
    let mut build = room(6);
    for label in ["Ada", "Bo"] {
        adult(&mut build, label, "08:00-16:00");
    }
    let pan = staffed(&mut build, "pan", 4, 4);
    let facts = &mut build.site.stations[pan.0];
    (facts.mess, facts.hazards) = (Mess::Wet, vec![Hazard::Heat]);
    let check = by_facts(&build, "10:00-10:45", &[pan]);
    assert_eq!(check.verdict, Verdict::Go, "{:?}", check.reasons);
    let last = check.slices.last().expect("a slice");
    assert!(last.tied.iter().any(|t| t.at_the_sinks), "{last:?}");
    let at_it = last.elsewhere.iter().find(|e| e.at == Place::Station(pan));
    let at_it = at_it.expect("somebody at the pan").adult;
    let before = check.slices[0].tied[0].adults[0];
    assert_eq!(at_it, before, "the same one");
    // Where the sinks are in another space, one adult cannot be at both.
    let hall = build.space("hall");
    (build.site.spaces[CLASSROOM.0].sinks, build.site.spaces[hall.0].sinks) = (0, 2);
    let mut alone = room(4);
    adult(&mut alone, "Ada", "08:00-16:00");
    let pan = staffed(&mut alone, "pan", 4, 4);
    let facts = &mut alone.site.stations[pan.0];
    (facts.mess, facts.hazards) = (Mess::Wet, vec![Hazard::Heat]);
    let check = by_facts(&alone, "10:00-10:45", &[pan]);
    let left = check.slices.last().expect("a slice").elsewhere.iter();
    let stays = left.clone().any(|e| e.at == Place::Station(pan));
    assert!(stays || check.verdict != Verdict::Go, "the pan is left by its only adult");
}

/// From ten minutes past one adult of two has to be at the tools, and the other one may never be alone.
#[test]
fn who_may_not_be_alone_is_not_left_with_the_others_nor_with_the_tools() {
    let mut build = room(6);
    let end = build.zone("end", CLASSROOM);
    let petra = adult(&mut build, "Petra", "08:00-16:00");
    let marek = adult(&mut build, "Marek", "08:00-16:00");
    build.site.adults[marek.0].may_be_alone = false;
    let tools = staffed(&mut build, "tools", 2, 2);
    let facts = &mut build.site.stations[tools.0];
    (facts.zone, facts.hazards) = (end, vec![Hazard::Sharp]);
    build.station("books", CLASSROOM);
    let check = by_facts(&build, "10:00-10:40", &[tools]);
    assert_ne!(check.verdict, Verdict::Go);
    let reason = check.reasons.iter().find(|r| r.rule == "never-alone").expect("it is told");
    assert!(reason.words.contains("Marek"), "{}", reason.words);
    // A third one who may be alone is free for the others.
    adult(&mut build, "Hana", "08:00-16:00");
    let three = by_facts(&build, "10:00-10:40", &[tools]);
    assert_eq!(three.verdict, Verdict::Go, "{:?}", three.reasons);
    assert_ne!(three.slices[0].tied[0].adults, [marek], "nor at the tools");
    assert_eq!(petra.0, 0);
}

#[test]
fn an_infant_is_not_seated_because_a_seat_is_free() {
    let mut build = room(3);
    let bea = build.child("Bea", 9, "08:00-16:00");
    for label in ["Ada", "Bo"] {
        adult(&mut build, label, "08:00-16:00");
    }
    let water = staffed(&mut build, "water table", 4, 4);
    build.site.stations[water.0].hazards.push(Hazard::Water);
    let check = by_facts(&build, "10:00-10:45", &[water]);
    assert!(!check.slices[0].tied[0].children.contains(&bea), "{:?}", check.slices[0]);
    assert_eq!(check.slices[0].tied[0].children.len(), 3);
    // Whom it is owed comes.
    build.must_do.push((bea, water));
    let owed = by_facts(&build, "10:00-10:45", &[water]);
    assert!(owed.slices[0].tied[0].children.contains(&bea), "{:?}", owed.slices[0]);
}

/// Four at two sinks: two minutes where they wash by themselves, four where one adult washes them one
/// after another.
#[test]
fn washing_takes_the_helpers_time_for_toddlers() {
    for (months, minutes, helped) in [(50, 2, 0), (26, 4, 4)] {
        let mut build = Build::new();
        build.standards.push(find("ireland-full-day").expect("built in"));
        for at in 0..4 {
            build.child(&format!("child {at}"), months, "08:00-16:00");
        }
        adult(&mut build, "Ada", "08:00-16:00");
        let mud = staffed(&mut build, "mud kitchen", 4, 4);
        build.site.stations[mud.0].mess = Mess::Wet;
        let check = by_facts(&build, "10:00-10:30", &[mud]);
        let wash = &check.washing[0];
        assert_eq!((wash.minutes, wash.helped), (minutes, helped), "{months} months");
        assert_eq!(wash.from, Minute::hm(10, 30).earlier(minutes));
    }
}

/// A toddler comes at a quarter past eleven: no time is offered that goes on over that.
#[test]
fn another_time_is_safe_from_its_first_to_its_last_minute() {
    let mut build = room(4);
    build.child("Pip", 26, "11:15-16:00");
    build.child("Quill", 27, "08:00-09:30");
    adult(&mut build, "Ada", "08:00-16:00");
    let beads = staffed(&mut build, "beads", 4, 4);
    build.site.stations[beads.0].hazards.push(Hazard::SmallParts);
    let check = by_facts(&build, "10:45-11:30", &[beads]);
    assert_eq!(broken(&check), ["barred"]);
    let free = span("09:30-11:15");
    let times = offered(&check).into_iter().filter_map(|c| match c {
        Change::AnotherTime { span, .. } => Some(*span),
        _ => None,
    });
    let times: Vec<_> = times.collect();
    assert!(!times.is_empty() && times.iter().all(|t| free.holds(*t)), "{times:?}");
}
