//! Staff breaks where none are written down: those that a law or custom gives a shift.

use super::reader::Reader;
use crate::site::{BreakDue, Span, Weekly};
use crate::standards::breaks::{BreakRule, due};
use crate::wire::{At, tree::Value};
use chrono::Datelike;

/// The staff breaks due in the adult's shifts on the date of the reading: those that are said for
/// the date, else those of its weekday. What may be waived by consent is due all the same.
pub(super) fn by_rule(
    reader: &Reader<'_>,
    rule: &'static BreakRule,
    id: &str,
    shifts: &Weekly<Vec<Span>>,
    assumed: &mut Vec<String>,
) -> Vec<BreakDue> {
    let weekday = reader.on.weekday().num_days_from_monday() as usize;
    let today = said(reader, id).unwrap_or_else(|| shifts[weekday].clone());
    let breaks: Vec<BreakDue> =
        today.iter().flat_map(|shift| due(rule, *shift)).map(|found| found.due).collect();
    let each = |b: &BreakDue| format!("{} minutes within {}", b.minutes, b.window);
    let listed: Vec<String> = breaks.iter().map(each).collect();
    if listed.is_empty() {
        assumed.push(format!("no staff break ({})", rule.label));
    } else {
        assumed.push(format!("staff breaks of {} ({})", listed.join(", "), rule.label));
    }
    breaks
}

/// The shifts that are said for the date of the reading.
fn said(reader: &Reader<'_>, id: &str) -> Option<Vec<Span>> {
    let days = reader.root.get("days")?.items();
    let on = |day: &&At<'_>| day.peek("date").and_then(|at| at.peek_date()) == Some(reader.on);
    let at = days.iter().find(on)?.peek("adults")?.peek(id)?;
    let away = matches!(at.value(), Value::Text(word) if word == "away");
    if away { Some(Vec::new()) } else { at.spans() }
}
