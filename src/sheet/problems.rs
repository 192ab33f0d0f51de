//! What is wrong, one line for each cause.

use crate::day::Day;
use crate::rules::{About, Mend, Problem, rule_of};
use crate::say::counter as say;

/// Most lines of one rule about the ways and parts of the day, before the rest is a number.
const MOST_ALIKE: usize = 3;

/// One cause: what is wrong in its own words, and what else comes of it.
#[derive(Clone, Debug)]
pub struct Cause {
    /// The worst of it, over all of its time.
    pub problem: Problem,
    /// Whether it is not as bad all the time.
    pub varies: bool,
    /// What breaks because of it.
    pub with: Vec<Problem>,
}

/// The causes of some problems, in their order. A rule that is broken from one slice to the next is one
/// cause, and so is what too few adults bring with them in the same space and time.
pub fn causes<'p>(problems: impl IntoIterator<Item = &'p Problem>) -> Vec<Cause> {
    let mut causes: Vec<Cause> = Vec::new();
    for problem in problems {
        let found = causes.iter_mut().find(|c| goes_on(&c.problem, problem));
        let Some(cause) = found else {
            causes.push(Cause { problem: problem.clone(), varies: false, with: Vec::new() });
            continue;
        };
        let (from, to) = (cause.problem.span.from, cause.problem.span.to);
        let mut children = [&cause.problem.children[..], &problem.children[..]].concat();
        children.sort_unstable();
        children.dedup();
        let figures = |p: &Problem| (p.by, p.present);
        cause.varies |= figures(&cause.problem) != figures(problem);
        if problem.by > cause.problem.by {
            cause.problem = problem.clone();
        }
        cause.problem.children = children;
        cause.problem.span.from = from.min(problem.span.from);
        cause.problem.span.to = to.max(problem.span.to);
    }
    let short = |p: &Problem| rule_of(p).is_mended_by(Mend::CountedAdults);
    let (mut first, others): (Vec<Cause>, Vec<Cause>) = causes
        .into_iter()
        .partition(|c| short(&c.problem) || !rule_of(&c.problem).is_mended_by(Mend::Adults));
    let mut alone = Vec::new();
    for cause in others {
        let brings = |c: &&mut Cause| {
            let space = cause.problem.space;
            short(&c.problem)
                && (c.problem.space == space || c.problem.space.is_none())
                && c.problem.span.holds(cause.problem.span)
        };
        match first.iter_mut().find(brings) {
            Some(brings) => brings.with.push(cause.problem),
            None => alone.push(cause),
        }
    }
    first.extend(alone);
    let place = |c: &Cause| crate::rules::RULES.iter().position(|r| r.slug == c.problem.rule);
    first.sort_by_key(|c| (c.problem.grade(), place(c)));
    first
}

/// Whether a problem is the same one in the next slice.
fn goes_on(before: &Problem, after: &Problem) -> bool {
    let key = |p: &Problem| (p.rule, p.case, p.standard.clone(), p.space, p.zone, p.at, p.unit);
    let rule = rule_of(before);
    let within = |a: &Problem, b: &Problem| a.children.iter().all(|c| b.children.contains(c));
    let alike = rule.is_of_adults() || within(before, after) || within(after, before);
    let touch = before.span.from <= after.span.to && after.span.from <= before.span.to;
    let about = matches!(rule.about, About::Adults | About::Children);
    // One more adult who is missing is another cause.
    let people = match rule.is_mended_by(Mend::CountedAdults) {
        true => before.by == after.by,
        false => before.adults == after.adults,
    };
    about && alike && touch && people && key(before) == key(after)
}

/// The lines of some problems; `all`: of one kind as many as there are.
pub(super) fn lines(day: &Day, causes: &[Cause], all: bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let of_the_day = |c: &Cause| matches!(rule_of(&c.problem).about, About::Ways | About::Day);
    for same in causes.chunk_by(|a, b| {
        (a.problem.rule, a.problem.case) == (b.problem.rule, b.problem.case) && of_the_day(a)
    }) {
        let shown = if all || same.len() <= MOST_ALIKE + 1 { same.len() } else { MOST_ALIKE };
        let words = |p: &Problem| (rule_of(p).words)(day, p);
        for cause in &same[..shown] {
            let with: Vec<String> = cause.with.iter().filter(|_| all).map(words).collect();
            let more = if all { 0 } else { cause.with.len() };
            lines.push(say::cause(&words(&cause.problem), cause.varies, &with, more));
        }
        if shown < same.len() {
            lines.push(say::more_alike(same.len() - shown));
        }
    }
    lines
}
