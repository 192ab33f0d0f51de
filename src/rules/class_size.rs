//! No more children together than licence, floor and standards allow.

use super::reading::{Reading, Slice, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex};
use crate::standards::{Head, Scope, Situation, Standard};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No space holds more children, nor more young ones among them, than its licence, its \
           floor or a binding standard's class size allows, nor ages that one keeps apart.",
    audit,
    words,
    rows: Some(rows::people::class_size),
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
            for standard in day.standards.iter().filter(|s| s.scope == Scope::Room) {
                found.extend(young(day, &slice, standard, Some(index), &children));
            }
        }
        for standard in day.standards.iter().filter(|s| s.scope == Scope::Site) {
            let all = &slice.children;
            let outdoors = all.iter().all(|(_, stay)| day.site[stay.space].outdoors);
            let most = class_size(day, &slice, standard, all, outdoors);
            found.extend(
                most.and_then(|m| over(&slice, "standard", Some(&**standard), None, all, m)),
            );
            found.extend(young(day, &slice, standard, None, all));
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
    standard.class_size(&heads, &situation)
}

/// More of the young together than a standard allows, however many adults there are.
fn young(
    day: &Day,
    slice: &Slice,
    standard: &Standard,
    space: Option<SpaceIndex>,
    children: &[(ChildIndex, &Stay)],
) -> Vec<Problem> {
    let head = |child: &ChildIndex| day.head(*child, false);
    let here = sorted(children.iter().map(|(child, _)| *child));
    let heads: Vec<Head> = here.iter().map(head).collect();
    let broken = standard.too_many_young(&heads, day.date).into_iter();
    broken
        .map(|broken| Problem {
            standard: Some(standard.id.clone()),
            children: {
                let young = |c: &&ChildIndex| standard.is_young(&head(c), broken.cap, day.date);
                here.iter().filter(young).copied().collect()
            },
            space,
            needed: broken.together,
            present: broken.cap.at_most,
            by: broken.together - broken.cap.at_most,
            unit: Unit::Children,
            ..Problem::of(SLUG, "young", slice.span)
        })
        .collect()
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
    if problem.case == "young" {
        let who = young_words(day, problem);
        let asked = phrase::asked_by(day, problem.standard.as_deref());
        return format!(
            "{span}, {space}: {over} {who} too many, {needed} together where {present} may be{asked}"
        );
    }
    let why = match problem.case {
        "licence" => " by its licence".to_owned(),
        "floor" => {
            format!(" on its floor{}", phrase::asked_by(day, problem.standard.as_deref()))
        }
        _ => phrase::asked_by(day, problem.standard.as_deref()) + &apart_words(day, problem),
    };
    format!("{span}, {space}: {over} too many, {needed} together where {present} may be{why}")
}

/// The ages among these children that the standard keeps apart.
fn apart_words(day: &Day, problem: &Problem) -> String {
    let standard = day.standards.iter().find(|s| Some(&s.id) == problem.standard.as_ref());
    let heads: Vec<Head> = problem.children.iter().map(|c| day.head(*c, false)).collect();
    let of = |standard: &Standard| {
        let apart = standard.together_though_kept_apart(&heads, day.date).into_iter();
        apart.map(|apart| format!("; not in one group: {}", standard.apart_words(apart))).collect()
    };
    standard.map_or_else(String::new, |standard| of(standard))
}

/// Who is young, in the words of the cap that a problem is about.
fn young_words(day: &Day, problem: &Problem) -> String {
    let standard = day.standards.iter().find(|s| Some(&s.id) == problem.standard.as_ref());
    let heads: Vec<Head> = problem.children.iter().map(|c| day.head(*c, false)).collect();
    let of = |standard: &Standard| {
        let mut broken = standard.too_many_young(&heads, day.date).into_iter();
        let broken =
            broken.find(|b| (b.together, b.cap.at_most) == (problem.needed, problem.present));
        broken.map(|broken| standard.young_words(broken.cap))
    };
    standard.and_then(|s| of(s)).unwrap_or_else(|| "of the young".to_owned())
}
