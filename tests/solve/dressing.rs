//! Going out takes as long as the slowest needs to dress.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::BlockKind;
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
