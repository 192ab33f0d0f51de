//! On tiny days, trying every time of a meal, with every post of every adult, finds the same shifts.

use super::tiny_floor::{away, house, posted_somehow, standard};
use crate::audits::build::{CLASSROOM, span};
use fairturn::chart::{Chart, Place, Stay};
use fairturn::planner::{Options, Step, fixes, make, repair};
use fairturn::rules;
use fairturn::site::{Meal, MealKind, Minute, Span};

/// The children's meal, and their way to and from it, so many minutes later; `None` where nothing
/// would be left of what lies before or after.
fn later(chart: &Chart, by: i16) -> Option<Chart> {
    let mut drawn = chart.clone();
    for stays in drawn.children.iter_mut().map(|c| &mut c.stays) {
        let meal = |s: &Stay| matches!(s.at, Place::Table(_));
        let (first, last) = (stays.iter().position(meal)?, stays.iter().rposition(meal)?);
        let way = |s: Option<&Stay>| s.is_some_and(|s| s.at == Place::Transition);
        let first = first - usize::from(way(stays.get(first - 1)));
        let last = last + usize::from(way(stays.get(last + 1)));
        let edge = |minute: Minute| Some(Minute(minute.0.checked_add_signed(by)?));
        for stay in &mut stays[first..=last] {
            stay.span = Span::new(edge(stay.span.from)?, edge(stay.span.to)?)?;
        }
        stays[first - 1].span = Span::new(stays[first - 1].span.from, stays[first].span.from)?;
        stays[last + 1].span = Span::new(stays[last].span.to, stays[last + 1].span.to)?;
    }
    Some(drawn)
}

/// Two tables take two adults, and one is enough for everything else.
#[test]
fn a_meal_is_shifted_as_trying_every_time_shifts_it() {
    let mut build = house("09:00-10:30", &[50, 50], 2);
    standard(&mut build, "fraction_sum", 4, 4);
    let tables = vec![build.table("round", CLASSROOM), build.table("long", CLASSROOM)];
    tables.iter().for_each(|t| build.site.tables[t.0].seats = 2);
    let kind = MealKind::MorningSnack;
    let whole = span("09:30-10:05");
    build.schedule.meals.push(Meal { kind, window: whole, minutes: 20, tables });
    let day = build.day();
    // One chart has the meal at the start of its window, one at the end.
    let charts = [whole, span("09:45-10:05")].map(|window| {
        build.schedule.meals[0].window = window;
        make(&build.day(), &Options::default()).chart
    });
    let (mut earlier_and_later, mut asked) = ([0, 0], 0);
    let times = || (9 * 60 + 5..10 * 60 + 10).step_by(5);
    for (posted, from) in charts.iter().flat_map(|chart| times().map(move |from| (chart, from))) {
        assert_eq!(rules::audit(&day, posted), [], "the posted chart is fine");
        let gone = Span::new(Minute(from), Minute(from + 10)).expect("a span");
        let (told, at) = (away(1, gone), Minute(9 * 60));
        let repaired = repair(&day, posted, at, &[told], &Options::default()).expect("it can be");
        let mends = |by: i16| {
            let drawn = later(posted, by)?;
            posted_somehow(&repaired.day, &drawn)
        };
        if repaired.plan.safe_to_run() {
            continue;
        }
        asked += 1;
        let nearest = |sign: i16| (1..=3).map(|n| sign * 5 * n).find(|by| mends(*by).is_some());
        let mut expected: Vec<i16> = [-1, 1].into_iter().filter_map(nearest).collect();
        let found = fixes(&day, posted, &repaired, &Options::default());
        let shift = |fix: &fairturn::planner::Fix| match fix.steps[..] {
            [Step::ShiftMeal { meal, minutes }] if meal == kind => Some(minutes),
            _ => None,
        };
        // What leaves less broken, and not nothing, is none that the search over all times finds.
        let whole = found.fixes.iter().filter(|_| found.left.is_empty());
        let mut offered: Vec<i16> = whole.filter_map(shift).collect();
        expected.sort_unstable();
        offered.sort_unstable();
        assert_eq!(offered, expected, "away {gone}: {:?}", repaired.plan.problems);
        earlier_and_later[0] += usize::from(offered.iter().any(|by| *by < 0));
        earlier_and_later[1] += usize::from(offered.iter().any(|by| *by > 0));
    }
    assert!(earlier_and_later.iter().all(|n| *n > 0), "{asked} mornings: {earlier_and_later:?}");
}
