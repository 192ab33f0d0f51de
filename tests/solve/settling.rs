//! All adults stay while the children settle, where a staff break can be had at another time.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::planner::Plan;
use fairturn::site::*;

/// Four children who sleep from noon on, two adults of whom one is due a break in a window.
fn nap(window: &str) -> Build {
    let mut build = morning("11:00-13:30");
    build.schedule.rest = Some(Rest {
        window: span("12:00-13:15"),
        minutes: 60,
        space: CLASSROOM,
        settling_minutes: 15,
        awake_longest: 30,
    });
    for n in 1..=4 {
        let child = build.child(&format!("child {n}"), 50, "11:00-13:30");
        build.site.children[child.0].sleep = Sleep::InRest { minutes: 60 };
    }
    adult(&mut build, "lead", "11:00-13:30");
    let second = adult(&mut build, "second", "11:00-13:30");
    let due = BreakDue { minutes: 15, window: span(window), paid: true, may_leave: false };
    build.site.adults[second.0].breaks = vec![due];
    build
}

fn settling(plan: &Plan) -> i64 {
    plan.aims.iter().find(|a| a.slug == "settling").expect("the aim").value
}

#[test]
fn a_staff_break_waits_until_the_children_have_settled() {
    for window in ["11:55-12:35", "12:00-12:35", "12:00-13:15"] {
        let plan = made(&nap(window).day());
        assert_eq!(plan.problems, [], "{window}");
        assert_eq!(settling(&plan), 0, "{window}: {:?}", plan.chart.adults[1].posts);
    }
}

#[test]
fn a_staff_break_that_fits_nowhere_else_is_had_all_the_same() {
    let plan = made(&nap("12:00-12:15").day());
    assert_eq!(plan.problems, [], "it is owed");
    // They lie down at 12:05, and the break is until 12:15.
    assert_eq!(settling(&plan), 2);
    assert_eq!(plan.aims.iter().find(|a| a.slug == "settling").and_then(|a| a.bound), Some(2));
}
