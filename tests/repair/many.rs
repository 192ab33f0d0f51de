//! What holds of every repair, of invented rooms and happenings by chance.

use super::chance::happenings;
use crate::recount::disagreements;
use chrono::NaiveDate;
use fairturn::chart::Chart;
use fairturn::day::Day;
use fairturn::planner::{Options, change_words, make, repair};
use fairturn::rules;
use fairturn::site::{Minute, RoomIndex, Span};
use fairturn::solve::Effort;
use fairturn::wire::invent::invent;
use fairturn::wire::scenario::read;

/// How many happenings: `FAIRTURN_HAPPENINGS`, or few enough to be soon done.
pub fn count() -> u64 {
    let said = std::env::var("FAIRTURN_HAPPENINGS").ok();
    said.and_then(|n| n.parse().ok()).unwrap_or(60)
}

pub fn quickly(seed: u64) -> Options {
    let effort = Effort { layouts: 3, short: 2_000, finalists: 1, long: 4_000, nodes: 0 };
    Options { seed, effort }
}

pub fn invented(seed: u64) -> Day {
    let (children, adults) = (2 + seed as usize % 19, 1 + seed as usize % 6);
    let text = invent(1, children, adults, seed);
    let scenario = read(text.as_bytes()).expect("an invented site has no fault");
    let tuesday = NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday");
    scenario.open(RoomIndex(0), tuesday).expect("the room is open")
}

/// A chart up to a minute: whatever lies before it.
pub fn past(chart: &Chart, at: Minute) -> Chart {
    let mut chart = chart.clone();
    let before = |span: Span| Span::new(span.from, span.to.min(at));
    for child in &mut chart.children {
        child.stays.retain_mut(|s| before(s.span).inspect(|b| s.span = *b).is_some());
    }
    for adult in &mut chart.adults {
        adult.posts.retain_mut(|p| before(p.span).inspect(|b| p.span = *b).is_some());
    }
    chart.children.retain(|c| !c.stays.is_empty());
    chart.adults.retain(|a| !a.posts.is_empty());
    chart
}

#[test]
fn the_past_is_never_touched_and_every_repair_audits_to_what_it_says() {
    let mut moved = 0;
    for seed in 0..count() {
        let day = invented(seed);
        let plan = make(&day, &quickly(seed));
        let (at, happenings) = happenings(&day, &plan.chart, seed);
        let repaired = match repair(&day, &plan.chart, at, &happenings, &quickly(seed)) {
            Ok(repaired) => repaired,
            Err(faults) => panic!("{seed}: {happenings:?}: {faults:?}"),
        };
        let whose = format!("{seed}: {at}: {happenings:?}");
        let (old, new) = (past(&plan.chart, at), past(&repaired.plan.chart, at));
        assert!(old.children == new.children && old.adults == new.adults, "{whose}");
        assert_eq!(repaired.plan.problems, rules::audit(&repaired.day, &repaired.plan.chart));
        let present: Vec<_> =
            repaired.plan.problems.iter().filter(|p| p.rule == "present").collect();
        assert!(present.is_empty(), "{whose}: {present:#?}");
        let lines = disagreements(&repaired.day, &repaired.plan.chart, &repaired.plan.problems);
        assert!(lines.is_empty(), "{whose}: {lines:#?}");
        if seed % 5 == 0 {
            let again = repair(&day, &plan.chart, at, &happenings, &quickly(seed));
            assert!(again.expect("as before").plan == repaired.plan, "{whose}");
        }
        moved += repaired.moved.value;
    }
    assert!(moved > 0, "somebody is moved now and then");
}

#[test]
fn a_day_on_which_nothing_happens_is_left_as_it_is() {
    for seed in 0..count() / 4 {
        let day = invented(seed);
        let plan = make(&day, &quickly(seed));
        let minutes = day.schedule.open.minutes();
        let at = Minute(day.schedule.open.from.0 + (seed as u16 * 37) % minutes);
        let repaired =
            repair(&day, &plan.chart, at, &[], &quickly(seed)).expect("nothing is wrong");
        let words = repaired.changes.iter().map(|c| change_words(&repaired.day, c));
        let words: Vec<String> = words.collect();
        let (now, was) = (&repaired.plan.chart, &plan.chart);
        assert_eq!(now.adults, was.adults, "{seed} at {at}: {words:#?}");
        assert_eq!(now.groups, was.groups, "{seed} at {at}");
        assert_eq!(now.children, was.children, "{seed} at {at}");
        assert!(now == was, "{seed} at {at}: {words:#?}");
        assert!(repaired.changes.is_empty());
    }
}
