//! The way to a space that is some minutes away takes those minutes.

use super::pieces::for_each_child;
use super::reading::Reading;
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{SpaceIndex, Span};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Who goes to a space that is some minutes away, there or back, has been on the move for \
           them on coming; an adult may also come from a staff break or a task, or go to one, and \
           being changed includes the way there and back.",
    audit,
    words,
    rows: None,
    kept: Kept::Never,
    about: About::Ways,
    reads: Reads::Around,
    mended_by: &[],
};
const SLUG: &str = "walking";

/// A stay or post as this rule reads it.
struct Step {
    span: Span,
    space: SpaceIndex,
    /// On the move.
    moves: bool,
    /// Takes the way to it and from it upon itself.
    includes_the_way: bool,
}

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    let step = |at: Place, span, space| Step {
        span,
        space,
        moves: at == Place::Transition,
        includes_the_way: matches!(at, Place::Care | Place::Task(_) | Place::StaffBreak(_)),
    };
    for child in &reading.chart.children {
        let steps = child.stays.iter().map(|s| step(s.at, s.span, s.space)).collect();
        found.extend(
            too_fast(day, steps)
                .into_iter()
                .map(|problem| Problem { children: vec![child.child], ..problem }),
        );
    }
    let mut found = for_each_child(found);
    for adult in &reading.chart.adults {
        let steps = adult.posts.iter().map(|p| step(p.at, p.span, p.space)).collect();
        found.extend(
            too_fast(day, steps)
                .into_iter()
                .map(|problem| Problem { adults: vec![adult.adult], ..problem }),
        );
    }
    found.sort_by_key(|p| p.span);
    found
}

/// Each coming to another space with fewer minutes on the move than the way takes.
fn too_fast(day: &Day, mut steps: Vec<Step>) -> Vec<Problem> {
    steps.sort_by_key(|s| s.span);
    let mut found = Vec::new();
    for (at, pair) in steps.windows(2).enumerate() {
        let (before, after) = (&pair[0], &pair[1]);
        let comes = before.span.to == after.span.from && before.space != after.space;
        if !comes || before.includes_the_way || after.includes_the_way {
            continue;
        }
        let takes = minutes(day, before.space, after.space);
        let moved = moved_before(&steps[..=at]) + moved_after(&steps[at + 1..]);
        let Some(lacking) = takes.checked_sub(moved).filter(|lacking| *lacking > 0) else {
            continue;
        };
        let to = after.span.from.later(lacking).min(after.span.to);
        found.push(Problem {
            space: Some(after.space),
            needed: u32::from(takes),
            present: u32::from(moved),
            by: u32::from(lacking),
            unit: Unit::Minutes,
            ..Problem::of(SLUG, "too-fast", Span { to, ..after.span })
        });
    }
    found
}

/// Minutes on the move in one piece, and in one space, up to the end of the last step.
fn moved_before(steps: &[Step]) -> u16 {
    let mut minutes = 0;
    let mut next: Option<&Step> = None;
    for step in steps.iter().rev() {
        let touches = next.is_none_or(|n| step.span.to == n.span.from && step.space == n.space);
        if !step.moves || !touches {
            break;
        }
        minutes += step.span.minutes();
        next = Some(step);
    }
    minutes
}

/// Minutes on the move in one piece, and in one space, from the beginning of the first step.
fn moved_after(steps: &[Step]) -> u16 {
    let mut minutes = 0;
    let mut last: Option<&Step> = None;
    for step in steps {
        let touches = last.is_none_or(|l| step.span.from == l.span.to && step.space == l.space);
        if !step.moves || !touches {
            break;
        }
        minutes += step.span.minutes();
        last = Some(step);
    }
    minutes
}

/// Minutes that the site names for a way, in whichever direction; the longer where it names both.
fn minutes(day: &Day, one: SpaceIndex, other: SpaceIndex) -> u16 {
    let there = day.site[one].walking.iter().filter(|w| w.0 == other);
    let back = day.site[other].walking.iter().filter(|w| w.0 == one);
    there.chain(back).map(|w| w.1).max().unwrap_or(0)
}

fn words(day: &Day, p: &Problem) -> String {
    let space = phrase::space(day, p.space);
    let (who, many) = if p.children.is_empty() {
        (phrase::adults(day, &p.adults), p.adults.len())
    } else {
        (phrase::children(day, &p.children), p.children.len())
    };
    let way = phrase::count(p.needed, "minute");
    let (is, has) = (phrase::verb(many, "is", "are"), phrase::verb(many, "has", "have"));
    match p.present {
        0 => format!("{}, {space}: {who} {is} there at once, and it is {way} away", p.span.from),
        m => format!(
            "{}, {space}: {who} {has} {m} of the {way} that the way there takes",
            p.span.from
        ),
    }
}
