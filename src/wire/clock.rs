//! Clock times, spans and dates in the text.

use super::decoder::{At, Object};
use super::fault::shorten;
use super::limits::SPANS;
use crate::site::{Minute, Span};
use chrono::NaiveDate;

impl At<'_> {
    /// A clock time `HH:MM` before midnight.
    #[must_use]
    pub fn minute(&self) -> Option<Minute> {
        let minute = self.end_minute()?;
        if minute == Minute::END_OF_DAY {
            self.fault("24:00 can only be an end", "write 00:00, or end what came before at 24:00");
            return None;
        }
        Some(minute)
    }

    /// A clock time `HH:MM`, `24:00` included.
    #[must_use]
    pub fn end_minute(&self) -> Option<Minute> {
        let text = self.text()?;
        let minute = Minute::parse(text);
        if minute.is_none() {
            self.fault(
                format!("`{}` is not a clock time", shorten(text, 40)),
                "write it as HH:MM with four digits, like 09:30",
            );
        }
        minute
    }

    /// A date of this or the last century, `YYYY-MM-DD`.
    #[must_use]
    pub fn date(&self) -> Option<NaiveDate> {
        let text = self.text()?;
        let date = read_date(text);
        if date.is_none() {
            self.fault(
                format!("`{}` is not a date of the calendar", shorten(text, 40)),
                "write it as YYYY-MM-DD, like 2026-04-07",
            );
        }
        date
    }

    /// The date here, if it is one; reports nothing.
    #[must_use]
    pub fn peek_date(&self) -> Option<NaiveDate> {
        let super::tree::Value::Text(text) = self.value() else { return None };
        read_date(text)
    }

    /// A span written as one text, `08:00-15:30`; the end may be `24:00`.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        let text = self.text()?;
        let parts = text
            .split_once('-')
            .and_then(|(from, to)| Some((Minute::parse(from.trim())?, Minute::parse(to.trim())?)));
        let Some((from, to)) = parts else {
            self.fault(
                format!("`{}` is not a stretch of the day", shorten(text, 40)),
                "write it as HH:MM-HH:MM, like 08:00-15:30",
            );
            return None;
        };
        self.ends_after(from, to)
    }

    /// The span of two times, or a fault here if it does not end after it starts.
    #[must_use]
    pub fn ends_after(&self, from: Minute, to: Minute) -> Option<Span> {
        let span = Span::new(from, to);
        if span.is_none() {
            let mend = "let it end after it starts, on the same day";
            self.fault(format!("this starts at {from} and ends at {to}"), mend);
        }
        span
    }

    /// One span, or a list of spans that are in order and apart from one another.
    #[must_use]
    pub fn spans(&self) -> Option<Vec<Span>> {
        if matches!(self.value(), super::tree::Value::Text(_)) {
            return Some(vec![self.span()?]);
        }
        let items = self.list(&SPANS)?;
        let spans: Vec<Option<Span>> = items.iter().map(At::span).collect();
        for (i, pair) in spans.windows(2).enumerate() {
            if let [Some(first), Some(second)] = pair
                && second.from < first.to
            {
                let mend = "put spans in the order of the day, none inside another";
                items[i + 1].fault(format!("this begins before {first} has ended"), mend);
            }
        }
        spans.into_iter().collect()
    }
}

fn read_date(text: &str) -> Option<NaiveDate> {
    let bytes = text.as_bytes();
    let form = bytes.len() == 10
        && bytes.iter().enumerate().all(|(i, b)| match i {
            4 | 7 => *b == b'-',
            _ => b.is_ascii_digit(),
        });
    let date = if form { NaiveDate::parse_from_str(text, "%Y-%m-%d").ok() } else { None };
    date.filter(|_| ("1900".."2200").contains(&&text[..4]))
}

impl Object<'_> {
    /// The span of two fields that hold clock times, as charts have them: `"from"` and `"to"`.
    #[must_use]
    pub fn from_to(&self) -> Option<Span> {
        let from = self.need("from").and_then(|at| at.minute());
        let to = self.need("to").and_then(|at| at.end_minute());
        self.at.ends_after(from?, to?)
    }
}
