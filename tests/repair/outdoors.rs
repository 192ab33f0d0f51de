//! Rain that starts and rain that stops: the blocks themselves change, from the moment on.

use super::many::{past, quickly};
use super::mornings::wall;
use super::safest::said;
use fairturn::chart::{BlockKind, Place};
use fairturn::day::{Day, Happening};
use fairturn::planner::{make, repair};
use fairturn::site::{Minute, RoomIndex};
use fairturn::wire::scenario::read;

fn day(name: &str) -> Day {
    let path = format!("{}/scenarios/{name}.scenario.json", env!("CARGO_MANIFEST_DIR"));
    let scenario = read(&std::fs::read(path).expect("a scenario")).expect("no fault");
    scenario.open(RoomIndex(0), scenario.date).expect("the room is open")
}

#[test]
fn nobody_goes_out_once_the_children_stay_in() {
    let day = day("preschool-room");
    let posted = make(&day, &quickly(1)).chart;
    let outings: Vec<_> = posted.blocks.iter().filter(|b| b.kind == BlockKind::Outdoors).collect();
    let first = outings.first().expect("a dry day").span;
    for at in [first.from.earlier(25), Minute(first.from.0 + 12)] {
        let done =
            repair(&day, &posted, at, &[Happening::Indoors], &quickly(1)).expect("it can be");
        let chart = &done.plan.chart;
        assert!(past(chart, at).children == past(&posted, at).children);
        let stays = chart.children.iter().flat_map(|c| &c.stays);
        let last = stays.filter(|s| s.at == Place::Outdoors).map(|s| s.span.to).max();
        assert!(last.is_none_or(|to| to.0 < at.0 + 5), "{at}: {last:?}");
        let present = done.plan.problems.iter().find(|p| p.rule == "present" || p.rule == "barred");
        assert_eq!(present, None);
        let lunch = |c: &fairturn::chart::Chart| {
            c.blocks.iter().filter(|b| matches!(b.kind, BlockKind::Meal(_))).count()
        };
        assert_eq!(lunch(chart), lunch(&posted), "every meal is still eaten");
        let mut ids: Vec<&str> = chart.blocks.iter().map(|b| b.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), chart.blocks.len(), "each block has an id of its own");
    }
}

#[test]
fn the_children_go_out_once_it_is_dry() {
    let day = day("mixed-age-room");
    let posted = make(&day, &quickly(1)).chart;
    let at = Minute::hm(9, 50);
    let done = repair(&day, &posted, at, &[Happening::Outdoors], &quickly(1)).expect("it can be");
    let chart = &done.plan.chart;
    let out = chart.blocks.iter().find(|b| b.kind == BlockKind::Outdoors).expect("they go out");
    assert!(out.span.from > at && !done.new_blocks.is_empty());
    assert!(past(chart, at).adults == past(&posted, at).adults);
    assert!(done.moved.value > 0, "moves are counted honestly");
}

/// A round that has begun goes on when the day is laid out anew: whoever is still to be changed, is.
#[test]
fn nobody_is_left_out_of_a_care_round_that_has_begun() {
    let day = wall("mixed-age-room", "care");
    for at in ["08:00", "09:55", "10:10"] {
        let text = said(&day, &["--at", at, "--outdoors"]);
        let (_, rounds) = text.split_once("Nappies and toilet: ").expect("children in nappies");
        let (rounds, _) = rounds.split_once("Sleep: ").expect("the rest stands below");
        assert!(
            rounds.contains("10:15 ") && rounds.contains(": Tavi, Marlo, Nell, Wren and Bram;"),
            "{at}: {text}"
        );
        assert!(!rounds.contains("without a change"), "{at}: {text}");
    }
}

/// Who waits too long for a change has waited since the last one, whenever it is said.
#[test]
fn a_wait_for_a_change_is_told_whole() {
    let day = wall("mixed-age-room", "waits");
    let text = said(&day, &["--at", "14:40", "--away", "mara:14:40-17:25"]);
    assert!(text.contains("minutes without a change: Tavi 12:00-15:35 (155)."), "{text}");
}

/// With one adult less nobody is sent to the changing place alone: who can still be taken is, the
/// others on coming in, and it is said.
#[test]
fn a_care_round_is_no_longer_than_the_adults_allow() {
    let day = wall("mixed-age-room", "fewer");
    let text = said(&day, &["--at", "09:55", "--outdoors", "--away", "deniz:10:15-12:00"]);
    assert!(text.starts_with("Safe to run"), "{text}");
    assert!(text.contains("10:15 Mara: Tavi;"), "{text}");
    assert!(text.contains("11:45 Oona: Marlo, Nell, Wren, Bram and Pip"), "{text}");
    let told =
        "No nappies or toilet before 11:45 for Marlo and Nell, before 11:50 for Wren and Bram";
    assert!(text.contains(told), "{text}");
    for at in ["09:40", "09:55", "10:05"] {
        for away in ["mara", "deniz", "deniz:10:10-11:00"] {
            let text = said(&day, &["--at", at, "--outdoors", "--away", away]);
            assert!(!text.contains("at the changing place without"), "{at} {away}: {text}");
        }
    }
}

/// Who is left alone with everybody changes nobody as long as a second adult comes soon.
#[test]
fn a_care_round_that_has_begun_waits_for_the_second_adult() {
    let day = wall("mixed-age-room", "alone");
    let text = said(&day, &["--at", "10:15", "--away", "deniz", "--away", "oona"]);
    let told = "Nappies and toilet, 10:40 to 10:55: Tavi, Marlo, Nell, Wren and Bram";
    assert!(text.contains(told), "{text}");
    assert!(!text.contains("10:15 to 10:20, Classroom: nobody watches"), "{text}");
}

/// Five minutes before the end of a turn its station is closed: it is tidied up, and that is all.
#[test]
fn the_last_minutes_at_a_closed_station_are_for_tidying_up() {
    let day = wall("preschool-room", "tidies");
    for at in ["09:30", "09:32"] {
        let text = said(&day, &["--at", at, "--close", "easels"]);
        assert!(text.starts_with("Safe to run"), "{text}");
        let told = format!("Anchors: on the way instead of Easels, {at} to 09:35");
        assert!(text.contains(&told), "{text}");
    }
}

/// A staff break is had where the adult likes: no place is named for it.
#[test]
fn no_place_is_named_for_a_staff_break() {
    let text = said(&wall("mixed-age-room", "break"), &["--at", "09:25", "--outdoors"]);
    assert!(text.contains("STAFF BREAK;") && !text.contains("BREAK (Yard)"), "{text}");
}
