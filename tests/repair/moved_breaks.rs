//! A staff break at another time is a rest from work: with work before and after it.

use super::tiny_floor::{away, house, standard};
use crate::audits::build::{Build, span};
use fairturn::day::{Day, Happening};
use fairturn::planner::{Edit, Fixes, Options, fixes, make, repair};
use fairturn::site::{AdultIndex, BreakDue, Minute};

/// Four children at two an adult from eight to four, three adults, and half an hour due to the first one
/// at noon.
fn afternoon(minutes_to_come_in: u16) -> Build {
    let mut build = house("08:00-16:00", &[50, 50], 3);
    standard(&mut build, "fraction_sum", 2, 2);
    build.site.settings.minutes_to_come_in = minutes_to_come_in;
    let due = BreakDue { minutes: 30, window: span("12:00-12:30"), paid: true, may_leave: true };
    build.site.adults[0].breaks.push(due);
    build
}

fn without_the_third(day: &Day, until: &str) -> Fixes {
    let posted = make(day, &Options::default()).chart;
    let told = [away(2, span(&format!("12:00-{until}")))];
    let (at, options) = (Minute::hm(12, 0), Options::default());
    let repaired = repair(day, &posted, at, &told, &options).expect("it can be");
    assert!(!repaired.plan.problems.is_empty(), "two are needed, and one of them has a break");
    fixes(day, &posted, &repaired, &options)
}

/// When the break is moved to by the fixes that move it and nothing else.
fn moved(fixes: &Fixes) -> Vec<Minute> {
    let moved = |edits: &[Edit]| match edits {
        [Edit::MoveBreak { adult: AdultIndex(0), due: 0, from }] => *from,
        _ => None,
    };
    fixes.fixes.iter().filter_map(|fix| moved(&fix.edits)).collect()
}

/// The third adult is back in time for a break that ends an hour before the shift, or is not.
#[test]
fn a_break_is_moved_where_an_hour_of_work_follows() {
    let day = afternoon(0).day();
    assert_eq!(moved(&without_the_third(&day, "14:30")), [Minute::hm(14, 30)]);
    for late in ["14:35", "15:00", "15:30"] {
        let fixes = without_the_third(&day, late);
        assert_eq!(moved(&fixes), [], "{late}");
        assert!(fixes.left.is_empty() && !fixes.fixes.is_empty(), "{late}: somebody is called");
    }
}

/// Where nobody can be called in time, the last hour is better than none, and the last half hour is not.
#[test]
fn a_break_in_the_last_hour_is_offered_where_there_is_nothing_else() {
    let day = afternoon(600).day();
    assert_eq!(moved(&without_the_third(&day, "14:35")), [Minute::hm(14, 35)]);
    assert_eq!(moved(&without_the_third(&day, "15:00")), [Minute::hm(15, 0)]);
    let none = without_the_third(&day, "15:05");
    assert!(moved(&none).is_empty() && !none.left.is_empty(), "{:?}", none.why);
}

/// One that was missed is made up for in the middle of what is left, as long as there is such a time.
#[test]
fn a_missed_break_is_not_made_up_for_at_the_end() {
    let day = afternoon(0).day();
    let posted = make(&day, &Options::default()).chart;
    let missed = [Happening::MissedBreak { adult: AdultIndex(0), due: Some(0) }];
    for (at, last) in
        [("13:00", "15:00"), ("14:25", "15:00"), ("14:45", "15:30"), ("15:10", "16:00")]
    {
        let at = Minute::parse(at).expect("a time of the test");
        let done = repair(&day, &posted, at, &missed, &Options::default()).expect("it can be");
        let window = done.day.site.adults[0].breaks.last().map(|b| b.window.to);
        assert_eq!(window, Minute::parse(last), "{at}");
    }
}
