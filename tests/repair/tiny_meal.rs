//! On tiny days, trying every time of a meal, with every post of every adult, finds the same shifts.

use super::tiny_floor::{away, house, posted_somehow, standard};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{Chart, Place, Stay};
use fairturn::planner::{Edit, Options, fixes, make, repair};
use fairturn::rules;
use fairturn::site::{Meal, MealKind, Minute, Span};

/// The children's snack, and their way to and from it, so many minutes later; `None` where nothing
/// would be left of what lies before or after.
fn later(chart: &Chart, by: i16) -> Option<Chart> {
    let mut drawn = chart.clone();
    for stays in drawn.children.iter_mut().map(|c| &mut c.stays) {
        let meal = |s: &Stay| s.meal == Some(MealKind::MorningSnack);
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

/// Four children of four years, two adults, two tables; a snack of twenty minutes.
fn two_tables(open: &str) -> Build {
    let mut build = house(open, &[50, 50], 2);
    standard(&mut build, "fraction_sum", 4, 4);
    let tables = vec![build.table("round", CLASSROOM), build.table("long", CLASSROOM)];
    tables.iter().for_each(|t| build.site.tables[t.0].seats = 2);
    let (kind, window) = (MealKind::MorningSnack, span("09:30-10:05"));
    build.schedule.meals.push(Meal { kind, window, minutes: 20, tables });
    build
}

/// Mornings on which the second adult is away for ten minutes of the snack, at every time: how often it
/// is shifted earlier and how often later, and by how much at the most; each time as trying every time
/// shifts it.
fn shifts(build: &mut Build, first: &str) -> [Vec<i16>; 2] {
    let day = build.day();
    // One chart has the meal as early as that, one at the end of its window.
    let charts = [span(first), span("09:45-10:05")].map(|window| {
        build.schedule.meals.last_mut().expect("a snack").window = window;
        make(&build.day(), &Options::default()).chart
    });
    let (mut shifted, mut asked) = ([Vec::new(), Vec::new()], 0);
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
        let shift = |fix: &fairturn::planner::Fix| match fix.edits[..] {
            [Edit::ShiftMeal { meal: MealKind::MorningSnack, minutes }] => Some(minutes),
            _ => None,
        };
        // What leaves less broken, and not nothing, is none that the search over all times finds.
        let whole = found.fixes.iter().filter(|_| found.left.is_empty());
        let mut offered: Vec<i16> = whole.filter_map(shift).collect();
        expected.sort_unstable();
        offered.sort_unstable();
        assert_eq!(offered, expected, "away {gone}: {:?}", repaired.plan.problems);
        shifted[0].extend(offered.iter().filter(|by| **by < 0));
        shifted[1].extend(offered.iter().filter(|by| **by > 0));
    }
    assert!(shifted.iter().all(|s| !s.is_empty()), "{asked} mornings: {shifted:?}");
    shifted
}

/// Two tables take two adults, and one is enough for everything else.
#[test]
fn a_meal_is_shifted_as_trying_every_time_shifts_it() {
    let [earlier, _] = shifts(&mut two_tables("09:00-10:30"), "09:30-09:50");
    assert!(earlier.contains(&-15), "{earlier:?}");
}

/// Who had breakfast at eight does not have the snack before 9:35.
#[test]
fn a_meal_is_not_shifted_too_near_to_another_of_a_child() {
    let mut build = two_tables("08:00-10:30");
    build.site.settings.meal_interval = (95, 240);
    let tables = build.schedule.meals[0].tables.clone();
    let window = span("08:00-08:20");
    let breakfast = Meal { kind: MealKind::Breakfast, window, minutes: 20, tables };
    build.schedule.meals.insert(0, breakfast);
    build.site.children[0].breakfast_here = true;
    let [earlier, _] = shifts(&mut build, "09:35-09:55");
    assert!(earlier.iter().all(|by| *by >= -10), "{earlier:?}");
}
