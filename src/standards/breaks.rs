//! Staff breaks that are due by law, worked out from a shift.
//!
//! ```
//! use fairturn::site::{Minute, Span};
//! use fairturn::standards::breaks::{due, find};
//! let shift = Span::new(Minute::hm(8, 0), Minute::hm(16, 0)).expect("a shift");
//! let breaks = due(find("washington").expect("a built-in rule"), shift);
//! assert_eq!(breaks.iter().map(|b| b.due.minutes).collect::<Vec<_>>(), [10, 30, 10]);
//! ```

use super::{Source, Standard};
use crate::site::{BreakDue, Minute, Span};
use serde::Deserialize;
use std::sync::{Arc, LazyLock};

/// Id of the rule that holds where no binding standard names one.
pub const DEFAULT: &str = "common-practice";

/// One body of law (or custom) about staff breaks; minutes throughout.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BreakRule {
    /// Stable id.
    pub id: String,
    /// Name as people know it.
    pub label: String,
    /// Long breaks, unpaid; the adult may leave.
    pub meals: Vec<MealBreak>,
    /// Short breaks, paid; the adult stays on the premises.
    #[serde(default)]
    pub rests: Option<RestBreak>,
}

/// A long break.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MealBreak {
    /// Due in a shift of more than so many minutes.
    pub over: u16,
    /// Its length.
    pub minutes: u16,
    /// It starts no earlier than so many minutes into the shift.
    pub earliest: u16,
    /// It starts before so many minutes into the shift are over.
    #[serde(default)]
    pub begin_before: Option<u16>,
    /// It ends so many minutes before the shift does, or earlier.
    pub before_end: u16,
    /// At most so many minutes of the shift follow it, where it may still start so late.
    #[serde(default)]
    pub longest_after: Option<u16>,
    /// May be waived by consent in a shift of at most so many minutes.
    #[serde(default)]
    pub waivable_up_to: Option<u16>,
    /// Where that comes from.
    pub source: Source,
}

/// Short breaks.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RestBreak {
    /// One for each so many minutes of the shift.
    pub every: u16,
    /// The length of one.
    pub minutes: u16,
    /// More than half of `every` at the end brings one more.
    #[serde(default)]
    pub major_fraction: bool,
    /// None in a shift shorter than this.
    pub none_under: u16,
    /// Never longer than this without one.
    #[serde(default)]
    pub longest_without: Option<u16>,
    /// Where that comes from.
    pub source: Source,
}

/// A break that is due in a shift.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Due {
    /// Length and window.
    pub due: BreakDue,
    /// It may be waived by consent.
    pub waivable: bool,
    /// Where that comes from.
    pub source: &'static Source,
}

static RULES: LazyLock<Vec<BreakRule>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("data/breaks.json")).expect("built-in break rules read")
});

/// Every built-in rule.
#[must_use]
pub fn library() -> &'static [BreakRule] {
    &RULES
}

/// The built-in rule of an id.
#[must_use]
pub fn find(id: &str) -> Option<&'static BreakRule> {
    library().iter().find(|rule| rule.id == id)
}

/// The rule of the first binding standard that names one, else [`DEFAULT`].
#[must_use]
pub fn rule_for(standards: &[Arc<Standard>]) -> &'static BreakRule {
    let named = standards.iter().find_map(|s| s.breaks.as_deref()).and_then(find);
    named.or_else(|| find(DEFAULT)).expect("the default is built in")
}

/// The breaks due in one shift, in the order of the day. A window never reaches past the shift.
#[must_use]
pub fn due(rule: &'static BreakRule, shift: Span) -> Vec<Due> {
    let long = shift.minutes();
    let mut breaks: Vec<Due> = Vec::new();
    for meal in rule.meals.iter().filter(|m| long > m.over) {
        let last = long.saturating_sub(meal.before_end);
        let to = meal.begin_before.map_or(last, |m| last.min(m - 1 + meal.minutes));
        let after = meal.longest_after.map_or(0, |m| long.saturating_sub(m + meal.minutes));
        let reachable = after + meal.minutes <= to;
        let from = meal.earliest.max(if reachable { after } else { 0 });
        let Some(window) = window(shift, from, to, meal.minutes) else { continue };
        let due = BreakDue { minutes: meal.minutes, window, paid: false, may_leave: true };
        let waivable = meal.waivable_up_to.is_some_and(|most| long <= most);
        breaks.push(Due { due, waivable, source: &meal.source });
    }
    if let Some(rest) = &rule.rests {
        for window in rest_windows(rest, shift) {
            let due = BreakDue { minutes: rest.minutes, window, paid: true, may_leave: false };
            breaks.push(Due { due, waivable: false, source: &rest.source });
        }
    }
    breaks.sort_by_key(|b| (b.due.window.from.0 + b.due.window.to.0, b.due.minutes));
    breaks
}

/// A window given in minutes into a shift, as a span; `None` when the break does not fit.
fn window(shift: Span, from: u16, to: u16, minutes: u16) -> Option<Span> {
    let at = |m: u16| Minute((shift.from.0 + m).min(shift.to.0));
    Span::new(at(from), at(to)).filter(|span| span.minutes() >= minutes)
}

/// Short breaks spread evenly. Where no stretch may be long, each window is so narrow that any
/// choice within the windows keeps that.
fn rest_windows(rest: &RestBreak, shift: Span) -> Vec<Span> {
    let long = shift.minutes();
    if long < rest.none_under {
        return Vec::new();
    }
    let major = rest.major_fraction && long % rest.every > rest.every / 2;
    let count = long / rest.every + u16::from(major);
    let Some(most) = rest.longest_without else {
        let part = |k: u16| (u32::from(long) * u32::from(k) / u32::from(count.max(1))) as u16;
        let windows = (0..count).map(|k| window(shift, part(k), part(k + 1), rest.minutes));
        return windows.flatten().collect();
    };
    if count <= 1 && long <= 2 * most {
        let from = long.saturating_sub(most + rest.minutes);
        let to = (most + rest.minutes).min(long);
        return window(shift, from, to, rest.minutes).into_iter().collect();
    }
    // The length of a stretch between two rests, when they are spread evenly.
    let stretch = |n: u16| (long - n * rest.minutes) / (n + 1);
    let mut n = count.max(1);
    while stretch(n) + 10 > most && n < 24 {
        n += 1;
    }
    let (even, give) = (stretch(n), most.saturating_sub(stretch(n)) / 2);
    let start = |k: u16| (k + 1) * even + k * rest.minutes;
    let windows = (0..n).map(|k| {
        window(shift, start(k).saturating_sub(give), start(k) + give + rest.minutes, rest.minutes)
    });
    windows.flatten().collect()
}
