//! The verbs that a user of the library calls, and what they answer.
//!
//! A [`Plan`] is a chart with everything that is known about it: what is wrong with it, how well it
//! serves the aims, how many more children could join, and how it came about.
//!
//! Map: [`make()`] the chart of a day; [`repair()`] its rest after something has happened; [`audit`](fn@audit) judges a chart however it came about; [`ratio_record`] who was needed and
//! who is there, all day; [`room_for`] how many more could join; [`head_counts`] whom to count on
//! the move; [`minutes_by_kind`] where a child's minutes go, [`choice_shares`] how many it chooses;
//! [`notes`](fn@notes) what to look at although no rule is broken, `binding` of the standards, `clock` when
//! clocks go back; [`passes`](fn@passes) the model behind a
//! chart, for any other solver; [`check`](fn@check) whether a block of stations can run.

mod audit;
mod binding;
mod bounds;
pub mod check;
mod clock;
mod counting;
mod digest;
mod edit;
mod fixes;
mod heads;
mod make;
mod minutes;
mod notes;
mod passes;
mod ratio;
mod repair;
mod room;
mod why;

pub use crate::site::list;
pub use audit::{audit, judge};
pub use binding::longer_than_a_session;
pub use check::{BlockCheck, BlockQuestion, check};
pub use clock::clocks_go_back;
pub use counting::{AGE_RANGES, AgeRange};
pub use digest::{facts_digest, standards_used};
pub use edit::{Edit, StationEdit, edit_words};
pub use fixes::{
    Fix, FixSaid, Fixes, FixesSaid, MOST as MOST_FIXES, Mended, NoSuchFix, changes_to_try, fixes,
    is_of_adults, mended, with_changes,
};
pub use heads::{HeadCount, head_counts};
pub use make::{Options, make, make_watched};
pub use minutes::{ChoiceShare, MinuteKind, SHORTEST_CHOICE, choice_shares, minutes_by_kind};
pub use notes::{Notes, notes};
pub use passes::{Pass, Passes, pass_slugs, passes};
pub use ratio::{RatioRow, ratio_record};
pub use repair::{
    Before, Change, ChangedPlace, Moved, Repaired, Unchanged, change_words, changes, chart_digest,
    place_words, repair, repair_of_repair, repair_watched, retold, what_words,
};
pub use room::{ROOM_FOR_MOST, RoomFor, room_for, tightest};
pub use why::{Against, Other, Why, WhyFault, why, why_watched};

pub use crate::rules::unattended;
pub use crate::solve::proof::{Progress, Told, Watch};

use crate::rules::{Grade, Problem};
use crate::{chart::Chart, day::Day, site::Minute};

/// What stands wherever a person sees a plan.
pub const CAUTION: &str = "Local licensing rules and the licensed person in the room decide. \
    This is a plan, not a head count: count the children. \
    Leaving it for a child who cries, is ill or is wet is right.";

/// A chart and what is known about it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Plan {
    /// The chart; there always is one, safe to run or not.
    pub chart: Chart,
    /// Every broken rule, worst first and then by time.
    pub problems: Vec<Problem>,
    /// The aims in their order.
    pub aims: Vec<AimValue>,
    /// How many more children could join before another adult must come, by space and time.
    pub room_for: Vec<RoomFor>,
    /// What a person should look at although no rule is broken, one sentence each.
    pub notes: Vec<String>,
    /// Defaults that stood in for facts nobody gave, one sentence each.
    pub assumed: Vec<String>,
    /// How it came about.
    pub made: Made,
}

impl Plan {
    /// The moment from which on the day is judged: that of the last thing that has happened.
    #[must_use]
    pub fn at(&self) -> Minute {
        self.made.fixed_until.unwrap_or(Minute(0))
    }

    /// Problems that reach into what comes from that moment on, worst first.
    pub fn problems_ahead(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(|problem| problem.lies_ahead(self.at()))
    }

    /// Problems that were over before that moment: nobody can mend them any more.
    pub fn problems_past(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(|problem| !problem.lies_ahead(self.at()))
    }

    /// Whether no rule is broken from that moment on.
    #[must_use]
    pub fn safe_to_run(&self) -> bool {
        self.problems_ahead().next().is_none()
    }

    /// Whether nothing from that moment on makes the day unsafe, though something that is owed may not be
    /// kept.
    #[must_use]
    pub fn nothing_unsafe_ahead(&self) -> bool {
        self.problems_ahead().all(|problem| problem.grade() != Grade::NotSafe)
    }
}

/// How well the chart serves one aim; smaller is better, 0 is best.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AimValue {
    /// Slug of the aim.
    pub slug: &'static str,
    /// What the chart has, in `unit`.
    pub value: i64,
    /// The least that was shown to be possible with the rules and the earlier aims no worse than
    /// here; `None` when nothing was shown.
    pub bound: Option<i64>,
    /// What the value counts.
    pub unit: &'static str,
    /// The same for a value of 1.
    pub unit_of_one: &'static str,
}

/// How a plan came about. The same facts, seed and version give the same chart, byte for byte.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Made {
    /// The seed of the search; `None` for a chart that was brought along.
    pub seed: Option<u64>,
    /// Version of this program.
    pub version: &'static str,
    /// Digest of the day's facts as they were read, in hex.
    pub facts_digest: String,
    /// The standards that it was judged by.
    pub standards: Vec<StandardUsed>,
    /// What found the chart; `None` for a chart that was brought along.
    pub solver: Option<String>,
    /// What each step of the search was allowed, in steps.
    pub budgets: Vec<(String, u64)>,
    /// What ended the search: everything proven, or a budget.
    pub stopped_by: Option<String>,
    /// What the bounds of the aims hold over.
    pub proof_scope: Option<String>,
    /// Digest of the chart that this is a repair of.
    pub parent_digest: Option<String>,
    /// The moment of the last thing that has happened: what lies before is as the chart of before had
    /// it, and past.
    pub fixed_until: Option<Minute>,
}

/// One standard that a plan was judged by.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StandardUsed {
    /// Its id.
    pub id: String,
    /// Its edition, or that it is not known.
    pub edition: String,
    /// Digest of its figures as they were read, in hex.
    pub digest: String,
}

impl Made {
    /// A chart that was brought along: nothing was searched.
    #[must_use]
    pub fn brought_along(day: &Day) -> Made {
        Made {
            seed: None,
            version: env!("CARGO_PKG_VERSION"),
            facts_digest: facts_digest(day),
            standards: standards_used(day),
            solver: None,
            budgets: Vec::new(),
            stopped_by: None,
            proof_scope: None,
            parent_digest: None,
            fixed_until: day.happened.iter().map(|h| h.at).max(),
        }
    }
}
