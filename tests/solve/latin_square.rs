//! As many groups as stations and turns: everyone is everywhere once (a Latin square exists for
//! every order, so nothing less will do).

use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{BlockKind, Place};
use fairturn::planner::{Options, make};
use fairturn::site::*;
use std::collections::BTreeSet;

pub fn square(k: usize) -> Build {
    square_of(k, 2)
}

/// So many stations, turns and groups, and so many children in each group.
fn square_of(k: usize, each: usize) -> Build {
    let mut build = Build::new();
    for s in 0..k {
        build.station(&format!("station {s}"), CLASSROOM);
    }
    build.schedule.open = span("09:00-15:00");
    build.schedule.parts.push(Part {
        kind: PartKind::Circle,
        span: span("09:00-09:10"),
        space: CLASSROOM,
    });
    let to = Minute::hm(9, 10).later(20 * k as u16);
    let assigned = Span { from: Minute::hm(9, 10), to };
    build.schedule.stretches.push(Stretch { kind: StretchKind::Assigned, span: assigned });
    build.schedule.turn_minutes = vec![AgeBand { below_months: None, minutes: 15 }];
    build.site.rooms[0].group_size = (2, each.max(3));
    for g in 0..k {
        let children: Vec<ChildIndex> =
            (0..each).map(|c| build.child(&format!("child {g}{c}"), 50, "09:00-15:00")).collect();
        build.site.rooms[0].groups.push(StandingGroup {
            id: format!("group {g}"),
            label: format!("group {g}"),
            picture: "boat".into(),
            children,
        });
    }
    build.adult("lead", "09:00-15:00");
    build.adult("second", "09:00-15:00");
    build.site.adults.iter_mut().for_each(|a| (a.lead, a.first_aid) = (true, true));
    build
}

#[test]
fn everyone_is_everywhere_once() {
    for k in 2..=6 {
        let day = square(k).day();
        let plan = make(&day, &Options::default());
        let turns = plan.chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn).count();
        assert_eq!(turns, k, "{k} turns of fifteen minutes with five between fit the stretch");
        for group in &plan.chart.groups {
            let visited: Vec<Place> = group
                .cells
                .iter()
                .map(|c| c.at)
                .filter(|at| matches!(at, Place::Station(_)))
                .collect();
            let different: BTreeSet<Place> = visited.iter().copied().collect();
            assert_eq!((visited.len(), different.len()), (k, k), "{} of {k}", group.label);
        }
    }
}

/// Published tables of groups in which no two people meet twice answer another question: small groups
/// stand for a theme, so whoever is together meets in every turn. What is published for rotations and
/// is ours as well is the Latin square above; what standing still costs in repeated meetings is this,
/// 18 for nine children and 72 for sixteen, and nothing here tries to have it lower.
#[test]
fn groups_that_stand_meet_as_often_as_there_are_turns() {
    for (k, repeated) in [(3, 18), (4, 72)] {
        let mut build = square_of(k, k);
        build.adult("third", "09:00-15:00");
        build.site.adults[2].first_aid = true;
        let plan = make(&build.day(), &Options::default());
        let turns: Vec<Span> = plan
            .chart
            .blocks
            .iter()
            .filter(|b| b.kind == BlockKind::Turn)
            .map(|b| b.span)
            .collect();
        assert_eq!(turns.len(), k);
        let places: Vec<Vec<Option<Place>>> = plan
            .chart
            .children
            .iter()
            .map(|child| {
                let at = |turn: &Span| {
                    child
                        .stays
                        .iter()
                        .find(|s| s.span.holds(Span { from: turn.from, to: turn.from.later(5) }))
                        .map(|s| s.at)
                        .filter(|at| matches!(at, Place::Station(_)))
                };
                turns.iter().map(at).collect()
            })
            .collect();
        let mut again = 0;
        for (one, other) in (0..k * k).flat_map(|a| (0..a).map(move |b| (a, b))) {
            let together = places[one].iter().zip(&places[other]);
            let met = together.filter(|(a, b)| a.is_some() && a == b).count();
            again += met.saturating_sub(1);
        }
        assert_eq!(again, repeated, "{k} groups of {k}");
    }
}
