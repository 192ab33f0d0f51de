//! Sight: every zone with children, every transition and every child being changed is watched.

use super::one_to_one::is_beside;
use super::reading::{Reading, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place, Post, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex, Span, ZoneIndex};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Every zone with children in it is in some adult's sight, every transition has an adult \
           with it or watching a zone of the same space (whoever sits at a station or a table does \
           not see it), every child being changed an adult at the changing place; an adult out of \
           sight there, at the door, on a staff break or on a task without watching sees nobody \
           else, and a one-to-one adult only the own child.",
    audit,
    words,
    rows: Some(rows::people::sight),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::Adults],
};
const SLUG: &str = "sight";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        let mut unseen: Vec<(Spot, ChildIndex)> = Vec::new();
        for (child, stay) in &slice.children {
            if slice.adults.iter().any(|(_, post)| is_beside(&reading, post, *child, stay)) {
                continue;
            }
            for spot in spots(&reading, stay) {
                if !slice.adults.iter().any(|(_, post)| is_seen(&reading, spot, post)) {
                    unseen.push((spot, *child));
                }
            }
        }
        unseen.sort_unstable();
        for spot in unseen.chunk_by(|a, b| a.0 == b.0) {
            found.push(problem(slice.span, spot));
        }
    }
    merged(found)
}

/// Where a child must be seen.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    /// In a zone.
    Zone(SpaceIndex, ZoneIndex),
    /// At something that has no zone written down.
    Nowhere(SpaceIndex, Place),
    /// On the move in a space.
    Transition(SpaceIndex),
    /// At the changing place of a space.
    Care(SpaceIndex),
}

fn spots(reading: &Reading, stay: &Stay) -> Vec<Spot> {
    let zones = reading.zones(stay);
    match stay.at {
        Place::Transition => vec![Spot::Transition(stay.space)],
        Place::Care => vec![Spot::Care(stay.space)],
        // Told by another rule: nobody knows where the child is.
        Place::Unplaced => Vec::new(),
        _ if zones.is_empty() => vec![Spot::Nowhere(stay.space, stay.at)],
        _ => zones.into_iter().map(|z| Spot::Zone(stay.space, z)).collect(),
    }
}

/// Whether an adult at a post sees a spot; one who is there for one child sees no other.
fn is_seen(reading: &Reading, spot: Spot, post: &Post) -> bool {
    let sees = match spot {
        Spot::Zone(_, zone) => reading.sees(post).contains(&zone),
        Spot::Nowhere(space, at) => post.space == space && post.at == at,
        Spot::Care(space) => post.space == space && post.at == Place::Care,
        Spot::Transition(space) => post.space == space && reading.watches_transition(post),
    };
    sees && post.for_child.is_none()
}

fn problem(slice: Span, spot: &[(Spot, ChildIndex)]) -> Problem {
    let (case, space, zone, at) = match spot[0].0 {
        Spot::Zone(space, zone) => ("zone", space, Some(zone), None),
        Spot::Nowhere(space, at) => ("place", space, None, Some(at)),
        Spot::Transition(space) => ("transition", space, None, Some(Place::Transition)),
        Spot::Care(space) => ("care", space, None, Some(Place::Care)),
    };
    Problem {
        children: spot.iter().map(|(_, child)| *child).collect(),
        space: Some(space),
        zone,
        at,
        needed: 1,
        ..Problem::of(SLUG, case, slice)
    }
}

fn words(day: &Day, p: &Problem) -> String {
    let (who, span) = (phrase::children(day, &p.children), p.span);
    let (space, is) = (phrase::space(day, p.space), phrase::verb(p.children.len(), "is", "are"));
    match p.case {
        "zone" => {
            format!(
                "{span}, {}: nobody has it in sight, {who} {is} there",
                phrase::zone(day, p.zone, p.space)
            )
        }
        "transition" => format!("{span}, {space}: nobody watches the transition of {who}"),
        "care" => format!("{span}, {space}: {who} {is} at the changing place without an adult"),
        _ => format!(
            "{span}, {space}, {}: nobody has it in sight, {who} {is} there",
            p.at.map_or_else(String::new, |at| phrase::place(day, at))
        ),
    }
}
