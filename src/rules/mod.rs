//! The table of rules and aims: one file a rule.
//!
//! A rule is one sentence ([`Rule::says`]), a plain reading of a finished chart ([`Rule::audit`]),
//! the prose of its problems ([`Rule::words`]), what it adds to the model of a day
//! ([`Rule::rows`]), and what every verb has to know of it: how bad it is ([`Rule::kept`]), what it
//! is about, how much of a chart it reads and what may mend it. Everything that lists rules loops
//! over [`RULES`] and [`AIMS`], and no verb knows a rule by its slug. Audits read a finished chart,
//! [`rows`] read a frame: they share facts and data, never arithmetic.
//!
//! What makes one chart better than another is said in [`score`] and nowhere else.

mod aim_balance;
mod aim_care_in_time;
mod aim_clean_after_sleep;
mod aim_enough_movement;
mod aim_enough_turns;
mod aim_even_blocks;
mod aim_fair_posts;
mod aim_fair_shares;
mod aim_good_third;
mod aim_keep_with;
mod aim_key_adult;
mod aim_little_waiting;
mod aim_long_choice;
mod aim_long_work;
mod aim_middle_breaks;
mod aim_more_turns;
mod aim_movement_apart;
mod aim_must_do;
mod aim_no_repeat;
mod aim_often_chosen;
mod aim_settling;
mod aim_short_ways;
mod aim_steady_posts;
mod aim_tasks;
mod aim_third_of_session;
mod aim_well_drawn;
mod alone;
mod barred;
mod class_size;
mod keep_apart;
mod kept;
mod least_adults;
mod meals;
mod moved;
mod movement;
mod never_alone;
mod one_to_one;
mod open;
mod phrase;
mod pieces;
mod present;
mod problem;
mod qualified;
mod ratio;
pub mod reading;
mod reset;
mod rest;
pub mod rows;
pub mod score;
mod seats;
pub mod settled;
mod sight;
mod sinks;
mod staff_break;
mod staffed;
mod table;
mod turns;
mod walking;

/// Rules by which somebody else than the table finds a breach that no audit can see in a chart, or says
/// more of it.
pub mod named {
    pub use super::barred::RULE as BARRED;
    pub use super::meals::RULE as MEALS;
    pub use super::never_alone::RULE as NEVER_ALONE;
    pub use super::sinks::RULE as SINKS;
    pub use super::staffed::RULE as STAFFED;
}

pub use aim_care_in_time::{LongWait, long_waits};
pub use aim_must_do::missed_visits;
pub use alone::{Alone, alone, unattended};
pub use moved::{moved, posts_changed};
pub use problem::{Problem, Unit};
pub use score::{Difference, Score, Shortfall};
pub use table::{AIMS, RULES};

use crate::{chart::Chart, day::Day};

/// What a chart may not break without saying so loudly.
pub struct Rule {
    /// Stable, readable name.
    pub slug: &'static str,
    /// The rule in one sentence.
    pub says: &'static str,
    /// Reads a finished chart and reports every breach, in order of time.
    pub audit: fn(&Day, &Chart) -> Vec<Problem>,
    /// A problem of this rule as a sentence for a teacher.
    pub words: fn(&Day, &Problem) -> String,
    /// What it adds to the model of a frame; `None` where the layout alone decides, or an option
    /// that would break it is not there at all.
    pub rows: Option<rows::Add>,
    /// Which of its cases leave a day safe to run, though something that is owed is not kept.
    pub kept: Kept,
    /// What it is about.
    pub about: About,
    /// How much of a chart has to be read to judge a part of it.
    pub reads: Reads,
    /// Kinds of change that may mend it, beyond children being elsewhere.
    pub mended_by: &'static [Mend],
}

/// How bad a broken rule is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Grade {
    /// The day is not safe to run.
    NotSafe,
    /// The day is safe to run, and something that is owed is not kept.
    NotKept,
}

impl Grade {
    /// All of them, the worst first.
    pub const ALL: [Grade; 2] = [Grade::NotSafe, Grade::NotKept];
}

/// Which cases of a rule leave a day safe to run, though something that is owed is not kept.
#[derive(Clone, Copy, Debug)]
pub enum Kept {
    /// None: whatever breaks it, the day is not safe.
    Never,
    /// Those with these names.
    Cases(&'static [&'static str]),
    /// Those with these names, and each is a question: neither another chart nor more adults mend it,
    /// only an answer, so that it weighs nothing when charts are compared.
    Asked(&'static [&'static str]),
    /// All of them.
    Always,
}

/// What a rule is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum About {
    /// Which adults are where.
    Adults,
    /// Which children are together, or where a child is kept.
    Children,
    /// What may be used, by whom and when: a problem names the station.
    Stations,
    /// The way from one thing to the next.
    Ways,
    /// What belongs to a day: being somewhere, meals, rest, movement, staff breaks.
    Day,
}

/// How much of a chart has to be read to judge a part of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reads {
    /// Each minute by itself.
    Minute,
    /// What comes before and after as well.
    Around,
    /// The whole day.
    Day,
}

/// A kind of change that may mend a broken rule.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Mend {
    /// More adults who count, by the arithmetic of a standard.
    CountedAdults,
    /// More adults, or others.
    Adults,
    /// One child's own adult, or a named stand-in.
    OwnAdult,
    /// Somebody who may lead, or holds what a standard asks for.
    Qualified,
    /// A staff break at another time.
    StaffBreak,
    /// A meal at another time.
    Meal,
    /// Time to move in.
    Movement,
    /// Materials out of the young ones' reach.
    OutOfReach,
}

impl Rule {
    /// How bad one of its cases is.
    #[must_use]
    pub fn grade(&self, case: &str) -> Grade {
        match self.kept {
            Kept::Always => Grade::NotKept,
            Kept::Cases(cases) | Kept::Asked(cases) if cases.contains(&case) => Grade::NotKept,
            Kept::Cases(_) | Kept::Asked(_) | Kept::Never => Grade::NotSafe,
        }
    }

    /// Whether one of its cases is a question that somebody has to ask.
    #[must_use]
    pub fn asks(&self, case: &str) -> bool {
        matches!(self.kept, Kept::Asked(cases) if cases.contains(&case))
    }

    /// How bad the worst of its cases is.
    #[must_use]
    pub fn worst_grade(&self) -> Grade {
        if matches!(self.kept, Kept::Always) { Grade::NotKept } else { Grade::NotSafe }
    }

    /// Whether more adults, or others, may mend it.
    #[must_use]
    pub fn is_of_adults(&self) -> bool {
        self.mended_by.iter().any(|mend| {
            matches!(mend, Mend::CountedAdults | Mend::Adults | Mend::OwnAdult | Mend::Qualified)
        })
    }

    /// Whether a kind of change may mend it.
    #[must_use]
    pub fn is_mended_by(&self, mend: Mend) -> bool {
        self.mended_by.contains(&mend)
    }

    /// Whether it keeps children from a place before anything is decided: what it forbids is not
    /// offered.
    #[must_use]
    pub fn is_built_in(&self) -> bool {
        self.about == About::Stations && self.rows.is_none()
    }
}

/// A wish, weighed after the rules; an earlier one is never given up for a later one.
pub struct Aim {
    /// Stable, readable name.
    pub slug: &'static str,
    /// The aim in one sentence, with what is counted.
    pub says: &'static str,
    /// What the value counts (`missed visits`, `turns elsewhere`).
    pub unit: &'static str,
    /// The same for a value of 1 (`missed visit`).
    pub unit_of_one: &'static str,
    /// Reads a finished chart; smaller is better, 0 is best. `None` where the blocks come to it, as
    /// [`Decided::Layout`] says.
    pub measure: Option<fn(&Day, &Chart) -> i64>,
    /// What it adds to the model of a frame; `None` where its options do not decide it.
    pub rows: Option<rows::Add>,
    /// What decides it.
    pub decided: Decided,
}

/// What decides an aim.
#[derive(Clone, Copy, Debug)]
pub enum Decided {
    /// The options of the model: its rows measure what its audit measures, or less.
    Options,
    /// The layout: settled before any option is taken, and what its blocks come to.
    Layout(fn(&settled::Settled) -> i64),
    /// The groups: settled before the layout.
    Groups,
    /// When groups leave for what comes next, and the layout: so many minutes on the way make one.
    Ways(i64),
    /// The adults' posts.
    Posts,
}

impl Aim {
    /// Whether the options of the model decide it, and its rows say how.
    #[must_use]
    pub fn is_of_options(&self) -> bool {
        matches!(self.decided, Decided::Options)
    }

    /// Whether it is settled by the groups, the layout and the options, before any adult is posted.
    #[must_use]
    pub fn is_known_before_posts(&self) -> bool {
        matches!(self.decided, Decided::Options | Decided::Layout(_) | Decided::Groups)
    }

    /// What the blocks of a layout come to of it; 0 where they do not settle it.
    #[must_use]
    pub fn settled(&self, settled: &settled::Settled) -> i64 {
        match self.decided {
            Decided::Layout(of) => of(settled),
            _ => 0,
        }
    }
}

/// Every breach of every rule, in the order of the table and then of time.
#[must_use]
pub fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    RULES.iter().flat_map(|rule| (rule.audit)(day, chart)).collect()
}

/// The value of every aim, in their order.
#[must_use]
pub fn measure(day: &Day, chart: &Chart) -> Vec<i64> {
    let chart = reading::Reading::of(day, chart).chart;
    let settled = settled::Settled::of(day, &chart);
    let of = |aim: &&Aim| aim.measure.map_or_else(|| aim.settled(&settled), |of| of(day, &chart));
    AIMS.iter().map(of).collect()
}

/// The rule of a problem.
#[must_use]
pub fn rule_of(problem: &Problem) -> &'static Rule {
    rule(problem.rule).expect("every problem is of a rule of the table")
}

/// The rule of a slug.
#[must_use]
pub fn rule(slug: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|r| r.slug == slug)
}

/// Person-minutes of shortfall by rule, in the order of [`RULES`], whatever their grade: for whoever
/// holds one rule against another reading of it; charts are compared by [`Score`].
#[must_use]
pub fn shortfall<'p>(problems: impl IntoIterator<Item = &'p Problem, IntoIter: Clone>) -> Vec<u64> {
    let problems = problems.into_iter();
    RULES
        .iter()
        .map(|r| problems.clone().filter(|p| p.rule == r.slug).map(Problem::person_minutes).sum())
        .collect()
}
