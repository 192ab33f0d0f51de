//! Adults' posts as iCalendar (RFC 5545), with the site's time zone written out.
//!
//! A local time that comes twice is its first one there (section 3.3.5), as it is in a chart; an end at
//! the close of what comes twice comes after both.

use crate::day::comes_twice;
use crate::site::{Minute, Span};
use chrono::{Duration, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone};
use chrono_tz::{OffsetComponents, OffsetName, Tz};
use serde_json::Value;

/// The posts of one adult, or of all, of a chart. A zone that is not known is written as UTC.
#[must_use]
pub fn calendar(chart: &Value, zone: &str, adult: Option<&str>) -> String {
    let zone: Tz = zone.parse().unwrap_or(Tz::UTC);
    let date: NaiveDate =
        chart["date"].as_str().and_then(|date| date.parse().ok()).unwrap_or_default();
    let mut out = Lines::default();
    out.line("BEGIN:VCALENDAR");
    out.line("VERSION:2.0");
    out.line(concat!("PRODID:-//fairturn//", env!("CARGO_PKG_VERSION"), "//EN"));
    time_zone(&mut out, zone, date);
    let site = chart["site"].as_str().unwrap_or("");
    let twice = comes_twice(zone, date);
    for person in chart["adults"].as_array().into_iter().flatten() {
        let id = person["id"].as_str().unwrap_or("");
        if adult.is_none_or(|wanted| wanted == id) {
            for post in person["posts"].as_array().into_iter().flatten() {
                event(&mut out, (zone, twice), date, site, id, post);
            }
        }
    }
    out.line("END:VCALENDAR");
    out.0
}

fn event(
    out: &mut Lines,
    (zone, twice): (Tz, Option<Span>),
    date: NaiveDate,
    site: &str,
    id: &str,
    post: &Value,
) {
    let text = |name: &str| post[name].as_str().unwrap_or("");
    let (from, to) = (text("from"), text("to"));
    let kind = post["at"]["kind"].as_str().unwrap_or("");
    let what = match post["at"]["id"].as_str() {
        Some(at) if kind == "station" || kind == "table" || kind == "zone" => at.to_owned(),
        _ => kind.replace('_', " "),
    };
    out.line("BEGIN:VEVENT");
    let uid = format!("{date}-{}-{}@{}", id, from.replace(':', ""), site);
    out.line(&format!("UID:{}", escaped(&uid)));
    // Nothing here is later than the day itself; the same chart gives the same calendar.
    out.line(&format!("DTSTAMP:{}T000000Z", date.format("%Y%m%d")));
    out.line(&format!("DTSTART;TZID={}:{}", zone.name(), local(date, from)));
    out.line(&format!("DTEND;TZID={}:{}", zone.name(), local(date, to)));
    out.line(&format!("SUMMARY:{}", escaped(&format!("{id}: {what}"))));
    out.line(&format!("LOCATION:{}", escaped(text("space"))));
    let span = Minute::parse(from).zip(Minute::parse(to)).and_then(|(a, b)| Span::new(a, b));
    if let Some(twice) = twice.filter(|twice| span.is_some_and(|span| span.meets(*twice))) {
        let told = format!(
            "Clocks go back: {twice} comes twice. Times are those of its first time; what stands at its \
             end goes on until {} has come for good.",
            twice.to
        );
        out.line(&format!("DESCRIPTION:{}", escaped(&told)));
    }
    out.line("CLASS:PRIVATE");
    out.line("END:VEVENT");
}

fn local(date: NaiveDate, clock: &str) -> String {
    let (date, clock) = match clock {
        "24:00" => (date + Duration::days(1), "00:00"),
        _ => (date, clock),
    };
    format!("{}T{}00", date.format("%Y%m%d"), clock.replace(':', ""))
}

/// The zone with every change of its clocks from the year before the date to the year after.
fn time_zone(out: &mut Lines, zone: Tz, date: NaiveDate) {
    out.line("BEGIN:VTIMEZONE");
    out.line(&format!("TZID:{}", zone.name()));
    let first = NaiveDate::from_ymd_opt(chrono::Datelike::year(&date) - 1, 1, 1).unwrap_or(date);
    let start = first.and_time(NaiveTime::MIN);
    let mut before = zone.offset_from_utc_datetime(&start);
    observance(out, &before, before.fix().local_minus_utc(), start);
    // Clocks change on whole quarters of an hour everywhere.
    let mut at = start;
    while at < start + Duration::days(3 * 366) {
        let next = at + Duration::hours(6);
        if zone.offset_from_utc_datetime(&next).fix() != before.fix() {
            let mut when = at;
            while zone.offset_from_utc_datetime(&when).fix() == before.fix() {
                when += Duration::minutes(15);
            }
            let old = before.fix().local_minus_utc();
            before = zone.offset_from_utc_datetime(&when);
            observance(out, &before, old, when + Duration::seconds(old.into()));
        }
        at = next;
    }
    out.line("END:VTIMEZONE");
}

fn observance(out: &mut Lines, now: &<Tz as TimeZone>::Offset, old: i32, onset: NaiveDateTime) {
    let kind = if now.dst_offset().is_zero() { "STANDARD" } else { "DAYLIGHT" };
    out.line(&format!("BEGIN:{kind}"));
    out.line(&format!("DTSTART:{}", onset.format("%Y%m%dT%H%M%S")));
    out.line(&format!("TZOFFSETFROM:{}", offset(old)));
    out.line(&format!("TZOFFSETTO:{}", offset(now.fix().local_minus_utc())));
    if let Some(name) = now.abbreviation() {
        out.line(&format!("TZNAME:{}", escaped(name)));
    }
    out.line(&format!("END:{kind}"));
}

fn offset(seconds: i32) -> String {
    let sign = if seconds < 0 { '-' } else { '+' };
    let minutes = seconds.abs() / 60;
    format!("{sign}{:02}{:02}", minutes / 60, minutes % 60)
}

fn escaped(text: &str) -> String {
    let text = text.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,");
    text.replace(['\n', '\r'], "\\n")
}

/// Content lines, folded at 75 bytes.
#[derive(Default)]
struct Lines(String);

impl Lines {
    fn line(&mut self, text: &str) {
        let mut width = 0;
        for letter in text.chars() {
            if width + letter.len_utf8() > 75 {
                self.0.push_str("\r\n ");
                width = 1;
            }
            self.0.push(letter);
            width += letter.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}
