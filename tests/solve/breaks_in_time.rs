//! Staff breaks in the middle and in time: the rows of both aims against what the audits measure, over
//! every time of two staff breaks.

use super::tiny::{Tiny, assignments};
use crate::audits::build::{Build, span};
use fairturn::rules::{self, AIMS, RULES};
use fairturn::site::BreakDue;
use std::collections::BTreeSet;

/// One adult who works for seven hours and a half beside another, with two staff breaks due at any time.
fn long_day() -> Build {
    let mut build = Build::new();
    build.schedule.open = span("09:00-09:15");
    build.child("Ola", 50, "09:00-09:15");
    build.adult("Ann", "09:00-09:15");
    let ben = build.adult("Ben", "08:00-15:30");
    let due =
        |minutes| BreakDue { minutes, window: span("08:00-15:30"), paid: true, may_leave: false };
    build.site.adults[ben.0].breaks = vec![due(10), due(30)];
    build
}

#[test]
fn every_time_of_two_staff_breaks_is_measured_as_the_rows_have_it() {
    let day = long_day().day();
    let tiny = Tiny::new(&day);
    let at = |slug: &str| AIMS.iter().position(|a| a.slug == slug).expect("an aim");
    for slug in ["long-work", "middle-breaks"] {
        let mut seen = BTreeSet::new();
        for (taken, levels) in assignments(&tiny.model) {
            let starts = tiny.frame.breaks.iter().zip(&taken);
            let spans: Vec<(u16, u16)> = starts
                .filter_map(|(b, &t)| b.starts.get(t).map(|s| (s.0, s.0 + b.minutes)))
                .collect();
            if let [(a, b), (c, d)] = spans[..]
                && a < d
                && c < b
            {
                // An adult has one staff break at a time: that is a rule's.
                continue;
            }
            let measured = rules::measure(&day, &tiny.chart(&taken).0)[at(slug)];
            assert_eq!(levels[RULES.len() + at(slug)], measured, "{slug}: {spans:?}");
            seen.insert(measured);
        }
        assert!(seen.contains(&0) && seen.len() > 2, "{slug}: {seen:?}");
    }
}
