//! One-to-one: a child with that support always has the own adult or a named stand-in.

use super::reading::{Reading, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place, Post, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "A child with one-to-one support has the own adult, or a named stand-in, in the same \
           space and for that child alone, every minute, asleep too.",
    audit,
    words,
    rows: Some(rows::people::one_to_one),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::OwnAdult],
};
const SLUG: &str = "one-to-one";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for (child, stay) in &slice.children {
            let Some(support) = &day.site[*child].one_to_one else { continue };
            let beside: Vec<AdultIndex> = slice
                .adults
                .iter()
                .filter(|(_, post)| is_beside(&reading, post, *child, stay))
                .map(|(adult, _)| *adult)
                .collect();
            if beside.iter().any(|a| *a == support.adult || support.stand_ins.contains(a)) {
                continue;
            }
            let case = if beside.is_empty() { "nobody" } else { "not-named" };
            found.push(Problem {
                children: vec![*child],
                adults: beside,
                space: Some(stay.space),
                needed: 1,
                ..Problem::of(SLUG, case, slice.span)
            });
        }
    }
    merged(found)
}

/// Whether an adult at `post` is at the side of one child, for that child alone.
pub(super) fn is_beside(reading: &Reading, post: &Post, child: ChildIndex, stay: &Stay) -> bool {
    let elsewhere = match post.at {
        Place::Door => true,
        Place::Care => stay.at != Place::Care,
        _ => !reading.is_with_children(post),
    };
    post.for_child == Some(child) && post.space == stay.space && !elsewhere
}

fn words(day: &Day, p: &Problem) -> String {
    let (who, span) = (phrase::children(day, &p.children), p.span);
    let space = phrase::space(day, p.space);
    let support = p.children.first().and_then(|c| day.site.children.get(c.0)?.one_to_one.as_ref());
    let mut named: Vec<_> = support.map_or_else(Vec::new, |s| vec![s.adult]);
    named.extend(support.iter().flat_map(|s| &s.stand_ins));
    let either = phrase::any_adult(day, &named);
    match p.case {
        "nobody" => format!(
            "{span}, {space}: {who} is without one-to-one support, {either} must be there for {who} alone"
        ),
        _ => format!(
            "{span}, {space}: {who} is one-to-one with {}, who is no named stand-in; it must be {either}",
            phrase::adults(day, &p.adults)
        ),
    }
}
