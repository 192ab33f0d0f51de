//! One broken rule: who, where, when, by how much.

use super::Grade;
use crate::chart::Place;
use crate::site::{AdultIndex, ChildIndex, Minute, SpaceIndex, Span, ZoneIndex};

/// One broken rule, with all that its sentence needs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem {
    /// Slug of the rule.
    pub rule: &'static str,
    /// Which of the rule's cases, for its `words`; stable.
    pub case: &'static str,
    /// Id of the standard that asks for it, if one does.
    pub standard: Option<String>,
    /// Children concerned, in order.
    pub children: Vec<ChildIndex>,
    /// Adults concerned, in order.
    pub adults: Vec<AdultIndex>,
    /// Space concerned; `None`: the premises, or no place.
    pub space: Option<SpaceIndex>,
    /// Zone concerned.
    pub zone: Option<ZoneIndex>,
    /// Station, table or other place concerned.
    pub at: Option<Place>,
    /// When: the longest stretch in which nothing about the problem changes.
    pub span: Span,
    /// What was needed, in `unit`.
    pub needed: u32,
    /// What there was, in `unit`.
    pub present: u32,
    /// The unit of `needed`, `present` and `by`.
    pub unit: Unit,
    /// How far short, in `unit`; never 0.
    pub by: u32,
}

/// Units of a problem's figures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unit {
    /// Adults.
    Adults,
    /// Children.
    Children,
    /// Minutes.
    Minutes,
    /// Movement breaks, meals, staff breaks: things counted.
    Times,
}

impl Problem {
    /// An empty problem of a rule to fill in with struct update syntax.
    #[must_use]
    pub fn of(rule: &'static str, case: &'static str, span: Span) -> Problem {
        Problem {
            rule,
            case,
            standard: None,
            children: Vec::new(),
            adults: Vec::new(),
            space: None,
            zone: None,
            at: None,
            span,
            needed: 0,
            present: 0,
            unit: Unit::Adults,
            by: 1,
        }
    }

    /// How bad it is.
    #[must_use]
    pub fn grade(&self) -> Grade {
        super::rule_of(self).grade(self.case)
    }

    /// Whether it is a question that somebody has to ask: neither another chart nor more adults mend
    /// it, only an answer.
    #[must_use]
    pub fn is_a_question(&self) -> bool {
        super::rule_of(self).asks(self.case)
    }

    /// Whether it reaches into what comes from a moment on.
    #[must_use]
    pub fn lies_ahead(&self, at: Minute) -> bool {
        self.span.to > at
    }

    /// The shortfall in person-minutes: people short times how long; minutes stand for themselves,
    /// and a thing missed weighs as much as its span.
    #[must_use]
    pub fn person_minutes(&self) -> u64 {
        match self.unit {
            Unit::Minutes => u64::from(self.by),
            Unit::Adults | Unit::Children | Unit::Times => {
                u64::from(self.by) * u64::from(self.span.minutes())
            }
        }
    }
}
