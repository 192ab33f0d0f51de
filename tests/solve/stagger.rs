//! Groups stay where they are until it is their turn to wash or to dress, where the adults carry that.

use super::small_days::{adult, made, morning};
use crate::audits::build::{Build, CLASSROOM, span};
use crate::recount::disagreements;
use fairturn::chart::{BlockKind, Cell, Chart, Group, OpenChoice, Place, Post};
use fairturn::planner::Plan;
use fairturn::site::*;
use fairturn::wire::scenario;

/// A morning with a snack at ten for children of these ages, in groups of up to five.
fn with_snack(months: &[u32], sinks: u32) -> Build {
    let mut build = morning("09:00-11:00");
    build.site.spaces[CLASSROOM.0].sinks = sinks;
    build.schedule.stretches[0].span = span("09:00-09:30");
    let table = build.table("long", CLASSROOM);
    build.site.tables[table.0].seats = 20;
    build.schedule.meals.push(Meal {
        kind: MealKind::MorningSnack,
        window: span("10:00-10:30"),
        minutes: 15,
        tables: vec![table],
    });
    for (n, months) in months.iter().enumerate() {
        build.child(&format!("child {n}"), *months, "09:00-11:00");
    }
    for name in ["lead", "second", "third"] {
        adult(&mut build, name, "09:00-11:00");
    }
    build
}

/// When each group leaves for what begins at a minute.
fn leave(chart: &Chart, to: Minute) -> Vec<(&Group, Span)> {
    let to_it = |c: &&Cell| c.at == Place::Transition && c.span.to == to;
    let groups = chart.groups.iter();
    groups.filter_map(|g| Some((g, g.cells.iter().find(to_it)?.span))).collect()
}

fn sound(build: &Build, plan: &Plan) {
    let day = build.day();
    assert_eq!(plan.problems, []);
    let lines = disagreements(&day, &plan.chart, &plan.problems);
    assert!(lines.is_empty(), "{lines:#?}");
}

fn begins(chart: &Chart, kind: BlockKind) -> Minute {
    chart.blocks.iter().find(|b| b.kind == kind).expect("it is on the chart").span.from
}

#[test]
fn whoever_washes_second_plays_on_until_then() {
    // Ten children at one sink: ten minutes, five for each group.
    let build = with_snack(&[36, 50, 50, 50, 50, 50, 50, 50, 50, 50], 1);
    let plan = made(&build.day());
    sound(&build, &plan);
    let snack = begins(&plan.chart, BlockKind::Meal(MealKind::MorningSnack));
    let ways = leave(&plan.chart, snack);
    let mut minutes: Vec<u16> = ways.iter().map(|w| w.1.minutes()).collect();
    minutes.sort_unstable();
    assert_eq!(minutes, [5, 10], "{ways:?}");
    let first = ways.iter().find(|w| w.1.minutes() == 10).expect("one is first").0;
    let day = build.day();
    assert!(first.children.iter().any(|c| day.months(*c) == 36), "the youngest goes first");
    let quick = made(&with_snack(&[50; 10], 2).day()).chart;
    let ways = leave(&quick, begins(&quick, BlockKind::Meal(MealKind::MorningSnack)));
    assert!(ways.iter().all(|w| w.1.minutes() == 5), "two sinks are enough for all: {ways:?}");
}

/// A morning with half an hour outdoors for two groups, the children of one a year and a half old.
fn outing(adults: usize) -> Build {
    let mut build = morning("09:00-11:00");
    let yard = build.space("yard");
    build.site.spaces[yard.0].outdoors = true;
    build.site.spaces[CLASSROOM.0].sinks = 9;
    build.schedule.stretches[0].span = span("09:00-09:20");
    let part = Part { kind: PartKind::Outdoors, span: span("10:00-10:30"), space: yard };
    build.schedule.parts.push(part);
    for n in 0..5 {
        build.child(&format!("young {n}"), 18, "09:00-11:00");
    }
    for n in 0..5 {
        build.child(&format!("old {n}"), 64, "09:00-11:00");
    }
    for n in 0..adults {
        adult(&mut build, &format!("adult {n}"), "09:00-11:00");
    }
    build
}

#[test]
fn whoever_is_dressed_sooner_leaves_later() {
    let build = outing(4);
    let plan = made(&build.day());
    sound(&build, &plan);
    let day = build.day();
    for (group, way) in leave(&plan.chart, begins(&plan.chart, BlockKind::Outdoors)) {
        let young = group.children.iter().any(|c| day.months(*c) == 18);
        let old = group.children.iter().any(|c| day.months(*c) == 64);
        assert!(young != old, "they go round apart");
        assert_eq!(way.minutes(), if young { 15 } else { 10 }, "{group:?}");
    }
}

#[test]
fn nobody_is_left_in_the_yard_without_an_adult() {
    for (adults, minutes) in [(1, [10, 10]), (4, [5, 10])] {
        let mut build = outing(adults);
        build.site.spaces[CLASSROOM.0].sinks = 1;
        build.schedule.dressing.minutes = vec![AgeBand { below_months: None, minutes: 0 }];
        let plan = made(&build.day());
        sound(&build, &plan);
        let yard = plan.chart.blocks.iter().find(|b| b.kind == BlockKind::Outdoors);
        let end = yard.expect("they go out").span.to;
        let way = |g: &Group| {
            let cell = g.cells.iter().find(|c| c.at == Place::Transition && c.span.from >= end);
            cell.map(|c| c.span.minutes())
        };
        let mut ways: Vec<u16> = plan.chart.groups.iter().filter_map(way).collect();
        ways.sort_unstable();
        assert_eq!(ways, minutes, "{adults} adults");
    }
}

fn shipped(name: &str, bytes: &[u8]) -> Shipped {
    let scenario = scenario::read(bytes).unwrap_or_else(|faults| panic!("{name}: {faults:#?}"));
    let day = scenario.open(RoomIndex(0), scenario.days[0].date).expect("a day");
    let plan = made(&day);
    let lines = disagreements(&day, &plan.chart, &plan.problems);
    assert!(lines.is_empty(), "{name}: {lines:#?}");
    let zones = |open: &[StationIndex]| {
        let mut zones: Vec<ZoneIndex> = open.iter().map(|&s| day.station(s).zone).collect();
        zones.sort_unstable();
        zones.dedup();
        zones
    };
    let of = |c: &OpenChoice| (c.span, zones(&c.open), c.open.clone());
    let choices = plan.chart.choices.iter().map(of).collect();
    let loud = |s: &StationIndex| day.station(*s).noise == Noise::Loud;
    let loud = (0..day.stations.len()).map(StationIndex).filter(loud).collect();
    Shipped { chart: plan.chart, choices, loud }
}

struct Shipped {
    chart: Chart,
    /// When, in which zones, which stations.
    choices: Vec<(Span, Vec<ZoneIndex>, Vec<StationIndex>)>,
    loud: Vec<StationIndex>,
}

#[test]
fn one_corner_stays_open_for_those_who_leave_a_choice_last() {
    let room = shipped("preschool", include_bytes!("../../scenarios/preschool-room.scenario.json"));
    // The Lamps stay for five minutes more; the others wash.
    let lamps = room.chart.groups.iter().find(|g| g.label == "Lamps").expect("a group");
    let snack = begins(&room.chart, BlockKind::Meal(MealKind::MorningSnack));
    let choices = lamps.cells.iter().filter(|c| matches!(c.at, Place::Choice(_)));
    let before: Vec<&Cell> =
        choices.filter(|c| c.span.to < snack && c.span.from > Minute::hm(9, 15)).collect();
    let [whole, left] = before[..] else { panic!("{before:?}") };
    let open = |cell: &Cell| match cell.at {
        Place::Choice(k) => &room.choices[k.0],
        _ => panic!("{cell:?}"),
    };
    assert_eq!((whole.span.to, left.span.minutes(), whole.block), (left.span.from, 5, left.block));
    assert!(open(whole).1.len() > 1, "all corners for all");
    assert_eq!(open(left).1.len(), 1, "one corner for those who are left");
    let with_those_who_wash = room.chart.adults.iter().filter(|a| {
        let on_the_move = |p: &&Post| p.at == Place::Transition;
        a.posts.iter().filter(on_the_move).any(|p| p.span.contains(left.span.from))
    });
    assert!(with_those_who_wash.count() >= 2, "more adults are with the many");
}

#[test]
fn who_leaves_the_circle_early_is_at_once_where_it_goes_on() {
    for (name, bytes) in [
        ("mixed-age", &include_bytes!("../../scenarios/mixed-age-room.scenario.json")[..]),
        ("half-day", include_bytes!("../../scenarios/half-day.scenario.json")),
    ] {
        let room = shipped(name, bytes);
        let circle = begins(&room.chart, BlockKind::Circle);
        let early =
            |c: &&Cell| c.span.from > circle && room.chart.blocks[c.block].span.from == circle;
        let cells = room.chart.groups.iter().flat_map(|g| g.cells.windows(2));
        let mut pairs = cells.filter(|pair| early(&&pair[0])).peekable();
        assert!(pairs.peek().is_some(), "{name}: somebody leaves early");
        for pair in pairs {
            let (Place::Choice(now), Place::Choice(then)) = (pair[0].at, pair[1].at) else {
                panic!("{pair:?}")
            };
            assert_eq!(room.choices[now.0].2, room.choices[then.0].2, "{name}");
            let loud = room.choices[now.0].2.iter().any(|s| room.loud.contains(s));
            assert!(!loud, "{name}: loud beside the circle");
        }
    }
}
