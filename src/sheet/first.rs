//! The first lines: how safe the day is, what is wrong, and what is to be done.

use super::problems::{Cause, causes, lines};
use crate::chart::{Chart, ChildDay};
use crate::day::Day;
use crate::planner::{Notes, Plan, Repaired, is_of_adults, unattended};
use crate::rules::{Mend, Problem, rule_of};
use crate::say::{self, counter as said};

/// What stands before the day.
#[derive(Clone, Debug, Default)]
pub struct First {
    /// How safe the day is.
    pub verdict: String,
    /// What comes before reading on.
    pub at_once: Vec<String>,
    /// What is wrong, one cause a line.
    pub problems: Vec<String>,
    /// What was wrong before the moment of a running day, if anything.
    pub past: Option<String>,
    /// What somebody has to do although no rule is broken.
    pub to_do: Vec<String>,
    /// Who is here, and whether they go out.
    pub heads: String,
}

impl First {
    /// Of a whole day; `all`: every problem of however many alike.
    pub fn of(day: &Day, plan: &Plan, notes: Notes, all: bool) -> First {
        First::with(day, plan, &plan.chart, false, notes, all)
    }

    /// Of the rest of a day; `unmended`: no fix mends all of it.
    pub fn of_rest(
        repaired: &Repaired,
        rest: &Chart,
        unmended: bool,
        notes: Notes,
        all: bool,
    ) -> First {
        let (day, at) = (&repaired.day, repaired.at);
        let mut first = First::with(day, &repaired.plan, rest, unmended, notes, all);
        let called = repaired.called_back();
        if !called.is_empty() {
            first.at_once.push(said::call_back(&say::adults(day, &called), at));
        }
        first
    }

    fn with(
        day: &Day,
        plan: &Plan,
        rest: &Chart,
        unmended: bool,
        notes: Notes,
        all: bool,
    ) -> First {
        let at = plan.at();
        let ahead: Vec<&Problem> = plan.problems_ahead().collect();
        let (alone, others) = match plan.made.fixed_until {
            Some(at) => unattended(day, rest, ahead.iter().copied(), at),
            None => (Vec::new(), ahead.clone()),
        };
        let here = |span| {
            let here = |c: &&ChildDay| c.stays.iter().any(|s| s.span.meets(span));
            rest.children.iter().filter(here).count()
        };
        let mut problems: Vec<String> =
            alone.iter().map(|span| said::no_adult(*span, here(*span))).collect();
        let mut causes = causes(others);
        let (nobody, some): (Vec<Cause>, Vec<Cause>) = causes
            .drain(..)
            .partition(|c| plan.made.fixed_until.is_some() && is_nobody(&c.problem));
        problems.extend(lines(day, &nobody, all).iter().map(|line| said::take_them(line)));
        problems.extend(lines(day, &some, all));
        let safe = plan.nothing_unsafe_ahead();
        let from = plan.problems_past().next().map(|_| at);
        let past: Vec<&Problem> = plan.problems_past().collect();
        let past: Vec<String> = past.iter().map(|p| (rule_of(p).words)(day, p)).collect();
        First {
            verdict: said::verdict(day, safe, problems.len(), from),
            at_once: help(day, plan, unmended).map(str::to_owned).into_iter().collect(),
            problems,
            past: (!past.is_empty()).then(|| said::past(at, &past)),
            to_do: notes.first,
            heads: said::heads(day, rest.children.len(), rest.adults.len()),
        }
    }
}

/// What to do first where nothing mends a day and an adult is missing before anybody can be there.
#[must_use]
pub fn help(day: &Day, plan: &Plan, unmended: bool) -> Option<&'static str> {
    let soon = plan.at().later(day.site.settings.minutes_to_come_in);
    let at_once = |p: &Problem| is_of_adults(p) && p.span.from < soon;
    (unmended && plan.problems_ahead().any(at_once)).then_some(said::HELP)
}

/// Whether no adult at all is where children are.
fn is_nobody(problem: &Problem) -> bool {
    let counted = rule_of(problem).is_mended_by(Mend::CountedAdults);
    counted && problem.present == 0 && problem.space.is_some()
}
