//! Nobody is alone with children who may not be.

use super::reading::{Reading, merged, sorted};
use super::{Problem, Rule, phrase, rows};
use crate::chart::Chart;
use crate::day::Day;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Wherever adults are with children in a space, at least one of them may be alone with \
           children; a staff break, or a task that leaves no eye for the children, is not being \
           with them.",
    audit,
    words,
    rows: Some(rows::people::never_alone),
};
const SLUG: &str = "never-alone";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for space in slice.spaces() {
            let there = slice.adults_in(space).into_iter();
            let with = there.filter(|(_, post)| reading.is_with_children(post)).map(|(a, _)| a);
            let adults = sorted(with);
            if adults.is_empty() || adults.iter().any(|a| day.site[*a].may_be_alone) {
                continue;
            }
            found.push(Problem {
                children: sorted(slice.children_in(space).into_iter().map(|(child, _)| child)),
                case: if adults.len() == 1 { "alone" } else { "none-may" },
                adults,
                space: Some(space),
                needed: 1,
                ..Problem::of(SLUG, "", slice.span)
            });
        }
    }
    merged(found)
}

fn words(day: &Day, problem: &Problem) -> String {
    let (span, space) = (problem.span, phrase::space(day, problem.space));
    let who = phrase::adults(day, &problem.adults);
    match problem.case {
        "alone" => format!("{span}, {space}: {who} is alone with the children and may not be"),
        _ => format!("{span}, {space}: {who} are with the children and neither may be alone"),
    }
}
