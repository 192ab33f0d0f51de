//! Published rows of the ratios, as a block check gives them.

use super::{adult, broken, by_chart, by_facts, figures, offered, staffed};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{Place, State};
use fairturn::planner::check::{Change, Verdict};
use fairturn::site::{BreakDue, Hazard};
use fairturn::standards::find;

/// Caring for Our Children 1.1.1.2, nap clause (derived): twelve 3-year-olds asleep need one adult
/// in the room; with two of them awake one for those as well.
#[test]
fn the_nap_rule_is_applied_to_those_who_sleep() {
    for (asleep, needed) in [(12, 1), (10, 2)] {
        let mut build = Build::new();
        build.standards.push(find("cfoc-centre").expect("built in"));
        let books = build.station("books", CLASSROOM);
        let hall = build.space("hall");
        for at in 0..12 {
            let child = build.child(&format!("child {at}"), 40, "08:00-16:00");
            let stay = build.stay(child, "12:00-14:00", Place::Rest);
            if at < asleep {
                stay.state = State::Asleep;
            }
        }
        for label in ["Ada", "Bo"] {
            adult(&mut build, label, "08:00-16:00");
        }
        let third = adult(&mut build, "Cy", "08:00-16:00");
        build.post_in(third, "12:00-14:00", hall, Place::WholeGroup);
        let check = by_chart(&build, "12:30-13:30", &[books]);
        assert_eq!(figures(&check), [("12:30 to 13:30".to_owned(), needed, 2)]);
        assert_eq!(check.slices[0].asleep, asleep);
        assert_eq!(broken(&check), ["nobody-free"], "nobody comes from the cots");
    }
}

/// California 101230 (verified): 1:24 napping. 55 Pa. Code 3270.55 (verified): 1:10 young toddlers,
/// 1:20 preschool. O. Reg. 137/15 (verified; rounding up derived): two thirds of the adults.
#[test]
fn the_nap_rules_of_other_places_are_the_need_of_a_block() {
    let rows = [
        ("california", 40, 24, 1),
        ("california", 40, 25, 2),
        ("pennsylvania", 18, 11, 2),
        ("pennsylvania", 40, 20, 1),
        ("ontario", 40, 24, 2),
        ("ontario", 40, 16, 2),
    ];
    for (standard, months, children, needed) in rows {
        let mut build = Build::new();
        build.standards.push(find(standard).expect("built in"));
        let books = build.station("books", CLASSROOM);
        for at in 0..children {
            let child = build.child(&format!("child {at}"), months, "08:00-16:00");
            build.stay(child, "12:00-14:00", Place::Rest).state = State::Asleep;
        }
        for label in ["Ada", "Bo", "Cy", "Di"] {
            adult(&mut build, label, "08:00-16:00");
        }
        let check = by_chart(&build, "12:30-13:30", &[books]);
        let figures = figures(&check);
        assert_eq!(figures, [("12:30 to 13:30".to_owned(), needed, 4)], "{standard}: {children}");
    }
}

/// Caring for Our Children 1.1.1.5 (1:4 from memory): a water table with one infant, or one child of
/// 20 months, and three 3-year-olds takes two adults.
#[test]
fn water_play_has_a_ratio_of_its_own() {
    for youngest in [10, 20] {
        for (adults, verdict) in [(2, Verdict::Go), (1, Verdict::GoWithChanges)] {
            let mut build = Build::new();
            build.standards.push(find("cfoc-centre").expect("built in"));
            let water = staffed(&mut build, "water table", 4, 4);
            build.site.stations[water.0].hazards.push(Hazard::Water);
            let ola = build.child("Ola", youngest, "08:00-16:00");
            // An infant comes where it is owed a visit.
            build.must_do.push((ola, water));
            for label in ["Per", "Una", "Vik"] {
                build.child(label, 40, "08:00-16:00");
            }
            for label in ["Ada", "Bo"].iter().take(adults) {
                adult(&mut build, label, "08:00-16:00");
            }
            let check = by_facts(&build, "10:00-10:45", &[water]);
            assert_eq!(check.verdict, verdict, "{:?}", check.reasons);
            if verdict == Verdict::Go {
                assert_eq!(
                    check.slices[0].tied[0].needed, 2,
                    "one for the youngest, one for three"
                );
                assert_eq!(check.slices[0].tied[0].adults.len(), 2);
            } else {
                assert!(broken(&check).contains(&"staffed"), "{:?}", check.reasons);
                assert!(offered(&check).iter().any(|c| matches!(c, Change::MoreAdults { .. })));
            }
        }
    }
}

/// Twenty-six children of three and over: two adults while one of level 6 is there, four while that
/// one is on a staff break.
fn qualified() -> Build {
    let mut build = Build::new();
    build.standards.push(find("england-eyfs").expect("built in"));
    for at in 0..26 {
        build.child(&format!("child {at}"), 40, "08:00-16:00");
    }
    for (label, level) in [("Ada", "level-6"), ("Bo", "level-3"), ("Cy", "level-3")] {
        let who = adult(&mut build, label, "08:00-16:00");
        build.site.adults[who.0].qualifications.push(level.to_owned());
    }
    let window = span("10:20-10:35");
    let due = BreakDue { minutes: 15, window, paid: true, may_leave: false };
    build.site.adults[0].breaks.push(due);
    build
}

/// England, early years framework, section 3 (from a secondary source): 1:13 with level 6 and
/// level 3, else 1:8.
#[test]
fn a_staff_break_of_the_qualified_adult_turns_two_adults_into_four() {
    let mut build = qualified();
    let art = staffed(&mut build, "messy art", 4, 4);
    build.post(fairturn::site::AdultIndex(0), "10:20-10:35", Place::StaffBreak(0));
    build.post(fairturn::site::AdultIndex(2), "10:00-10:45", Place::Station(art));
    let check = by_chart(&build, "10:00-10:45", &[art]);
    let as_asked: Vec<_> = check.reasons.iter().filter(|r| r.rule == "ratio").collect();
    assert_eq!(as_asked.len(), 1, "{:?}", check.reasons);
    assert_eq!(as_asked[0].span, span("10:20-10:35"));
    assert_eq!((as_asked[0].needed, as_asked[0].present), (4, 2));
    // The first change is to end before the break begins.
    assert_eq!(check.offers[0].changes, [Change::Shorter { span: span("10:00-10:20") }]);
    assert_eq!(figures(&check), [("10:00 to 10:20".to_owned(), 2, 3)]);
    // A day that is planned around the block has the ratio and no time for the break.
    let planned = by_facts(&build, "10:00-10:45", &[art]);
    assert_eq!(broken(&planned), ["staff-break"], "{:?}", planned.reasons);
    for check in [check, planned] {
        assert_eq!(check.verdict, Verdict::GoWithChanges);
        let more = offered(&check).into_iter().find_map(|c| match c {
            Change::MoreAdults { adults, span, .. } => Some((*adults, *span)),
            _ => None,
        });
        assert_eq!(more, Some((2, span("10:20-10:35"))), "two more, no longer than it takes");
    }
    // The block that ends when the break starts is a go, and holds just as long.
    let before = by_facts(&build, "09:30-10:20", &[art]);
    assert_eq!(before.verdict, Verdict::Go);
    let holds = before.holds_until.expect("a block that goes holds for some time");
    assert_eq!(holds.until.to_string(), "10:20");
    let mut without = build;
    without.site.adults[0].breaks.clear();
    assert_eq!(by_facts(&without, "10:00-10:45", &[art]).verdict, Verdict::Go);
}
