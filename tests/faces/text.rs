//! The printed chart, as a person reads it at twenty to eight.

use super::quay;
use fairturn::chart::{Apart, Place};
use fairturn::page::text::{Look, WIDTH, print_audit, print_plan};
use fairturn::planner::{self, AimValue, Plan};
use fairturn::rules::Problem;
use fairturn::site::{AdultIndex, StationIndex};

/// The day's plan with problems and aims of the test's own, whatever the rules make of the day.
fn plan() -> Plan {
    let aim =
        |slug, value, bound, unit| AimValue { slug, value, bound, unit, unit_of_one: "child" };
    Plan {
        problems: Vec::new(),
        aims: vec![
            aim("must-do", 0, Some(0), "visits owed today and missed"),
            aim("steady-posts", 4, Some(4), "changes of zone"),
            aim("balance", 2, Some(1), "children"),
        ],
        assumed: vec!["Ada rests for 30 minutes, then something quiet.".into()],
        ..planner::audit(&quay::day(), quay::chart())
    }
}

/// Compares with a text that a person has read; with `FAIRTURN_GOLDEN=write` it is written anew.
fn reads(name: &str, text: &str) {
    let path = format!("{}/tests/faces/golden/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("FAIRTURN_GOLDEN").is_some_and(|v| v == "write") {
        std::fs::write(&path, text).expect("the golden can be written");
    }
    let golden = std::fs::read_to_string(&path).expect("a golden of this name");
    for (at, (now, then)) in text.lines().zip(golden.lines()).enumerate() {
        assert_eq!(now, then, "{name}.txt, line {}", at + 1);
    }
    assert_eq!(text.lines().count(), golden.lines().count(), "{name}.txt has other lines");
}

/// A text as one line: where a line breaks is nobody's matter.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_teacher_can_read_the_day() {
    let text = print_plan(&quay::day(), &plan(), Look::default());
    reads("quay", &text);
    assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "a line is too wide");
    assert!(text.lines().all(|line| !line.ends_with(' ')), "a blank at an end");
}

#[test]
fn a_day_that_is_not_safe_says_so_first() {
    let mut plan = plan();
    let one = quay::span("10:35-10:50");
    plan.problems = vec![Problem { present: 1, needed: 2, ..Problem::of("ratio", "short", one) }];
    let text = print_plan(&quay::day(), &plan, Look::default());
    let first = text.lines().next().expect("a first line");
    assert_eq!(first, "NOT SAFE TO RUN: Quay room, Tuesday 14 April 2026: 1 problem.");
    assert!(text.lines().nth(1).is_some_and(|line| line.starts_with("  ! ")), "{text}");
    let found = print_audit(&quay::day(), &plan, Look::default());
    assert!(found.starts_with("NOT SAFE TO RUN"), "{found}");
    assert!(!found.contains("Arrival"), "an audit does not repeat the chart");
}

#[test]
fn one_adult_gets_one_paper() {
    let look = Look { adult: Some(AdultIndex(2)), ..Look::default() };
    reads("quay-tove", &print_plan(&quay::day(), &plan(), look));
}

#[test]
fn more_is_told_to_who_asks() {
    let quiet = print_plan(&quay::day(), &plan(), Look::default());
    assert!(quiet.contains("1 thing was assumed where nothing was said"), "{quiet}");
    let told = print_plan(&quay::day(), &plan(), Look { verbose: true, ..Look::default() });
    assert!(told.contains("Ada rests for 30 minutes"), "{told}");
    assert!(told.contains("11:20-11:30"), "room for more by the clock");
}

#[test]
fn why_a_child_is_elsewhere_is_said_in_plain_words() {
    let (day, mut plan) = (quay::day(), plan());
    let young = &mut plan.chart.children[4].stays[3];
    young.at = Place::Station(StationIndex(3));
    young.apart = Some(Apart::Barred);
    plan.chart.groups[2].cells[3].at = Place::Station(StationIndex(0));
    let text = print_plan(&day, &plan, Look::default());
    let said = "Enno: sand and water (the group is at art, which is for children from 30 months)";
    assert!(flat(&text).contains(said), "{text}");
    plan.chart.children[4].stays[3].at = Place::Unplaced;
    let text = print_plan(&day, &plan, Look::default());
    assert!(text.contains("Enno: NO PLACE FOUND"), "{text}");
}

#[test]
fn a_visit_that_is_due_and_missed_is_named() {
    let (day, mut plan) = (quay::day(), plan());
    let said = "Still to have a turn";
    assert!(!print_plan(&day, &plan, Look::default()).contains(said), "Ada is at art");
    let turn =
        plan.chart.children[0].stays.iter_mut().find(|s| s.span.to_string() == "09:05 to 09:25");
    turn.expect("Ada's first turn").at = Place::Station(StationIndex(2));
    let text = print_plan(&day, &plan, Look::default());
    assert!(flat(&text).contains(&format!("{said}: art (paper boats): Ada")), "{text}");
}

#[test]
fn who_is_beside_one_child_all_day_is_told_once() {
    let mut plan = plan();
    for post in &mut plan.chart.adults[2].posts {
        post.for_child = Some(fairturn::site::ChildIndex(3));
    }
    let look = Look { adult: Some(AdultIndex(2)), ..Look::default() };
    let text = print_plan(&quay::day(), &plan, look);
    assert!(text.contains("Tove: 08:00-14:00, all the time beside Dina"), "{text}");
    assert!(!text.contains("beside Dina: "), "{text}");
}

#[test]
fn one_is_told_as_one() {
    let mut plan = plan();
    plan.aims[2].value = 1;
    let text = print_plan(&quay::day(), &plan, Look { verbose: true, ..Look::default() });
    assert!(
        text.contains("balance       1  child (no better with these blocks and whole groups)"),
        "{text}"
    );
    assert!(text.contains("4  changes of zone"), "{text}");
    let aims = fairturn::rules::AIMS.iter();
    aims.for_each(|a| assert!(a.unit != a.unit_of_one && !a.unit_of_one.is_empty(), "{}", a.slug));
}

#[test]
fn figures_from_memory_are_noted_in_every_chart() {
    let mut day = quay::day();
    day.standards = vec![
        fairturn::standards::find("missouri").expect("built in"),
        fairturn::standards::find("wisconsin").expect("built in"),
        fairturn::standards::find("cfoc-centre").expect("built in"),
    ];
    let notes = planner::notes(&day, &quay::chart());
    let of_standards = notes.iter().filter(|n| n.starts_with("Note: of "));
    assert_eq!(
        of_standards.collect::<Vec<_>>(),
        [
            "Note: of `missouri`, edition not known here: compare its figures with the text in force.",
            "Note: of `wisconsin` (edition not known), what it says of the ratios and the class sizes \
             is from memory and was not compared with the text.",
            "Note: of `cfoc-centre` (online edition, year not known), what it says of mixed ages and \
             water play is from memory and was not compared with the text.",
        ]
    );
}

#[test]
fn children_who_have_outgrown_the_room_are_noted() {
    let mut day = quay::day();
    // Six who choose among four seats twice: that is all there is to note.
    let notes = planner::notes(&day, &quay::chart());
    assert!(matches!(&notes[..], [few] if few.contains("8 for 6 children")), "{notes:?}");
    day.date = chrono::NaiveDate::from_ymd_opt(2030, 1, 1).expect("a date");
    let old = day.children.iter().filter(|(c, _)| day.months(*c) >= 84).count();
    assert!((1..day.children.len()).contains(&old), "{old} are seven or older");
    let plan = planner::audit(&day, quay::chart());
    let text = print_plan(&day, &plan, Look::default());
    let children = if old == 1 { "1 child is".into() } else { format!("{old} children are") };
    let note = format!("n 1 January 2030 {children} 7 years or older");
    assert!(text.lines().any(|line| line.starts_with(&format!("  > O{note}"))), "{text}");
    let json = fairturn::wire::chart::write_chart(&day, &plan);
    assert!(json.contains(&format!("\"Note: o{note}")), "the file says it as well");
}
