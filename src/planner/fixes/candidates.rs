//! Changes that are worth trying, from what is broken.

use crate::chart::{BlockKind, Chart, Group, Place, State};
use crate::day::{Day, ExtraAdult, Happening, Who};
use crate::planner::edit::floor::{self, runs};
use crate::planner::edit::{Edit, Given};
use crate::planner::repair::Repaired;
use crate::rules::Problem;
use crate::site::{AdultIndex, ChildIndex, MealKind, Minute, SpaceIndex, Span};
use chrono::Datelike;

/// How far a meal is shifted, in minutes, nearest first.
const SHIFTS: [i16; 6] = [-5, 5, -10, 10, -15, 15];
/// More groups than this are not moved to another space pair by pair.
const FEW_GROUPS: usize = 5;

/// Every single change to be tried, the least disturbing kind first. Closing a station is none of
/// them: the repair itself leaves a station out where that helps.
pub(super) fn candidates(given: &Given, repaired: &Repaired, broken: &[Problem]) -> Vec<Edit> {
    let day = &repaired.day;
    let Some(hull) = hull(given.at, broken) else { return Vec::new() };
    let mut edits = Vec::new();
    for (adult, here) in &day.adults {
        let goes_on = here.iter().any(|h| h.to > given.at);
        for (due, facts) in day.site[*adult].breaks.iter().enumerate() {
            let ahead = break_start(&given.posted, *adult, due).is_none_or(|from| from >= given.at);
            let can_be = goes_on && here.iter().any(|h| h.meets(facts.window));
            // One that was begun and could not be had to its end is still owed.
            let lacks = |p: &Problem| {
                p.adults == [*adult] && p.at == Some(Place::StaffBreak(due)) && p.span.to > given.at
            };
            if (ahead || broken.iter().any(lacks)) && can_be {
                edits.push(Edit::MoveBreak { adult: *adult, due, from: None });
            }
        }
    }
    for meal in meals_ahead(&given.posted, given.at, hull) {
        edits.extend(SHIFTS.iter().map(|&minutes| Edit::ShiftMeal { meal, minutes }));
    }
    let mut groups: Vec<&Group> = given.posted.groups.iter().collect();
    groups.sort_by_key(|g| g.children.len());
    for (i, group) in groups.iter().enumerate() {
        let (group, others) = (group.id.clone(), &groups[i + 1..]);
        let into = others.iter().map(|other| other.id.clone());
        edits.extend(into.map(|into| Edit::MergeGroups { group: group.clone(), into }));
    }
    edits.extend(floors(day, given, hull));
    edits.extend(helpers(day, given));
    edits.extend(extra(day, given).map(Edit::ExtraAdult));
    edits
}

/// From the first to the last minute in which something is broken, the past left out.
pub(super) fn hull(at: Minute, broken: &[Problem]) -> Option<Span> {
    let from = broken.iter().map(|p| p.span.from.max(at)).min()?;
    let to = broken.iter().map(|p| p.span.to).max()?;
    Span::new(from, to)
}

/// When a staff break begins on a chart.
fn break_start(chart: &Chart, adult: AdultIndex, due: usize) -> Option<Minute> {
    let posts = &chart.adult(adult)?.posts;
    posts.iter().find(|p| p.at == Place::StaffBreak(due)).map(|p| p.span.from)
}

/// Meals still to come that lie near what is broken.
fn meals_ahead(chart: &Chart, at: Minute, hull: Span) -> Vec<MealKind> {
    let near = Span { from: hull.from.earlier(30), to: hull.to.later(30) };
    let mut meals: Vec<MealKind> = chart
        .blocks
        .iter()
        .filter(|b| b.span.from > at && b.span.meets(near))
        .filter_map(|b| if let BlockKind::Meal(kind) = b.kind { Some(kind) } else { None })
        .collect();
    meals.dedup();
    meals
}

/// Ways to use the floor otherwise: one group, two, the young or the older ones, in another space;
/// everybody at home; the cots elsewhere.
fn floors(day: &Day, given: &Given, hull: Span) -> Vec<Edit> {
    let room = &day.site[day.room];
    let indoors: Vec<SpaceIndex> =
        room.spaces.iter().copied().filter(|s| *s != room.home && !day.site[*s].outdoors).collect();
    let mut edits = Vec::new();
    // From when it goes wrong until it is right again, in whole turns and choices.
    let mut runs = runs(&given.posted, hull, given.at);
    if runs.is_empty() {
        // A meal that is shifted brings the turns and choices beside it here.
        let shift = SHIFTS.iter().map(|s| s.unsigned_abs()).max().unwrap_or(0);
        let near = Span { from: hull.from.earlier(shift), to: hull.to.later(shift) };
        runs = floor::runs(&given.posted, near, given.at);
    }
    if let Some((first, last)) = runs.first().zip(runs.last()) {
        let span = Span { from: first.from, to: last.to };
        for &space in &indoors {
            for groups in parts(day, &given.posted.groups) {
                edits.push(Edit::SplitFloor { groups, space, span });
            }
        }
        edits.extend(indoors.iter().map(|&space| Edit::JoinFloor { space, span }));
    }
    edits.extend(joined_in_rest(day, given, hull));
    let to = || indoors.iter().chain([&room.home]).copied();
    for child in one_of_each_who_lies(day, given, hull) {
        edits.extend(to().map(|space| Edit::MoveCot { child, space }));
    }
    let rest = given.day.schedule.rest.as_ref();
    for rest in rest.into_iter().filter(|rest| rest.window.to > given.at) {
        let others = to().filter(|s| *s != rest.space);
        edits.extend(others.map(|space| Edit::MoveCots { space }));
    }
    edits
}

/// Whoever is awake in a rest and elsewhere than the cots is with the others from when it goes wrong.
fn joined_in_rest(day: &Day, given: &Given, hull: Span) -> Vec<Edit> {
    let Some(cots) = day.schedule.rest.as_ref().map(|rest| rest.space) else { return Vec::new() };
    let mut edits = Vec::new();
    let rests = given.posted.blocks.iter().filter(|b| b.kind == BlockKind::Rest);
    for rest in rests.filter(|b| b.span.meets(hull)) {
        let stays = given.posted.children.iter().flat_map(|c| &c.stays);
        let awake = stays.filter(|s| matches!(s.at, Place::Choice(_)) && s.space != cots);
        let mut left: Vec<SpaceIndex> =
            awake.filter(|s| rest.span.holds(s.span)).map(|s| s.space).collect();
        left.sort_unstable();
        left.dedup();
        for space in left {
            let other = if space == day.site[day.room].home { cots } else { space };
            let leaves = hull.from.earlier(floor::minutes_over(day, other));
            let from = leaves.max(rest.span.from).max(given.at);
            let span = Span::new(from, rest.span.to);
            edits.extend(span.map(|span| Edit::JoinFloor { space, span }));
        }
    }
    edits
}

/// Of the children who are to lie down while something is broken, one of those who lie alike: as long,
/// as near to sleep, as young.
fn one_of_each_who_lies(day: &Day, given: &Given, hull: Span) -> Vec<ChildIndex> {
    type Lies = Vec<(Span, SpaceIndex, State)>;
    let mut seen: Vec<(Lies, bool, bool)> = Vec::new();
    let mut each = Vec::new();
    for child in &given.posted.children {
        let lies = child.stays.iter().filter(|s| s.at == Place::Rest && s.span.from >= given.at);
        let lies: Vec<_> = lies.map(|s| (s.span, s.space, s.state)).collect();
        let own = day.site[child.child].one_to_one.is_some();
        let alike = (lies, day.is_young(child.child), own);
        if alike.0.iter().any(|(span, ..)| span.meets(hull)) && !seen.contains(&alike) {
            seen.push(alike);
            each.push(child.child);
        }
    }
    each
}

/// Sets of groups that may go elsewhere, by their ids, the smallest first.
fn parts(day: &Day, groups: &[Group]) -> Vec<Vec<String>> {
    let young = |g: &&Group| day.any_young(&g.children);
    let ids = |some: Vec<&Group>| some.into_iter().map(|g| g.id.clone()).collect::<Vec<String>>();
    let mut parts: Vec<Vec<String>> = groups.iter().map(|g| vec![g.id.clone()]).collect();
    if groups.len() <= FEW_GROUPS {
        for (i, one) in groups.iter().enumerate() {
            parts
                .extend(groups[i + 1..].iter().map(|other| vec![one.id.clone(), other.id.clone()]));
        }
    }
    parts.push(ids(groups.iter().filter(young).collect()));
    parts.push(ids(groups.iter().filter(|g| !young(g)).collect()));
    parts.retain(|p| !p.is_empty() && p.len() < groups.len());
    parts.sort_by_key(Vec::len);
    let mut seen: Vec<Vec<String>> = Vec::new();
    parts.retain(|p| {
        let new = !seen.contains(p);
        seen.push(p.clone());
        new
    });
    parts
}

/// When somebody who is not in the house can be with the children, once called.
pub(super) fn called(day: &Day, at: Minute) -> Minute {
    match day.site.settings.minutes_to_come_in {
        0 => at,
        minutes => Minute((at.0 + minutes).next_multiple_of(crate::solve::GRID)),
    }
}

/// Adults of the team who could be here when they are not: after their shift, before it, or all day
/// where it is not one of theirs. Nobody is fetched who is away for a reason.
fn helpers(day: &Day, given: &Given) -> Vec<Edit> {
    let (at, close) = (given.at, day.closes());
    let weekday = day.date.weekday().num_days_from_monday() as usize;
    let mut edits = Vec::new();
    for adult in given.day.site.adults_of(day.room) {
        let facts = &day.site[adult];
        let here = day.adult_here(adult);
        let told = |what: &Happening| match what {
            Happening::Away { who, .. }
            | Happening::Late { who, .. }
            | Happening::Leaving { who, .. } => *who == Who::Adult(adult),
            _ => false,
        };
        let leaves = |end: Minute| {
            day.happened.iter().any(|h| match h.what {
                Happening::Away { who, span } if who == Who::Adult(adult) => {
                    span.is_none_or(|span| span.from <= end && end < span.to)
                }
                Happening::Leaving { who, at } => who == Who::Adult(adult) && at == end,
                _ => false,
            })
        };
        let usual = &facts.shifts[weekday];
        let usual = usual.first().zip(usual.last()).map(|(a, b)| Span { from: a.from, to: b.to });
        let missing = day.happened.iter().any(|h| told(&h.what));
        let span = match (here.first().zip(here.last()), usual) {
            (Some((first, last)), _) => {
                let goes_early = usual.is_some_and(|u| last.to < u.to) || leaves(last.to);
                let stays = Span::new(last.to, close).filter(|_| !goes_early && last.to >= at);
                let comes_late = missing || usual.is_some_and(|u| first.from > u.from.later(15));
                let before = Span::new(called(day, at), first.from).filter(|_| !comes_late);
                edits.extend(before.map(|span| Edit::AdultOfTheTeam { adult, span }));
                stays
            }
            (None, None) if !missing => Span::new(called(day, at), close),
            (None, _) => None,
        };
        edits.extend(span.map(|span| Edit::AdultOfTheTeam { adult, span }));
    }
    edits
}

/// Somebody who can do everything that may be asked for, from when a call brings one.
fn extra(day: &Day, given: &Given) -> Option<ExtraAdult> {
    let mut qualifications: Vec<String> =
        day.site.adults.iter().flat_map(|a| a.qualifications.iter().cloned()).collect();
    qualifications.sort();
    qualifications.dedup();
    let taken =
        |id: &str, label: &str| day.site.adults.iter().any(|a| a.id == id || a.label == label);
    let names = (1..).map(|n| match n {
        1 => ("extra-adult".to_owned(), "Extra adult".to_owned()),
        n => (format!("extra-adult-{n}"), format!("Extra adult {n}")),
    });
    let (id, label) = names.into_iter().find(|(id, label)| !taken(id, label))?;
    Some(ExtraAdult {
        id,
        label,
        span: Some(Span::new(called(day, given.at), day.closes())?),
        counts: true,
        may_be_alone: true,
        lead: true,
        first_aid: true,
        qualifications,
    })
}
