//! No more children together than licence, floor and standards allow.

use super::reading::{Reading, Slice, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex};
use crate::standards::{Head, Scope, Situation, Standard};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No space holds more children than its licence, its floor or a binding standard's class \
           size allows.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Children,
    reads: Reads::Minute,
    mended_by: &[],
};
const SLUG: &str = "class-size";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for index in slice.spaces() {
            let space = &day.site[index];
            let children = slice.children_in(index);
            let mut limits: Vec<(&'static str, Option<&Standard>, u32)> = Vec::new();
            limits.extend(space.class_size.map(|most| ("licence", None, most)));
            for standard in &day.standards {
                let standard: &Standard = standard;
                if let (Some(floor), Some(each)) =
                    (space.floor_area, standard.floor_per_child(space.outdoors))
                {
                    limits.push(("floor", Some(standard), floor / each.max(1)));
                }
                if standard.scope == Scope::Room {
                    let most = class_size(day, &slice, standard, &children, space.outdoors);
                    limits.extend(most.map(|most| ("standard", Some(standard), most)));
                }
            }
            for (case, standard, most) in limits {
                found.extend(over(&slice, case, standard, Some(index), &children, most));
            }
        }
        for standard in day.standards.iter().filter(|s| s.scope == Scope::Site) {
            let all = &slice.children;
            let outdoors = all.iter().all(|(_, stay)| day.site[stay.space].outdoors);
            let most = class_size(day, &slice, standard, all, outdoors);
            found.extend(
                most.and_then(|m| over(&slice, "standard", Some(&**standard), None, all, m)),
            );
        }
    }
    merged(found)
}

fn class_size(
    day: &Day,
    slice: &Slice,
    standard: &Standard,
    children: &[(ChildIndex, &Stay)],
    outdoors: bool,
) -> Option<u32> {
    // A class is as large asleep as awake.
    let head = |(child, _): &(ChildIndex, &Stay)| day.head(*child, false);
    let heads: Vec<Head> = children.iter().map(head).collect();
    let situation = Situation {
        date: day.date,
        adults: &[],
        governing_age: day.site[day.room].governing_age,
        minute: slice.span.from,
        open: day.schedule.open,
        outdoors,
    };
    standard.need(&heads, &situation).class_size
}

fn over(
    slice: &Slice,
    case: &'static str,
    standard: Option<&Standard>,
    space: Option<SpaceIndex>,
    children: &[(ChildIndex, &Stay)],
    most: u32,
) -> Option<Problem> {
    let number = u32::try_from(children.len()).unwrap_or(u32::MAX);
    (number > most).then(|| Problem {
        standard: standard.map(|s| s.id.clone()),
        children: sorted(children.iter().map(|(child, _)| *child)),
        space,
        needed: number,
        present: most,
        by: number - most,
        unit: Unit::Children,
        ..Problem::of(SLUG, case, slice.span)
    })
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, by, .. } = problem;
    let space = phrase::space(day, problem.space);
    let over = if *by == 1 { "one child".to_owned() } else { format!("{by} children") };
    let why = match problem.case {
        "licence" => " by its licence".to_owned(),
        "floor" => {
            format!(" on its floor{}", phrase::asked_by(day, problem.standard.as_deref()))
        }
        _ => phrase::asked_by(day, problem.standard.as_deref()),
    };
    format!("{span}, {space}: {over} too many, {needed} together where {present} may be{why}")
}
