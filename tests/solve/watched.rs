//! Whoever watches a solving hears how far it is, changes nothing of it, and can end it.

use fairturn::chart::Chart;
use fairturn::day::{Day, Happening};
use fairturn::planner::{
    Options, Progress, Told, Watch, make, make_watched, repair, repair_watched, why_watched,
};
use fairturn::site::{Minute, RoomIndex, StationIndex};
use fairturn::wire::scenario::read;
use std::ops::ControlFlow;

fn day() -> Day {
    let file = format!("{}/scenarios/mixed-age-room.scenario.json", env!("CARGO_MANIFEST_DIR"));
    let scenario = read(&std::fs::read(file).expect("a scenario")).expect("no fault");
    scenario.open(RoomIndex(0), scenario.date).expect("open")
}

/// Works while somebody listens who says stop after so many words; what was told, and the answer.
fn told<T>(words: usize, work: impl FnOnce(&mut Watch<'_>) -> T) -> (Vec<Progress>, T) {
    let mut told = Vec::new();
    let mut teller = |progress: Progress| {
        told.push(progress);
        if told.len() < words { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    };
    let done = work(&mut Watch::by(&mut teller));
    (told, done)
}

#[test]
fn a_watched_chart_is_the_same_chart_and_its_parts_are_told_in_order() {
    let (day, options) = (day(), Options::default());
    let (all, plan) = told(usize::MAX, |watch| make_watched(&day, &options, watch));
    assert_eq!(plan, make(&day, &options));
    let parts = |at: Told| -> Vec<(usize, usize)> {
        all.iter().filter(|p| p.at == at).map(|p| (p.part, p.of)).collect()
    };
    for (at, most) in
        [(Told::Searching, options.effort.layouts), (Told::Improving, options.effort.finalists)]
    {
        let parts = parts(at);
        // What cannot be the answer any more is left out, so the last part may come early.
        let of = parts.first().map_or(0, |p| p.1);
        assert!((1..=most).contains(&of) && parts.len() <= of, "{at:?}: {parts:?}");
        let told = (1..=parts.len()).map(|part| (part, of));
        assert_eq!(parts, told.collect::<Vec<_>>(), "{at:?}");
    }
    assert!(all.windows(2).all(|pair| pair[0].steps < pair[1].steps));
    let words: Vec<String> = all.iter().map(Progress::to_string).collect();
    assert!(words[0].starts_with("searching, 1 of "), "{}", words[0]);
    assert!(words.iter().any(|w| w.starts_with("proving ")), "{words:?}");
}

#[test]
fn a_chart_that_is_called_off_ends_at_once_and_is_whole() {
    let (day, options) = (day(), Options::default());
    for words in [1, 5] {
        let (all, plan) = told(words, |watch| make_watched(&day, &options, watch));
        assert_eq!(all.len(), words, "after stop nothing more is told");
        assert_eq!(plan.made.stopped_by.as_deref(), Some("somebody who said stop"));
        assert_eq!(plan.chart.children.len(), day.children.len());
        assert_eq!(plan.chart.adults.len(), day.adults.len());
    }
}

fn posted(day: &Day) -> Chart {
    make(day, &Options::default()).chart
}

#[test]
fn a_repair_and_a_question_can_be_watched_and_called_off() {
    let (day, options) = (day(), Options::default());
    let posted = posted(&day);
    let used = posted.groups.iter().flat_map(|g| &g.cells).find_map(|c| match c.at {
        fairturn::chart::Place::Station(station) => Some((station, c.span.from)),
        _ => None,
    });
    let (station, at): (StationIndex, Minute) = used.expect("a turn");
    let closed = [Happening::Closed { station, span: None }];
    let repaired = |watch: &mut Watch<'_>| {
        repair_watched(&day, (&posted, None), at, &closed, &options, watch).expect("it can be")
    };
    let (all, watched) = told(usize::MAX, repaired);
    assert!(!all.is_empty());
    assert_eq!(watched.plan, repair(&day, &posted, at, &closed, &options).expect("it can be").plan);
    let (all, stopped) = told(1, repaired);
    assert_eq!(all.len(), 1);
    assert_eq!(stopped.plan.made.stopped_by.as_deref(), Some("somebody who said stop"));
    let turn = posted.groups.iter().find(|g| g.cells.iter().any(|c| c.span.contains(at)));
    let group = turn.expect("a group").id.as_str();
    let asked = |watch: &mut Watch<'_>| {
        why_watched(&day, &posted, (group, at), None, &options, watch).expect("it is there")
    };
    let (all, whole) = told(usize::MAX, asked);
    assert!(all.iter().filter(|p| p.at == Told::Searching).count() > 1);
    let (all, stopped) = told(1, asked);
    assert_eq!(all.len(), 1);
    assert!(stopped.others.len() < whole.others.len());
}
