//! Two children who are to be kept apart are.

use super::reading::{Reading, Slice, merged};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::ChildIndex;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Two children to be kept apart are never in one small group while both are here, at one \
           station (nor in a choice that has only one) or at one eating table.",
    audit,
    words,
    rows: Some(rows::places::keep_apart),
    kept: Kept::Never,
    about: About::Children,
    reads: Reads::Minute,
    mended_by: &[],
};
const SLUG: &str = "keep-apart";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for (i, (one, stay)) in slice.children.iter().enumerate() {
            for (other, other_stay) in &slice.children[i + 1..] {
                if !apart(day, *one, *other) {
                    continue;
                }
                let groups = || reading.chart.groups.iter().map(|g| &g.children);
                if groups().any(|g| g.contains(one) && g.contains(other)) {
                    found.push(problem(&slice, "group", *one, *other));
                }
                let stations = reading.stations(stay);
                let case = match stay.at {
                    Place::Table(_) if stay.at == other_stay.at => "table",
                    Place::Station(_) | Place::Choice(_)
                        if stations.len() == 1 && stations == reading.stations(other_stay) =>
                    {
                        "station"
                    }
                    _ => continue,
                };
                let at = stations.first().map_or(stay.at, |s| Place::Station(*s));
                found.push(Problem {
                    space: Some(stay.space),
                    at: Some(at),
                    ..problem(&slice, case, *one, *other)
                });
            }
        }
    }
    merged(found)
}

/// Said by either of the two.
fn apart(day: &Day, one: ChildIndex, other: ChildIndex) -> bool {
    day.site[one].keep_apart.contains(&other) || day.site[other].keep_apart.contains(&one)
}

fn problem(slice: &Slice, case: &'static str, one: ChildIndex, other: ChildIndex) -> Problem {
    Problem {
        children: vec![one.min(other), one.max(other)],
        needed: 1,
        present: 2,
        by: 1,
        unit: Unit::Children,
        ..Problem::of(SLUG, case, slice.span)
    }
}

fn words(day: &Day, problem: &Problem) -> String {
    let who = phrase::children(day, &problem.children);
    let span = problem.span;
    match problem.at {
        None => format!("{span}: {who} are in one small group and are to be kept apart"),
        Some(at) => {
            let place = phrase::place(day, at);
            format!("{span}, {place}: {who} are together and are to be kept apart")
        }
    }
}
