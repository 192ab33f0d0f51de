//! Rain that starts and rain that stops: the blocks themselves change, from the moment on.

use super::many::{past, quickly};
use fairturn::chart::{BlockKind, Place};
use fairturn::day::{Day, Happening};
use fairturn::planner::{make, repair};
use fairturn::site::{Minute, RoomIndex};
use fairturn::wire::scenario::read;

fn day(name: &str) -> Day {
    let path = format!("{}/scenarios/{name}.scenario.json", env!("CARGO_MANIFEST_DIR"));
    let scenario = read(&std::fs::read(path).expect("a scenario")).expect("no fault");
    scenario.open(RoomIndex(0), scenario.date).expect("the room is open")
}

#[test]
fn nobody_goes_out_once_the_children_stay_in() {
    let day = day("preschool-room");
    let posted = make(&day, &quickly(1)).chart;
    let outings: Vec<_> = posted.blocks.iter().filter(|b| b.kind == BlockKind::Outdoors).collect();
    let first = outings.first().expect("a dry day").span;
    for at in [first.from.earlier(25), Minute(first.from.0 + 12)] {
        let done =
            repair(&day, &posted, at, &[Happening::Indoors], &quickly(1)).expect("it can be");
        let chart = &done.plan.chart;
        assert!(past(chart, at).children == past(&posted, at).children);
        let stays = chart.children.iter().flat_map(|c| &c.stays);
        let last = stays.filter(|s| s.at == Place::Outdoors).map(|s| s.span.to).max();
        assert!(last.is_none_or(|to| to.0 < at.0 + 5), "{at}: {last:?}");
        let present = done.plan.problems.iter().find(|p| p.rule == "present" || p.rule == "barred");
        assert_eq!(present, None);
        let lunch = |c: &fairturn::chart::Chart| {
            c.blocks.iter().filter(|b| matches!(b.kind, BlockKind::Meal(_))).count()
        };
        assert_eq!(lunch(chart), lunch(&posted), "every meal is still eaten");
        let mut ids: Vec<&str> = chart.blocks.iter().map(|b| b.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), chart.blocks.len(), "each block has an id of its own");
    }
}

#[test]
fn the_children_go_out_once_it_is_dry() {
    let day = day("mixed-age-room");
    let posted = make(&day, &quickly(1)).chart;
    let at = Minute::hm(9, 50);
    let done = repair(&day, &posted, at, &[Happening::Outdoors], &quickly(1)).expect("it can be");
    let chart = &done.plan.chart;
    let out = chart.blocks.iter().find(|b| b.kind == BlockKind::Outdoors).expect("they go out");
    assert!(out.span.from > at && !done.new_blocks.is_empty());
    assert!(past(chart, at).adults == past(&posted, at).adults);
    assert!(done.moved.value > 0, "moves are counted honestly");
}
