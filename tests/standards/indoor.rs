//! An indoor day: from a word or the weather, and the moving minutes stay.

use fairturn::day::OutdoorsWord;
use fairturn::day::indoor::{IndoorDay, decide};
use fairturn::site::*;
use fairturn::standards::weather::{Temperature, Weather, Wind};

/// A schedule with outdoor parts of so many minutes, three hours apart.
fn schedule(outdoors: &[u16], movement: (u32, u32, u16)) -> Schedule {
    let part = |(i, minutes): (usize, &u16)| {
        let from = Minute::hm(10 + 3 * i as u16, 0);
        let span = Span::new(from, from.later(*minutes)).expect("a span");
        Part { kind: PartKind::Outdoors, span, space: SpaceIndex(1) }
    };
    Schedule {
        id: "day".into(),
        open: Span::new(Minute::hm(8, 0), Minute::hm(17, 0)).expect("a span"),
        parts: outdoors.iter().enumerate().map(part).collect(),
        stretches: Vec::new(),
        meals: Vec::new(),
        rest: None,
        care_rounds: Vec::new(),
        tasks: Vec::new(),
        movement: Movement {
            outdoor_day: movement.0,
            indoor_day: movement.1,
            minutes: movement.2,
            longest_still: 40,
            space: SpaceIndex(0),
        },
        turn_minutes: Vec::new(),
        whole_group_minutes: Vec::new(),
        transition_minutes: 5,
        dressing: Dressing::default(),
    }
}

fn rain() -> OutdoorsWord {
    OutdoorsWord::Teacher { indoor: true }
}

#[test]
fn the_teachers_word_stands() {
    let plain = schedule(&[45], (2, 4, 10));
    let out = decide(&OutdoorsWord::Teacher { indoor: false }, &plain);
    assert_eq!((out.value, out.shorten, out.movement_target), (false, false, 2));
    assert_eq!(out.lay_over(&plain), plain, "nothing changes");
    let inside = decide(&rain(), &plain);
    assert!(inside.value && inside.why.contains("You said so"));
    assert!(inside.lay_over(&plain).parts.is_empty(), "the outdoor part is gone");
}

/// Outdoor minutes come back as breaks, up to six, then as longer ones.
#[test]
fn the_days_moving_minutes_stay() {
    let target = |outdoors: &[u16], movement| {
        let today =
            decide(&rain(), &schedule(outdoors, movement)).lay_over(&schedule(outdoors, movement));
        (today.movement.indoor_day, today.movement.minutes)
    };
    assert_eq!(target(&[30], (1, 2, 10)), (3, 10), "30 minutes are three breaks");
    assert_eq!(target(&[30], (3, 2, 10)), (5, 10), "and the two that were indoors anyhow");
    assert_eq!(target(&[45, 45], (2, 4, 10)), (6, 15), "90 minutes: six of 15");
    assert_eq!(target(&[90, 90], (2, 4, 10)), (6, 20), "never longer than 20");
    assert_eq!(target(&[20], (2, 5, 10)), (5, 10), "the site's own number is the least");
    assert_eq!(target(&[], (2, 4, 10)), (4, 10), "no outdoor part");
    assert_eq!(target(&[90], (2, 9, 10)), (9, 15), "a site that wants nine keeps nine");
    for lost in (5..=120).step_by(5) {
        let (breaks, minutes) = target(&[lost], (1, 3, 10));
        assert!(breaks * u32::from(minutes) >= u32::from(lost), "{lost}");
    }
}

#[test]
fn the_target_of_the_answer_is_that_of_the_schedule() {
    let plain = schedule(&[45, 30], (2, 4, 10));
    let day = decide(&rain(), &plain);
    assert_eq!(day.movement_target, day.lay_over(&plain).movement.indoor_day);
}

#[test]
fn the_weather_decides_by_a_published_limit() {
    let plain = schedule(&[45], (2, 4, 10));
    let heat = Weather {
        temperature: Some(Temperature::Celsius(33.0)),
        humidity: Some(60.0),
        ..Weather::default()
    };
    let day = decide(&OutdoorsWord::Weather(heat), &plain);
    assert!(day.value && !day.shorten);
    assert!(day.why.starts_with("Heat index 10"), "{}", day.why);
    assert!(day.why.contains("at or above 90 F: the children stay in"), "{}", day.why);
    assert!(day.formula.as_deref().is_some_and(|f| f.contains("full form")));
    assert!(day.threshold.as_deref().is_some_and(|t| t.contains("3.1.3.2")));
    assert!(day.inputs.iter().any(|i| i.name == "heat index" && i.unit == "F"));
}

/// A shortened day keeps twenty minutes of each outdoor part.
#[test]
fn a_cold_day_is_shortened() {
    let plain = schedule(&[45, 15], (2, 4, 10));
    let chilly = Weather {
        temperature: Some(Temperature::Celsius(-4.0)),
        wind: Some(Wind::KilometresPerHour(25.0)),
        ..Weather::default()
    };
    let day = decide(&OutdoorsWord::Weather(chilly), &plain);
    assert!(day.shorten && !day.value, "{}", day.why);
    let today = day.lay_over(&plain);
    let minutes: Vec<u16> = today.parts.iter().map(|p| p.span.minutes()).collect();
    assert_eq!(minutes, [20, 15]);
    assert_eq!((today.movement.outdoor_day, day.movement_target), (5, 5), "25 minutes are three");
    let indoors = decide(&rain(), &plain).lay_over(&plain).movement.indoor_day;
    assert!(today.movement.outdoor_day <= indoors, "never more than a whole day indoors asks for");
    let mut short = plain;
    short.open = Span { from: short.open.from, to: short.open.from.later(5 * 60) };
    let indoors = decide(&rain(), &short).lay_over(&short).movement.indoor_day;
    let today = day.lay_over(&short).movement;
    assert!(today.outdoor_day <= indoors, "{} and {indoors}", today.outdoor_day);
}

#[test]
fn mild_or_unknown_weather_keeps_nobody_in() {
    let plain = schedule(&[45], (2, 4, 10));
    let mild = Weather { temperature: Some(Temperature::Celsius(9.0)), ..Weather::default() };
    let day = decide(&OutdoorsWord::Weather(mild), &plain);
    assert!(!day.value && !day.shorten && day.threshold.is_none(), "{}", day.why);
    let unknown = decide(&OutdoorsWord::Weather(Weather::default()), &plain);
    assert_eq!(unknown.why, "Nothing was said about the weather: the children go out.");
    let thunder = Weather { lightning: true, ..Weather::default() };
    let day = decide(&OutdoorsWord::Weather(thunder), &plain);
    assert!(day.value && day.why.starts_with("There is lightning"), "{}", day.why);
    assert_eq!(IndoorDay::default().lay_over(&plain), plain);
}

/// What is put on goes by age and by the weather: boots and rain trousers on a cold or a wet day.
#[test]
fn dressing_goes_by_the_weather_and_by_age() {
    let plain = schedule(&[45], (2, 4, 10));
    let minutes = |celsius: Option<f64>, wet: bool| {
        let temperature = celsius.map(Temperature::Celsius);
        let weather = Weather { temperature, wet, ..Weather::default() };
        let today = decide(&OutdoorsWord::Weather(weather), &plain).lay_over(&plain);
        [20, 40, 62].map(|months| age_banded(&today.dressing.minutes, months))
    };
    assert_eq!(minutes(None, false), [8, 5, 4], "nothing is known of the weather");
    assert_eq!(minutes(Some(10.0), false), [8, 5, 4], "not below ten degrees");
    assert_eq!(minutes(Some(9.9), false), [13, 10, 9], "cold");
    assert_eq!(minutes(Some(25.0), true), [13, 10, 9], "wet, however warm");
    assert_eq!(minutes(Some(20.0), false), [3, 0, 0], "warm, and never less than no time");
}
