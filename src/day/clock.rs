//! The two nights of a year on which the clocks of a site change.
//!
//! In spring an hour is left out: nobody can be here in it. In autumn one comes twice, and a plan in local
//! time cannot say which of the two is meant: it has the first one, and what stands at its end stays so
//! until it has come again. Whoever is here then must have nothing that is counted in minutes in it.

use super::open::Faults;
use super::{Day, DayFact};
use crate::site::{Adult, Child, Minute, Sleep, Span};
use chrono::{LocalResult, NaiveDate, NaiveDateTime, Offset, TimeZone};
use chrono_tz::Tz;

/// What the clocks do on a date.
#[derive(Clone, Copy, Debug)]
pub(super) struct Change {
    /// Local time that there is not.
    gap: Option<Span>,
    /// Local time that there is twice.
    twice: Option<Span>,
}

/// The stretch of local time that comes twice on a date, where clocks go back.
#[must_use]
pub fn comes_twice(zone: Tz, date: NaiveDate) -> Option<Span> {
    stretch(zone, date, |result| matches!(result, LocalResult::Ambiguous(..)))
}

/// Whether clocks change about a date; on nearly all they do not, and no minute has to be looked at. No
/// local date begins before the day before it by universal time, nor ends after the day after it.
fn may_change(zone: Tz, date: NaiveDate) -> bool {
    let before = date.pred_opt().and_then(|date| date.and_hms_opt(0, 0, 0));
    let after = date.succ_opt().and_then(|date| date.and_hms_opt(23, 59, 59));
    let offset = |at: NaiveDateTime| zone.offset_from_utc_datetime(&at).fix();
    before.zip(after).is_none_or(|(before, after)| offset(before) != offset(after))
}

/// The first stretch of a date in which every minute of local time is such.
fn stretch(
    zone: Tz,
    date: NaiveDate,
    is_such: fn(&LocalResult<chrono::DateTime<Tz>>) -> bool,
) -> Option<Span> {
    let such = |minute: u16| {
        let (hour, minute) = (u32::from(minute / 60), u32::from(minute % 60));
        let local = date.and_hms_opt(hour, minute, 0);
        local.is_some_and(|local| is_such(&zone.from_local_datetime(&local)))
    };
    if !may_change(zone, date) {
        return None;
    }
    let first = (0..1440).find(|minute| such(*minute))?;
    let last = (first..1440).find(|minute| !such(*minute)).unwrap_or(1440);
    Span::new(Minute(first), Minute(last))
}

impl Day {
    /// The stretch of local time that comes twice on this date, where clocks go back.
    #[must_use]
    pub fn comes_twice(&self) -> Option<Span> {
        comes_twice(self.site.time_zone, self.date)
    }

    /// Minutes that pass in a span: what comes twice counts twice.
    #[must_use]
    pub fn minutes_in(&self, span: Span) -> u32 {
        let again = self.comes_twice().and_then(|twice| twice.meet(span));
        u32::from(span.minutes()) + again.map_or(0, |again| u32::from(again.minutes()))
    }
}

impl Change {
    /// What the clocks of a zone do on a date.
    pub fn of(zone: Tz, date: NaiveDate) -> Change {
        let gap = stretch(zone, date, |result| matches!(result, LocalResult::None));
        Change { gap, twice: comes_twice(zone, date) }
    }

    /// Times of somebody that are not there, or of which nobody can say which of two they are.
    pub fn of_times(self, label: &str, about: DayFact, spans: &[Span], faults: &mut Faults) {
        if let Some(gap) = self.gap
            && spans.iter().any(|span| span.meets(gap))
        {
            let cause = format!("clocks go forward: there is no time from {gap} for {label}");
            faults.add(about, cause, "give other times for this date");
        }
        if let Some((twice, at)) = self.twice.and_then(|t| Some((t, edge_inside(spans, t)?))) {
            let cause = format!("clocks go back: {at} comes twice, {} for {label}", between(twice));
            faults.add(about, cause, &before_or_after(twice));
        }
    }

    /// A child who is here in the time that comes twice and not asleep by an own clock all through it: its
    /// sleep in the rest, its meals and changes and its sitting still are counted in minutes.
    pub fn of_child(self, child: &Child, about: DayFact, here: &[Span], faults: &mut Faults) {
        let Some((twice, stays)) = self.here_twice(here) else { return };
        let sleeps: &[Span] = if let Sleep::At(own) = &child.sleep { own } else { &[] };
        if sleeps.iter().any(|sleep| sleep.holds(stays)) {
            return;
        }
        let cause = format!(
            "clocks go back, and {}: {} is here and not asleep all through it, so that meals, changes, \
             rest and sitting still cannot be counted over it",
            comes_again(twice),
            child.label
        );
        let mend = format!(
            "give times for this date up to {} and from {} on, and plan what lies between by hand; or a \
             `sleep` by an own clock all through it",
            twice.from, twice.to
        );
        faults.add(about, cause, &mend);
    }

    /// Staff breaks that may lie in the time that comes twice, of an adult who is here in it.
    pub fn of_adult(self, adult: &Adult, about: DayFact, here: &[Span], faults: &mut Faults) {
        let Some((twice, _)) = self.here_twice(here) else { return };
        for due in adult.breaks.iter().filter(|due| due.window.meets(twice)) {
            let cause = format!(
                "clocks go back, and {}: a staff break of {} from {} may lie in it",
                comes_again(twice),
                adult.label,
                due.window
            );
            faults.add(about, cause, &before_or_after(twice));
        }
    }

    /// The time that comes twice, and what of it somebody is here.
    fn here_twice(self, here: &[Span]) -> Option<(Span, Span)> {
        let twice = self.twice?;
        let stays = here.iter().find_map(|span| span.meet(twice))?;
        Some((twice, stays))
    }
}

/// The first beginning or end of a span that lies inside another one.
fn edge_inside(spans: &[Span], inside: Span) -> Option<Minute> {
    let edges = spans.iter().flat_map(|span| [span.from, span.to]);
    edges.into_iter().find(|at| inside.from < *at && *at < inside.to)
}

fn between(twice: Span) -> String {
    format!("between {} and {}", twice.from, twice.to)
}

fn comes_again(twice: Span) -> String {
    format!("{twice} comes twice")
}

fn before_or_after(twice: Span) -> String {
    format!("give a time up to {} or from {} on", twice.from, twice.to)
}
