//! A date laid over the standing facts.

use crate::bad_input::sample::{SOUND, sample, sound};
use chrono::NaiveDate;
use fairturn::day::{Day, DayFact, DayFacts, KeptCell, KeptFor, VisitRecord};
use fairturn::site::{ChildIndex, Hazard, Minute, PartKind, RoomIndex, Site, Span, StationIndex};
use fairturn::wire::scenario::{Scenario, read_for};
use std::sync::Arc;

const SHORE: RoomIndex = RoomIndex(0);

fn span(from: (u16, u16), to: (u16, u16)) -> Span {
    Span::new(Minute::hm(from.0, from.1), Minute::hm(to.0, to.1)).expect("ends after it starts")
}

fn open(scenario: &Scenario) -> Day {
    scenario.open(SHORE, scenario.date).expect("it opens")
}

/// Opens the shore room with facts that did not go through a file.
fn with(facts: &DayFacts) -> Result<Day, Vec<DayFact>> {
    let scenario = sound(&[]);
    let site: Arc<Site> = scenario.site;
    let day = Day::open(site, scenario.standards, SHORE, facts, &VisitRecord::default());
    day.map_err(|faults| faults.into_iter().map(|fault| fault.about).collect())
}

fn date(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, day).expect("a day of April")
}

#[test]
fn only_the_rooms_own_people_are_in_its_day() {
    let day = open(&sound(&[]));
    let children: Vec<usize> = day.children.iter().map(|(child, _)| child.0).collect();
    assert_eq!(children, [0, 1]);
    assert_eq!(day.child_here(ChildIndex(0)), [span((9, 0), (15, 0))], "as said for the date");
    assert_eq!(day.child_here(ChildIndex(1)), [span((8, 30), (16, 0))], "as every Tuesday");
    assert_eq!(day.adults.len(), 1, "Eli is the other room's");
}

#[test]
fn an_adult_is_with_the_children_some_minutes_after_the_shift_begins() {
    let minutes = r#""care_minutes": 5, "minutes_to_reach_children": 7"#;
    let day = open(&sound(&[(r#""care_minutes": 5"#, minutes)]));
    assert_eq!(day.adults[0].1, [span((8, 7), (16, 30))]);
}

#[test]
fn who_is_away_has_no_span() {
    let scenario = sound(&[(r#"{ "ada": "09:00-15:00" }"#, r#"{ "ada": "away" }"#)]);
    let day = open(&scenario);
    assert!(day.child_here(ChildIndex(0)).is_empty());
    assert_eq!(day.children.len(), 1);
}

#[test]
fn on_an_indoor_day_nothing_happens_in_the_open_air_and_movement_makes_up_for_it() {
    let swing = r#"{ "id": "swing", "preset": "wheels", "space": "yard" },
    { "id": "tales""#;
    let edits = [(r#"{ "id": "tales""#, swing)];
    let outside = |day: &Day| day.schedule.parts.iter().any(|p| p.kind == PartKind::Outdoors);
    let out = open(&sound(&edits));
    assert!(outside(&out) && !out.indoor.value);
    assert!(out.closed[2].is_empty());

    let indoor = [edits[0], (r#""adults": { "eli": "away" }"#, r#""indoor": true"#)];
    let kept_in = open(&sound(&indoor));
    assert!(!outside(&kept_in) && kept_in.indoor.value);
    assert_eq!(kept_in.closed[2], [Span { from: Minute(0), to: Minute::END_OF_DAY }]);
    let target = kept_in.indoor.movement_target;
    assert!(target > out.indoor.movement_target);
    assert_eq!(target, kept_in.schedule.movement.indoor_day);
}

#[test]
fn what_is_on_offer_is_laid_over_the_station_for_that_day_alone() {
    let offer = r#""adults": { "eli": "away" }, "offers": [{ "station": "paint",
      "activity": "Glass beads", "hazards": ["small-parts"], "allergens": ["Gluten"],
      "from_months": 40 }]"#;
    let scenario = sound(&[(r#""adults": { "eli": "away" }"#, offer)]);
    let day = open(&scenario);
    let paint = day.station(StationIndex(1));
    assert_eq!(paint.hazards, [Hazard::SmallParts]);
    assert_eq!(paint.allergens, ["gluten"]);
    assert_eq!(paint.from_months, 40);
    assert_eq!(day.activities[1].as_deref(), Some("Glass beads"));
    assert!(scenario.site[StationIndex(1)].hazards.is_empty(), "the standing facts are untouched");
}

#[test]
fn closures_and_opening_times_become_closed_spans_in_order() {
    let edits = [
        (
            r#""zone": "mat", "stands_on": "oak""#,
            r#""zone": "mat", "stands_on": "oak", "open": ["09:00-11:00", "13:00-15:00"]"#,
        ),
        (
            r#""adults": { "eli": "away" }"#,
            r#""closed": ["bricks", { "station": "paint", "when": "10:30-13:15" }]"#,
        ),
    ];
    let day = open(&sound(&edits));
    let whole = Span { from: Minute(0), to: Minute::END_OF_DAY };
    assert_eq!(day.closed[0], [whole]);
    let [dawn, noon, dusk] = &day.closed[1][..] else { panic!("{:?}", day.closed[1]) };
    assert_eq!((dawn.from, dawn.to), (Minute(0), Minute::hm(9, 0)));
    assert_eq!(*noon, span((10, 30), (13, 15)));
    assert_eq!((dusk.from, dusk.to), (Minute::hm(15, 0), Minute::END_OF_DAY));
    assert!(day.closed[2].is_empty());
}

#[test]
fn must_dos_are_owed_by_who_is_here_and_may() {
    let offer = |away: &str| {
        format!(
            r#""children": {{ {away} }}, "offers": [{{ "station": "paint", "activity": "Buoys",
            "must_do": "everyone" }}]"#
        )
    };
    let owed = |away: &str| {
        let edits = [(r#""children": { "ada": "09:00-15:00" }"#, offer(away))];
        let edits = edits.map(|(from, to)| (from, to.leak() as &str));
        let not_for =
            (r#""born": "2022-05-01","#, r#""born": "2022-05-01", "not_for": ["tales"],"#);
        open(&sound(&[edits[0], not_for])).must_do
    };
    let (ada, ben, paint) = (ChildIndex(0), ChildIndex(1), StationIndex(1));
    assert_eq!(owed(""), [(ada, paint), (ben, paint)]);
    assert_eq!(owed(r#""ben": "away""#), [(ada, paint)]);
}

#[test]
fn the_record_holds_only_what_was_before() {
    let text = sample(&[(
        r#""visits": ["#,
        r#""visits": [
      { "date": "2026-04-15", "station": "bricks", "all_but": ["ben"] },
      { "date": "2026-04-14", "station": "bricks", "children": ["ben"] },"#,
    )]);
    let scenario = read_for(text.as_bytes(), Some(date(15))).expect("it is sound");
    let seen = |on: u32| {
        let day = scenario.open(SHORE, date(on)).expect("it opens");
        day.record.visits.iter().map(|visit| (visit.date, visit.child.0)).collect::<Vec<_>>()
    };
    assert_eq!(seen(13), []);
    assert_eq!(seen(14), [(date(13), 0)]);
    assert_eq!(seen(16), [(date(13), 0), (date(14), 1), (date(15), 0), (date(15), 2)]);
}

#[test]
fn a_shorter_schedule_for_one_date_shortens_everyones_stay() {
    let edits = [
        (r#""id": "short", "room": "dune", "#, r#""id": "short", "#),
        (r#""home": "loft", "schedule": "short""#, r#""home": "loft", "schedule": "short""#),
        (r#""children": { "ada": "09:00-15:00" }"#, r#""schedule": "short", "children": {}"#),
    ];
    let day = open(&sound(&edits));
    assert_eq!(day.schedule.id, "short");
    assert_eq!(day.child_here(ChildIndex(1)), [span((8, 30), (12, 30))]);
}

#[test]
fn a_date_of_which_nothing_is_said_is_as_its_weekday() {
    let scenario = read_for(SOUND.as_bytes(), Some(date(17))).expect("a Friday");
    let day = scenario.open(SHORE, date(17)).expect("it opens");
    assert_eq!(day.child_here(ChildIndex(0)), [span((8, 30), (16, 0))]);
    assert!(read_for(SOUND.as_bytes(), Some(date(18))).is_ok(), "of several rooms one may be shut");
}

#[test]
fn facts_that_did_not_come_from_a_file_are_checked_as_well() {
    assert_eq!(with(&DayFacts::plain(date(18))).err(), Some(vec![DayFact::Date]));
    let mut facts = DayFacts::plain(date(14));
    facts.schedule = Some("none such".into());
    facts.kept = vec![
        KeptCell {
            who: KeptFor::Group("none such".into()),
            station: StationIndex(0),
            span: span((9, 0), (9, 20)),
        },
        KeptCell {
            who: KeptFor::Child(ChildIndex(0)),
            station: StationIndex(2),
            span: span((9, 0), (9, 20)),
        },
    ];
    facts.children = vec![(ChildIndex(0), vec![span((6, 0), (9, 0))])];
    let wanted = vec![DayFact::Schedule, DayFact::Kept(0), DayFact::Kept(1)];
    assert_eq!(with(&facts).err(), Some(wanted));
    facts.schedule = None;
    facts.kept.clear();
    assert_eq!(with(&facts).err(), Some(vec![DayFact::Child(ChildIndex(0))]));
}
