//! What a strict teacher was told wrongly at the counter: one test for each answer that was mended.

use super::{WATCH, adult, broken, by_chart, by_facts, staffed};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use crate::faces::command::{err, fairturn, one_line, out};
use fairturn::chart::Place;
use fairturn::page::text::print_check;
use fairturn::planner::check::{BlockCheck, Change, Verdict};
use fairturn::site::Toileting;
use fairturn::site::{AdultIndex, CarePlace, ChildIndex, Mess, Minute, SpaceIndex, StationIndex};
use fairturn::standards::find;

/// A room under the Irish rule, without anybody.
fn room() -> Build {
    let mut build = Build::new();
    build.standards.push(find("ireland-full-day").expect("built in"));
    build
}

fn children(build: &mut Build, labels: &[&str], months: u32) -> Vec<ChildIndex> {
    labels.iter().map(|label| build.child(label, months, "08:00-16:00")).collect()
}

fn adults(build: &mut Build, labels: &[&str]) -> Vec<AdultIndex> {
    labels.iter().map(|label| adult(build, label, "08:00-16:00")).collect()
}

/// As it is printed, on one line.
fn printed(build: &Build, check: &BlockCheck) -> String {
    one_line(&print_check(&build.day(), check))
}

/// Four 2-year-olds, eight 4-year-olds, and a station for four in a loft beside the classroom.
fn with_a_loft(grown: usize) -> (Build, SpaceIndex, StationIndex, Vec<ChildIndex>) {
    let mut build = room();
    let young = children(&mut build, &["Ansa", "Brio", "Caro", "Dune"], 26);
    for at in 0..8 {
        build.child(&format!("child {at}"), 50, "08:00-16:00");
    }
    for at in 0..grown {
        adult(&mut build, &format!("adult {at}"), "08:00-16:00");
    }
    let loft = build.space("loft");
    let cork = build.station("cork blocks", loft);
    (build, loft, cork, young)
}

#[test]
fn without_a_chart_only_those_with_a_seat_go_to_another_space() {
    let (build, loft, cork, young) = with_a_loft(2);
    let check = by_facts(&build, "10:00-10:45", &[cork]);
    assert_eq!(check.verdict, Verdict::Go, "{:?}", check.reasons);
    let heads = |space: SpaceIndex| -> (u32, usize) {
        let there = check.slices.iter().find(|s| s.space == space).expect("a slice of the space");
        (there.by_range.iter().map(|(_, n)| n).sum(), there.counted.len())
    };
    assert_eq!((heads(loft), heads(CLASSROOM)), ((4, 1), (8, 1)));
    assert_eq!(check.slices.iter().find(|s| s.space == loft).expect("it").tied[0].children, young);
    let told = printed(&build, &check);
    assert!(told.contains("4 children, loft: 4 aged 2"), "{told}");
    assert!(told.contains("stay in classroom"), "{told}");
    // Who stays behind is judged as well: one adult cannot be in both.
    let (alone, _, cork, _) = with_a_loft(1);
    let check = by_facts(&alone, "10:00-10:45", &[cork]);
    assert_ne!(check.verdict, Verdict::Go);
    assert!(broken(&check).contains(&"ratio"), "{:?}", check.reasons);
}

#[test]
fn the_shipped_loft_takes_as_many_as_it_seats() {
    let answer = fairturn(&[
        "check",
        "scenarios/hall-and-loft.scenario.json",
        "--from",
        "09:15",
        "--to",
        "10:20",
        "--station",
        "loft-blocks",
    ]);
    let told = one_line(out(&answer));
    assert_eq!(answer.status.code(), Some(0), "{told}{}", err(&answer));
    assert!(told.contains("4 children, Sail loft: "), "{told}");
    assert!(told.contains("8 children, Hall: "), "{told}");
    assert!(!told.contains("12 children governed"), "{told}");
}

#[test]
fn from_a_chart_children_and_an_adult_are_brought_to_another_space() {
    let (mut build, loft, cork, young) = with_a_loft(3);
    for at in 0..3 {
        build.post(AdultIndex(at), "10:00-10:45", WATCH);
    }
    let check = by_chart(&build, "10:00-10:45", &[cork]);
    assert_eq!(check.verdict, Verdict::GoWithChanges, "{:?}", check.reasons);
    assert!(
        check.reasons[0].words.contains("12 who may are in classroom"),
        "{}",
        check.reasons[0].words
    );
    let [bring, moved] = &check.offers[0].changes[..] else { panic!("{:?}", check.offers) };
    let from = vec![CLASSROOM];
    assert_eq!(bring, &Change::Bring { station: cork, children: young, from });
    let to = build.site.zones_of(loft).next().map(Place::Zone).expect("the loft's zone");
    let when = span("10:00-10:45");
    assert_eq!(
        moved,
        &Change::Move { adult: AdultIndex(1), to, instead: WATCH, beside: None, span: when }
    );
    assert_eq!(
        check.offers[0].words,
        "Ansa, Brio, Caro and Dune from classroom to cork blocks; adult 1 in the loft instead of \
         in the classroom"
    );
    assert!(check.slices.iter().any(|s| s.space == CLASSROOM && s.counted.len() == 2));
}

#[test]
fn where_bringing_children_breaks_a_rule_the_no_go_says_which() {
    let mut build = room();
    children(&mut build, &["Ela", "Fin", "Gus", "Hal", "Ida", "Jon", "Kai", "Liv"], 50);
    adults(&mut build, &["Ada"]);
    let loft = build.space("loft");
    let cork = build.station("cork blocks", loft);
    let check = by_chart(&build, "10:00-10:45", &[cork]);
    assert_eq!((check.verdict, broken(&check)), (Verdict::NoGo, vec!["nobody-free"]));
    let words = &check.reasons[0].words;
    assert!(words.contains("8 who may are in classroom"), "{words}");
    assert!(words.contains("With Ela, Fin, Gus and Hal from classroom to cork blocks"), "{words}");
    assert!(words.contains("needed"), "the arithmetic: {words}");
}

/// Ten children: three at art with Oona, three at dough with Deniz, four elsewhere with Mara; at
/// 10:05 Oona changes Pip.
fn with_posts(mara: Option<StationIndex>) -> (Build, StationIndex, StationIndex, Vec<AdultIndex>) {
    let mut build = room();
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    let all: Vec<ChildIndex> =
        (0..10).map(|at| build.child(&format!("child {at}"), 40, "08:00-16:00")).collect();
    build.site.children[all[9].0].toileting = Toileting::Nappies;
    let who = adults(&mut build, &["Mara", "Deniz", "Oona"]);
    let art = build.station("art", CLASSROOM);
    let dough = build.station("dough", CLASSROOM);
    for child in &all[..3] {
        build.stay(*child, "10:00-10:10", Place::Station(art));
    }
    for child in &all[3..6] {
        build.stay(*child, "10:00-10:10", Place::Station(dough));
    }
    build.stay(all[9], "10:05-10:10", Place::Care);
    build.post(who[0], "10:00-10:10", mara.map_or(WATCH, Place::Station));
    build.post(who[1], "10:00-10:10", Place::Station(dough));
    build.post(who[2], "10:00-10:05", Place::Station(art));
    build.post(who[2], "10:05-10:10", Place::Care);
    (build, art, dough, who)
}

#[test]
fn who_has_a_post_by_the_chart_is_not_free_for_those_who_are_left() {
    let (build, art, dough, who) = with_posts(None);
    let (mara, deniz, oona) = (who[0], who[1], who[2]);
    let check = by_chart(&build, "10:00-10:10", &[art]);
    assert_eq!(check.verdict, Verdict::Go, "{:?}", check.reasons);
    let left =
        |at: usize| (check.slices[at].left.children.len(), &check.slices[at].left.adults[..]);
    assert_eq!(left(0), (4, &[mara][..]), "art has Oona, dough has Deniz");
    assert_eq!(left(1), (6, &[mara][..]), "nobody stands at art, one child is being changed");
    let posts = |at: usize| -> Vec<(AdultIndex, Place, usize)> {
        let elsewhere = check.slices[at].elsewhere.iter();
        elsewhere.map(|e| (e.adult, e.at, e.children.len())).collect()
    };
    assert_eq!(posts(0), [(deniz, Place::Station(dough), 3)]);
    assert_eq!(posts(1), [(deniz, Place::Station(dough), 3), (oona, Place::Care, 1)]);
    let told = printed(&build, &check);
    let expected = "Tied to other posts: Deniz at dough with 3 children and Oona at the changing \
                    place with 1 child. These and the others, 6 children: Mara; in sight.";
    assert!(told.contains(expected), "{told}");
    assert!(told.contains("art: 3 children, Oona at it."), "{told}");
}

#[test]
fn a_care_round_is_no_longer_possible_at_any_time_when_nobody_is_free_for_it() {
    let (build, art, ..) = with_posts(None);
    let check = by_chart(&build, "10:00-10:10", &[art]);
    let told = printed(&build, &check);
    let expected = "the chart has Oona at it 10:05 to 10:10; one other adult can be spared for it \
                    10:00 to 10:05 only";
    assert!(told.contains(expected), "{told}");
    let care = check.care.expect("a child in nappies is there");
    assert_eq!(care.by_chart, [(AdultIndex(2), span("10:05-10:10"))]);
    assert_eq!(care.holds, [span("10:00-10:05")]);
    let (build, art, ..) = with_posts(Some(StationIndex(1)));
    let care = by_chart(&build, "10:00-10:10", &[art]).care.expect("a child in nappies");
    assert!(care.holds.is_empty(), "{:?}", care.holds);
    let why = care.breaks.expect("a reason");
    assert_eq!(
        why,
        "10:00 to 10:05, nobody is free for it: Mara is at dough, Deniz is at dough and Oona is at \
         art"
    );
}

/// Four children at turns: two at drums, two younger ones at art, which they must be offered today.
/// All tidy up at 10:15, then two others have the shelf.
fn with_a_shelf(seats: u32) -> (Build, StationIndex, Vec<ChildIndex>) {
    let mut build = room();
    let older = children(&mut build, &["Wren", "Bram"], 44);
    let owed = children(&mut build, &["Lotte", "Sorrel"], 38);
    let later = children(&mut build, &["Kit", "Ines"], 50);
    adults(&mut build, &["Ada", "Bo"]);
    let drums = build.station("drums", CLASSROOM);
    let art = build.station("art", CLASSROOM);
    let shelf = build.station("shelf", CLASSROOM);
    build.site.stations[shelf.0].seats = seats;
    for (who, at) in [(&older, drums), (&owed, art)] {
        for child in who {
            build.stay(*child, "10:00-10:15", Place::Station(at));
            build.stay(*child, "10:15-10:30", Place::Movement);
        }
    }
    for child in &owed {
        build.must_do.push((*child, art));
    }
    for child in later {
        build.stay(child, "10:00-10:30", Place::Transition);
        build.stay(child, "10:30-10:45", Place::Station(shelf));
    }
    (build, shelf, older)
}

#[test]
fn why_a_block_ends_is_told_of_the_time_after_it() {
    let (build, shelf, _) = with_a_shelf(2);
    let check = by_chart(&build, "10:00-10:15", &[shelf]);
    assert_eq!(check.verdict, Verdict::Go, "{:?}", check.reasons);
    let holds = check.holds_until.expect("a block that goes holds for some time");
    assert_eq!(holds.until, Minute::hm(10, 15));
    let why = holds.why.expect("a reason");
    let expected = "10:15 to 10:30, shelf: none of the children who come to it is free then: they have a movement break.";
    assert_eq!(why, expected);
}

#[test]
fn who_leaves_a_turn_for_a_block_is_named_and_what_is_owed_is_left_last() {
    let (build, shelf, older) = with_a_shelf(2);
    let check = by_chart(&build, "10:00-10:15", &[shelf]);
    assert_eq!(check.slices[0].tied[0].children, older, "the younger ones are owed art");
    let told = printed(&build, &check);
    assert!(told.contains("They leave their turns for it: Wren and Bram from drums."), "{told}");
    assert!(
        !check.mind.iter().any(|m| m.contains("still have to have a turn")),
        "{:?}",
        check.mind
    );
    let (build, shelf, _) = with_a_shelf(4);
    let all = by_chart(&build, "10:00-10:15", &[shelf]);
    let told = printed(&build, &all);
    let expected = "Wren and Bram from drums; Lotte and Sorrel from art.";
    assert!(told.contains(expected), "{told}");
    assert!(
        all.mind.iter().any(|m| m.starts_with("Lotte and Sorrel still have to have a turn at art")),
        "{:?}",
        all.mind
    );
}

#[test]
fn hands_are_done_as_many_minutes_after_the_first_one_goes() {
    let mut build = room();
    let all = children(&mut build, &["Una", "Vik", "Wim"], 40);
    let ada = adults(&mut build, &["Ada"])[0];
    let water = staffed(&mut build, "water table", 3, 3);
    build.site.stations[water.0].mess = Mess::Wet;
    build.post(ada, "10:00-10:15", Place::Station(water));
    for child in all {
        build.stay(child, "10:00-10:15", Place::Station(water));
        build.stay(child, "10:15-10:20", Place::Transition);
    }
    let check = by_chart(&build, "10:00-10:30", &[water]);
    assert_eq!(check.offers[0].changes, [Change::Shorter { span: span("10:00-10:15") }]);
    let told = printed(&build, &check);
    let expected = "3 children at 2 sinks take 2 minutes; the first one goes at 10:15, and all is \
                    done at 10:17.";
    assert!(told.contains(expected), "{told}");
}

/// Nobody is fetched out of a movement break for a table, and what cannot run then is offered later.
#[test]
fn nobody_leaves_a_movement_break_for_a_table() {
    let chart = "scenarios/mixed-age-room.posted.json";
    let asked = ["--from", "15:15", "--to", "15:50", "--station", "high-shelf-building"];
    let day = ["check", "scenarios/mixed-age-room.scenario.json", "--chart", chart];
    let text = one_line(out(&fairturn(&[&day[..], &asked[..]].concat())));
    assert!(text.starts_with("Go, with two changes: only 15:35 to 15:50;"), "{text}");
    assert!(text.contains("15:15 to 15:35, High shelf building: none of the children"), "{text}");
}

/// Nor in from the garden for which they were just dressed.
#[test]
fn nobody_is_called_in_from_the_garden() {
    let chart = "scenarios/hall-and-loft.posted.json";
    let asked = ["--from", "11:00", "--to", "11:30", "--station", "blocks"];
    let day = ["check", "scenarios/hall-and-loft.scenario.json", "--chart", chart];
    let text = one_line(out(&fairturn(&[&day[..], &asked[..]].concat())));
    assert!(text.starts_with("Not then: Blocks, 11:00 to 11:30."), "{text}");
    assert!(text.contains("It can run from 11:45 to 12:15 instead."), "{text}");
}

/// Who is called out of the circle is named, as who leaves a turn is.
#[test]
fn who_leaves_the_circle_for_a_block_is_named() {
    let (mut build, _, _, _) = with_a_loft(3);
    let drums = build.station("drums", CLASSROOM);
    let check = by_chart(&build, "10:00-10:45", &[drums]);
    let told = printed(&build, &check);
    let expected = "They leave the circle for it, 10:00 to 10:45: Ansa, Brio, Caro and Dune.";
    assert!(told.contains(expected), "{told}");
}

/// All are moving at ten; at a quarter to eleven they can come, and an adult goes up with them.
#[test]
fn another_time_is_offered_also_where_children_then_come_from_other_spaces() {
    let (mut build, _, cork, young) = with_a_loft(3);
    for child in 0..12 {
        for moves in ["08:00-10:45", "11:30-16:00"] {
            build.stay(ChildIndex(child), moves, Place::Movement);
        }
    }
    for at in 0..3 {
        build.post(AdultIndex(at), "10:45-11:30", WATCH);
    }
    let check = by_chart(&build, "10:00-10:45", &[cork]);
    assert_eq!(check.verdict, Verdict::GoWithChanges, "{:?}", check.reasons);
    let [Change::AnotherTime { span: when, .. }, Change::Bring { children, .. }, ..] =
        &check.offers[0].changes[..]
    else {
        panic!("{:?}", check.offers)
    };
    assert_eq!((*when, children), (span("10:45-11:30"), &young));
}
