//! Nappies in a bathroom of its own: who is changed there is with whoever changes it, and in no other
//! space meanwhile.

use super::small_days::{adult, made, morning, of};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{ChildDay, Place};
use fairturn::planner::ratio_record;
use fairturn::rules::Problem;
use fairturn::site::*;
use fairturn::standards::find;

/// Toddlers in nappies with two adults, and a bathroom from which nobody sees the room.
fn toddlers(count: usize, own_space: bool) -> (Build, [AdultIndex; 2], SpaceIndex) {
    let mut build = morning("09:00-11:30");
    build.standards.push(find("ireland-full-day").expect("a built-in standard"));
    let space = if own_space { build.space("bathroom") } else { CLASSROOM };
    build.site.spaces[space.0].care_place = Some(CarePlace { seen_from: Vec::new() });
    build.schedule.care_rounds = vec![CareRound { window: span("10:00-11:00") }];
    for n in 0..count {
        let child = build.child(&format!("child {n}"), 26, "09:00-11:30");
        build.site.children[child.0].toileting = Toileting::Nappies;
    }
    let adults = ["lead", "second"].map(|name| adult(&mut build, name, "09:00-11:30"));
    (build, adults, space)
}

#[test]
fn a_child_is_changed_where_the_others_have_adults_enough() {
    // Seven of two years: one for six, so one adult has those who are left.
    for own_space in [true, false] {
        let (build, _, space) = toddlers(7, own_space);
        let day = build.day();
        let plan = made(&day);
        for rule in ["ratio", "never-alone", "sight", "present", "least-adults"] {
            assert_eq!(of(&plan, rule), Vec::<&Problem>::new(), "{rule}, own space: {own_space}");
        }
        for child in &plan.chart.children {
            let changed = child.stays.iter().filter(|s| s.at == Place::Care);
            let spaces: Vec<SpaceIndex> = changed.map(|s| s.space).collect();
            assert_eq!(spaces, [space], "each is changed once: {:?}", child.stays);
        }
        // What is needed while somebody is changed leaves that child out, and who changes it.
        let record = ratio_record(&day, &plan.chart);
        assert!(record.iter().all(|row| row.needed <= row.present), "{record:#?}");
        let least = record.iter().filter(|row| row.space == Some(CLASSROOM)).map(|r| r.present);
        assert_eq!(least.min(), Some(1), "one adult is with the six who are left");
    }
    // Eight: seven are left, and ask for two. Whoever is changed all the same is told as short of an
    // adult, and whoever is not is named.
    let (build, ..) = toddlers(8, true);
    let plan = made(&build.day());
    let changed = |c: &&ChildDay| c.stays.iter().any(|s| s.at == Place::Care);
    let changed = plan.chart.children.iter().filter(changed).count();
    let short: Vec<&Problem> = of(&plan, "ratio");
    assert_eq!(short.len(), changed, "{short:#?}");
    assert!(short.iter().all(|p| (p.needed, p.present, p.case) == (2, 1, "short")), "{short:#?}");
    let left_out = "Note: find a moment to change ";
    let told = plan.notes.iter().filter_map(|n| n.strip_prefix(left_out));
    let told: usize = told.map(|who| who.matches("child ").count()).sum();
    assert_eq!(changed + told, 8, "{:#?}", plan.notes);
}

#[test]
fn whoever_changes_a_child_out_of_sight_counts_for_it_and_for_nobody_else() {
    let (mut b, [lead, second], bathroom) = toddlers(2, true);
    let changed = ChildIndex(0);
    b.stay_in(changed, "10:00-10:05", bathroom, Place::Care);
    b.post_in(second, "10:00-10:05", bathroom, Place::Care);
    assert_eq!(b.audit("ratio"), []);
    assert_eq!(b.audit("never-alone"), []);
    let day = b.day();
    let post = b.chart.adults[1].posts.iter().find(|p| p.at == Place::Care).expect("the post");
    assert!(!day.counts(second, post), "for nobody in a space");

    let mut helper = b.clone();
    helper.site.adults[second.0].counts = false;
    assert_eq!(
        helper.words("ratio"),
        ["10:00 to 10:05, changing place (bathroom): one adult short, 0 on duty, 1 needed \
          (Ireland, full and part day)"]
    );
    let mut alone = b.clone();
    alone.site.adults[second.0].may_be_alone = false;
    assert_eq!(
        alone.words("never-alone"),
        ["10:00 to 10:05, changing place (bathroom): second is alone with the children and may \
          not be"]
    );
    // And nobody is left alone with the others who may not be.
    let mut left = b.clone();
    left.site.adults[lead.0].may_be_alone = false;
    assert_eq!(
        left.words("never-alone"),
        ["10:00 to 10:05, classroom: lead is alone with the children and may not be"]
    );
    // A child with an adult of its own is changed by that one.
    let mut own = b.clone();
    own.site.adults[second.0].counts = false;
    own.site.children[changed.0].one_to_one =
        Some(OneToOne { adult: second, stand_ins: Vec::new() });
    own.chart.adults[1].posts.iter_mut().for_each(|p| p.for_child = Some(changed));
    assert_eq!(own.audit("ratio"), []);
}

#[test]
fn a_baby_who_comes_inside_its_sleep_time_is_changed_and_settles() {
    for came in ["09:30", "09:40", "10:05"] {
        let mut build = morning("09:00-12:00");
        build.site.spaces[CLASSROOM.0].care_place =
            Some(CarePlace { seen_from: vec![ZoneIndex(0)] });
        build.schedule.care_rounds = vec![CareRound { window: span("09:20-10:20") }];
        build.schedule.rest = Some(Rest {
            window: span("10:00-12:00"),
            minutes: 60,
            space: CLASSROOM,
            settling_minutes: 15,
            awake_longest: 30,
        });
        let baby = build.child("baby", 9, &format!("{came}-12:00"));
        build.site.children[baby.0].toileting = Toileting::Nappies;
        build.site.children[baby.0].sleep = Sleep::At(vec![span("09:00-11:00")]);
        for name in ["a", "b"] {
            build.child(name, 50, "09:00-12:00");
        }
        for name in ["lead", "second"] {
            adult(&mut build, name, "09:00-12:00");
        }
        let plan = made(&build.day());
        let of_the_baby = of(&plan, "rest").into_iter().filter(|p| p.children.contains(&baby));
        assert_eq!(of_the_baby.collect::<Vec<_>>(), Vec::<&Problem>::new(), "came {came}");
    }
}
