//! A parent who comes after closing time: the room stays open for who stays, with what is judged at any
//! other minute judged in these as well.

use super::mornings::wall;
use super::tiny_floor::{house, standard};
use crate::audits::build::span;
use crate::faces::command::{err, fairturn, out};
use fairturn::chart::Place;
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::{Edit, Options, fixes, make, repair};
use fairturn::site::{AdultIndex, ChildIndex, Minute};
use serde_json::Value;

/// One group of two, fetched at five; the first adult is here until five as well, the second until half
/// past. Whoever is called is there at once.
fn evening() -> Day {
    let mut build = house("16:00-17:00", &[50], 2);
    standard(&mut build, "fraction_sum", 2, 2);
    build.site.settings.minutes_to_come_in = 0;
    build.adults[1].1 = vec![span("16:00-17:30")];
    build.day()
}

fn stays(until: Minute) -> Happening {
    Happening::Staying { who: Who::Child(ChildIndex(0)), until }
}

#[test]
fn the_room_stays_open_for_a_child_who_is_not_picked_up() {
    let day = evening();
    let posted = make(&day, &Options::default()).chart;
    for at in [Minute::hm(16, 50), Minute::hm(17, 0)] {
        let told = [stays(Minute::hm(17, 30))];
        let done = repair(&day, &posted, at, &told, &Options::default()).expect("it can be said");
        assert!(done.plan.safe_to_run(), "the second adult is there: {:?}", done.plan.problems);
        let chart = &done.plan.chart;
        let last = chart.child(ChildIndex(0)).and_then(|c| c.stays.last()).expect("a stay");
        assert_eq!((last.span.to, last.space), (Minute::hm(17, 30), day.site[day.room].home));
        assert!(matches!(last.at, Place::Choice(_)), "{last:?}");
        let other = chart.child(ChildIndex(1)).and_then(|c| c.stays.last());
        assert_eq!(other.map(|s| s.span.to), Some(Minute::hm(17, 0)), "who is picked up goes");
        let first = chart.adult(AdultIndex(0)).and_then(|a| a.posts.last());
        assert_eq!(first.map(|p| p.span.to), Some(Minute::hm(17, 0)), "the shift is over");
        assert!(done.new_blocks.is_empty(), "going home goes on: {:?}", chart.blocks);
        assert_eq!(done.moved.value, 0);
    }
}

/// From half past five nobody is there: the one who is there anyway stays, then the other one of the
/// team, then somebody from outside.
#[test]
fn somebody_of_the_team_stays_before_anybody_is_called() {
    let day = evening();
    let posted = make(&day, &Options::default()).chart;
    let (at, until) = (Minute::hm(16, 50), Minute::hm(18, 10));
    let done = repair(&day, &posted, at, &[stays(until)], &Options::default()).expect("it can be");
    let alone = done.problems_ahead().all(|p| p.span == span("17:30-18:10"));
    assert!(alone && !done.safe_to_run(), "{:?}", done.plan.problems);
    let found = fixes(&day, &posted, &done, &Options::default());
    assert!(found.left.is_empty(), "{:?}", found.why);
    let team = |adult| move |edits: &[Edit]| matches!(edits, [Edit::AdultOfTheTeam { adult: who, .. }] if *who == AdultIndex(adult));
    let second = Edit::AdultOfTheTeam { adult: AdultIndex(1), span: span("17:30-18:10") };
    assert_eq!(found.fixes[0].edits, [second], "{:?}", found.fixes[0].words);
    assert_eq!(found.fixes[0].words, "adult 1 stays 40 minutes longer, until 18:10.");
    assert!(found.fixes.iter().any(|f| team(0)(&f.edits)), "the other one could as well");
    let hired = found.fixes.iter().position(|f| matches!(f.edits[..], [Edit::ExtraAdult(_)]));
    assert!(hired.is_none_or(|at| at == found.fixes.len() - 1), "nobody is called before that");
    assert!(found.fixes.iter().all(|f| f.repaired.safe_to_run()));
}

/// Who was picked up an hour ago does not come back by staying, and nothing else is told after closing.
#[test]
fn what_is_told_after_closing_is_who_stays() {
    let day = evening();
    let posted = make(&day, &Options::default()).chart;
    let refused = |at: Minute, what: Happening| {
        let done = repair(&day, &posted, at, &[what], &Options::default());
        done.map(|_| ()).expect_err("it cannot be said")[0].cause.clone()
    };
    let away = Happening::Away { who: Who::Adult(AdultIndex(1)), span: None };
    assert!(refused(Minute::hm(17, 0), away).contains("the room has closed"));
    assert!(refused(Minute::hm(17, 5), stays(Minute::hm(18, 0))).contains("the room has closed"));
}

/// The command says so, writes it, and reads what it wrote: the parent is later still.
#[test]
fn a_chart_with_a_late_parent_is_repaired_again() {
    let (scenario, chart) = wall("mixed-age-room", "late-parent");
    let first = format!("{chart}-first.json");
    let told = ["--at", "16:50", "--staying", "juno:18:00", "--format", "json", "--out", &first];
    let done = fairturn(&[&["repair", &scenario, &chart], &told[..]].concat());
    assert!(done.status.code().is_some_and(|code| code < 2), "{}", err(&done));
    let text = std::fs::read_to_string(&first).expect("the repaired chart");
    let json: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(json["day"]["open"]["to"], "18:00", "{}", json["day"]["open"]);
    let more = ["--at", "17:10", "--staying", "juno:18:10"];
    let again = fairturn(&[&["repair", &scenario, &first], &more[..]].concat());
    assert!(out(&again).contains("Juno stays until 18:10"), "{}{}", out(&again), err(&again));
    let sooner = ["--at", "17:10", "--leaving", "juno:17:20"];
    let again = fairturn(&[&["repair", &scenario, &first], &sooner[..]].concat());
    assert!(out(&again).contains("Juno leaves at 17:20"), "{}{}", out(&again), err(&again));
}
