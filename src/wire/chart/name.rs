//! The words that stand for kinds in the file, each list in one place that is read both ways.

use crate::chart::{Apart, BlockKind, State};
use crate::day::Clothing;
use crate::planner::MinuteKind;
use crate::rules::Unit;
use crate::site::{Hazard, MealKind};

/// A kind that the file knows by a word.
pub(super) trait Named: Sized + Copy + 'static {
    /// Every value with its word.
    const ALL: &'static [(Self, &'static str)];

    /// The word of this value.
    fn word(self) -> &'static str;
}

/// Writes the table and the match from one list, so that a new kind without a word does not compile.
macro_rules! named {
    ($($kind:ty { $($value:path => $word:literal,)* })*) => {$(
        impl Named for $kind {
            const ALL: &'static [(Self, &'static str)] = &[$(($value, $word)),*];

            fn word(self) -> &'static str {
                match self { $($value => $word),* }
            }
        }
    )*};
}

named! {
    Clothing {
        Clothing::Usual => "usual",
        Clothing::More => "more",
        Clothing::Less => "less",
    }
    MealKind {
        MealKind::Breakfast => "breakfast",
        MealKind::MorningSnack => "morning_snack",
        MealKind::Lunch => "lunch",
        MealKind::AfternoonSnack => "afternoon_snack",
    }
    State {
        State::Awake => "awake",
        State::Resting => "resting",
        State::Asleep => "asleep",
    }
    Apart {
        Apart::Barred => "barred",
        Apart::Sleep => "sleep",
        Apart::Care => "care",
        Apart::Food => "food",
        Apart::Kept => "kept",
        Apart::OwnAdult => "own_adult",
    }
    Unit {
        Unit::Adults => "adults",
        Unit::Children => "children",
        Unit::Minutes => "minutes",
        Unit::Times => "times",
    }
    MinuteKind {
        MinuteKind::Stations => "stations",
        MinuteKind::Choice => "choice",
        MinuteKind::WholeGroup => "whole_group",
        MinuteKind::Meals => "meals",
        MinuteKind::Resting => "resting",
        MinuteKind::Asleep => "asleep",
        MinuteKind::Moving => "movement",
        MinuteKind::Outdoors => "outdoors",
        MinuteKind::Care => "care",
        MinuteKind::Transitions => "transitions",
        MinuteKind::Unplaced => "unplaced",
    }
    Hazard {
        Hazard::SmallParts => "small_parts",
        Hazard::Water => "water",
        Hazard::Heat => "heat",
        Hazard::Cords => "cords",
        Hazard::Magnets => "magnets",
        Hazard::Aerosol => "aerosol",
        Hazard::AbsorbentPolymer => "absorbent_polymer",
        Hazard::Latex => "latex",
        Hazard::DustyPowder => "dusty_powder",
        Hazard::Sharp => "sharp",
    }
}

/// Kinds of blocks by their word; `None` is a meal, which says beside it which one.
pub(super) const BLOCKS: &[(&str, Option<BlockKind>)] = &[
    ("arrival", Some(BlockKind::Arrival)),
    ("turn", Some(BlockKind::Turn)),
    ("choice", Some(BlockKind::Choice)),
    ("circle", Some(BlockKind::Circle)),
    ("outdoors", Some(BlockKind::Outdoors)),
    ("movement", Some(BlockKind::Movement)),
    ("meal", None),
    ("rest", Some(BlockKind::Rest)),
    ("transition", Some(BlockKind::Transition)),
    ("going_home", Some(BlockKind::GoingHome)),
];

/// The word for the kind of a block.
pub(in crate::wire) fn block_kind(kind: BlockKind) -> &'static str {
    let known = |k: &Option<BlockKind>| match kind {
        BlockKind::Meal(_) => k.is_none(),
        plain => *k == Some(plain),
    };
    BLOCKS.iter().find(|(_, k)| known(k)).map_or("choice", |(word, _)| word)
}

/// The word of a meal.
pub(in crate::wire) fn meal_kind(meal: MealKind) -> &'static str {
    meal.word()
}
