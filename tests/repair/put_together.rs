//! Help that is put together of parts, and what makes one help less dear than another: days with answers
//! worked out by hand.

use super::tiny_floor::{away, found, house, standard};
use crate::audits::build::{Build, span};
use fairturn::day::Day;
use fairturn::planner::{Edit, Fixes, Options, make};
use fairturn::rules::Shortfall;
use fairturn::site::{AdultIndex, Minute};

/// Three groups of two at two an adult, the third of which comes at eleven, as the third adult does. Whoever
/// is called is there at once.
fn morning() -> Build {
    let mut build = house("09:00-13:00", &[50, 50, 50], 3);
    standard(&mut build, "fraction_sum", 2, 2);
    build.site.settings.minutes_to_come_in = 0;
    for child in 4..6 {
        build.children[child].1 = vec![span("11:00-13:00")];
    }
    build.adults[2].1 = vec![span("11:00-13:00")];
    build
}

/// What mends the day when the second adult is away all day.
fn second_away(day: &Day) -> Fixes {
    let posted = make(day, &Options::default()).chart;
    found(day, &posted, &[away(1, span("09:00-13:00"))]).1
}

/// One is short all morning: somebody from outside for all of it would do, but the third adult two hours
/// earlier leaves two hours to be hired.
#[test]
fn one_of_the_team_for_a_part_is_less_than_somebody_from_outside_for_all() {
    let fixes = second_away(&morning().day());
    assert!(fixes.left.is_empty(), "{:?}", fixes.why);
    let first = &fixes.fixes[0].edits;
    let [Edit::AdultOfTheTeam { adult, span: earlier }, Edit::ExtraAdult(extra)] = &first[..]
    else {
        panic!("{first:?}");
    };
    assert_eq!((*adult, *earlier), (AdultIndex(2), span("09:00-11:00")));
    assert_eq!(extra.span, Some(span("11:00-13:00")));
    assert!(extra.counts && !extra.lead && !extra.may_be_alone, "{extra:?}");
    let all = fixes.fixes.iter().position(|fix| match &fix.edits[..] {
        [Edit::ExtraAdult(extra)] => extra.span == Some(span("09:00-13:00")),
        _ => false,
    });
    assert!(all.is_some_and(|at| at > 0), "the one for all of it comes after");
}

/// Only the first adult and the third may lead: without the first, whoever comes for all of it has to,
/// and beside the third nobody else does.
#[test]
fn who_need_not_lead_is_less_than_who_must() {
    let mut build = morning();
    build.site.adults[1].lead = false;
    let day = build.day();
    let posted = make(&day, &Options::default()).chart;
    let (_, fixes) = found(&day, &posted, &[away(0, span("09:00-13:00"))]);
    let Some(Edit::ExtraAdult(extra)) = fixes.fixes[0].edits.last() else {
        panic!("{:?}", fixes.fixes[0].words);
    };
    assert_eq!((extra.lead, extra.span), (false, Some(span("11:00-13:00"))));
    assert!(fixes.fixes[1..].iter().any(|fix| match &fix.edits[..] {
        [Edit::ExtraAdult(extra)] => extra.lead,
        _ => false,
    }));
}

/// Nobody of the team is fetched beside somebody from outside where one of the team is enough.
#[test]
fn nobody_is_hired_beside_one_of_the_team_who_is_enough() {
    let mut build = morning();
    for child in 4..6 {
        build.children[child].1 = vec![span("09:00-11:00")];
    }
    build.adults[2].1 = vec![span("09:00-11:00")];
    build.children[2].1 = vec![span("09:00-11:00")];
    build.children[3].1 = vec![span("09:00-11:00")];
    let day = build.day();
    let posted = make(&day, &Options::default()).chart;
    // From eleven on one adult is enough for the two who are left: the first goes, the third stays.
    let (_, fixes) =
        found(&day, &posted, &[away(0, span("11:00-13:00")), away(1, span("11:00-13:00"))]);
    let stays = Edit::AdultOfTheTeam { adult: AdultIndex(2), span: span("11:00-13:00") };
    assert_eq!(fixes.fixes[0].edits, [stays]);
    assert!(fixes.fixes.iter().all(|fix| fix.edits.len() == 1), "{:?}", fixes.fixes);
}

/// A staff break that is not had leaves a day safe, two adults too few do not: of two charts the second
/// is no help, though it keeps the staff break, and the first one is.
#[test]
fn nothing_that_guards_a_child_is_given_for_a_staff_break() {
    let of = |ratio_kept: bool| {
        let mut build = house("09:00-10:00", &[50], 2);
        standard(&mut build, "fraction_sum", 1, 1);
        build.site.adults[0].breaks.push(fairturn::site::BreakDue {
            minutes: 10,
            window: span("09:00-10:00"),
            paid: true,
            may_leave: false,
        });
        if !ratio_kept {
            build.post(AdultIndex(0), "09:20-09:30", fairturn::chart::Place::StaffBreak(0));
        }
        let (day, chart) = (build.day(), build.chart.clone());
        let problems = fairturn::rules::audit(&day, &chart);
        Shortfall::of(&day, &chart, &problems, Minute(0))
    };
    let (owed, short) = (of(true), of(false));
    assert!(owed.is_as_safe_as(&short) && owed < short && !owed.is_within(&short));
    assert!(!short.is_as_safe_as(&owed));
}
