//! Better, worse, safe and unsafe, on small results made up by hand.

use super::judge::{
    Comparison, Difference, Named, Outcome, Results, Table, read, read_named, write,
};
use super::tell;

fn table() -> Table {
    let words = |all: &[&str]| all.iter().map(|word| (*word).to_owned()).collect();
    Table { rules: words(&["ratio", "sight", "rest"]), aims: words(&["owed", "balance"]) }
}

/// A room with person-minutes by rule and values by aim; safe where no rule is broken.
fn room(name: &str, minutes: [u64; 3], aims: [i64; 2]) -> Outcome {
    let table = table();
    let broken = table.rules.iter().cloned().zip(minutes).filter(|(_, minutes)| *minutes > 0);
    let problem = |(rule, minutes): (&String, u64)| format!("{rule} short by {minutes}");
    Outcome {
        room: name.into(),
        safe: minutes == [0, 0, 0],
        problems: table.rules.iter().zip(minutes).filter(|(_, m)| *m > 0).map(problem).collect(),
        minutes: broken.collect(),
        aims: table.aims.iter().cloned().zip(aims).collect(),
    }
}

fn results(outcomes: Vec<Outcome>) -> Results {
    Results { table: table(), outcomes }
}

fn compared<'r>(before: &'r Results, now: &'r Results) -> Comparison<'r> {
    Comparison::of(before, now).expect("the same rooms")
}

/// The first difference of a room that was and is.
#[track_caller]
fn first(before: ([u64; 3], [i64; 2]), now: ([u64; 3], [i64; 2])) -> Option<(String, bool)> {
    let before = results(vec![room("001", before.0, before.1)]);
    let now = results(vec![room("001", now.0, now.1)]);
    let comparison = compared(&before, &now);
    let first = comparison.first(comparison.pairs[0]);
    first.map(|first: Difference| (first.slug.to_owned(), first.is_worse()))
}

#[test]
fn the_first_rule_in_the_order_of_the_table_decides() {
    let (was, no_aims) = ([0, 30, 10], [0, 0]);
    assert_eq!(first((was, no_aims), (was, no_aims)), None);
    assert_eq!(first((was, no_aims), ([0, 31, 0], no_aims)), Some(("sight".into(), true)));
    assert_eq!(first((was, no_aims), ([0, 29, 90], no_aims)), Some(("sight".into(), false)));
    assert_eq!(first((was, no_aims), ([1, 0, 0], no_aims)), Some(("ratio".into(), true)));
    assert_eq!(first((was, no_aims), ([0, 30, 9], no_aims)), Some(("rest".into(), false)));
}

#[test]
fn an_aim_decides_where_every_rule_is_even_and_never_against_a_rule() {
    let even = [5, 0, 0];
    assert_eq!(first((even, [2, 7]), (even, [2, 8])), Some(("balance".into(), true)));
    assert_eq!(first((even, [2, 7]), (even, [1, 8])), Some(("owed".into(), false)));
    assert_eq!(first((even, [2, 7]), ([5, 0, 1], [0, 0])), Some(("rest".into(), true)));
    assert_eq!(first((even, [9, 9]), ([4, 0, 0], [10, 10])), Some(("ratio".into(), false)));
}

#[test]
fn a_room_that_turned_is_told_with_what_differs_until_a_reason_is_named() {
    let before = results(vec![
        room("001", [0, 0, 0], [0, 0]),
        room("002", [0, 9, 0], [0, 0]),
        room("003", [7, 0, 0], [1, 0]),
    ]);
    let now = results(vec![
        room("001", [0, 0, 20], [0, 0]),
        room("002", [0, 0, 0], [3, 0]),
        room("003", [7, 0, 0], [1, 0]),
    ]);
    let comparison = compared(&before, &now);
    let turned = |safe| -> Vec<&str> {
        comparison.turned(safe).iter().map(|pair| pair.now.room.as_str()).collect()
    };
    assert_eq!((turned(false), turned(true)), (vec!["001"], vec!["002"]));
    let mut named = Named::default();
    assert_eq!(named.unnamed(&comparison), ["001", "002"]);
    let words = |room: &str| format!("room {room} of three");
    let text = tell::comparison(&comparison, &named, false, &words);
    for line in [
        "3 rooms: 1 safe before, 1 now.",
        "Turned unsafe: 1 room.\n  001 room 001 of three\n    not named",
        "    rest 0 to 20\n    + rest short by 20\n",
        "Turned safe: 1 room.\n  002 room 002 of three\n    not named",
        "    sight 9 to 0\n    owed 0 to 3\n    - sight short by 9\n",
        "Worse by a rule: 1 room.\n  001 rest 0 to 20\n",
        "Better by a rule: 1 room.\n  002 sight 9 to 0\n",
        "Worse by an aim: 0 rooms.\n",
    ] {
        assert!(text.contains(line), "{line} is not in\n{text}");
    }
    assert!(!text.contains("003"), "nothing is told of a room that is as it was:\n{text}");

    named.turned_unsafe.insert("001".into(), "the rest was never read".into());
    assert_eq!(named.unnamed(&comparison), ["002"]);
    // A reason for turning unsafe is none for turning safe.
    named.turned_unsafe.insert("002".into(), "another one".into());
    assert_eq!(named.unnamed(&comparison), ["002"]);
    assert_eq!(named.idle(&comparison), [(false, "002")]);
    named.turned_safe.insert("002".into(), "an adult is posted in sight".into());
    named.turned_safe.insert("003".into(), "meant for another room".into());
    named.turned_safe.insert("150".into(), "not looked at today".into());
    assert_eq!(named.unnamed(&comparison), [""; 0]);
    assert_eq!(named.idle(&comparison), [(false, "002"), (true, "003")]);
    let text = tell::comparison(&comparison, &named, false, &words);
    for line in [
        "    named: the rest was never read\n",
        "    named: an adult is posted in sight\n",
        "Named without need: 002 has not turned unsafe;",
        "Named without need: 003 has not turned safe;",
    ] {
        assert!(text.contains(line), "{line} is not in\n{text}");
    }
    assert!(!text.contains("not named"), "{text}");
}

#[test]
fn the_summary_counts_rooms_by_their_first_difference_and_by_every_one() {
    let before = results(vec![room("001", [10, 10, 0], [0, 4]), room("002", [0, 0, 0], [1, 1])]);
    let now = results(vec![room("001", [8, 12, 0], [0, 4]), room("002", [0, 0, 0], [2, 0])]);
    let text = tell::comparison(&compared(&before, &now), &Named::default(), false, &|_| "".into());
    let row = |slug: &str| -> Vec<i64> {
        let start = format!("{slug} ");
        let line = text.lines().find(|line| line.starts_with(&start));
        let numbers =
            line.unwrap_or_else(|| panic!("{slug} in\n{text}")).split_whitespace().skip(1);
        numbers.map(|number| number.parse().expect("a number")).collect()
    };
    // First worse and better, at all worse and better, sums before and now.
    assert_eq!(row("ratio"), [0, 1, 0, 1, 10, 8]);
    assert_eq!(row("sight"), [0, 0, 1, 0, 10, 12]);
    assert_eq!(row("rest"), [0, 0, 0, 0, 0, 0]);
    assert_eq!(row("owed"), [1, 0, 1, 0, 1, 2]);
    assert_eq!(row("balance"), [0, 0, 0, 1, 5, 4]);
}

#[test]
fn results_of_which_nothing_differs_say_so_and_no_more() {
    let all = results(vec![room("001", [0, 0, 0], [1, 1]), room("002", [3, 0, 0], [0, 0])]);
    let again = all.clone();
    let text = tell::comparison(&compared(&all, &again), &Named::default(), true, &|_| "".into());
    assert_eq!(text, "2 rooms: 1 safe before, 1 now.\nNothing differs.\n");
    let mut other = all.clone();
    other.outcomes[1].problems = vec!["ratio short at another time".into()];
    let comparison = compared(&all, &other);
    let text = tell::comparison(&comparison, &Named::default(), false, &|_| "".into());
    assert!(text.contains("As good, with other problems: 002.\n"), "{text}");
    assert!(!text.contains("Nothing differs"), "{text}");
}

#[test]
fn one_room_is_printed_with_both_outcomes_in_full() {
    let before = results(vec![room("001", [0, 9, 0], [1, 2])]);
    let now = results(vec![room("001", [0, 0, 0], [3, 4])]);
    let text = tell::both(&compared(&before, &now), &|_| "a small one".into());
    let was = "before: unsafe\n  sight 9\n  owed 1, balance 2\n  sight short by 9\n";
    let is = "now: safe\n  owed 3, balance 4\n";
    assert_eq!(text, format!("001 a small one\n\n{was}\n{is}"));
}

#[test]
fn a_new_rule_or_aim_is_shown_as_new_and_is_compared_once_it_is_kept() {
    let before = results(vec![room("001", [4, 0, 0], [1, 1])]);
    let mut now = before.clone();
    now.table.rules.insert(0, "water".into());
    now.table.aims.retain(|aim| aim != "owed");
    now.outcomes[0].minutes.insert("water".into(), 60);
    let comparison = compared(&before, &now);
    assert_eq!((&comparison.new[..], &comparison.gone[..]), (&["water"][..], &["owed"][..]));
    assert_eq!(comparison.first(comparison.pairs[0]), None, "neither is worse or better");
    let text = tell::comparison(&comparison, &Named::default(), false, &|_| "".into());
    assert!(text.contains("New: water, 60 in all, broken in 1 room;"), "{text}");
    assert!(text.contains("Gone: owed.\n"), "{text}");
    let mut later = now.clone();
    later.outcomes[0].minutes.insert("water".into(), 61);
    let kept = read(&write(&now)).expect("what is written is read");
    let comparison = compared(&kept, &later);
    let first = comparison.first(comparison.pairs[0]).expect("it is compared from then on");
    assert_eq!((first.slug, first.before, first.now), ("water", 60, 61));
}

#[test]
fn problems_are_told_apart_as_often_as_they_stand_there() {
    let problems = |all: &[&str]| Outcome {
        problems: all.iter().map(|problem| (*problem).to_owned()).collect(),
        ..Outcome::default()
    };
    let (one, other) = (problems(&["a", "b", "b", "c"]), problems(&["b", "c", "d"]));
    assert_eq!(one.problems_not_in(&other), ["a", "b"]);
    assert_eq!(other.problems_not_in(&one), ["d"]);
    assert_eq!(one.problems_not_in(&one), [""; 0]);
}

#[test]
fn results_are_read_as_they_were_written_and_a_sample_is_held_against_its_own_rooms() {
    let all = results(vec![room("001", [0, 0, 0], [1, 0]), room("002", [3, 4, 5], [0, 6])]);
    let text = write(&all);
    assert_eq!(text.lines().count(), 3);
    assert_eq!(read(&text), Some(all.clone()));
    assert_eq!(read("{\"rules\": []}"), None);
    assert_eq!(read(&text.replace("true", "1")), None);
    let sample = results(vec![all.outcomes[1].clone()]);
    assert!(compared(&all, &sample).is_same());
    assert_eq!(Comparison::of(&sample, &all).err(), Some(vec!["001"]));
}

#[test]
fn a_name_without_a_reason_is_refused() {
    let named = read_named(r#"{ "safe": { "014": "a mend" }, "unsafe": {} }"#);
    assert_eq!(named.expect("a name").reason(true, "014"), Some("a mend"));
    assert_eq!(read_named(r#"{ "safe": { "014": " " }, "unsafe": {} }"#), None);
    assert_eq!(read_named(r#"{ "safe": {} }"#), None);
}
