//! Staff breaks where none are written down.

use super::adult::shifts_on;
use super::reader::Reader;
use crate::site::{BreakDue, Minute, Span, Weekly};

/// The staff breaks of the shift on the date of the reading: half an hour, unpaid, in the middle of
/// a shift of six hours or more (common practice).
pub(super) fn by_rule(
    reader: &Reader<'_>,
    shifts: &Weekly<Vec<Span>>,
    assumed: &mut Vec<String>,
) -> Vec<BreakDue> {
    let (today, _) = shifts_on(reader, shifts);
    let mut due = Vec::new();
    for shift in today.iter().filter(|shift| shift.minutes() >= 360) {
        let middle = (shift.from.0 + shift.to.0) / 2 / 5 * 5;
        let window = Span { from: Minute(middle - 75), to: Minute(middle + 75) };
        assumed.push(format!("a staff break of 30 minutes within {window}"));
        due.push(BreakDue { minutes: 30, window, paid: false, may_leave: true });
    }
    due
}
