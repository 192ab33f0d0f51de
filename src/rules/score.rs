//! What a chart is worth: the one place that says which of two charts is the better one.
//!
//! A [`Score`] is compared from the front, and smaller is better:
//!
//! 1. minutes of children in a space in which no adult is with them;
//! 2. what the rules are short of, the worse [`Grade`] first, in each the rules in the order of
//!    [`RULES`], in person-minutes: unlike things are never added up, and a question that somebody has
//!    to ask weighs nothing, as no chart answers it;
//! 3. on a day that runs, child-turns moved, then posts of adults changed;
//! 4. the aims in the order of [`AIMS`].
//!
//! Everybody who chooses between charts (make, repair, fixes, why) compares scores and nothing else.
//! What the rows of a model show of a chart that is not drawn yet is a [`Shortfall`] as well, so that
//! both are held against each other in the same order.

use super::alone::{alone, unattended};
use super::moved::{moved, posts_changed};
use super::{AIMS, Grade, Problem, RULES, audit, measure};
use crate::chart::Chart;
use crate::day::Day;
use crate::site::Minute;

/// What the rules are short of.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Shortfall {
    /// Minutes of children in a space in which no adult is with them.
    alone: u64,
    /// Person-minutes of each rule, in the order of the table, that leave the day not safe.
    not_safe: Vec<u64>,
    /// Those that leave it safe, and something that is owed not kept.
    not_kept: Vec<u64>,
}

/// What a chart is worth; smaller is better.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Score {
    /// What the rules are short of.
    pub broken: Shortfall,
    /// On a day that runs, child-turns moved and posts of adults changed.
    pub moved: (u32, u32),
    /// The value of each aim, in their order.
    pub aims: Vec<i64>,
}

/// The first thing in which two scores differ.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Difference {
    /// In the minutes of children without an adult.
    Alone,
    /// In a rule of this slug, by so many person-minutes more than the other.
    Rule(&'static str, i64),
    /// In what is moved on a day that runs.
    Moved,
    /// In an aim of this slug, by so many more of its units.
    Aim(&'static str, i64),
}

impl Shortfall {
    /// No rule is broken.
    #[must_use]
    pub fn none() -> Shortfall {
        let each = vec![0; RULES.len()];
        Shortfall { alone: 0, not_safe: each.clone(), not_kept: each }
    }

    /// What some problems of a chart come to from a moment on. While no adult at all is with the
    /// children nothing else counts.
    #[must_use]
    pub fn of(day: &Day, chart: &Chart, problems: &[Problem], at: Minute) -> Shortfall {
        let alone = alone(day, chart, at).into_iter();
        let alone = alone.map(|a| a.children as u64 * u64::from(a.span.minutes())).sum();
        let (_, others) = unattended(day, chart, problems.iter().filter(|p| p.lies_ahead(at)), at);
        let mut found = Shortfall { alone, ..Shortfall::none() };
        for (at, rule) in RULES.iter().enumerate() {
            let weigh = |p: &&&Problem| p.rule == rule.slug && !p.is_a_question();
            for problem in others.iter().filter(weigh) {
                found.add(at, rule.grade(problem.case), problem.person_minutes());
            }
        }
        found
    }

    /// What the levels of a model show of the rules: the first of them stand in the order of the table.
    /// Rows of a rule ask for the worst of what its cases say.
    #[must_use]
    pub fn of_levels(levels: &[i64]) -> Shortfall {
        let mut found = Shortfall::none();
        for (at, (rule, level)) in RULES.iter().zip(levels).enumerate() {
            found.add(at, rule.worst_grade(), u64::try_from(*level).unwrap_or(0));
        }
        found
    }

    fn add(&mut self, rule: usize, grade: Grade, person_minutes: u64) {
        match grade {
            Grade::NotSafe => self.not_safe[rule] += person_minutes,
            Grade::NotKept => self.not_kept[rule] += person_minutes,
        }
    }

    /// Whether nothing is short.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Shortfall::none()
    }

    /// Minutes of children in a space in which no adult is with them.
    #[must_use]
    pub fn alone(&self) -> u64 {
        self.alone
    }

    /// Person-minutes by rule of one grade, in the order of the table.
    #[must_use]
    pub fn of_grade(&self, grade: Grade) -> &[u64] {
        match grade {
            Grade::NotSafe => &self.not_safe,
            Grade::NotKept => &self.not_kept,
        }
    }

    /// Person-minutes of a rule by its position in the table, whatever their grade.
    #[must_use]
    pub fn of_rule(&self, rule: usize) -> u64 {
        self.not_safe[rule] + self.not_kept[rule]
    }

    /// Whether this is in nothing above another one.
    #[must_use]
    pub fn is_within(&self, most: &Shortfall) -> bool {
        let within =
            |now: &[u64], most: &[u64]| now.iter().zip(most).all(|(now, most)| now <= most);
        self.alone <= most.alone
            && within(&self.not_safe, &most.not_safe)
            && within(&self.not_kept, &most.not_kept)
    }

    /// Whether by this no child is less safe than by another one: in nothing that guards a child it is
    /// above it, whatever else is not kept.
    #[must_use]
    pub fn is_as_safe_as(&self, other: &Shortfall) -> bool {
        let mut rules = self.not_safe.iter().zip(&other.not_safe);
        self.alone <= other.alone && rules.all(|(now, then)| now <= then)
    }

    /// Whether a chart that is short of this at the least, as its rows show, may come within another
    /// shortfall. Of children alone the rows say nothing, and while there are any they ask for more
    /// than counts.
    #[must_use]
    pub fn may_come_within(&self, most: &Shortfall) -> bool {
        most.alone > 0 || (0..RULES.len()).all(|rule| self.of_rule(rule) <= most.of_rule(rule))
    }

    /// Whether a chart that is short of this at the least, as its rows show, may be short of less than
    /// another shortfall.
    #[must_use]
    pub fn may_come_below(&self, most: &Shortfall) -> bool {
        most.alone > 0 || Shortfall { alone: most.alone, ..self.clone() } < *most
    }
}

impl Score {
    /// What a chart of a whole day is worth.
    #[must_use]
    pub fn of(day: &Day, chart: &Chart) -> Score {
        Score::judged(day, chart, &audit(day, chart))
    }

    /// What a chart of a whole day is worth of which the problems are known.
    #[must_use]
    pub fn judged(day: &Day, chart: &Chart, problems: &[Problem]) -> Score {
        let broken = Shortfall::of(day, chart, problems, Minute(0));
        Score { broken, moved: (0, 0), aims: measure(day, chart) }
    }

    /// What a chart is worth of a day that runs: from a moment on, held against the one on the wall.
    #[must_use]
    pub fn of_rest(day: &Day, posted: &Chart, at: Minute, chart: &Chart) -> Score {
        let broken = Shortfall::of(day, chart, &audit(day, chart), at);
        let moved = (moved(day, posted, chart, at), posts_changed(day, posted, chart, at));
        Score { broken, moved, aims: measure(day, chart) }
    }

    /// The same with every aim met that the options of a model do not decide: what adults' posts, the
    /// layout or the groups decide is no reason for one place or another.
    #[must_use]
    pub fn of_options(mut self) -> Score {
        for (aim, value) in AIMS.iter().zip(&mut self.aims) {
            if !aim.is_of_options() {
                *value = 0;
            }
        }
        self
    }

    /// Whether this keeps the rules just as another one does, is no worse by the aims, and leaves those
    /// as they are for which the options taken were shown to be best.
    #[must_use]
    pub fn bears(&self, after: &Score) -> bool {
        let shown = AIMS.iter().zip(self.aims.iter().zip(&after.aims));
        let as_shown = shown.filter(|(aim, _)| aim.is_of_options()).all(|(_, (was, is))| was == is);
        self.broken == after.broken && after.aims <= self.aims && as_shown
    }

    /// The first thing in which another score differs from this one.
    #[must_use]
    pub fn difference(&self, other: &Score) -> Option<Difference> {
        if self.broken.alone != other.broken.alone {
            return Some(Difference::Alone);
        }
        let more = |now: u64, then: u64| {
            i64::try_from(then).unwrap_or(i64::MAX) - i64::try_from(now).unwrap_or(i64::MAX)
        };
        for grade in Grade::ALL {
            let (now, then) = (self.broken.of_grade(grade), other.broken.of_grade(grade));
            for (rule, (now, then)) in RULES.iter().zip(now.iter().zip(then)) {
                if now != then {
                    return Some(Difference::Rule(rule.slug, more(*now, *then)));
                }
            }
        }
        if self.moved != other.moved {
            return Some(Difference::Moved);
        }
        let mut aims = AIMS.iter().zip(self.aims.iter().zip(&other.aims));
        let (aim, (now, then)) = aims.find(|(_, (now, then))| now != then)?;
        Some(Difference::Aim(aim.slug, then - now))
    }
}
