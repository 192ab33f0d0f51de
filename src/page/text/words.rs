//! What places, blocks and ages are called on paper.

use super::lines::list;
use crate::chart::{Block, BlockKind, Chart, Place};
use crate::day::Day;
use crate::planner::AgeRange;
use crate::site::{ChildIndex, MealKind, SpaceIndex, Span, StationIndex};

/// A span as papers have it: `09:05-09:25`.
pub(super) fn clock(span: Span) -> String {
    format!("{}-{}", span.from, span.to)
}

pub(super) fn meal(kind: MealKind) -> &'static str {
    match kind {
        MealKind::Breakfast => "breakfast",
        MealKind::MorningSnack | MealKind::AfternoonSnack => "snack",
        MealKind::Lunch => "lunch",
    }
}

/// The heading of a block; turns are counted through the day.
pub(super) fn block(chart: &Chart, block: &Block) -> String {
    match block.kind {
        BlockKind::Arrival => "Arrival".into(),
        BlockKind::Turn => {
            // The id counts the turns of the whole day, also where only its rest is printed.
            if let Some(number) =
                block.id.strip_prefix("turn-").filter(|n| n.parse::<u16>().is_ok())
            {
                return format!("Turn {number}");
            }
            let turns = chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn);
            let number = turns.take_while(|b| b.span.from <= block.span.from).count();
            format!("Turn {number}")
        }
        BlockKind::Choice => "Choice".into(),
        BlockKind::Circle => "Circle".into(),
        BlockKind::Outdoors => "Outdoors".into(),
        BlockKind::Movement => "Movement".into(),
        BlockKind::Meal(MealKind::Breakfast) => "Breakfast".into(),
        BlockKind::Meal(MealKind::Lunch) => "Lunch".into(),
        BlockKind::Meal(_) => "Snack".into(),
        BlockKind::Rest => "Rest".into(),
        BlockKind::Transition => "On the move".into(),
        BlockKind::GoingHome => "Going home".into(),
    }
}

/// A station by its name.
pub(super) fn station(day: &Day, at: StationIndex) -> String {
    day.station(at).label.clone()
}

/// A station with what stands there today.
pub(super) fn with_activity(day: &Day, at: StationIndex) -> String {
    let name = station(day, at);
    match day.activities.get(at.0).and_then(Option::as_ref) {
        Some(activity) if *activity != name => format!("{name} ({activity})"),
        _ => name,
    }
}

/// A place for children, as it stands in a cell. Where there are only a few stations to choose
/// from, they are named.
pub(super) fn place(day: &Day, chart: &Chart, at: Place, space: SpaceIndex) -> String {
    let plain = match at {
        Place::Station(s) => return station(day, s),
        Place::Table(t) => return day.site[t].label.clone(),
        Place::Zone(z) => return day.site[z].label.clone(),
        Place::Choice(c) => {
            let open = chart.choices.get(c.0).map_or(&[][..], |choice| &choice.open);
            if (1..=3).contains(&open.len()) {
                let names: Vec<String> = open.iter().map(|s| station(day, *s)).collect();
                return format!("choice: {}", names.join(", "));
            }
            "choice"
        }
        Place::WholeGroup => "circle",
        Place::Movement => "movement",
        Place::Outdoors => "outdoors",
        Place::Rest => "rest",
        Place::Transition => "tidying, washing",
        Place::Care => "changing, toilet",
        Place::Door => "door",
        Place::Task(_) => "task",
        Place::StaffBreak(_) => "staff break",
        Place::Unplaced => "NO PLACE FOUND",
    };
    if space == day.site[day.room].home {
        plain.to_owned()
    } else {
        format!("{plain}, {}", day.site[space].label)
    }
}

/// Labels of children, in order.
pub(super) fn children(day: &Day, who: &[ChildIndex]) -> String {
    list(&who.iter().map(|c| day.site[*c].label.as_str()).collect::<Vec<_>>())
}

/// An age range in the words of a parent.
pub(super) fn age(range: AgeRange) -> String {
    match (range.from_months / 12, range.below_months) {
        (0, _) => "under 1".into(),
        (years, None) => format!("{years} and over"),
        (years, Some(_)) => format!("aged {years}"),
    }
}
