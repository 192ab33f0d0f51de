//! Meals: in the window, seated, with an adult, once, neither too soon nor too late.

use super::build::{Build, CLASSROOM, span};
use fairturn::chart::{Apart, Place, State};
use fairturn::rules::{Grade, Unit};
use fairturn::site::*;

const LUNCH: Place = Place::Table(TableIndex(0));

/// Ola and Kim eat lunch at noon with Ann.
pub fn lunch() -> (Build, [ChildIndex; 2], AdultIndex) {
    let mut b = Build::new();
    let table = b.table("long table", CLASSROOM);
    b.schedule.meals.push(Meal {
        kind: MealKind::Lunch,
        window: span("11:30-12:30"),
        minutes: 30,
        tables: vec![table],
    });
    let ann = b.adult("Ann", "08:00-16:00");
    b.post(ann, "11:45-12:30", LUNCH);
    let children = ["Ola", "Kim"].map(|c| b.child(c, 50, "09:00-15:00"));
    for child in children {
        eat(&mut b, child, "12:00-12:30", MealKind::Lunch);
    }
    (b, children, ann)
}

pub fn eat(b: &mut Build, child: ChildIndex, when: &str, meal: MealKind) {
    b.stay(child, when, LUNCH).meal = Some(meal);
}

#[test]
fn who_has_no_lunch_is_told_with_its_window() {
    let (mut b, [ola, kim], _) = lunch();
    assert_eq!(b.audit("meals"), []);
    b.stay(ola, "12:00-12:30", Place::WholeGroup);
    let found = b.audit("meals");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "no-lunch", span("11:30-12:30")));
    assert_eq!((&found[0].children, found[0].by, found[0].unit), (&vec![ola], 1, Unit::Times));
    assert_eq!(b.words("meals"), ["Ola has had no lunch: 11:30 to 12:30 is the window"]);
    b.stay(kim, "12:00-12:30", LUNCH).meal = None;
    let found = b.audit("meals");
    assert_eq!((found.len(), found[0].by), (1, 2));
    assert_eq!(b.words("meals"), ["Ola and Kim have had no lunch: 11:30 to 12:30 is the window"]);
}

#[test]
fn only_minutes_at_the_table_inside_the_window_count() {
    let (mut b, [ola, _], ann) = lunch();
    b.stay(ola, "12:00-12:30", Place::WholeGroup);
    b.post(ann, "11:00-13:00", LUNCH);
    eat(&mut b, ola, "11:45-12:00", MealKind::Lunch);
    b.stay(ola, "12:00-12:05", Place::Care);
    eat(&mut b, ola, "12:05-12:17", MealKind::Lunch);
    let found = b.audit("meals");
    assert_eq!((found.len(), found[0].case, found[0].unit), (1, "short-lunch", Unit::Minutes));
    assert_eq!((found[0].needed, found[0].present, found[0].by), (30, 27, 3));
    eat(&mut b, ola, "12:17-12:20", MealKind::Lunch);
    assert_eq!(b.audit("meals"), []);
    b.stay(ola, "11:45-12:20", Place::WholeGroup);
    eat(&mut b, ola, "12:25-12:55", MealKind::Lunch);
    assert_eq!(
        b.words("meals"),
        ["Ola has only 5 of the 30 minutes of lunch between 11:30 and 12:30"]
    );
}

/// A lunch window missed is not kept, and the day still safe; all else about meals is not safe.
#[test]
fn a_lunch_that_is_cut_short_or_not_in_its_window_is_not_kept_and_no_lunch_is_not_safe() {
    let (mut b, [ola, _], ann) = lunch();
    b.post(ann, "11:00-14:00", LUNCH);
    let told = |b: &Build| {
        let found = b.audit("meals");
        assert_eq!(found.len(), 1, "{found:?}");
        (found[0].grade(), found[0].case, found[0].present, b.words("meals").remove(0))
    };
    let short = |minutes| {
        format!("Ola has only {minutes} of the 30 minutes of lunch between 11:30 and 12:30")
    };
    b.stay(ola, "12:25-12:30", Place::WholeGroup);
    assert_eq!(told(&b), (Grade::NotKept, "short-lunch", 25, short(25)));
    b.stay(ola, "12:15-12:25", Place::WholeGroup);
    assert_eq!(told(&b), (Grade::NotKept, "short-lunch", 15, short(15)));
    b.stay(ola, "12:14-12:15", Place::WholeGroup);
    assert_eq!(told(&b), (Grade::NotSafe, "no-lunch", 14, short(14)));
    b.stay(ola, "12:00-12:14", Place::WholeGroup);
    let none = "Ola has had no lunch: 11:30 to 12:30 is the window".to_owned();
    assert_eq!(told(&b), (Grade::NotSafe, "no-lunch", 0, none));
    eat(&mut b, ola, "12:35-13:05", MealKind::Lunch);
    let late = "Ola has lunch, but not between 11:30 and 12:30".to_owned();
    assert_eq!(told(&b), (Grade::NotKept, "short-lunch", 0, late));
}

#[test]
fn meals_too_near_too_far_twice_or_alone_are_not_safe() {
    let meals = &fairturn::rules::named::MEALS;
    for case in ["too-soon", "too-late", "lunch-twice", "morning-snack-twice", "no-adult"] {
        assert_eq!(meals.grade(case), Grade::NotSafe, "{case}");
    }
}

#[test]
fn a_meal_is_due_to_who_is_here_and_up_for_a_whole_sitting() {
    let (mut b, [ola, _], _) = lunch();
    b.stay(ola, "12:00-12:30", Place::WholeGroup);
    b.children[0].1 = vec![span("09:00-11:59")];
    assert_eq!(b.audit("meals"), [], "leaves in the middle");
    b.children[0].1 = vec![span("09:00-12:00")];
    assert_eq!(b.audit("meals").len(), 1);
    b.children[0].1 = vec![span("12:01-15:00")];
    assert_eq!(b.audit("meals"), [], "comes in the middle");
    b.children[0].1 = vec![span("09:00-15:00")];
    b.site.children[0].sleep = Sleep::At(vec![span("11:50-13:00")]);
    assert_eq!(b.audit("meals"), [], "sleeps by the own clock");
    b.site.children[0].sleep = Sleep::At(vec![span("11:00-12:00")]);
    assert_eq!(b.audit("meals").len(), 1);
    b.schedule.meals[0].kind = MealKind::Breakfast;
    assert_eq!(b.audit("meals"), [], "neither child breakfasts here");
    b.site.children[0].breakfast_here = true;
    assert_eq!(b.audit("meals")[0].case, "no-breakfast");
}

#[test]
fn somebody_sits_at_each_table_where_children_eat() {
    let (mut b, [ola, kim], ann) = lunch();
    b.post(ann, "12:10-12:18", Place::WholeGroup);
    let found = b.audit("meals");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "no-adult", span("12:10-12:18")));
    assert_eq!((&found[0].children, found[0].at), (&vec![ola, kim], Some(LUNCH)));
    assert_eq!(
        b.words("meals"),
        ["12:10 to 12:18, long table: Ola and Kim eat without an adult at the table"]
    );
    b.post(ann, "12:10-12:18", LUNCH).for_child = Some(ola);
    assert_eq!(b.audit("meals")[0].children, [kim], "Ola's own adult serves nobody else");
}

#[test]
fn two_meals_are_neither_too_near_nor_too_far() {
    let (mut b, [ola, kim], ann) = lunch();
    b.post(ann, "08:00-16:00", LUNCH);
    let words = |b: &Build| b.words("meals");
    for child in [ola, kim] {
        eat(&mut b, child, "10:30-10:45", MealKind::MorningSnack);
    }
    assert_eq!(words(&b), [""; 0], "90 minutes are enough where no standard speaks");
    eat(&mut b, ola, "10:31-10:45", MealKind::MorningSnack);
    b.stay(ola, "10:30-10:31", Place::WholeGroup);
    assert_eq!(
        words(&b),
        ["Ola eats at 10:31 and again at 12:00: 89 minutes apart, at least 90 asked"]
    );
    assert_eq!((b.audit("meals")[0].by, b.audit("meals")[0].span), (1, span("10:31-12:00")));
}

#[test]
fn each_standard_has_its_own_interval_and_sleep_stands_apart() {
    let (mut b, [ola, kim], ann) = lunch();
    b.post(ann, "08:00-16:00", LUNCH);
    b.children[0].1 = vec![span("09:00-16:00")];
    b.standards.push(fairturn::standards::find("cfoc-centre").expect("a built-in standard"));
    eat(&mut b, ola, "15:00-15:15", MealKind::AfternoonSnack);
    assert_eq!(b.audit("meals"), [], "three hours to the minute");
    b.stay(ola, "15:00-15:01", Place::WholeGroup);
    let found = b.audit("meals");
    assert_eq!((found.len(), found[0].case), (1, "too-late"));
    assert_eq!((found[0].needed, found[0].present, found[0].by), (180, 181, 1));
    assert_eq!(found[0].standard.as_deref(), Some("cfoc-centre"));
    b.stay(ola, "13:00-13:01", Place::Rest).state = State::Asleep;
    assert_eq!(b.audit("meals"), [], "a minute asleep does not count");
    b.stay(ola, "13:00-13:01", Place::WholeGroup);
    b.children[0].1 = vec![span("09:00-13:00"), span("13:30-16:00")];
    assert_eq!(b.audit("meals"), [], "who was away may have eaten elsewhere");
    eat(&mut b, kim, "10:01-10:15", MealKind::MorningSnack);
    let found = b.audit("meals");
    assert_eq!((found[0].case, found[0].needed, found[0].present), ("too-soon", 120, 119));
}

/// Ola and Kim breakfast at 8:15 and have a snack at 9:40, with least 90 minutes between two meals.
fn morning() -> (Build, [ChildIndex; 2]) {
    let (mut b, children, ann) = lunch();
    b.post(ann, "08:00-16:00", LUNCH);
    let meal = |kind, window| Meal {
        kind,
        window: span(window),
        minutes: 20,
        tables: vec![TableIndex(0)],
    };
    b.schedule.meals.insert(0, meal(MealKind::MorningSnack, "09:30-10:30"));
    b.schedule.meals.insert(0, meal(MealKind::Breakfast, "08:00-08:45"));
    for child in children {
        b.site.children[child.0].breakfast_here = true;
        b.children[child.0].1 = vec![span("08:00-15:00")];
        eat(&mut b, child, "08:15-08:35", MealKind::Breakfast);
        eat(&mut b, child, "09:40-10:00", MealKind::MorningSnack);
    }
    (b, children)
}

#[test]
fn a_breakfast_is_a_meal_like_any_other() {
    let (mut b, [ola, kim]) = morning();
    let told = "Ola and Kim eat at 08:15 and again at 09:40: 85 minutes apart, at least 90 asked";
    assert_eq!(b.words("meals"), [told]);
    for child in [ola, kim] {
        let stays = &mut b.chart.children[child.0].stays;
        stays.iter_mut().for_each(|s| s.apart = Some(Apart::Food));
    }
    assert_eq!(b.words("meals"), [told], "no word of the chart's excuses it");
    b.stay(kim, "08:15-08:35", Place::WholeGroup);
    eat(&mut b, kim, "08:00-08:20", MealKind::Breakfast);
    b.children[0].1 = vec![span("08:15-15:00")];
    let told = "Ola eats at 08:15 and again at 09:40: 85 minutes apart, at least 90 asked";
    assert_eq!(b.words("meals"), [told], "who comes while there is breakfast comes in time for it");
    eat(&mut b, kim, "08:15-08:35", MealKind::Breakfast);
    b.stay(kim, "08:00-08:15", Place::WholeGroup);
    for child in [ola, kim] {
        b.stay(child, "09:40-09:45", Place::WholeGroup);
        eat(&mut b, child, "10:00-10:05", MealKind::MorningSnack);
    }
    assert_eq!(b.words("meals"), [""; 0]);
}

/// Ola sleeps until 10:00 and eats then: its own clock makes it no late child.
#[test]
fn a_baby_that_eats_by_its_own_clock_is_held_to_the_least() {
    let (mut b, [ola, kim]) = morning();
    b.site.settings.meal_interval = (120, 240);
    b.site.children.iter_mut().for_each(|c| c.breakfast_here = false);
    b.site.children[ola.0].sleep = Sleep::At(vec![span("09:15-10:00")]);
    for child in [ola, kim] {
        b.stay(child, "08:00-09:40", Place::WholeGroup);
    }
    b.stay(ola, "09:40-10:05", Place::Rest);
    eat(&mut b, ola, "10:05-10:25", MealKind::MorningSnack);
    b.chart.children[0].stays.iter_mut().for_each(|s| s.apart = Some(Apart::Food));
    let told = "Ola eats at 10:05 and again at 12:00: 115 minutes apart, at least 120 asked";
    assert_eq!(b.words("meals"), [told]);
}

/// Kim has the snack at 10:00 with everybody, and so could Ola have had it.
#[test]
fn who_was_there_for_a_meal_is_not_offered_food_on_coming() {
    let (mut b, [ola, kim]) = morning();
    for child in [ola, kim] {
        b.site.children[child.0].breakfast_here = false;
        b.stay(child, "08:00-10:00", Place::WholeGroup);
        eat(&mut b, child, "10:00-10:20", MealKind::MorningSnack);
    }
    assert_eq!(b.words("meals"), [""; 0]);
    b.stay(ola, "10:00-10:20", Place::WholeGroup);
    eat(&mut b, ola, "10:35-10:55", MealKind::MorningSnack);
    b.chart.children[0].stays.iter_mut().for_each(|s| s.apart = Some(Apart::Food));
    let too_soon = |b: &Build| b.audit("meals").iter().filter(|p| p.case == "too-soon").count();
    assert_eq!(too_soon(&b), 1, "it was here all the time");
    b.children[0].1 = vec![span("10:00-15:00")];
    assert_eq!(too_soon(&b), 1, "it came as the others sat down");
    b.children[0].1 = vec![span("10:01-15:00")];
    assert_eq!(too_soon(&b), 0, "it came when they were at it");
    b.chart.children[0].stays.iter_mut().for_each(|s| s.apart = None);
    assert_eq!(too_soon(&b), 0, "whatever the chart calls it");
    b.children[0].1 = vec![span("08:00-09:50"), span("10:25-15:00")];
    assert_eq!(too_soon(&b), 0, "it came back when it was over");
    b.children[0].1 = vec![span("08:00-10:35"), span("10:40-15:00")];
    assert_eq!(too_soon(&b), 1, "it went later, and came back to the table");
}

/// In time for the second of two sittings nobody is late.
#[test]
fn who_comes_before_the_last_sitting_has_come_in_time() {
    let (mut b, [ola, kim]) = morning();
    let fen = b.child("Fen", 50, "08:00-15:00");
    let joy = b.child("Joy", 50, "10:05-15:00");
    for (child, when) in [(kim, "09:40-10:00"), (fen, "10:05-10:25"), (ola, "10:35-10:55")] {
        b.stay(child, "08:00-11:00", Place::WholeGroup);
        eat(&mut b, child, when, MealKind::MorningSnack);
    }
    eat(&mut b, fen, "12:00-12:30", MealKind::Lunch);
    b.children[0].1 = vec![span("09:45-15:00")];
    let told = |b: &Build| -> Vec<Vec<ChildIndex>> {
        let found = b.audit("meals").into_iter().filter(|p| p.case == "too-soon");
        found.map(|p| p.children).collect()
    };
    assert_eq!(told(&b), [vec![ola]]);
    b.children[0].1 = vec![span("10:06-15:00")];
    assert!(told(&b).is_empty(), "{:?}", told(&b));
    // Who came late as well, and eats later still, does not put off when the meal was.
    eat(&mut b, joy, "10:40-11:00", MealKind::MorningSnack);
    eat(&mut b, joy, "12:00-12:30", MealKind::Lunch);
    b.children[3].1 = vec![span("10:10-15:00")];
    assert!(told(&b).is_empty(), "{:?}", told(&b));
    // Nor does who sleeps, and eats, by an own clock.
    b.site.children[fen.0].sleep = Sleep::At(vec![span("09:30-10:00")]);
    b.children[0].1 = vec![span("09:45-15:00")];
    assert!(told(&b).is_empty(), "{:?}", told(&b));
}

#[test]
fn food_is_offered_on_coming_and_not_an_hour_later() {
    let (mut b, [ola, kim]) = morning();
    b.site.children.iter_mut().for_each(|c| c.breakfast_here = false);
    b.schedule.meals[1].window = span("09:30-11:15");
    for (child, when) in [(kim, "09:40-10:00"), (ola, "10:41-11:01")] {
        b.stay(child, "08:00-11:00", Place::WholeGroup);
        eat(&mut b, child, when, MealKind::MorningSnack);
    }
    b.children[0].1 = vec![span("09:41-15:00")];
    assert_eq!(b.words("meals"), [""; 0]);
    b.stay(ola, "10:41-10:42", Place::WholeGroup);
    assert_eq!(b.audit("meals")[0].case, "short-morning-snack");
    assert_eq!(b.audit("meals")[1].case, "too-soon");
}

/// Nobody else eats: whoever comes with time for it in the window can have it in good time.
#[test]
fn a_child_by_itself_comes_late_when_the_window_is_too_short() {
    let (mut b, [ola, kim]) = morning();
    b.site.children.iter_mut().for_each(|c| c.breakfast_here = false);
    b.stay(kim, "08:00-12:30", Place::WholeGroup);
    b.stay(ola, "08:00-11:00", Place::WholeGroup);
    eat(&mut b, ola, "10:40-11:00", MealKind::MorningSnack);
    let too_soon = |b: &Build| b.audit("meals").iter().any(|p| p.case == "too-soon");
    b.children[0].1 = vec![span("10:10-15:00")];
    assert!(too_soon(&b), "it could have it from 10:10");
    b.children[0].1 = vec![span("10:11-15:00")];
    assert!(!too_soon(&b));
}

#[test]
fn nobody_has_the_same_meal_twice() {
    let (mut b, [ola, kim]) = morning();
    b.site.children.iter_mut().for_each(|c| c.breakfast_here = false);
    for child in [ola, kim] {
        b.stay(child, "08:00-09:40", Place::WholeGroup);
    }
    eat(&mut b, ola, "10:30-10:50", MealKind::MorningSnack);
    let found = b.audit("meals");
    let twice: Vec<_> = found.iter().map(|p| (p.case, p.span, p.needed, p.present, p.by)).collect();
    assert_eq!(twice, [("morning-snack-twice", span("09:40-10:30"), 1, 2, 1)]);
    assert_eq!(b.words("meals"), ["Ola has morning snack twice: at 09:40 and at 10:30"]);
    eat(&mut b, kim, "10:30-10:50", MealKind::MorningSnack);
    assert_eq!(b.words("meals"), ["Ola and Kim have morning snack twice: at 09:40 and at 10:30"]);
    b.stay(kim, "10:00-10:30", Place::Care);
    b.stay(ola, "10:00-10:30", Place::Transition);
    assert_eq!(b.words("meals"), [""; 0], "fetched to be changed, it is one sitting");
    // Fetched by somebody and brought again: who had half of it has had it.
    b.stay(kim, "10:00-10:50", Place::WholeGroup);
    b.stay(ola, "10:00-10:30", Place::WholeGroup);
    b.children[0].1 = vec![span("08:00-10:00"), span("10:30-15:00")];
    b.chart.children[0].stays.retain(|s| s.span != span("10:00-10:30"));
    assert_eq!(b.audit("meals")[0].case, "morning-snack-twice");
    b.stay(ola, "09:49-10:30", Place::WholeGroup);
    b.children[0].1 = vec![span("08:00-09:49"), span("10:30-15:00")];
    b.chart.children[0].stays.retain(|s| s.span != span("09:49-10:30"));
    assert_eq!(b.words("meals"), [""; 0], "nine minutes of twenty are no snack");
}
