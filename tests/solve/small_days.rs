//! Whole days made for one thing each that is easily got wrong.

use crate::audits::build::{Build, CLASSROOM, span};
use chrono::NaiveDate;
use fairturn::chart::Place;
use fairturn::day::Day;
use fairturn::planner::{Options, Plan, make};
use fairturn::rules::Problem;
use fairturn::site::*;
use fairturn::standards::find;

/// A morning of one stretch, groups of two to five that the planner forms.
pub fn morning(hours: &str) -> Build {
    let mut build = Build::new();
    build.schedule.open = span(hours);
    build.schedule.stretches = vec![Stretch { kind: StretchKind::Assigned, span: span(hours) }];
    build.schedule.turn_minutes = vec![AgeBand { below_months: None, minutes: 20 }];
    for name in ["blocks", "books", "puzzles"] {
        let station = build.station(name, CLASSROOM);
        build.site.stations[station.0].seats = 5;
    }
    build
}

pub fn adult(build: &mut Build, name: &str, hours: &str) -> AdultIndex {
    let adult = build.adult(name, hours);
    let facts = &mut build.site.adults[adult.0];
    (facts.lead, facts.first_aid) = (true, true);
    adult
}

pub fn made(day: &Day) -> Plan {
    make(day, &Options::default())
}

pub fn of<'a>(plan: &'a Plan, rule: &str) -> Vec<&'a Problem> {
    plan.problems.iter().filter(|p| p.rule == rule).collect()
}

#[test]
fn beads_from_the_third_birthday_and_not_on_its_eve() {
    for (date, visits) in [(14, false), (15, true)] {
        let mut build = morning("09:00-10:30");
        let beads = build.station("beads", CLASSROOM);
        build.site.stations[beads.0].hazards = vec![Hazard::SmallParts];
        build.site.stations[beads.0].out_of_reach = true;
        let children = ["a", "b"].map(|name| build.child(name, 50, "09:00-10:30"));
        for child in children {
            let born = NaiveDate::from_ymd_opt(2023, 3, 15).expect("a date");
            build.site.children[child.0].born = born;
            build.must_do.push((child, beads));
        }
        adult(&mut build, "lead", "09:00-10:30");
        let mut day = build.day();
        day.date = NaiveDate::from_ymd_opt(2026, 3, date).expect("a date");
        let plan = made(&day);
        for child in &plan.chart.children {
            let at_beads = child.stays.iter().any(|s| s.at == Place::Station(beads));
            assert_eq!(at_beads, visits, "on the {date}th");
        }
        let missed = plan.aims.iter().find(|a| a.slug == "must-do").expect("the aim");
        assert_eq!(missed.value, if visits { 0 } else { 2 }, "on the {date}th");
        assert!(of(&plan, "barred").is_empty());
    }
}

/// Nine children of four years, one adult for eight of them.
fn nine() -> Build {
    let mut build = morning("09:00-12:00");
    build.standards.push(find("ireland-full-day").expect("a built-in standard"));
    for n in 1..=9 {
        build.child(&format!("child {n}"), 50, "09:00-12:00");
    }
    build
}

#[test]
fn an_absence_inside_a_turn_is_told_to_the_minute() {
    let mut build = nine();
    adult(&mut build, "lead", "09:00-12:00");
    let second = adult(&mut build, "second", "09:00-10:23");
    build.adults[second.0].1.push(span("10:41-12:00"));
    let plan = made(&build.day());
    let spans: Vec<Span> = of(&plan, "ratio").iter().map(|p| p.span).collect();
    assert_eq!(spans, [span("10:23-10:41")]);
    let short = of(&plan, "ratio")[0];
    assert_eq!((short.needed, short.present, short.by), (2, 1, 1));
    assert!(!plan.safe_to_run());
}

#[test]
fn a_staff_break_that_the_ratio_forbids_is_missed_not_taken() {
    let mut build = nine();
    adult(&mut build, "lead", "09:00-12:00");
    let second = adult(&mut build, "second", "09:00-12:00");
    build.site.adults[second.0].breaks =
        vec![BreakDue { minutes: 15, window: span("10:20-10:35"), paid: true, may_leave: false }];
    let day = build.day();
    let plan = made(&day);
    assert!(of(&plan, "ratio").is_empty());
    let missed: Vec<_> = of(&plan, "staff-break").iter().map(|p| p.adults.clone()).collect();
    assert_eq!(missed, [vec![second]]);
    // Taken all the same, it is short for exactly those minutes, whatever blocks are around it.
    let mut taken = plan.chart.clone();
    let posts = &mut taken.adults.iter_mut().find(|a| a.adult == second).expect("on shift").posts;
    let off = span("10:20-10:35");
    let mut cut = Vec::new();
    for post in posts.iter() {
        for (from, to) in [
            (post.span.from, post.span.to.min(off.from)),
            (post.span.from.max(off.to), post.span.to),
        ] {
            cut.extend(Span::new(from, to).map(|span| fairturn::chart::Post { span, ..*post }));
        }
    }
    let first = posts[0].clone();
    let away = Place::StaffBreak(0);
    cut.push(fairturn::chart::Post { span: off, at: away, zone: None, ..first });
    cut.sort_by_key(|p| p.span);
    *posts = cut;
    let problems = fairturn::rules::audit(&day, &taken);
    let ratio: Vec<Span> = problems.iter().filter(|p| p.rule == "ratio").map(|p| p.span).collect();
    assert_eq!(ratio, [off]);
    assert!(problems.iter().all(|p| p.rule != "staff-break"));
}

#[test]
fn a_childs_appointment_gives_an_adult_the_staff_break() {
    let mut build = nine();
    build.children[4].1 = vec![span("09:00-10:07"), span("10:38-12:00")];
    adult(&mut build, "lead", "09:00-12:00");
    let second = adult(&mut build, "second", "09:00-12:00");
    build.site.adults[second.0].breaks =
        vec![BreakDue { minutes: 25, window: span("09:30-11:30"), paid: true, may_leave: false }];
    let day = build.day();
    let plan = made(&day);
    for rule in ["present", "ratio", "staff-break", "sight", "seats"] {
        assert_eq!(of(&plan, rule), Vec::<&Problem>::new(), "{rule}");
    }
    let child = plan.chart.child(ChildIndex(4)).expect("the child");
    let edges: Vec<Span> = day.child_here(ChildIndex(4)).to_vec();
    let away = child.stays.iter().find(|s| !edges.iter().any(|e| e.holds(s.span)));
    assert_eq!(away, None, "nobody is placed while away");
    let posts = &plan.chart.adult(second).expect("on shift").posts;
    let off: Vec<Span> =
        posts.iter().filter(|p| p.at == Place::StaffBreak(0)).map(|p| p.span).collect();
    assert_eq!(off, [span("10:10-10:35")], "the only start at which eight are left for one");
}

#[test]
fn one_adult_goes_out_with_the_children_and_comes_in_with_them() {
    let mut build = morning("09:00-12:00");
    let yard = build.space("yard");
    build.site.spaces[yard.0].outdoors = true;
    build.site.spaces[CLASSROOM.0].walking = vec![(yard, 3)];
    build.site.spaces[yard.0].walking = vec![(CLASSROOM, 3)];
    let out = Part { kind: PartKind::Outdoors, span: span("10:15-11:00"), space: yard };
    build.schedule.parts.push(out);
    for n in 1..=6 {
        build.child(&format!("child {n}"), 50, "09:00-12:00");
    }
    let lead = adult(&mut build, "lead", "09:00-12:00");
    let day = build.day();
    let plan = made(&day);
    for rule in ["sight", "ratio", "present", "sinks", "never-alone"] {
        assert_eq!(of(&plan, rule), Vec::<&Problem>::new(), "{rule}");
    }
    let posts = &plan.chart.adult(lead).expect("on shift").posts;
    let walks = plan.chart.children[0].stays.iter().filter(|s| s.at == Place::Transition);
    let walks: Vec<_> =
        walks.filter(|s| s.span.to == out.span.from || s.span.from == out.span.to).collect();
    assert_eq!(walks.len(), 2, "out and in again: {walks:?}");
    for walk in walks {
        let with = posts.iter().filter(|p| p.span.meets(walk.span));
        assert!(with.clone().all(|p| p.space == walk.space), "{walk:?} with {posts:?}");
    }
    // Left behind for the walk, the only adult is missed in exactly those minutes.
    let mut left = plan.chart.clone();
    for post in left.adults.iter_mut().flat_map(|a| &mut a.posts) {
        let indoors = plan.chart.children[0].stays.iter().any(|s| {
            s.at == Place::Transition && s.span.to == out.span.from && s.span.meets(post.span)
        });
        if indoors {
            post.space = if post.space == yard { CLASSROOM } else { yard };
            (post.at, post.zone) = (Place::Transition, None);
        }
    }
    let problems = fairturn::rules::audit(&day, &left);
    let unseen: Vec<&Problem> = problems.iter().filter(|p| p.rule == "sight").collect();
    assert!(unseen.iter().all(|p| p.span.to <= out.span.from), "{unseen:?}");
    assert_eq!(unseen.len(), 1, "{unseen:?}");
}

/// Four toddlers among sixteen older ones are a fifth, and three adults are enough; once one of the
/// older ones has gone home they are more than a fifth, and four are needed.
#[test]
fn a_child_who_leaves_may_raise_the_need() {
    let mut build = morning("09:00-10:30");
    build.standards.push(find("ontario").expect("a built-in standard"));
    build.site.stations.iter_mut().for_each(|s| s.seats = 9);
    for n in 1..=20 {
        let here = if n == 20 { "09:00-10:00" } else { "09:00-10:30" };
        build.child(&format!("child {n}"), if n <= 4 { 20 } else { 40 }, here);
    }
    for name in ["lead", "second", "third"] {
        adult(&mut build, name, "09:00-10:30");
    }
    let plan = made(&build.day());
    let short: Vec<_> = of(&plan, "ratio").iter().map(|p| (p.span, p.needed, p.present)).collect();
    assert_eq!(short, [(span("10:00-10:30"), 4, 3)]);
}
