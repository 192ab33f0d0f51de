//! A room that goes to a gym while an infant sleeps: the adults are split for the walk as well.

use super::small_days::{adult, made, morning, of};
use crate::audits::build::{CLASSROOM, span};
use fairturn::chart::{Place, present_at};
use fairturn::rules::Problem;
use fairturn::site::*;
use fairturn::standards::find;

#[test]
fn nobody_is_left_alone_on_the_way_to_the_gym() {
    let mut build = morning("09:00-12:00");
    build.standards.push(find("ireland-full-day").expect("a built-in standard"));
    let gym = build.space("gym");
    build.site.spaces[CLASSROOM.0].walking = vec![(gym, 3)];
    build.site.spaces[gym.0].walking = vec![(CLASSROOM, 3)];
    let there = Part { kind: PartKind::Outdoors, span: span("10:15-11:00"), space: gym };
    build.schedule.parts.push(there);
    for n in 1..=5 {
        build.child(&format!("child {n}"), 50, "09:00-12:00");
    }
    let infant = build.child("infant", 9, "09:00-12:00");
    build.site.children[infant.0].sleep = Sleep::At(vec![span("09:45-11:30")]);
    adult(&mut build, "lead", "09:00-12:00");
    let second = adult(&mut build, "second", "09:00-12:00");
    let due = BreakDue { minutes: 15, window: span("10:00-12:00"), paid: true, may_leave: false };
    build.site.adults[second.0].breaks = vec![due];
    let day = build.day();
    let plan = made(&day);
    for rule in ["ratio", "sight", "never-alone", "present", "qualified"] {
        assert_eq!(of(&plan, rule), Vec::<&Problem>::new(), "{rule}");
    }
    let walks: Vec<Span> = plan.chart.children[0]
        .stays
        .iter()
        .filter(|s| s.at == Place::Transition)
        .map(|s| s.span)
        .filter(|s| s.to == there.span.from || s.from == there.span.to)
        .collect();
    assert_eq!(walks.len(), 2, "there and back: {:?}", plan.chart.children[0].stays);
    let apart = Span::new(walks[0].from, walks[1].to).expect("there, then back");
    for minute in (apart.from.0..apart.to.0).map(Minute) {
        let (children, adults) = present_at(&plan.chart, minute);
        let mut spaces: Vec<SpaceIndex> = children.iter().map(|c| c.1.space).collect();
        spaces.sort_unstable();
        spaces.dedup();
        for space in spaces {
            let with = adults.iter().filter(|(a, p)| p.space == space && day.counts(*a, p));
            assert!(with.count() > 0, "{minute}: children without an adult, {adults:?}");
        }
    }
    // The only time for the staff break is when all are in one space again.
    let apart = Span::new(apart.from, there.span.to).expect("there and in the gym");
    let posts = &plan.chart.adult(second).expect("on shift").posts;
    let off: Vec<Span> =
        posts.iter().filter(|p| p.at == Place::StaffBreak(0)).map(|p| p.span).collect();
    assert!(off.len() == 1 && !off[0].meets(apart), "{off:?} while {apart} they are apart");
    // Should the one who went there stay behind, every minute of it is told, the walks too.
    let mut left = plan.chart.clone();
    for post in left.adults.iter_mut().flat_map(|a| &mut a.posts) {
        if post.space == gym || walks.iter().any(|w| w.meets(post.span)) {
            (post.space, post.at, post.zone) = (CLASSROOM, Place::Transition, None);
        }
    }
    let problems = fairturn::rules::audit(&day, &left);
    for rule in ["ratio", "sight"] {
        let mut told: Vec<Span> = problems
            .iter()
            .filter(|p| p.rule == rule && p.space == Some(gym))
            .map(|p| p.span)
            .collect();
        told.sort_unstable();
        let minutes: u16 = told.iter().map(|s| s.minutes()).sum();
        assert!(minutes >= there.span.minutes(), "{rule}: {told:?}");
    }
}
