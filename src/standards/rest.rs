//! What a standard asks while children sleep, and the times at which fewer adults may do.

use super::{Head, Ratio};
use crate::site::{Minute, Span};
use serde::Deserialize;

/// What changes while children sleep.
///
/// Awake children always count in full. Beside a child too young for the rule, asleep or awake, it does
/// not hold for anybody: the texts keep the full ratio for such a child, and that ratio is a group's.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RestRule {
    /// Nothing changes for anybody while a child younger than this, in months, is there.
    pub from_months: u32,
    /// What holds for the others.
    pub kind: RestKind,
    /// It does not hold out of doors.
    #[serde(default)]
    pub indoors_only: bool,
    /// The adults whom the full ratio asks for stay in the building, to be called.
    #[serde(default)]
    pub others_in_building: bool,
    /// No class size holds in a space in which every child sleeps.
    #[serde(default)]
    pub class_size_waived: bool,
    /// Key of its source.
    pub source: String,
}

impl RestRule {
    /// Whether one of these children is too young for it, which keeps it from all of them.
    pub(super) fn is_kept_from(&self, children: &[&Head]) -> bool {
        children.iter().any(|head| head.months < self.from_months)
    }
}

/// Kinds of rest rules.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum RestKind {
    /// One adult in the room with all sleepers.
    OneAdult,
    /// So many adults to so many sleepers, whatever their band.
    Sleepers(Ratio),
    /// The ratio of sleepers by band; a band that is not named keeps its own.
    ByBand(Vec<SleeperRatio>),
    /// At least this part of the adults that the full ratio asks for.
    PartOfAdults {
        /// Over.
        over: u32,
        /// Under.
        under: u32,
    },
}

/// The ratio of sleepers of one band.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SleeperRatio {
    /// Id of the band.
    pub band: String,
    /// Its ratio.
    pub ratio: Ratio,
}

/// An absence that is excused when it happens; never planned with.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BriefAbsence {
    /// Most minutes.
    pub minutes: u16,
    /// Most adults away at a time.
    pub adults: u32,
    /// Key of its source.
    pub source: String,
}

/// A time of day at which fewer adults may do. It depends on what else the day used of it, so a
/// plan never leans on it; [`ReducedStaff::faults`] judges what happened.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReducedStaff {
    /// What people call it.
    pub label: String,
    /// At least this part of the adults stays: over and under.
    pub part: (u32, u32),
    /// Open at least so many minutes that day.
    #[serde(default)]
    pub open_at_least: u16,
    /// Most minutes a day.
    #[serde(default)]
    pub daily_most: Option<u16>,
    /// Minutes after opening and before closing, if it is tied to them.
    #[serde(default)]
    pub after_opening: Option<u16>,
    /// Minutes before closing.
    #[serde(default)]
    pub before_closing: Option<u16>,
    /// Clock times in which it may fall, each with the most minutes in a row; empty: any.
    #[serde(default)]
    pub windows: Vec<ReducedWindow>,
    /// Not while a child younger than this, in months, is there.
    #[serde(default)]
    pub from_months: u32,
    /// Key of its source.
    pub source: String,
}

/// A clock window, `HH:MM` to `HH:MM`.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReducedWindow {
    /// From.
    pub from: String,
    /// To.
    pub to: String,
    /// Most minutes in a row.
    pub longest: u16,
}

impl ReducedWindow {
    /// The window as a span; `None` if its times cannot be read.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        Span::new(Minute::parse(&self.from)?, Minute::parse(&self.to)?)
    }
}

impl ReducedStaff {
    /// What is wrong with having had fewer adults in these spans of a day, in words; empty when
    /// all of it is allowed. Spans in order; touching ones count as one.
    #[must_use]
    pub fn faults(&self, used: &[Span], open: Span) -> Vec<String> {
        let mut faults = Vec::new();
        if used.is_empty() {
            return faults;
        }
        if open.minutes() < self.open_at_least {
            faults.push(format!("only for days of {} minutes and more", self.open_at_least));
        }
        let mut stretches: Vec<Span> = Vec::new();
        for span in used {
            match stretches.last_mut() {
                Some(last) if last.to >= span.from => last.to = last.to.max(span.to),
                _ => stretches.push(*span),
            }
        }
        let total: u32 = stretches.iter().map(|s| u32::from(s.minutes())).sum();
        if self.daily_most.is_some_and(|most| total > u32::from(most)) {
            faults.push(format!("{total} minutes that day are too many"));
        }
        for stretch in stretches {
            faults.extend(self.stretch_fault(stretch, open));
        }
        faults
    }

    fn stretch_fault(&self, stretch: Span, open: Span) -> Option<String> {
        let near = |minutes: Option<u16>, at: fn(Span, u16) -> Option<Span>| {
            minutes.and_then(|m| at(open, m)).is_some_and(|span| span.holds(stretch))
        };
        let early = near(self.after_opening, |o, m| Span::new(o.from, o.from.later(m)));
        let late = near(self.before_closing, |o, m| Span::new(o.to.earlier(m), o.to));
        if early || late {
            return None;
        }
        let tied = self.after_opening.is_some() || self.before_closing.is_some();
        let window =
            |w: &ReducedWindow| w.span().filter(|span| span.holds(stretch)).map(|_| w.longest);
        match self.windows.iter().find_map(window) {
            Some(longest) if stretch.minutes() > longest => {
                Some(format!("{stretch}: {} minutes in a row are too many", stretch.minutes()))
            }
            Some(_) => None,
            None if self.windows.is_empty() && !tied => None,
            None => Some(format!("{stretch}: not at that time")),
        }
    }
}
