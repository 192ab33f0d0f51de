//! Nobody is alone with children who may not be.

use super::reading::{Reading, merged, sorted};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Wherever adults are with children in a space, or at a changing place out of its sight, \
           at least one of them may be alone with children; a staff break, or a task that leaves no eye for the children, is not being \
           with them.",
    audit,
    words,
    rows: Some(rows::people::never_alone),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::Adults],
};
const SLUG: &str = "never-alone";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        let sides = slice.spaces().into_iter().flat_map(|space| [(space, false), (space, true)]);
        for (space, changing) in sides {
            let side = |at: Place| reading.is_by_itself(space, at) == changing;
            let children = slice.children_in(space).into_iter().filter(|(_, s)| side(s.at));
            let children = sorted(children.map(|(child, _)| child));
            let there = slice.adults_in(space).into_iter().filter(|(_, post)| side(post.at));
            let with = there.filter(|(_, post)| reading.is_with_children(post)).map(|(a, _)| a);
            let adults = sorted(with);
            let may = adults.iter().any(|a| day.site[*a].may_be_alone);
            if children.is_empty() || adults.is_empty() || may {
                continue;
            }
            found.push(Problem {
                children,
                case: if adults.len() == 1 { "alone" } else { "none-may" },
                adults,
                space: Some(space),
                at: changing.then_some(Place::Care),
                needed: 1,
                ..Problem::of(SLUG, "", slice.span)
            });
        }
    }
    merged(found)
}

fn words(day: &Day, problem: &Problem) -> String {
    let (span, space) = (problem.span, phrase::space(day, problem.space));
    let space = match problem.at {
        Some(_) => format!("changing place ({space})"),
        None => space.to_owned(),
    };
    let who = phrase::adults(day, &problem.adults);
    match problem.case {
        "alone" => format!("{span}, {space}: {who} is alone with the children and may not be"),
        _ => format!("{span}, {space}: {who} are with the children and neither may be alone"),
    }
}
