//! A chart that may be a repaired one: the day that it is for, and the chart.

use super::told::happening;
use crate::chart::Chart;
use crate::day::{Day, Happening};
use crate::planner::chart_digest;
use crate::site::Minute;
use crate::wire::chart::{CHART_FIELDS, chart_of};
use crate::wire::limits::HAPPENED_BEFORE;
use crate::wire::{At, Fault, decode};

/// Reads a chart of this day, with what had happened when it was drawn (`day.happened`): the day
/// after all that, and the chart.
///
/// # Errors
/// Every fault of the file, in its order.
pub fn read_posted(bytes: &[u8], day: &Day) -> Result<Posted, Vec<Fault>> {
    decode(bytes, |root| {
        let day = after(root, day)?;
        let chart = chart_of(root, &day)?;
        let made = root.peek("made").and_then(|made| made.peek("chart_digest"));
        let edited = made.and_then(|at| at.text()).is_some_and(|d| d != chart_digest(&chart));
        Some(Posted { day, chart, edited })
    })
}

/// A chart on the wall.
#[derive(Clone, Debug)]
pub struct Posted {
    /// The day that it is for, after what had happened when it was drawn.
    pub day: Day,
    /// The chart.
    pub chart: Chart,
    /// It is not as it was made: somebody edited it.
    pub edited: bool,
}

fn after(root: &At<'_>, day: &Day) -> Option<Day> {
    let _ = root.object(CHART_FIELDS)?;
    let told = root.peek("day").and_then(|day| day.peek("happened"));
    let items = told.and_then(|told| told.list(&HAPPENED_BEFORE)).unwrap_or_default();
    let mut after = day.clone();
    let mut next = 0;
    while let Some(first) = items.get(next) {
        let at = moment(first)?;
        let same = |item: &&At<'_>| moment(item) == Some(at);
        let group: Vec<&At<'_>> = items[next..].iter().take_while(same).collect();
        let list: Vec<Option<Happening>> =
            group.iter().map(|item| happening(item, &after, &["told_at"])).collect();
        let list: Vec<Happening> = list.into_iter().collect::<Option<_>>()?;
        match after.after(at, &list) {
            Ok(changed) => after = changed,
            Err(faults) => {
                for fault in faults {
                    let place = group.get(fault.about).unwrap_or(&group[0]);
                    place.fault(fault.cause, fault.mend);
                }
                return None;
            }
        }
        next += group.len();
    }
    Some(after)
}

fn moment(item: &At<'_>) -> Option<Minute> {
    let Some(at) = item.peek("told_at") else {
        item.fault("`told_at` is missing", "add the moment at which this was told");
        return None;
    };
    at.minute()
}
