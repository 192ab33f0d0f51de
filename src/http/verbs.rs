//! The verbs of a day that runs: what has happened is repaired.

use super::media::Media;
use super::problem::{FACTS, FaultLine, Problem};
use super::work::{Order, Outcome, assumed, open, options, outcome_of, room};
use crate::day::HappeningFault;
use crate::page::text::{Look, print_repair};
use crate::planner;
use crate::wire::chart::read_chart_day;
use crate::wire::repair::{Posted, read_happenings, read_posted, write_repaired};
use serde_json::{Value, json};

/// Repairs the rest of a day.
pub(super) fn repair(order: &Order) -> Result<Outcome, Problem> {
    let (scenario, posted) = order.posted()?;
    let Posted { day, chart, edited } = posted;
    let happenings =
        order.given.json("happenings").and_then(|text| serde_json::from_str(&text).ok());
    let happenings: Value = happenings.unwrap_or_else(|| json!([]));
    let told = json!({"format": 1, "at": order.given.text("at"), "happenings": happenings});
    let told = read_happenings(told.to_string().as_bytes(), &day)
        .map_err(|faults| Problem::faults(FACTS, "", &faults))?;
    let at = told.at.unwrap_or(day.schedule.open.from);
    let list: Vec<_> = told.list.into_iter().map(|told| told.what).collect();
    let repaired = planner::repair(&day, &chart, at, &list, &options(order));
    let mut repaired = repaired.map_err(|faults| {
        let line = |fault: HappeningFault| FaultLine {
            pointer: format!("/happenings/{}", fault.about),
            cause: fault.cause,
            mend: fault.mend,
        };
        Problem { faults: faults.into_iter().map(line).collect(), ..Problem::plain(FACTS) }
    })?;
    repaired.plan.assumed = assumed(&scenario);
    let body = match order.media {
        Media::Text => print_repair(&repaired, &chart.blocks, edited, Look::default()),
        _ => compact(&write_repaired(&chart, &repaired)),
    };
    Ok(outcome_of(&repaired.day, &repaired.plan, body))
}

/// The same JSON without its line breaks.
fn compact(text: &str) -> String {
    serde_json::from_str::<Value>(text).map_or_else(|_| text.to_owned(), |value| value.to_string())
}

impl Order {
    /// The chart that came along, with the day that it is for: after all that had happened when it
    /// was drawn.
    pub(super) fn posted(&self) -> Result<(crate::wire::scenario::Scenario, Posted), Problem> {
        let bytes = self.chart.as_deref().unwrap_or_default().as_bytes();
        let of = read_chart_day(bytes).map_err(|faults| self.chart_fault(&faults))?;
        let scenario = self.read_scenario(Some(of.date))?;
        let room = room(&scenario, Some(&of.room))?;
        let day = open(&scenario, room, of.date)?;
        let posted = read_posted(bytes, &day).map_err(|faults| self.chart_fault(&faults))?;
        Ok((scenario, posted))
    }
}
