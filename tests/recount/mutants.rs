//! Charts made slightly wrong, as a hurried hand or a bug would make them.

use fairturn::chart::{Chart, Place, State, Stay};
use fairturn::site::{MealKind, Minute, Span};

/// Ways to make a chart wrong.
#[derive(Clone, Copy, Debug)]
pub enum Change {
    /// An edge between two stays of a child, five minutes earlier or later.
    StayEdge,
    /// An edge between two posts of an adult, five minutes earlier or later.
    PostEdge,
    /// Two children do each other's day.
    SwapChildren,
    /// Two adults do each other's day.
    SwapAdults,
    /// A post is missing.
    DropPost,
    /// A stay is missing.
    DropStay,
    /// A stay is where another stay of the chart is.
    MoveStay,
    /// A post is where another post of the chart is.
    MovePost,
    /// A child is in another small group.
    MoveMember,
    /// Awake, resting and asleep are mixed up in one stay.
    State,
    /// A post is for one child alone.
    OwnChild,
    /// A stay at a table is not for eating, or for another meal.
    Meal,
}

/// Every way.
pub const CHANGES: [Change; 12] = [
    Change::StayEdge,
    Change::PostEdge,
    Change::SwapChildren,
    Change::SwapAdults,
    Change::DropPost,
    Change::DropStay,
    Change::MoveStay,
    Change::MovePost,
    Change::MoveMember,
    Change::State,
    Change::OwnChild,
    Change::Meal,
];

/// A changed chart; which place is changed follows from `chance`. `None` where there is no such
/// place.
pub fn mutant(chart: &Chart, change: Change, chance: u64) -> Option<Chart> {
    let mut chart = chart.clone();
    let mut chance = chance;
    let mut pick = |count: usize| -> Option<usize> {
        let at = (count > 0).then(|| (chance % count.max(1) as u64) as usize);
        chance =
            chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407)
                >> 3;
        at
    };
    match change {
        Change::StayEdge => {
            let child = pick(chart.children.len())?;
            let later = pick(2)? == 1;
            let stays = &mut chart.children[child].stays;
            let at = pick(stays.len().saturating_sub(1))?;
            let (a, b) = shifted(stays[at].span, stays[at + 1].span, later)?;
            (stays[at].span, stays[at + 1].span) = (a, b);
        }
        Change::PostEdge => {
            let adult = pick(chart.adults.len())?;
            let later = pick(2)? == 1;
            let posts = &mut chart.adults[adult].posts;
            let at = pick(posts.len().saturating_sub(1))?;
            let (a, b) = shifted(posts[at].span, posts[at + 1].span, later)?;
            (posts[at].span, posts[at + 1].span) = (a, b);
        }
        Change::SwapChildren => {
            let (a, b) = (pick(chart.children.len())?, pick(chart.children.len())?);
            let (first, second) = (chart.children[a].child, chart.children[b].child);
            (chart.children[a].child, chart.children[b].child) = (second, first);
        }
        Change::SwapAdults => {
            let (a, b) = (pick(chart.adults.len())?, pick(chart.adults.len())?);
            // Staff breaks are numbered by adult, one-to-one posts name an adult's child.
            let alike = |x: usize| {
                let posts = &chart.adults[x].posts;
                posts.iter().all(|p| {
                    p.for_child.is_none() && !matches!(p.at, Place::StaffBreak(which) if which > 0)
                })
            };
            if !(alike(a) && alike(b)) {
                return None;
            }
            let (first, second) = (chart.adults[a].adult, chart.adults[b].adult);
            (chart.adults[a].adult, chart.adults[b].adult) = (second, first);
        }
        Change::DropPost => {
            let adult = pick(chart.adults.len())?;
            let at = pick(chart.adults[adult].posts.len())?;
            chart.adults[adult].posts.remove(at);
        }
        Change::DropStay => {
            let child = pick(chart.children.len())?;
            let at = pick(chart.children[child].stays.len())?;
            chart.children[child].stays.remove(at);
        }
        Change::MoveStay => {
            let (child, other) = (pick(chart.children.len())?, pick(chart.children.len())?);
            let from = pick(chart.children[other].stays.len())?;
            let model = chart.children[other].stays[from].clone();
            let at = pick(chart.children[child].stays.len())?;
            let stay = &mut chart.children[child].stays[at];
            let span = stay.span;
            *stay = model;
            stay.span = span;
        }
        Change::MovePost => {
            let adult = pick(chart.adults.len())?;
            let from = pick(chart.adults[adult].posts.len())?;
            let model = chart.adults[adult].posts[from].clone();
            let at = pick(chart.adults[adult].posts.len())?;
            let post = &mut chart.adults[adult].posts[at];
            let span = post.span;
            *post = model;
            post.span = span;
        }
        Change::State => {
            let child = pick(chart.children.len())?;
            let at = pick(chart.children[child].stays.len())?;
            let to = [State::Awake, State::Resting, State::Asleep][pick(3)?];
            chart.children[child].stays[at].state = to;
        }
        Change::OwnChild => {
            let (adult, child) = (pick(chart.adults.len())?, pick(chart.children.len())?);
            let at = pick(chart.adults[adult].posts.len())?;
            chart.adults[adult].posts[at].for_child = Some(chart.children[child].child);
        }
        Change::Meal => {
            let child = pick(chart.children.len())?;
            let mut seated: Vec<&mut Stay> =
                chart.children[child].stays.iter_mut().filter(|s| s.meal.is_some()).collect();
            let at = pick(seated.len())?;
            let kinds = [None, Some(MealKind::MorningSnack), Some(MealKind::Lunch)];
            seated[at].meal = kinds[pick(3)?];
        }
        Change::MoveMember => {
            let (from, to) = (pick(chart.groups.len())?, pick(chart.groups.len())?);
            let at = pick(chart.groups[from].children.len())?;
            let child = chart.groups[from].children.remove(at);
            chart.groups[to].children.push(child);
        }
    }
    Some(chart)
}

/// The common edge of two spans that follow each other, moved by five minutes.
fn shifted(first: Span, second: Span, later: bool) -> Option<(Span, Span)> {
    if first.to != second.from {
        return None;
    }
    let edge = if later { Minute(first.to.0 + 5) } else { Minute(first.to.0 - 5) };
    Some((Span::new(first.from, edge)?, Span::new(edge, second.to)?))
}
