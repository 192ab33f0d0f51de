//! How much is tried of what might mend a day: so many sets of changes, and so many steps of work in
//! all, counted and not timed. Where that runs out it is said, and what was found by then is offered.

use crate::planner::edit::Edit;
use crate::steps;

/// Most sets of changes that are tried, each by a repair.
const MOST_TRIED: usize = 800;
/// Most steps that they take together.
const MOST_STEPS: u64 = 30_000_000;
/// The parts of both, in percent, after which no other single change is tried than one that brings an
/// adult, and none but somebody from outside: in a large room the others would leave nothing for what
/// mends most.
const FOR_THE_FLOOR: u64 = 50;
const FOR_THE_TEAM: u64 = 75;

/// What is left of the work that may go into a day's fixes.
pub(super) struct Budget {
    /// Steps that were done before.
    before: u64,
    /// Sets that were tried.
    tried: u64,
    /// Whether something was left out because it had run out.
    pub ran_out: bool,
}

impl Budget {
    /// The whole of it.
    pub(super) fn new() -> Budget {
        Budget { before: steps::done(), tried: 0, ran_out: false }
    }

    /// One more set is tried.
    pub(super) fn try_one(&mut self) {
        self.tried += 1;
    }

    /// Whether there is something left; where there is not, something is left out.
    pub(super) fn lasts(&mut self) -> bool {
        self.lasts_to(100)
    }

    /// Whether there is something left for a single change.
    pub(super) fn lasts_for(&mut self, edit: &Edit) -> bool {
        self.lasts_to(match edit {
            Edit::ExtraAdult(_) => 100,
            Edit::AdultOfTheTeam { .. } => FOR_THE_TEAM,
            _ => FOR_THE_FLOOR,
        })
    }

    fn lasts_to(&mut self, percent: u64) -> bool {
        let most_tried = MOST_TRIED as u64 * percent / 100;
        let within =
            self.tried < most_tried && steps::done() - self.before < MOST_STEPS * percent / 100;
        self.ran_out |= !within;
        within
    }
}
