//! Changes that are worth trying, from what is broken.

use super::floor::runs;
use super::step::{Given, Step};
use crate::chart::{BlockKind, Chart, Place};
use crate::day::{Day, ExtraAdult};
use crate::rules::Problem;
use crate::site::{AdultIndex, MealKind, Minute, SpaceIndex, Span};

/// How far a meal is shifted, in minutes, nearest first.
const SHIFTS: [i16; 6] = [-5, 5, -10, 10, -15, 15];
/// Id of an adult who comes in.
const EXTRA: &str = "extra-adult";

/// Every single change to be tried, the least disturbing kind first. Closing a station is none of
/// them: the repair itself leaves a station out where that helps.
pub(super) fn candidates(day: &Day, given: &Given, broken: &[Problem]) -> Vec<Step> {
    let Some(hull) = hull(given.at, broken) else { return Vec::new() };
    let mut steps = Vec::new();
    for (adult, _) in &day.adults {
        for due in 0..given.day.site.adults.get(adult.0).map_or(0, |a| a.breaks.len()) {
            if break_start(&given.posted, *adult, due).is_none_or(|from| from >= given.at) {
                steps.push(Step::MoveBreak { adult: *adult, due, from: None });
            }
        }
    }
    for meal in meals_ahead(&given.posted, given.at, hull) {
        steps.extend(SHIFTS.iter().map(|&minutes| Step::ShiftMeal { meal, minutes }));
    }
    let groups = &given.posted.groups;
    for (i, group) in groups.iter().enumerate() {
        let others = groups
            .iter()
            .enumerate()
            .filter(|(j, other)| *j != i && (other.children.len(), *j) > (group.children.len(), i));
        steps.extend(
            others.map(|(_, into)| Step::MergeGroups {
                group: group.id.clone(),
                into: into.id.clone(),
            }),
        );
    }
    steps.extend(floors(day, given, hull));
    steps.extend(helpers(day, given));
    steps.push(Step::ExtraAdult(extra(day, given.at)));
    steps
}

/// From the first to the last minute in which something is broken, the past left out.
fn hull(at: Minute, broken: &[Problem]) -> Option<Span> {
    let from = broken.iter().map(|p| p.span.from.max(at)).min()?;
    let to = broken.iter().map(|p| p.span.to).max()?;
    Span::new(from, to)
}

/// When a staff break begins on a chart.
pub(super) fn break_start(chart: &Chart, adult: AdultIndex, due: usize) -> Option<Minute> {
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

/// Ways to use the floor otherwise: the young or the older groups, or one group, in another space;
/// everybody at home; the cots elsewhere.
fn floors(day: &Day, given: &Given, hull: Span) -> Vec<Step> {
    let room = &day.site[day.room];
    let indoors: Vec<SpaceIndex> =
        room.spaces.iter().copied().filter(|s| *s != room.home && !day.site[*s].outdoors).collect();
    let groups = &given.posted.groups;
    let young = |g: &&crate::chart::Group| g.children.iter().any(|&c| day.is_young(c));
    let ids = |some: Vec<&crate::chart::Group>| -> Vec<String> {
        some.into_iter().map(|g| g.id.clone()).collect()
    };
    let mut parts: Vec<Vec<String>> = vec![
        ids(groups.iter().filter(young).collect()),
        ids(groups.iter().filter(|g| !young(g)).collect()),
    ];
    parts.extend(groups.iter().map(|g| vec![g.id.clone()]));
    parts.retain(|p| !p.is_empty() && p.len() < groups.len());
    parts.dedup();
    let mut steps = Vec::new();
    // From when it goes wrong until it is right again, in whole turns and choices.
    let span = runs(&given.posted, hull);
    let whole = span.first().zip(span.last()).map(|(a, b)| Span { from: a.from, to: b.to });
    let Some(span) = whole else { return cots(day, given, &indoors) };
    for &space in &indoors {
        for groups in &parts {
            steps.push(Step::SplitFloor { groups: groups.clone(), space, span });
        }
    }
    steps.extend(indoors.iter().map(|&space| Step::JoinFloor { space, span }));
    steps.extend(cots(day, given, &indoors));
    steps
}

fn cots(day: &Day, given: &Given, indoors: &[SpaceIndex]) -> Vec<Step> {
    let Some(rest) = given.day.schedule.rest.as_ref() else { return Vec::new() };
    let home = day.site[day.room].home;
    let others = indoors.iter().chain([&home]).filter(|s| **s != rest.space);
    others.map(|&space| Step::MoveCots { space }).collect()
}

/// Adults of the team who are not here for all of the rest of the day.
fn helpers(day: &Day, given: &Given) -> Vec<Step> {
    let close = day.schedule.open.to;
    let mut steps = Vec::new();
    for (i, adult) in day.site.adults.iter().enumerate().take(given.day.site.adults.len()) {
        let who = AdultIndex(i);
        let works_here = adult.floater || adult.rooms.contains(&day.room);
        if !works_here {
            continue;
        }
        let here = day.adult_here(who);
        let span = match here.last() {
            None => Span::new(given.at, close),
            Some(last) => Span::new(last.to.max(given.at), close),
        };
        steps.extend(span.map(|span| Step::AdultOfTheTeam { adult: who, span }));
        if let Some(first) = here.first()
            && let Some(span) = Span::new(given.at, first.from)
        {
            steps.push(Step::AdultOfTheTeam { adult: who, span });
        }
    }
    steps
}

/// Somebody who can do everything that is asked for, for the rest of the day.
fn extra(day: &Day, at: Minute) -> ExtraAdult {
    let mut qualifications: Vec<String> =
        day.site.adults.iter().flat_map(|a| a.qualifications.iter().cloned()).collect();
    qualifications.sort();
    qualifications.dedup();
    ExtraAdult {
        id: EXTRA.into(),
        label: "Extra adult".into(),
        span: Span::new(at, day.schedule.open.to),
        counts: true,
        may_be_alone: true,
        lead: true,
        first_aid: true,
        qualifications,
    }
}
