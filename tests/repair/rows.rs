//! What the rows say of the rest of a day is no more than the audit says of the chart: else a change
//! that mends would be passed over, and a bound be false.

use super::chance::happenings;
use super::many::{count, invented, quickly};
use fairturn::planner::{make, repair};
use fairturn::rules;
use fairturn::solve::repair::{Broken, trial};
use fairturn::solve::search::Steps;
use std::cell::RefCell;

#[test]
fn rows_ask_for_no_more_than_the_audit_finds() {
    let mut compared = 0;
    for seed in 0..count() {
        let day = invented(seed);
        let options = quickly(seed);
        let posted = make(&day, &options).chart;
        let (at, happenings) = happenings(&day, &posted, seed);
        let after = repair(&day, &posted, at, &happenings, &options).expect("it can be").day;
        let broken = Broken { day: &after, posted: &posted, at };
        let rows: RefCell<Option<Vec<u64>>> = RefCell::new(None);
        let of_use = |least: &[u64]| {
            *rows.borrow_mut() = Some(least.to_vec());
            true
        };
        let steps = Steps { annealing: 200, descent: 100 };
        trial(broken, seed, steps, &of_use, &mut |chart| {
            let Some(asked) = rows.borrow_mut().take() else { return false };
            let mut problems = rules::audit(&after, &chart);
            problems.retain(|p| p.span.to > at);
            let found = rules::shortfall(&problems);
            compared += 1;
            assert!(
                asked <= found,
                "{seed}, {:?} at {at}: {asked:?}, {problems:?}",
                after.happened
            );
            false
        });
    }
    assert!(compared > 0);
}
