//! Published figures, and what follows from them.

mod examples;

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
