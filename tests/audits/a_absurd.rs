//! Whatever a hand-edited chart says, an audit answers and never panics.

use super::build::{Build, CLASSROOM, ROOM, span};
use fairturn::chart::{
    AdultDay, Block, BlockKind, Chart, ChildDay, ChoiceIndex, Group, OpenChoice, Place, Post,
    State, Stay,
};
use fairturn::day::{KeptCell, KeptFor};
use fairturn::rules::{AIMS, RULES, audit, measure};
use fairturn::site::*;
use fairturn::standards::find;
use proptest::prelude::*;

/// A site with a little of everything.
fn site() -> Build {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[yard.0].sinks = 0;
    let table = b.table("table", CLASSROOM);
    for label in ["art", "water"] {
        let station = b.station(label, CLASSROOM);
        let station = &mut b.site.stations[station.0];
        station.hazards = vec![Hazard::SmallParts];
        station.mess = Mess::Wet;
        station.reset_minutes = 10;
        station.stands_on = Some(table);
        station.supervision = Supervision::Staffed { children_per_adult: 2 };
    }
    for (label, months) in [("Ola", 20), ("Kim", 35), ("Jo", 50)] {
        b.child(label, months, "08:00-12:00");
    }
    b.site.children[0].keep_apart = vec![ChildIndex(1)];
    for label in ["Ina", "Per"] {
        b.adult(label, "08:00-12:00");
    }
    a_whole_day(&mut b);
    let art = StationIndex(0);
    let who = KeptFor::Child(ChildIndex(2));
    b.kept = vec![KeptCell { who, station: art, span: span("09:00-09:20") }];
    b.standards = ["ireland-full-day", "cfoc-centre"].iter().filter_map(|id| find(id)).collect();
    b
}

/// What the rules and aims of the whole day read.
fn a_whole_day(b: &mut Build) {
    b.site.children[0].sleep = Sleep::At(vec![span("09:00-10:00")]);
    b.site.children[0].key_adult = Some(AdultIndex(0));
    b.site.children[1].sleep = Sleep::InRest { minutes: 45 };
    b.site.children[1].keep_with = vec![ChildIndex(2), ChildIndex(2)];
    b.site.children[2].one_to_one = Some(OneToOne { adult: AdultIndex(0), stand_ins: vec![] });
    b.site.children[2].often_chosen = vec![StationIndex(1)];
    let window = span("09:00-11:00");
    let due = BreakDue { minutes: 10, window, paid: true, may_leave: true };
    b.site.adults[1].breaks = vec![due];
    let tables = vec![TableIndex(0)];
    b.schedule.meals = vec![Meal { kind: MealKind::Lunch, window, minutes: 15, tables }];
    b.schedule.rest = Some(Rest {
        window,
        minutes: 60,
        space: CLASSROOM,
        settling_minutes: 10,
        awake_longest: 20,
    });
    (b.schedule.movement.outdoor_day, b.schedule.movement.longest_still) = (3, 20);
    b.schedule.stretches = vec![Stretch { kind: StretchKind::Assigned, span: window }];
    b.must_do = vec![(ChildIndex(0), StationIndex(0)), (ChildIndex(1), StationIndex(1))];
}

fn a_span() -> impl Strategy<Value = Span> {
    let minute = prop_oneof![4 => 470u16..740, 1 => 0u16..1500];
    (minute.clone(), minute).prop_map(|(from, to)| Span { from: Minute(from), to: Minute(to) })
}

fn a_place() -> impl Strategy<Value = Place> {
    let small = 0usize..4;
    prop_oneof![
        small.clone().prop_map(|i| Place::Station(StationIndex(i))),
        small.clone().prop_map(|i| Place::Table(TableIndex(i))),
        small.clone().prop_map(|i| Place::Choice(ChoiceIndex(i))),
        small.clone().prop_map(|i| Place::Zone(ZoneIndex(i))),
        small.clone().prop_map(Place::Task),
        small.prop_map(Place::StaffBreak),
        prop::sample::select(vec![
            Place::WholeGroup,
            Place::Movement,
            Place::Outdoors,
            Place::Rest,
            Place::Transition,
            Place::Care,
            Place::Door,
            Place::Unplaced,
        ]),
    ]
}

fn a_stay() -> impl Strategy<Value = Stay> {
    let state = prop::sample::select(vec![State::Awake, State::Resting, State::Asleep]);
    let zone = prop::option::of((0usize..4).prop_map(ZoneIndex));
    let meal = prop::option::of(Just(MealKind::Lunch));
    (a_span(), 0usize..3, a_place(), zone, state, meal).prop_map(
        |(span, space, at, zone, state, meal)| Stay {
            span,
            space: SpaceIndex(space),
            at,
            zone,
            state,
            meal,
            apart: None,
        },
    )
}

fn a_post() -> impl Strategy<Value = Post> {
    let zone = prop::option::of((0usize..4).prop_map(ZoneIndex));
    let child = prop::option::of((0usize..5).prop_map(ChildIndex));
    let covers = prop::option::of((0usize..4).prop_map(AdultIndex));
    (a_span(), 0usize..3, a_place(), zone, child, covers).prop_map(
        |(span, space, at, zone, for_child, covers)| Post {
            span,
            space: SpaceIndex(space),
            at,
            zone,
            for_child,
            covers,
        },
    )
}

fn a_chart() -> impl Strategy<Value = Chart> {
    let child = (0usize..5, prop::collection::vec(a_stay(), 0..8))
        .prop_map(|(child, stays)| ChildDay { child: ChildIndex(child), stays });
    let adult = (0usize..4, prop::collection::vec(a_post(), 0..8))
        .prop_map(|(adult, posts)| AdultDay { adult: AdultIndex(adult), posts });
    let choice = (a_span(), 0usize..3, prop::collection::vec(0usize..4, 0..3)).prop_map(
        |(span, space, open)| OpenChoice {
            span,
            space: SpaceIndex(space),
            open: open.into_iter().map(StationIndex).collect(),
        },
    );
    let group =
        prop::collection::vec((0usize..5).prop_map(ChildIndex), 0..4).prop_map(|children| {
            let name = || "boats".to_owned();
            Group { id: name(), label: name(), picture: name(), children, cells: Vec::new() }
        });
    let kinds = vec![BlockKind::Turn, BlockKind::Choice, BlockKind::Rest];
    let block = (a_span(), prop::sample::select(kinds)).prop_map(|(span, kind)| Block {
        id: "block".into(),
        kind,
        span,
    });
    (
        prop::collection::vec(child, 0..5),
        prop::collection::vec(adult, 0..4),
        prop::collection::vec(choice, 0..3),
        prop::collection::vec(group, 0..2),
        prop::collection::vec(block, 0..6),
    )
        .prop_map(|(children, adults, choices, groups, blocks)| Chart {
            room: ROOM,
            date: super::build::today(),
            groups,
            blocks,
            choices,
            children,
            adults,
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..Default::default() })]

    #[test]
    fn an_absurd_chart_is_judged(chart in a_chart()) {
        let day = site().day();
        let problems = audit(&day, &chart);
        for problem in &problems {
            prop_assert!(problem.span.from < problem.span.to, "{problem:?}");
            prop_assert!(problem.by > 0, "{problem:?}");
            let rule = RULES.iter().find(|r| r.slug == problem.rule).expect("a rule of the table");
            prop_assert!(!(rule.words)(&day, problem).is_empty());
        }
        prop_assert_eq!(measure(&day, &chart).len(), AIMS.len());
        for rule in RULES {
            let spans: Vec<_> = (rule.audit)(&day, &chart).iter().map(|p| p.span.from).collect();
            prop_assert!(spans.is_sorted(), "{} is not in order of time", rule.slug);
        }
    }
}
