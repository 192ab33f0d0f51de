//! Days that take three changes at once, as anybody can work out by hand.

use super::tiny_fixes::breaks_moved;
use super::tiny_floor::{away, found, house, standard};
use crate::audits::build::span;
use fairturn::planner::{Edit, Options, make};
use fairturn::site::{BreakDue, Minute};

/// Six children at two an adult, three adults of four until twenty past, and a break of each of them
/// due before that: none of the three can be taken when it is due.
#[test]
fn three_staff_breaks_move_where_each_is_in_the_way() {
    let mut build = house("09:00-10:00", &[50, 50, 50], 4);
    standard(&mut build, "fraction_sum", 2, 2);
    let due = BreakDue { minutes: 5, window: span("09:05-09:20"), paid: true, may_leave: false };
    build.site.adults[..3].iter_mut().for_each(|adult| adult.breaks.push(due.clone()));
    let day = build.day();
    let posted = make(&day, &Options::default()).chart;
    let (_, fixes) = found(&day, &posted, &[away(3, span("09:00-09:20"))]);
    let mut moved = breaks_moved(&fixes.fixes[0]);
    assert_eq!(moved.iter().map(|m| m.0.0).collect::<Vec<_>>(), [0, 1, 2]);
    // The fourth stands in for one at a time.
    moved.sort_unstable_by_key(|m| m.1);
    assert_eq!(moved[0].1, Minute::hm(9, 20));
    assert!(moved.windows(2).all(|w| w[1].1 >= w[0].1.later(5)), "{moved:?}");
}

/// Eight children at two an adult, and three of four adults away: one who comes in is not enough, nor
/// are two.
#[test]
fn three_adults_come_in_where_three_are_away() {
    let mut build = house("09:00-09:40", &[50, 50, 50, 50], 4);
    standard(&mut build, "fraction_sum", 2, 2);
    build.site.settings.minutes_to_come_in = 0;
    let day = build.day();
    let posted = make(&day, &Options::default()).chart;
    let gone = span("09:10-09:30");
    let (_, fixes) = found(&day, &posted, &[away(1, gone), away(2, gone), away(3, gone)]);
    let steps = &fixes.fixes[0].edits;
    assert_eq!(steps.len(), 3, "{steps:?}");
    for step in steps {
        let Edit::ExtraAdult(extra) = step else { panic!("{step:?}") };
        assert_eq!(extra.span, Some(gone), "{}", extra.label);
    }
    let words = "Three more adults from 09:10 to 09:30, each of whom counts in ratio.";
    assert_eq!(fixes.fixes[0].words, words);
}
