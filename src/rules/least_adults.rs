//! Never fewer adults on the premises than the least that a standard names.

use super::reading::{Reading, merged, sorted};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::Chart;
use crate::day::Day;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "While children are here there are never fewer adults on the premises than the binding \
           standards' least; an adult on a staff break that may be spent outside is not on them.",
    audit,
    words,
    rows: Some(rows::people::least_adults),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::Adults],
};
const SLUG: &str = "least-adults";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        let children = sorted(slice.children.iter().map(|(child, _)| *child));
        if children.is_empty() {
            continue;
        }
        let here = slice.adults.iter().filter(|(a, post)| !reading.is_off_the_premises(*a, post));
        let adults = sorted(here.map(|(adult, _)| *adult));
        let present = u32::try_from(adults.len()).unwrap_or(u32::MAX);
        for standard in &day.standards {
            let needed = standard.least_adults(u32::try_from(children.len()).unwrap_or(u32::MAX));
            if needed > present {
                found.push(Problem {
                    standard: Some(standard.id.clone()),
                    children: children.clone(),
                    adults: adults.clone(),
                    needed,
                    present,
                    by: needed - present,
                    ..Problem::of(SLUG, "least", slice.span)
                });
            }
        }
    }
    merged(found)
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, .. } = problem;
    let who = match *present {
        0 => "nobody".to_owned(),
        1 => format!("only {}", phrase::adults(day, &problem.adults)),
        n => format!("only {n} adults"),
    };
    let standard = phrase::asked_by(day, problem.standard.as_deref());
    format!("{span}, the premises: {who} there, at least {needed} adults needed{standard}")
}
