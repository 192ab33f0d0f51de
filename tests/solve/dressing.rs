//! Going out takes as long as the slowest needs to dress.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{BlockKind, Place};
use fairturn::planner::notes;
use fairturn::site::*;

/// A morning with an hour outdoors for children of these ages; the youngest is fetched at some time.
fn out(months: &[u32], youngest_until: &str) -> Build {
    let mut build = morning("09:00-12:00");
    let yard = build.space("yard");
    build.site.spaces[yard.0].outdoors = true;
    build.site.spaces[CLASSROOM.0].sinks = 3;
    build.schedule.parts.push(Part {
        kind: PartKind::Outdoors,
        span: span("10:30-11:15"),
        space: yard,
    });
    for (n, months) in months.iter().enumerate() {
        let until = if n == 0 { youngest_until } else { "12:00" };
        build.child(&format!("child {n}"), *months, &format!("09:00-{until}"));
    }
    adult(&mut build, "lead", "09:00-12:00");
    adult(&mut build, "second", "09:00-12:00");
    build
}

/// Minutes of the blocks on the way out and on the way in.
fn ways(build: &Build) -> (u16, u16) {
    let blocks = made(&build.day()).chart.blocks;
    let out = blocks.iter().position(|b| b.kind == BlockKind::Outdoors).expect("they go out");
    let minutes = |at: usize| {
        assert_eq!(blocks[at].kind, BlockKind::Transition);
        blocks[at].span.minutes()
    };
    (minutes(out - 1), minutes(out + 1))
}

#[test]
fn the_slowest_to_dress_says_how_long_it_takes() {
    assert_eq!(ways(&out(&[62, 62, 62], "12:00")), (10, 10), "four minutes each, and tidying");
    assert_eq!(
        ways(&out(&[20, 62, 62], "12:00")),
        (15, 10),
        "eight for the youngest, four to undress"
    );
    let slow = |until: &str| {
        let mut build = out(&[20, 62, 62], until);
        build.schedule.dressing.minutes[0].minutes = 14;
        ways(&build)
    };
    assert_eq!(slow("12:00"), (20, 15), "fourteen for the youngest, seven to undress");
    assert_eq!(slow("11:00"), (20, 10), "who is fetched outside keeps nobody waiting");
    assert_eq!(slow("10:00"), (10, 10), "nor who is fetched before");
}

#[test]
fn a_schedule_may_say_other_minutes() {
    let mut build = out(&[62, 62, 62], "12:00");
    build.schedule.dressing.minutes = vec![AgeBand { below_months: None, minutes: 0 }];
    assert_eq!(ways(&build), (5, 5), "nothing to put on: tidying alone");
    build.schedule.dressing.minutes = vec![AgeBand { below_months: None, minutes: 12 }];
    assert_eq!(ways(&build), (20, 15), "on the grid, and half of it on coming in");
}

#[test]
fn the_minutes_of_a_way_count_there_and_back_whoever_names_them() {
    for (named_by_the_yard, back_too) in [(true, None), (false, None), (false, Some(3))] {
        let mut build = out(&[62, 62, 62], "12:00");
        let (home, yard) = (CLASSROOM.0, SpaceIndex(build.site.spaces.len() - 1));
        let (at, to) = if named_by_the_yard { (yard.0, CLASSROOM) } else { (home, yard) };
        build.site.spaces[at].walking = vec![(to, 20)];
        if let Some(minutes) = back_too {
            build.site.spaces[yard.0].walking = vec![(CLASSROOM, minutes)];
        }
        // Nine minutes to be ready, seven to be in again, and the longer of what is said of the way.
        assert_eq!(ways(&build), (30, 30), "named by the yard: {named_by_the_yard}");
        let day = build.day();
        let problems = made(&day).problems;
        assert!(problems.iter().all(|p| p.rule != "walking"), "{problems:?}");
    }
}

#[test]
fn where_there_is_no_time_to_dress_that_is_said() {
    let told = |build: &Build| -> Vec<String> {
        let day = build.day();
        notes(&day, &made(&day).chart)
    };
    let mut build = out(&[20, 62, 62], "12:00");
    assert!(told(&build).is_empty(), "there is time enough");
    // A circle that ends five minutes before they are to be out.
    let (span, space) = (span("10:00-10:25"), CLASSROOM);
    build.schedule.parts.insert(0, Part { kind: PartKind::Circle, span, space });
    let out_at_once = "Note: 3 children have only 5 minutes to tidy up and get dressed before being out \
                       at 10:30; it takes 13. Start sooner, or be out later.";
    assert_eq!(told(&build), [out_at_once]);
    // Somebody draws the way in five minutes later by hand: it took the youngest nine of ten minutes.
    let day = build.day();
    let mut chart = made(&day).chart;
    for stays in chart.children.iter_mut().map(|c| &mut c.stays) {
        let out = stays.iter().position(|s| s.at == Place::Outdoors).expect("they go out");
        stays[out].span.to = stays[out].span.to.later(5);
        stays[out + 1].span.from = stays[out].span.to;
    }
    let in_at_once = "Note: 3 children have only 5 minutes to tidy up and get undressed before being in \
                      at 11:25; it takes 9. Start sooner, or be in later.";
    assert_eq!(notes(&day, &chart), [out_at_once, in_at_once]);
    // In a warm month nobody has anything to put on.
    build.schedule.dressing.minutes = vec![AgeBand { below_months: None, minutes: 0 }];
    assert!(told(&build).is_empty());
}
