//! What is not as posted: who is where instead of where, and when.

use crate::chart::{BlockKind, Chart, Place as At, Post, Stay};
use crate::day::{Day, Who};
use crate::site::{ChildIndex, Minute, SpaceIndex, Span, StationIndex, ZoneIndex, slices};

/// Where somebody is, on either chart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Place {
    /// Space.
    pub space: SpaceIndex,
    /// At what.
    pub at: At,
    /// Zone, where `at` does not say it.
    pub zone: Option<ZoneIndex>,
    /// Stations that are open, where `at` is a choice.
    pub open: Vec<StationIndex>,
    /// The child whom an adult is beside.
    pub for_child: Option<ChildIndex>,
}

/// One person at another place than posted, for a while.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change {
    /// Who.
    pub who: Who,
    /// When.
    pub span: Span,
    /// Where the posted chart has that one; `None`: not here.
    pub was: Option<Place>,
    /// Where that one is now; `None`: not here.
    pub now: Option<Place>,
}

/// What of the rest of the day is as posted.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Unchanged {
    /// Groups, by position in the chart, all of whose children stay where they were posted.
    pub groups: Vec<usize>,
    /// Kinds of blocks still to come at whose time no child is elsewhere than posted.
    pub blocks: Vec<BlockKind>,
    /// Adults who keep all their posts.
    pub adults: Vec<crate::site::AdultIndex>,
}

/// Everybody's changes from a moment on, by time and then by person, and what is unchanged.
#[must_use]
pub fn changes(day: &Day, posted: &Chart, now: &Chart, at: Minute) -> (Vec<Change>, Unchanged) {
    let mut changes = Vec::new();
    let children = posted.children.iter().chain(&now.children).map(|c| Who::Child(c.child));
    let adults = posted.adults.iter().chain(&now.adults).map(|a| Who::Adult(a.adult));
    let mut everybody: Vec<Who> = children.chain(adults).collect();
    everybody.sort_unstable();
    everybody.dedup();
    for who in everybody {
        changes.extend(of_one(who, posted, now, at));
    }
    changes.sort_by_key(|c| (c.span, c.who));
    let unchanged = unchanged(day, now, at, &changes);
    (changes, unchanged)
}

fn of_one(who: Who, posted: &Chart, now: &Chart, at: Minute) -> Vec<Change> {
    let (before, after) = (way(who, posted), way(who, now));
    let edges = before.iter().chain(&after).flat_map(|(s, _)| [s.from, s.to]).chain([at]);
    let mut found: Vec<Change> = Vec::new();
    for span in slices(edges).into_iter().filter(|s| s.from >= at) {
        let place = |way: &[(Span, Place)]| {
            way.iter().find(|(s, _)| s.holds(span)).map(|(_, place)| place.clone())
        };
        let (was, is) = (place(&before), place(&after));
        if same(was.as_ref(), is.as_ref()) {
            continue;
        }
        match found.last_mut() {
            // Who is not here is not here, whatever was to be done meanwhile.
            Some(last)
                if last.span.to == span.from
                    && last.now == is
                    && (last.was == was || (is.is_none() && was.is_some())) =>
            {
                last.span.to = span.to;
            }
            _ => found.push(Change { who, span, was, now: is }),
        }
    }
    found
}

/// Two places that are the same for whoever is there: what is open for choice may be less.
fn same(one: Option<&Place>, other: Option<&Place>) -> bool {
    match (one, other) {
        (Some(a), Some(b)) if matches!((a.at, b.at), (At::Choice(_), At::Choice(_))) => {
            a.space == b.space && (a.open == b.open || a.open.iter().any(|s| b.open.contains(s)))
        }
        (a, b) => a == b,
    }
}

fn way(who: Who, chart: &Chart) -> Vec<(Span, Place)> {
    match who {
        Who::Child(child) => {
            let stays = chart.child(child).map_or(&[][..], |c| &c.stays);
            stays.iter().map(|s| (s.span, of_stay(chart, s))).collect()
        }
        Who::Adult(adult) => {
            let posts = chart.adult(adult).map_or(&[][..], |a| &a.posts);
            posts.iter().map(|p| (p.span, of_post(p))).collect()
        }
    }
}

fn of_stay(chart: &Chart, stay: &Stay) -> Place {
    let open = match stay.at {
        At::Choice(k) => chart.choices.get(k.0).map_or_else(Vec::new, |c| c.open.clone()),
        _ => Vec::new(),
    };
    Place { space: stay.space, at: stay.at, zone: stay.zone, open, for_child: None }
}

fn of_post(post: &Post) -> Place {
    let Post { space, at, zone, for_child, .. } = *post;
    Place { space, at, zone, open: Vec::new(), for_child }
}

fn unchanged(day: &Day, now: &Chart, at: Minute, changes: &[Change]) -> Unchanged {
    // Who has left is not moved.
    let moved = |c: &&Change| c.was.is_some() && c.now.is_some();
    let children: Vec<(ChildIndex, Span)> = changes
        .iter()
        .filter(moved)
        .filter_map(|c| match c.who {
            Who::Child(child) => Some((child, c.span)),
            Who::Adult(_) => None,
        })
        .collect();
    let ahead = Span { from: at, to: Minute::END_OF_DAY };
    let comes = |c: &ChildIndex| day.child_here(*c).iter().any(|h| h.meets(ahead));
    let groups = now.groups.iter().enumerate().filter(|(_, g)| {
        // Whoever goes, or comes, is missed, or new, in the group.
        let still = |c: &ChildIndex| !changes.iter().any(|m| m.who == Who::Child(*c));
        g.children.iter().any(comes) && g.children.iter().all(still)
    });
    let mut blocks: Vec<BlockKind> = Vec::new();
    let to_come = now.blocks.iter().filter(|b| b.span.to > at && b.kind != BlockKind::Transition);
    for block in to_come {
        let kind = block.kind;
        let touched = now
            .blocks
            .iter()
            .filter(|b| b.kind == kind && b.span.to > at)
            .any(|b| children.iter().any(|(_, span)| span.meets(b.span)));
        if !touched && !blocks.contains(&kind) {
            blocks.push(kind);
        }
    }
    let stays = |a: &crate::site::AdultIndex| !changes.iter().any(|c| c.who == Who::Adult(*a));
    let adults = day.adults.iter().filter(|(_, here)| here.iter().any(|h| h.meets(ahead)));
    Unchanged {
        groups: groups.map(|(g, _)| g).collect(),
        blocks,
        adults: adults.map(|(a, _)| *a).filter(stays).collect(),
    }
}
