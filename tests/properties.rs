//! What holds of every chart that is made, of invented rooms and of the scenarios that are shipped.

use crate::recount::{disagreements, mutants};
use chrono::NaiveDate;
use fairturn::chart::Chart;
use fairturn::day::Day;
use fairturn::planner::{Options, Plan, make};
use fairturn::rules;
use fairturn::site::RoomIndex;
use fairturn::solve::Effort;
use fairturn::wire::chart::{read_chart, write_chart};
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::read;
use proptest::prelude::*;

/// A room; every other seed gives one of the most awkward.
fn invented(children: usize, adults: usize, seed: u64) -> Day {
    let invent = if seed.is_multiple_of(2) { awkward } else { invent };
    let text = invent(1, children, adults, seed);
    let scenario = read(text.as_bytes()).expect("an invented site has no fault");
    let tuesday = NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday");
    scenario.open(RoomIndex(0), tuesday).expect("the room is open")
}

/// A chart by a short search: what holds of every chart holds of a poor one.
fn quickly(day: &Day, seed: u64) -> Plan {
    let effort = Effort { layouts: 3, short: 2_000, finalists: 1, long: 4_000, nodes: 0 };
    make(day, &Options { seed, effort })
}

fn agree(day: &Day, chart: &Chart, whose: &str) -> Result<(), TestCaseError> {
    let lines = disagreements(day, chart, &rules::audit(day, chart));
    prop_assert!(lines.is_empty(), "{whose}: audit and recount differ: {lines:#?}");
    Ok(())
}

/// What a chart of our own never does, however few adults there are.
fn never_breaks(plan: &Plan) -> Result<(), TestCaseError> {
    for rule in ["present", "barred"] {
        let broken: Vec<_> = plan.problems.iter().filter(|p| p.rule == rule).collect();
        prop_assert!(broken.is_empty(), "{broken:#?}");
    }
    Ok(())
}

/// Tove sits at another table than her group, and is done before it.
#[test]
fn who_eats_at_another_time_waits_at_nothing_that_is_not_for_them() {
    let day = invented(14, 6, 28_740);
    never_breaks(&quickly(&day, 28_740)).expect("nothing of it is barred to anybody");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..Default::default() })]

    #[test]
    fn an_invented_room_is_made_and_audited_to_exactly_what_the_chart_says(
        children in 1usize..=24,
        adults in 1usize..=8,
        seed in 0u64..100_000,
    ) {
        let day = invented(children, adults, seed);
        let plan = quickly(&day, seed);
        prop_assert_eq!(&plan.problems, &rules::audit(&day, &plan.chart));
        let aims: Vec<i64> = plan.aims.iter().map(|aim| aim.value).collect();
        prop_assert_eq!(aims, rules::measure(&day, &plan.chart));
        never_breaks(&plan)?;
        agree(&day, &plan.chart, "the chart as made")?;
        for change in mutants::CHANGES {
            if let Some(mutant) = mutants::mutant(&plan.chart, change, seed) {
                agree(&day, &mutant, &format!("{change:?}"))?;
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..Default::default() })]

    #[test]
    fn the_same_room_and_seed_give_the_same_bytes_and_they_are_read_back(
        children in 1usize..=16,
        adults in 1usize..=6,
        seed in 0u64..100_000,
    ) {
        let (day, again) = (invented(children, adults, seed), invented(children, adults, seed));
        let plan = quickly(&day, seed);
        let text = write_chart(&day, &plan);
        prop_assert_eq!(&text, &write_chart(&again, &quickly(&again, seed)));
        let back = read_chart(text.as_bytes(), &day).expect("a written chart is read");
        prop_assert_eq!(back, plan.chart);
    }
}

#[test]
fn audit_and_recount_agree_on_every_scenario_that_is_shipped() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let mut made = 0;
    for file in std::fs::read_dir(folder).expect("the scenarios") {
        let path = file.expect("a file").path();
        let name = path.display().to_string();
        if !name.ends_with(".scenario.json") {
            continue;
        }
        let scenario = read(&std::fs::read(&path).expect("readable")).expect("no fault");
        for facts in &scenario.days {
            for room in (0..scenario.site.rooms.len()).map(RoomIndex) {
                let day = scenario.open(room, facts.date).expect("the room is open");
                let plan = quickly(&day, 1);
                agree(&day, &plan.chart, &name).expect("they agree");
                never_breaks(&plan).expect("nobody barred or out of place");
                made += 1;
            }
        }
    }
    assert!(made >= 6, "{made} charts");
}
