//! What the rows say of the rest of a day is no more than the audit says of the chart: else a change
//! that mends would be passed over, and a bound be false.
//!
//! Rule by rule it need not be so: short adults go to the worst rule first, in the rows as in the
//! posts, but not always to the same one, so the shortfalls are compared in their order.

use super::many::{count, invented, quickly};
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::make;
use fairturn::rules::{self, RULES, Shortfall};
use fairturn::site::{AdultIndex, Minute, Span};
use fairturn::solve::repair::{Broken, trial};
use fairturn::solve::search::Steps;
use std::cell::RefCell;

/// An adult held up for half an hour, and on every other day another one away: all on the planner's
/// grid, beside which the rows are not asked.
fn short(day: &Day, seed: u64) -> Option<(Minute, Vec<Happening>)> {
    let open = day.schedule.open;
    let at = Minute((open.from.0 + 60 + (seed % 12) as u16 * 20).next_multiple_of(5));
    let held = Span::new(at.later(10), at.later(40))?;
    let away = Span::new(at.later(20), at.later(80))?;
    let here = |span: Span| -> Vec<AdultIndex> {
        let here = day.adults.iter().filter(|(_, here)| here.iter().any(|h| h.holds(span)));
        here.map(|(adult, _)| *adult).collect()
    };
    let adult = *here(held).get((seed / 2) as usize % day.adults.len())?;
    let mut told = vec![Happening::HeldUp { adult, span: held }];
    let other = here(away).into_iter().find(|a| *a != adult).filter(|_| seed % 2 == 1);
    told.extend(other.map(|a| Happening::Away { who: Who::Adult(a), span: Some(away) }));
    Some((at, told))
}

#[test]
fn rows_ask_for_no_more_than_the_audit_finds() {
    let (mut mornings, mut compared) = (0, 0);
    for seed in 0..count() {
        let mut day = invented(seed);
        // A posted task is taken to be done, whoever is left for it: that is not compared.
        day.schedule.tasks.clear();
        let Some((at, happenings)) = short(&day, seed) else { continue };
        let Ok(after) = day.after(at, &happenings) else { continue };
        let posted = make(&day, &quickly(seed)).chart;
        let broken = Broken { day: &after, posted: &posted, at };
        let rows: RefCell<Option<Vec<u64>>> = RefCell::new(None);
        let of_use = |least: &Shortfall| {
            *rows.borrow_mut() = Some((0..RULES.len()).map(|r| least.of_rule(r)).collect());
            true
        };
        let steps = Steps { annealing: 200, descent: 100 };
        let before = compared;
        trial(broken, seed, steps, &of_use, &mut |chart| {
            let Some(asked) = rows.borrow_mut().take() else { return false };
            let mut problems = rules::audit(&after, &chart);
            problems.retain(|p| p.span.to > at);
            let found = rules::shortfall(&problems);
            // A rule without rows is broken by what becomes of a child while the chart is drawn: then the
            // chart is not the one of which the rows spoke.
            if (0..RULES.len()).any(|r| RULES[r].rows.is_none() && found[r] > asked[r]) {
                return false;
            }
            compared += 1;
            assert!(
                asked <= found,
                "{seed}, {:?} at {at}: {asked:?} {found:?}, {problems:?}",
                after.happened
            );
            false
        });
        mornings += u64::from(compared > before);
    }
    assert!(mornings * 4 > count(), "of {} mornings {mornings} were compared", count());
}
