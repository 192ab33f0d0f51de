//! What the parts of the day are called.

use crate::chart::{Block, BlockKind, Chart};
use crate::site::MealKind;

/// A meal in a sentence.
pub fn meal(kind: MealKind) -> &'static str {
    match kind {
        MealKind::Breakfast => "breakfast",
        MealKind::MorningSnack | MealKind::AfternoonSnack => "snack",
        MealKind::Lunch => "lunch",
    }
}

/// The name of a block in the grid; turns are counted through the day.
pub fn head(chart: &Chart, block: &Block) -> String {
    match block.kind {
        BlockKind::Turn => {
            // The id counts the turns of the whole day, also where only its rest is printed.
            let number = block.id.strip_prefix("turn-").and_then(|n| n.parse().ok());
            let turns = chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn);
            let nth = || turns.take_while(|b| b.span.from <= block.span.from).count();
            format!("Turn {}", number.unwrap_or_else(nth))
        }
        BlockKind::Meal(kind) => super::capital(meal(kind)),
        kind => super::capital(of_the_day(kind)),
    }
}

/// A part of the day in a sentence.
pub fn of_the_day(kind: BlockKind) -> &'static str {
    match kind {
        BlockKind::Arrival => "arrival",
        BlockKind::Turn => "turns",
        BlockKind::Choice => "choice",
        BlockKind::Circle => "circle",
        BlockKind::Outdoors => "outdoors",
        BlockKind::Movement => "movement",
        BlockKind::Meal(MealKind::MorningSnack) => "morning snack",
        BlockKind::Meal(MealKind::AfternoonSnack) => "afternoon snack",
        BlockKind::Meal(kind) => meal(kind),
        BlockKind::Rest => "rest",
        BlockKind::Transition => "the ways between",
        BlockKind::GoingHome => "going home",
    }
}
