//! Where the minutes of each child's day go.

use super::lines::{Page, pad, width};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::{MinuteKind, minutes_by_kind};

/// One line for each child, one column for each kind that anyone has a minute of.
pub(super) fn minutes(day: &Day, chart: &Chart, page: &mut Page) {
    let rows: Vec<(String, Vec<(MinuteKind, u32)>)> = chart
        .children
        .iter()
        .map(|c| (day.site[c.child].label.clone(), minutes_by_kind(c)))
        .collect();
    let used = |kind: &MinuteKind| rows.iter().any(|(_, spent)| of(spent, *kind) > 0);
    let kinds: Vec<MinuteKind> = MinuteKind::ALL.into_iter().filter(used).collect();
    if kinds.is_empty() {
        return;
    }
    page.heading("Where the minutes go");
    let names = rows.iter().map(|(name, _)| width(name)).max().unwrap_or(0);
    let head: Vec<String> = kinds.iter().map(|k| format!("{:>7}", called(*k))).collect();
    page.line(&format!("  {}{}", pad("", names), head.join(" ")));
    for (name, spent) in rows {
        let cells: Vec<String> = kinds.iter().map(|k| format!("{:>7}", of(&spent, *k))).collect();
        page.line(&format!("  {}{}", pad(&name, names), cells.join(" ")));
    }
}

fn of(spent: &[(MinuteKind, u32)], kind: MinuteKind) -> u32 {
    spent.iter().find(|(k, _)| *k == kind).map_or(0, |(_, minutes)| *minutes)
}

fn called(kind: MinuteKind) -> &'static str {
    match kind {
        MinuteKind::Stations => "turns",
        MinuteKind::Choice => "choice",
        MinuteKind::WholeGroup => "circle",
        MinuteKind::Meals => "meals",
        MinuteKind::Resting => "rest",
        MinuteKind::Asleep => "asleep",
        MinuteKind::Moving => "moving",
        MinuteKind::Outdoors => "outside",
        MinuteKind::Care => "care",
        MinuteKind::Transitions => "waiting",
        MinuteKind::Unplaced => "nowhere",
    }
}
