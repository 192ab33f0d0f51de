//! Clock minutes, spans of a day and ages in whole months.
//!
//! ```
//! use fairturn::site::time::{age_in_months, Minute, Span};
//! let snack = Span::new(Minute::hm(9, 30), Minute::hm(9, 50)).expect("ends after it starts");
//! assert_eq!(snack.minutes(), 20);
//! assert!(!snack.contains(Minute::hm(9, 50)), "the end is not part of a span");
//! let born = chrono::NaiveDate::from_ymd_opt(2023, 3, 15).expect("a date");
//! let eve = chrono::NaiveDate::from_ymd_opt(2026, 3, 14).expect("a date");
//! assert_eq!(age_in_months(born, eve), Some(35));
//! ```

use chrono::{Datelike, NaiveDate};
use std::fmt;

/// A minute of the site's local day, 0 (midnight) to 1440 (24:00, which is only ever an end).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Minute(pub u16);

impl Minute {
    /// The last end of a day, `24:00`.
    pub const END_OF_DAY: Minute = Minute(1440);

    /// `hm(9, 30)` is 09:30. Meant for constants: hours past 24 are not checked.
    #[must_use]
    pub const fn hm(hour: u16, minute: u16) -> Minute {
        Minute(hour * 60 + minute)
    }

    /// Reads `HH:MM`; `24:00` is accepted, `9:30` and `09:60` are not.
    #[must_use]
    pub fn parse(text: &str) -> Option<Minute> {
        let bytes = text.as_bytes();
        let digits = [0, 1, 3, 4].iter().all(|&i| bytes.get(i).is_some_and(u8::is_ascii_digit));
        if bytes.len() != 5 || bytes[2] != b':' || !digits {
            return None;
        }
        let value = |i: usize| u16::from(bytes[i] - b'0') * 10 + u16::from(bytes[i + 1] - b'0');
        let (hour, minute) = (value(0), value(3));
        let total = hour * 60 + minute;
        (minute < 60 && total <= 1440).then_some(Minute(total))
    }

    /// This minute moved later by `minutes`, never past the end of the day.
    #[must_use]
    pub fn later(self, minutes: u16) -> Minute {
        Minute((self.0 + minutes).min(1440))
    }

    /// This minute moved earlier by `minutes`, never before midnight.
    #[must_use]
    pub fn earlier(self, minutes: u16) -> Minute {
        Minute(self.0.saturating_sub(minutes))
    }
}

impl fmt::Display for Minute {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// A half-open stretch of one day, `[from, to)`; never empty.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Span {
    /// First minute inside.
    pub from: Minute,
    /// First minute after.
    pub to: Minute,
}

impl Span {
    /// `None` when `to` is not after `from`.
    #[must_use]
    pub fn new(from: Minute, to: Minute) -> Option<Span> {
        (from < to).then_some(Span { from, to })
    }

    /// Length in minutes.
    #[must_use]
    pub fn minutes(self) -> u16 {
        self.to.0 - self.from.0
    }

    /// Whether the minute that starts at `at` lies inside.
    #[must_use]
    pub fn contains(self, at: Minute) -> bool {
        self.from <= at && at < self.to
    }

    /// Whether the whole of `other` lies inside.
    #[must_use]
    pub fn holds(self, other: Span) -> bool {
        self.from <= other.from && other.to <= self.to
    }

    /// The common part, if any.
    #[must_use]
    pub fn meet(self, other: Span) -> Option<Span> {
        Span::new(self.from.max(other.from), self.to.min(other.to))
    }

    /// Whether the two share a minute.
    #[must_use]
    pub fn meets(self, other: Span) -> bool {
        self.meet(other).is_some()
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", self.from, self.to)
    }
}

/// Whole completed months of age on `on`; `None` before birth.
///
/// A month is complete on the same day of a later month; who is born on a day that the later
/// month lacks completes it on the day after that month's last.
#[must_use]
pub fn age_in_months(born: NaiveDate, on: NaiveDate) -> Option<u32> {
    let months = (on.year() - born.year()) * 12 + on.month() as i32
        - born.month() as i32
        - i32::from(on.day() < born.day());
    if on < born { None } else { u32::try_from(months).ok() }
}

/// The slices of a set of spans: every edge once, in order, as consecutive spans.
///
/// Nothing that starts or ends at one of `edges` changes inside a slice.
#[must_use]
pub fn slices(edges: impl IntoIterator<Item = Minute>) -> Vec<Span> {
    let mut edges: Vec<Minute> = edges.into_iter().collect();
    edges.sort_unstable();
    edges.dedup();
    edges.windows(2).map(|pair| Span { from: pair[0], to: pair[1] }).collect()
}

/// Spans in order of time, those that touch or overlap as one.
#[must_use]
pub fn merged(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_unstable();
    let mut merged: Vec<Span> = Vec::new();
    for span in spans {
        match merged.last_mut() {
            Some(last) if span.from <= last.to => last.to = last.to.max(span.to),
            _ => merged.push(span),
        }
    }
    merged
}
