//! What the teacher keeps stays as it is.

use super::reading::{Reading, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::{Day, KeptCell, KeptFor};
use crate::site::ChildIndex;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Cells that the teacher keeps are kept: the child is at that station for all of the \
           kept time in which it is here, and so is every child of the group, but for those who \
           the chart says have a reason to be elsewhere.",
    audit,
    words,
    rows: Some(rows::places::kept),
    kept: Kept::Never,
    about: About::Children,
    reads: Reads::Day,
    mended_by: &[],
};
const SLUG: &str = "kept";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for kept in &day.kept {
        let station = day.station(kept.station);
        let problem = Problem {
            space: Some(station.space),
            zone: Some(station.zone),
            at: Some(Place::Station(kept.station)),
            unit: Unit::Children,
            ..Problem::of(SLUG, "elsewhere", kept.span)
        };
        let Some(members) = members(day, &reading.chart, kept) else {
            found.push(Problem { case: "no-group", needed: 1, ..problem });
            continue;
        };
        let edges = [kept.span.from, kept.span.to]
            .into_iter()
            .chain(members.iter().flat_map(|c| day.child_here(*c)).flat_map(|s| [s.from, s.to]));
        for slice in reading.slices(edges) {
            if !kept.span.holds(slice.span) {
                continue;
            }
            let here = |c: &ChildIndex| day.child_here(*c).iter().any(|h| h.holds(slice.span));
            let here: Vec<ChildIndex> = members.iter().copied().filter(here).collect();
            let stay = |c: ChildIndex| slice.children.iter().find(|(who, _)| *who == c);
            let is_there = |c: ChildIndex| stay(c).is_some_and(|(_, s)| Some(s.at) == problem.at);
            let excused = |c: ChildIndex| {
                matches!(kept.who, KeptFor::Group(_))
                    && stay(c).is_some_and(|(_, s)| s.apart.is_some())
            };
            let missed: Vec<ChildIndex> =
                here.iter().copied().filter(|c| !is_there(*c) && !excused(*c)).collect();
            if !missed.is_empty() {
                let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
                found.push(Problem {
                    needed: count(here.len()),
                    present: count(here.len() - missed.len()),
                    by: count(missed.len()),
                    children: missed,
                    span: slice.span,
                    ..problem.clone()
                });
            }
        }
    }
    merged(found)
}

/// Whom a kept cell is for: today's members of the group, as the chart has it or else as the
/// teacher formed it. `None`: no such group.
fn members(day: &Day, chart: &Chart, kept: &KeptCell) -> Option<Vec<ChildIndex>> {
    match &kept.who {
        KeptFor::Child(child) => Some(vec![*child]),
        KeptFor::Group(id) => {
            let today = chart.groups.iter().find(|g| g.id == *id).map(|g| &g.children);
            let standing = || day.site[day.room].groups.iter().find(|g| g.id == *id);
            let members = today.or_else(|| standing().map(|g| &g.children))?;
            Some(sorted(members.iter().copied()))
        }
    }
}

fn words(day: &Day, problem: &Problem) -> String {
    let place = problem.at.map_or_else(|| "a station".to_owned(), |at| phrase::place(day, at));
    let span = problem.span;
    if problem.case == "no-group" {
        return format!("{span}, {place}: kept for a group that is not on the chart");
    }
    let who = phrase::children(day, &problem.children);
    let is = phrase::verb(problem.children.len(), "is", "are");
    format!("{span}, {place}: kept for {who}, who {is} not there")
}
