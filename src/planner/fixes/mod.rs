//! What would mend a day on which a rule cannot be met: the smallest sets of changes, each tried by a
//! whole repair before it is offered.
//!
//! Single changes are tried first, from the least disturbing kind to the most, then pairs of those
//! that do not mend by themselves but help; an adult who comes is tried for the rest of the day and
//! then for ever less, until five minutes less at either end would not do. What mends without one of
//! its parts is never offered, nor what breaks another rule.
//!
//! Map: `step` one change, `floor` and `shift` the posted chart redrawn for it, `candidates` what is
//! worth trying, `shortest` how short an adult's help can be,
//! `words` what is said of it.

mod candidates;
mod floor;
mod shift;
mod shortest;
mod step;
mod words;

pub use step::Step;
pub use words::{fix_words, step_words};

use super::repair::{Repaired, repair};
use super::{Options, Plan};
use crate::chart::Chart;
use crate::day::{Day, Happening};
use crate::rules::{self, Problem, RULES};
use crate::site::Minute;
use crate::solve::Effort;
use step::Given;

/// Most fixes that are offered.
pub const MOST: usize = 5;
/// Most pairs of changes that are tried.
const MOST_PAIRS: usize = 40;

/// What would mend a day.
#[derive(Clone, Debug, Default)]
pub struct Fixes {
    /// Least disturbing first, at most [`MOST`].
    pub fixes: Vec<Fix>,
    /// `None`: each fix leaves no rule broken in the rest of the day. Else nothing that was tried
    /// does that, and each fix mends this rule and makes no other worse.
    pub only: Option<&'static str>,
    /// How many changes, and pairs of changes, were tried by a repair.
    pub tried: usize,
}

/// A set of changes that mends a day, none of which can be left out.
#[derive(Clone, Debug)]
pub struct Fix {
    /// The changes.
    pub steps: Vec<Step>,
    /// The day repaired with them.
    pub repaired: Repaired,
}

/// Finds what would mend a repaired day; nothing when no rule is broken from its moment on.
///
/// `day`, `posted` and `happenings` are what `repaired` was made from.
#[must_use]
pub fn fixes(
    day: &Day,
    posted: &Chart,
    happenings: &[Happening],
    repaired: &Repaired,
    options: &Options,
) -> Fixes {
    let given = Given {
        day: day.clone(),
        posted: posted.clone(),
        at: repaired.at,
        happenings: happenings.to_vec(),
    };
    let base = shortfall_ahead(&repaired.plan, repaired.at);
    let Some(worst) = base.iter().position(|s| *s > 0) else { return Fixes::default() };
    let mut trials = Trials { given, base, target: None, options: quick(options), tried: 0 };
    let broken = problems_ahead(&repaired.plan, repaired.at);
    let candidates = candidates::candidates(&repaired.day, &trials.given, &broken);
    let mut found = trials.search(&candidates);
    let mut only = None;
    if found.is_empty() && trials.base.iter().filter(|s| **s > 0).count() > 1 {
        trials.target = Some(worst);
        only = Some(RULES[worst].slug);
        found = trials.search(&candidates);
    }
    found.sort_by_key(|fix| {
        let most = fix.steps.iter().max().cloned();
        let moved = fix.repaired.moved.value;
        (most, fix.steps.len(), moved, fix.repaired.posts_changed, fix.steps.clone())
    });
    found.truncate(MOST);
    let only = only.filter(|_| !found.is_empty());
    Fixes { fixes: found, only, tried: trials.tried }
}

/// Problems that reach into the rest of the day.
fn problems_ahead(plan: &Plan, at: Minute) -> Vec<Problem> {
    plan.problems.iter().filter(|p| p.span.to > at).cloned().collect()
}

fn shortfall_ahead(plan: &Plan, at: Minute) -> Vec<u64> {
    rules::shortfall(&problems_ahead(plan, at))
}

/// A what-if is a question to many: it gets a small part of a repair's budget.
fn quick(options: &Options) -> Options {
    let effort = Effort { long: options.effort.long / 8, nodes: 0, ..options.effort };
    Options { effort, ..*options }
}

struct Trials {
    given: Given,
    /// Shortfall of the rest without any change.
    base: Vec<u64>,
    /// The rule to be mended; `None`: all.
    target: Option<usize>,
    options: Options,
    tried: usize,
}

impl Trials {
    /// The day with changes made and repaired, and whether that mends it.
    fn attempt(&mut self, steps: &[Step]) -> Option<(Repaired, bool)> {
        let given = self.given.with_all(steps)?;
        self.tried += 1;
        let Given { day, posted, at, happenings } = &given;
        let repaired = repair(day, posted, *at, happenings, &self.options).ok()?;
        let mends = self.mends(&shortfall_ahead(&repaired.plan, *at));
        Some((repaired, mends))
    }

    fn mends(&self, shortfall: &[u64]) -> bool {
        match self.target {
            None => shortfall.iter().all(|s| *s == 0),
            Some(rule) => {
                shortfall[rule] == 0
                    && shortfall.iter().zip(&self.base).all(|(now, was)| now <= was)
            }
        }
    }

    fn search(&mut self, candidates: &[Step]) -> Vec<Fix> {
        let mut found: Vec<Fix> = Vec::new();
        let mut helps: Vec<Step> = Vec::new();
        let mut idle: Vec<Step> = Vec::new();
        for step in candidates {
            let steps = vec![step.clone()];
            let Some((repaired, mends)) = self.attempt(&steps) else { continue };
            if mends {
                found.extend(self.least(steps, repaired));
            } else if shortfall_ahead(&repaired.plan, repaired.at) < self.base {
                helps.push(step.clone());
            } else {
                idle.push(step.clone());
            }
        }
        if found.len() < MOST {
            let with_others = |i: usize| helps[i + 1..].iter().chain(&idle);
            let pairs: Vec<Vec<Step>> = (0..helps.len())
                .flat_map(|i| with_others(i).map(move |other| (i, other)))
                .map(|(i, other)| vec![helps[i].clone(), other.clone()])
                .collect();
            for mut steps in pairs.into_iter().take(MOST_PAIRS) {
                if found.len() >= MOST {
                    break;
                }
                steps.sort();
                if let Some((repaired, true)) = self.attempt(&steps) {
                    found.extend(self.least(steps, repaired));
                }
            }
        }
        found
    }

    /// A set that mends, with a staff break where it was found to fit and an adult's help as short
    /// and as plain as it can be.
    fn least(&mut self, mut steps: Vec<Step>, mut repaired: Repaired) -> Option<Fix> {
        for i in 0..steps.len() {
            if let Step::MoveBreak { adult, due, from: None } = steps[i] {
                let from = candidates::break_start(&repaired.plan.chart, adult, due)?;
                steps[i] = Step::MoveBreak { adult, due, from: Some(from) };
                let (now, mends) = self.attempt(&steps)?;
                if !mends {
                    return None;
                }
                repaired = now;
            }
            if let Some(now) = self.shortest(&mut steps, i) {
                repaired = now;
            }
        }
        Some(Fix { steps, repaired })
    }
}
