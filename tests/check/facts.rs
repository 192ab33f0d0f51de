//! Materials, allergies, lone providers, posts: what a teacher would be told.

use super::{WATCH, adult, broken, by_chart, by_facts, offered, question, staffed};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::Place;
use fairturn::planner::check::{Change, Matter, Verdict, check};
use fairturn::site::{Hazard, Meal, MealKind, Mess, Minute, Sleep};
use fairturn::standards::find;

/// A room under the Irish rule with so many 3-year-olds.
fn room(children: usize) -> Build {
    let mut build = Build::new();
    build.standards.push(find("ireland-full-day").expect("built in"));
    for at in 0..children {
        build.child(&format!("child {at}"), 40, "08:00-16:00");
    }
    build
}

#[test]
fn one_adult_alone_has_everybody_at_the_one_table_or_fewer_at_it() {
    let mut build = room(6);
    adult(&mut build, "Yara", "08:00-16:00");
    let six = staffed(&mut build, "finger paint", 6, 4);
    let all = by_facts(&build, "10:00-10:45", &[six]);
    assert_eq!(all.verdict, Verdict::Go, "{:?}", all.reasons);
    assert_eq!(all.slices[0].tied[0].children.len(), 6);
    assert_eq!(all.slices[0].tied[0].needed, 1, "everybody is at that one table");
    let five = staffed(&mut build, "paper boats", 5, 4);
    let some = by_facts(&build, "10:00-10:45", &[five]);
    assert_eq!(some.verdict, Verdict::GoWithChanges);
    assert_eq!(broken(&some), ["staffed"]);
    assert_eq!(offered(&some)[0], &Change::Fewer { station: five, children: 4 });
    assert!(some.mind.iter().any(|m| m.contains("nobody is left for")), "{:?}", some.mind);
}

#[test]
fn who_is_allergic_is_named_and_does_not_come() {
    let mut build = room(4);
    let wren = build.child("Wren", 40, "08:00-16:00");
    build.site.children[wren.0].allergies.push("wheat".into());
    adult(&mut build, "Ada", "08:00-16:00");
    let dough = staffed(&mut build, "dough", 5, 5);
    build.site.stations[dough.0].allergens.push("wheat".into());
    let free = by_facts(&build, "10:00-10:45", &[dough]);
    // Who is beside it is named, and it is no plain go.
    assert_eq!(free.verdict, Verdict::GoWithChanges, "{:?}", free.reasons);
    assert_eq!(broken(&free), ["barred"]);
    let kept = Change::KeepFrom { station: dough, children: vec![wren] };
    assert_eq!(offered(&free), [&kept]);
    assert_eq!(free.offers[0].words, "keep Wren from dough");
    assert!(!free.slices[0].tied[0].children.contains(&wren));
    assert_eq!(free.materials[0].what, Matter::Allergen("wheat".into()));
    assert_eq!(free.materials[0].not_for, [wren]);
    // A chart that sends the child there is not a go; the child elsewhere is.
    for child in [0, wren.0] {
        build.stay(fairturn::site::ChildIndex(child), "10:00-10:45", Place::Station(dough));
    }
    build.post(fairturn::site::AdultIndex(0), "10:00-10:45", Place::Station(dough));
    let posted = by_chart(&build, "10:00-10:45", &[dough]);
    assert_eq!(broken(&posted), ["barred"]);
    assert_eq!(posted.reasons[0].children, [wren]);
    assert!(posted.reasons[0].words.contains("Wren is allergic"), "{}", posted.reasons[0].words);
    // Who is elsewhere, or asleep, is not beside it.
    build.site.children[wren.0].sleep = Sleep::At(vec![span("09:00-11:00")]);
    let asleep = by_facts(&build, "10:00-10:30", &[dough]);
    assert_eq!(asleep.verdict, Verdict::Go, "{:?}", asleep.reasons);
}

#[test]
fn what_nobody_knows_is_never_a_plain_go_beside_an_allergy() {
    let mut build = room(4);
    let wren = build.child("Wren", 40, "08:00-16:00");
    adult(&mut build, "Ada", "08:00-16:00");
    let paste = staffed(&mut build, "paste", 5, 5);
    build.site.stations[paste.0].allergens = vec!["glimmer paste".into(), "salt".into()];
    let nobody = by_facts(&build, "10:00-10:45", &[paste]);
    assert_eq!(nobody.verdict, Verdict::Go, "{:?}", nobody.reasons);
    build.site.children[wren.0].allergies.push("egg".into());
    let asked = by_facts(&build, "10:00-10:45", &[paste]);
    assert_eq!((asked.verdict, broken(&asked)), (Verdict::GoWithChanges, vec!["barred"]));
    let words = &asked.reasons[0].words;
    assert!(words.contains("glimmer paste is not known here: ask what is in it"), "{words}");
    assert!(words.contains("Wren"), "{words}");
    let ask =
        Change::Ask { station: paste, words: vec!["glimmer paste".into()], children: vec![wren] };
    assert_eq!(offered(&asked), [&ask]);
    let expected = "ask what is in glimmer paste, and keep Wren from paste until that is known";
    assert_eq!(asked.offers[0].words, expected);
    assert_eq!(asked.materials[0].ask_for, [wren]);
    assert!(asked.with_first_offer && asked.holds_until.is_some());
    assert!(!asked.slices[0].tied[0].children.contains(&wren));
    // Whatever else is changed, that stays to be done.
    build.site.stations[paste.0].supervision =
        fairturn::site::Supervision::Staffed { children_per_adult: 3 };
    let both = by_facts(&build, "10:00-10:45", &[paste]);
    assert_eq!(both.verdict, Verdict::GoWithChanges);
    assert_eq!(broken(&both), ["barred", "staffed"]);
    for offer in &both.offers {
        let then = matches!(offer.changes.last(), Some(Change::Ask { children, .. }) if *children == [wren]);
        assert!(then, "{:?}", offer.changes);
    }
}

#[test]
fn a_child_who_comes_later_with_an_allergy_ends_the_block() {
    let mut build = room(4);
    let wren = build.child("Wren", 40, "11:00-16:00");
    build.site.children[wren.0].allergies.push("peanuts".into());
    adult(&mut build, "Ada", "08:00-16:00");
    let feeders = staffed(&mut build, "feeders", 4, 4);
    build.site.stations[feeders.0].allergens = vec!["peanut butter".into()];
    let before = by_facts(&build, "10:00-10:45", &[feeders]);
    assert_eq!(before.verdict, Verdict::Go, "{:?}", before.reasons);
    let holds = before.holds_until.expect("it holds");
    assert_eq!(holds.until, Minute::hm(11, 0));
    assert!(holds.why.is_some_and(|why| why.contains("Wren") && why.contains("peanut")));
}

#[test]
fn small_parts_wait_until_the_youngest_sleep_or_are_out_of_reach() {
    let mut build = room(4);
    let pip = build.child("Pip", 26, "08:00-16:00");
    build.site.children[pip.0].sleep = Sleep::At(vec![span("12:35-14:30")]);
    adult(&mut build, "Ada", "08:00-16:00");
    let beads = staffed(&mut build, "beads", 4, 4);
    build.site.stations[beads.0].hazards.push(Hazard::SmallParts);
    let awake = by_facts(&build, "10:00-10:45", &[beads]);
    assert_eq!(awake.verdict, Verdict::GoWithChanges);
    assert_eq!(broken(&awake), ["barred"]);
    assert_eq!(awake.materials[0].closed_for, [pip]);
    let offers = offered(&awake);
    assert_eq!(offers[0], &Change::OutOfReach { station: beads });
    let later = Change::AnotherTime { span: span("12:45-13:30"), asleep: vec![pip] };
    assert!(offers.contains(&&later), "{offers:?}");
    let words: Vec<&str> = awake.offers.iter().map(|o| o.words.as_str()).collect();
    assert!(words.contains(&"from 12:45 to 13:30 instead, when Pip sleeps"), "{words:?}");
    let asleep = by_facts(&build, "13:00-13:45", &[beads]);
    assert_eq!(asleep.verdict, Verdict::Go, "{:?}", asleep.reasons);
    let young =
        |(range, n): &(fairturn::planner::AgeRange, u32)| range.from_months >= 36 || *n == 0;
    assert!(asleep.more.iter().flat_map(|(_, m)| m).all(young), "nobody young may join the beads");
    assert_eq!(asleep.holds_until.map(|h| h.until), Some(Minute::hm(14, 30)), "Pip wakes");
    build.site.stations[beads.0].out_of_reach = true;
    assert_eq!(by_facts(&build, "10:00-10:45", &[beads]).verdict, Verdict::Go);
}

#[test]
fn an_adult_of_the_posted_chart_comes_to_the_table_if_that_is_enough() {
    let mut build = room(10);
    let dock = build.zone("dock", CLASSROOM);
    let (ada, bo) =
        (adult(&mut build, "Ada", "08:00-16:00"), adult(&mut build, "Bo", "08:00-16:00"));
    let paint = staffed(&mut build, "painting", 4, 4);
    build.site.stations[paint.0].zone = dock;
    build.post(ada, "10:00-10:45", WATCH);
    build.post(bo, "10:00-10:45", WATCH);
    let check = by_chart(&build, "10:00-10:45", &[paint]);
    assert_eq!(check.verdict, Verdict::GoWithChanges);
    assert_eq!(broken(&check), ["staffed", "sight"]);
    let first = &check.offers[0];
    let to = Place::Station(paint);
    let moved =
        Change::Move { adult: ada, to, instead: WATCH, beside: None, span: span("10:00-10:45") };
    assert_eq!(first.changes, [moved]);
    assert_eq!(first.words, "Ada at painting instead of in the classroom");
    let left = &check.slices[0].left;
    assert_eq!((left.children.len(), &left.adults[..], left.sight), (6, &[bo][..], true));
    // The change, made in the chart, is a go.
    build.post(ada, "10:00-10:45", Place::Station(paint));
    assert_eq!(by_chart(&build, "10:00-10:45", &[paint]).verdict, Verdict::Go);
}

#[test]
fn the_walk_to_the_sink_is_part_of_the_block() {
    let mut build = room(8);
    adult(&mut build, "Ada", "08:00-16:00");
    adult(&mut build, "Bo", "08:00-16:00");
    let paint = staffed(&mut build, "painting", 5, 8);
    build.site.stations[paint.0].mess = Mess::Wet;
    let check = by_facts(&build, "10:00-10:45", &[paint]);
    assert_eq!(check.verdict, Verdict::Go, "{:?}", check.reasons);
    let wash = &check.washing[0];
    assert_eq!((wash.children, wash.sinks, wash.minutes), (5, 2, 3), "a minute a child a sink");
    assert_eq!(wash.from, Minute::hm(10, 42));
    let last = check.slices.last().expect("a slice at the sinks");
    assert_eq!((last.span, last.tied[0].at_the_sinks), (span("10:42-10:45"), true));
    assert_eq!(last.tied[0].adults.len(), 1);
    build.site.spaces[CLASSROOM.0].sinks = 0;
    assert!(broken(&by_facts(&build, "10:00-10:45", &[paint])).contains(&"sinks"));
}

#[test]
fn a_care_round_takes_an_adult_who_can_be_spared_or_is_not_planned() {
    let mut build = room(6);
    build.site.children[0].toileting = fairturn::site::Toileting::Nappies;
    adult(&mut build, "Ada", "08:00-16:00");
    adult(&mut build, "Bo", "10:20-16:00");
    let paint = staffed(&mut build, "painting", 3, 3);
    build.site.spaces[CLASSROOM.0].care_place =
        Some(fairturn::site::CarePlace { seen_from: Vec::new() });
    let check = by_facts(&build, "10:00-10:45", &[paint]);
    let care = check.care.expect("a child in nappies is there");
    assert_eq!((care.minutes_each, care.minutes), (5, 5));
    assert_eq!(care.holds, [span("10:20-10:45")], "not while one adult is alone");
    assert!(care.breaks.is_some());
}

#[test]
fn a_block_that_nothing_mends_is_a_no_go_with_its_arithmetic() {
    let mut build = room(20);
    adult(&mut build, "Ada", "08:00-16:00");
    build.site.adults[0].counts = false;
    let books = build.station("books", CLASSROOM);
    build.site.spaces[CLASSROOM.0].class_size = Some(12);
    let check = check(&build.day(), None, &question("10:00-10:45", &[books]));
    assert_eq!(check.verdict, Verdict::NoGo);
    assert!(check.offers.is_empty() && check.holds_until.is_none());
    assert_eq!(broken(&check), ["ratio", "class-size"]);
    assert_eq!((check.reasons[0].needed, check.reasons[0].present), (3, 0), "20 at 1:8");
}

#[test]
fn a_block_goes_no_further_than_the_chart_has_somebody_at_it() {
    let mut build = room(6);
    let ada = adult(&mut build, "Ada", "08:00-16:00");
    let paint = staffed(&mut build, "painting", 6, 8);
    build.post(ada, "09:50-11:00", WATCH);
    build.post(ada, "10:00-10:15", Place::Station(paint));
    for child in 0..6 {
        let child = fairturn::site::ChildIndex(child);
        build.stay(child, "10:00-10:15", Place::Station(paint));
        build.stay(child, "10:15-11:00", Place::Transition);
    }
    assert_eq!(by_chart(&build, "10:00-10:15", &[paint]).verdict, Verdict::Go);
    let longer = by_chart(&build, "10:00-10:45", &[paint]);
    assert_eq!((longer.verdict, broken(&longer)), (Verdict::GoWithChanges, vec!["nobody-free"]));
    assert_eq!(longer.offers[0].changes, [Change::Shorter { span: span("10:00-10:15") }]);
    assert_eq!(longer.offers[0].words, "only 10:00 to 10:15");
    assert!(longer.slices.iter().all(|s| s.span.to <= Minute::hm(10, 15)), "the shorter block's");
    let after = by_chart(&build, "10:20-10:40", &[paint]);
    assert!(!offered(&after).iter().any(|c| matches!(c, Change::Shorter { .. })));
}

#[test]
fn a_station_is_not_kept_for_an_age_that_nobody_has() {
    let mut build = room(6);
    adult(&mut build, "Ada", "08:00-16:00");
    let (paint, dough) =
        (staffed(&mut build, "painting", 3, 3), staffed(&mut build, "dough", 3, 3));
    let both = by_facts(&build, "10:00-10:45", &[paint, dough]);
    assert!(!both.offers.is_empty());
    assert!(!offered(&both).iter().any(|c| matches!(c, Change::Older { .. })), "all are three");
}

/// A snack from 9:30 and lunch at 11:30 with 100 minutes between them: after a block until 10:00 there
/// are fewer left.
#[test]
fn a_block_leaves_the_least_time_between_two_meals() {
    let mut build = room(4);
    build.standards.clear();
    build.site.settings.meal_interval = (100, 240);
    let tables = vec![build.table("long table", CLASSROOM)];
    for (kind, window, minutes) in
        [(MealKind::MorningSnack, "09:30-10:40", 15), (MealKind::Lunch, "11:30-12:00", 30)]
    {
        let tables = tables.clone();
        build.schedule.meals.push(Meal { kind, window: span(window), minutes, tables });
    }
    for label in ["Ada", "Bea"] {
        adult(&mut build, label, "08:00-16:00");
    }
    let dough = staffed(&mut build, "dough", 4, 4);
    let told = |when: &str| -> Vec<(u32, String)> {
        let found = by_facts(&build, when, &[dough]);
        assert_eq!(found.verdict == Verdict::Go, found.reasons.is_empty());
        let meals = found.reasons.iter().filter(|r| r.rule == "meals");
        meals.map(|r| (r.needed, r.words.clone())).collect()
    };
    assert_eq!(told("08:50-09:20"), []);
    let near = told("09:20-10:00");
    assert_eq!(near[0].0, 100, "{near:?}");
    assert!(near[0].1.contains("minutes apart, at least 100 asked"), "{near:?}");
    assert_eq!(told("10:00-10:30"), [], "the snack is before it");
}
