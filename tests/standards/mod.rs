//! Published figures, and what follows from them.

mod america;
mod breaks;
mod carolina;
mod examples;
mod foods;
mod foods_spelled;
mod format;
mod hazards;
mod indoor;
mod meals;
mod methods;
mod monotone;
mod places;
mod plain;
mod properties;
mod rest;
mod weather;
mod worked;
mod world;

use chrono::{Months, NaiveDate};
use fairturn::site::{Minute, Span, age_in_months};
use fairturn::standards::{Head, Need, Situation, Standard, find};
use std::sync::Arc;

/// A Tuesday in a rainy spring.
pub fn date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 14).expect("a date")
}

/// So many children of an age, awake.
pub fn heads(n: u32, months: u32) -> Vec<Head> {
    let born = date().checked_sub_months(Months::new(months)).expect("a birth date");
    let born = born - chrono::Days::new(3);
    let months = age_in_months(born, date()).expect("born before");
    vec![Head { months, born, asleep: false }; n as usize]
}

/// Children by age: `(how many, months)`.
pub fn mix(ages: &[(u32, u32)]) -> Vec<Head> {
    ages.iter().flat_map(|(n, months)| heads(*n, *months)).collect()
}

/// An ordinary time of the day, with nobody's qualifications.
pub fn plain() -> Situation<'static> {
    let open = Span::new(Minute::hm(7, 30), Minute::hm(17, 30)).expect("a span");
    Situation {
        date: date(),
        adults: &[],
        governing_age: None,
        minute: Minute::hm(10, 0),
        open,
        outdoors: false,
    }
}

/// The need of a standard for children of these ages at an ordinary time.
pub fn need(standard: &Standard, ages: &[(u32, u32)]) -> Need {
    standard.need(&mix(ages), &plain())
}

/// Adults by a built-in standard for children of these ages.
pub fn adults(id: &str, ages: &[(u32, u32)]) -> u32 {
    need(&built_in(id), ages).adults
}

/// A built-in standard.
pub fn built_in(id: &str) -> Arc<Standard> {
    find(id).expect("a built-in standard")
}

/// A standard of a test's own: bands as `(id, below months, ratio)`, the method, other fields.
///
/// `bands`: the ratio as JSON; a third figure after `|` is the class size.
pub fn inline(bands: &[(&str, Option<u32>, &str)], mixed: &str, more: &str) -> Standard {
    let bands: Vec<String> = bands
        .iter()
        .map(|(id, below, figures)| {
            let (ratio, size) = figures.split_once('|').unwrap_or((figures, "null"));
            let ratio = match ratio.parse::<u32>() {
                Ok(each) => format!(r#"{{"per_adult": {each}}}"#),
                Err(_) => ratio.to_owned(),
            };
            let until = below.map_or("null".to_owned(), |m| format!(r#"{{"months": {m}}}"#));
            format!(
                r#"{{"id": "{id}", "label": "{id}", "until": {until}, "ratio": {ratio},
                "class_size": {size}, "source": "s"}}"#
            )
        })
        .collect();
    let text = format!(
        r#"{{"id": "inline", "label": "Inline", "edition": "test", "force": "law",
        "scope": "room", "sources": {{"s": {{"document": "a test", "tag": "derived"}}}},
        "bands": [{}], "mixed": {{{mixed}, "source": "s"}}{more}}}"#,
        bands.join(", ")
    );
    Standard::from_json(&text).unwrap_or_else(|faults| panic!("{faults:?} in {text}"))
}
