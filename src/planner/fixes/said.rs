//! Fixes in words alone: what is printed of them.

use super::{Fix, Fixes, Mended};
use crate::planner::repair::Repaired;

/// What would mend a day, in words alone: what is printed of it.
#[derive(Clone, Debug, Default)]
pub struct FixesSaid {
    /// Each fix, in the order of their numbers.
    pub offered: Vec<FixSaid>,
    /// Whether something stays broken with any of them, or at all where there are none.
    pub left: bool,
    /// Why that stays broken.
    pub why: Vec<String>,
    /// How many changes, and sets of changes, were tried by a repair.
    pub tried: usize,
    /// How many sets were passed over because there were too many.
    pub untried: usize,
    /// Not everything was tried: the steps that there are for it ran out.
    pub cut_short: bool,
    /// The fix that was taken: its number, and what is changed.
    pub taken: Option<(usize, String)>,
    /// They are still looked for: nothing can be said of them yet.
    pub awaited: bool,
}

/// A fix in words, and how much it moves.
#[derive(Clone, Debug)]
pub struct FixSaid {
    /// What is changed.
    pub words: String,
    /// Child-turns moved.
    pub moved: u32,
    /// Posts of adults that are not kept whole.
    pub posts_changed: u32,
}

impl Mended {
    /// A repaired day before anybody looked for what would mend it.
    #[must_use]
    pub fn before_fixes(repaired: Repaired) -> Mended {
        Mended { repaired, fixes: Fixes::default(), taken: None }
    }

    /// What is said of the fixes.
    #[must_use]
    pub fn said(&self) -> FixesSaid {
        let fixes = &self.fixes;
        let said = |fix: &Fix| FixSaid {
            words: fix.words.clone(),
            moved: fix.repaired.moved.value,
            posts_changed: fix.repaired.posts_changed,
        };
        FixesSaid {
            offered: fixes.fixes.iter().map(said).collect(),
            left: !fixes.left.is_empty(),
            why: fixes.why.clone(),
            tried: fixes.tried,
            untried: fixes.untried,
            cut_short: fixes.cut_short,
            taken: self.taken.clone(),
            awaited: false,
        }
    }
}

impl FixesSaid {
    /// What is said while they are still looked for.
    #[must_use]
    pub fn awaited() -> FixesSaid {
        FixesSaid { awaited: true, ..FixesSaid::default() }
    }
}
