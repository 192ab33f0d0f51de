//! Which of two charts is the better one: the order of the score, and what stands in it.

use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::Place;
use fairturn::day::Day;
use fairturn::planner::{Options, make};
use fairturn::rules::settled::Settled;
use fairturn::rules::{AIMS, Decided, Difference, Grade, RULES, Score, Shortfall};
use fairturn::site::*;
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::read;
use std::cmp::Ordering;

/// An invented room on its day.
fn invented_day(seed: u64) -> Day {
    let (children, adults) = (6 + seed as usize * 5 % 12, 2 + seed as usize % 4);
    let invent = if seed.is_multiple_of(2) { awkward } else { invent };
    let scenario = read(invent(1, children, adults, seed).as_bytes()).expect("no fault");
    scenario.open(RoomIndex(0), scenario.date).expect("the room is open")
}

#[test]
fn rules_of_which_no_case_leaves_a_day_unsafe_come_last() {
    let grades: Vec<Grade> = RULES.iter().map(|rule| rule.worst_grade()).collect();
    assert!(
        grades.is_sorted(),
        "the levels of a model stand in the order of the score: {grades:?}"
    );
    assert!(grades.contains(&Grade::NotSafe) && grades.contains(&Grade::NotKept));
}

/// A morning in the classroom of two children and two adults.
fn morning() -> (Build, [ChildIndex; 2], [AdultIndex; 2]) {
    let mut b = Build::new();
    b.schedule.open = span("09:00-10:00");
    let children = ["Ada", "Bo"].map(|name| b.child(name, 50, "09:00-10:00"));
    let adults = ["Cleo", "Dov"].map(|name| b.adult(name, "09:00-10:00"));
    for adult in adults {
        b.site.adults[adult.0].lead = true;
        b.site.adults[adult.0].first_aid = true;
    }
    (b, children, adults)
}

#[test]
fn who_is_alone_comes_before_all_rules_and_what_is_not_kept_after_them() {
    let (mut b, [_, bo], [cleo, dov]) = morning();
    let due = BreakDue { minutes: 15, window: span("09:00-10:00"), paid: true, may_leave: false };
    b.site.adults[dov.0].breaks = vec![due];
    let day = b.day();
    let whole = Score::of(&day, &b.chart);
    assert!(whole.broken.of_grade(Grade::NotSafe).iter().all(|s| *s == 0), "{whole:?}");
    let missed: u64 = whole.broken.of_grade(Grade::NotKept).iter().sum();
    assert_eq!(missed, 15, "the staff break that is not had");

    // Five minutes in which Bo is in no zone that anybody sees are worse than any staff break.
    let mut unseen = b.clone();
    unseen.stay(bo, "09:30-09:35", Place::WholeGroup).zone = None;
    unseen.post(dov, "09:00-09:15", Place::StaffBreak(0));
    let unseen_score = Score::of(&unseen.day(), &unseen.chart);
    assert!(unseen_score.broken.of_grade(Grade::NotKept).iter().all(|s| *s == 0));
    assert!(whole < unseen_score, "{whole:?} {unseen_score:?}");
    assert!(matches!(whole.difference(&unseen_score), Some(Difference::Rule(_, more)) if more > 0));

    // Both adults on a staff break for a minute: the children are alone, and nothing is worse.
    let mut alone = b.clone();
    alone.site.adults[cleo.0].breaks = alone.site.adults[dov.0].breaks.clone();
    alone.post(dov, "09:00-09:15", Place::StaffBreak(0));
    alone.post(cleo, "09:14-09:29", Place::StaffBreak(0));
    let alone_score = Score::of(&alone.day(), &alone.chart);
    assert_eq!(alone_score.broken.alone(), 2, "two children, a minute");
    assert!(unseen_score < alone_score);
    assert_eq!(unseen_score.difference(&alone_score), Some(Difference::Alone));
}

#[test]
fn on_a_running_day_who_is_moved_comes_before_every_aim() {
    let (mut b, children, _) = morning();
    let [art, books] = ["art", "books"].map(|name| b.station(name, CLASSROOM));
    for child in children {
        b.stay(child, "09:00-09:30", Place::Station(art));
        b.must_do.push((child, books));
    }
    let (day, posted) = (b.day(), b.chart.clone());
    let stays = Score::of_rest(&day, &posted, Minute(0), &posted);
    assert_eq!(stays.moved, (0, 0));
    for child in children {
        b.stay(child, "09:00-09:30", Place::Station(books));
    }
    let goes = Score::of_rest(&day, &posted, Minute(0), &b.chart);
    assert_eq!(goes.moved.0, 2);
    assert!(goes.aims < stays.aims, "the visits are made");
    assert!(stays < goes && stays.difference(&goes) == Some(Difference::Moved));
    assert!(Score::of(&day, &b.chart) < Score::of(&day, &posted), "before the day begins");
}

#[test]
fn what_rows_show_is_compared_in_the_order_of_the_score() {
    let mut levels = vec![0_i64; RULES.len()];
    assert!(Shortfall::of_levels(&levels).is_none());
    let at = |slug: &str| RULES.iter().position(|r| r.slug == slug).expect("a rule");
    levels[at("ratio")] = 5;
    let ratio = Shortfall::of_levels(&levels);
    levels[at("staff-break")] = 400;
    let both = Shortfall::of_levels(&levels);
    levels[at("ratio")] = 0;
    let kept = Shortfall::of_levels(&levels);
    assert_eq!([kept.cmp(&ratio), ratio.cmp(&both)], [Ordering::Less, Ordering::Less]);
    assert!(ratio.is_within(&both) && kept.is_within(&both) && !both.is_within(&ratio));
    assert!(ratio.may_come_within(&both) && !both.may_come_within(&kept));
    assert!(kept.may_come_below(&ratio) && !ratio.may_come_below(&kept));
    assert_eq!(kept.of_rule(at("staff-break")), 400);
    assert_eq!(kept.of_grade(Grade::NotSafe).iter().sum::<u64>(), 0);
}

#[test]
fn what_a_layout_says_of_itself_is_what_its_chart_measures() {
    use fairturn::model::Model;
    use fairturn::rules::rows;
    use fairturn::solve::{decode::decode, framing::frame, groups, layout::layouts};
    let mut compared = 0;
    for seed in 0..24 {
        let day = invented_day(seed);
        let standing = groups::standing_groups(&day.site, day.room, day.date, 1);
        let groups = groups::groups_today(&day, &standing);
        for layout in layouts(&day, &groups, 3) {
            let frame = frame(&day, &groups, &layout);
            let (model, unknowns): (Model, _) = rows::model(&frame);
            let first = vec![0; model.choices.len()];
            let (chart, _) = decode(&frame, &unknowns, &first);
            let (said, measured) = (layout.wishes.settled(), Settled::of(&day, &chart));
            // Of a block that is cut for what comes next the program has counted all of it, so that it
            // is a quarter of an hour off at most.
            let apart = |s: Settled| Settled { under_third: 0, choice: 0, long_choice: 0, ..s };
            assert_eq!(apart(said), apart(measured), "{seed}: {:#?}", chart.blocks);
            for more in [measured.choice - said.choice, measured.long_choice - said.long_choice] {
                assert!((-1..=1).contains(&more), "{said:?} {measured:?}");
            }
            compared += 1;
        }
    }
    assert!(compared > 40, "{compared}");
}

#[test]
fn a_made_chart_shows_as_best_what_its_layout_settles() {
    let day = invented_day(5);
    let plan = make(&day, &Options::default());
    for (aim, value) in AIMS.iter().zip(&plan.aims) {
        if matches!(aim.decided, Decided::Layout(_) | Decided::Groups) {
            assert_eq!(value.bound, Some(value.value), "{}", aim.slug);
        }
    }
}
