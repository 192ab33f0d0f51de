//! Where everybody stands in a block that is laid over a chart, if not as posted: the rest of the day is
//! repaired as after anything else that happens, with the block as it is laid.

use super::block::{Laid, is_never_left, is_risky};
use super::plan::{EFFORT, SEED};
use super::{BlockQuestion, Change, Washing};
use crate::chart::{AdultDay, Chart, Place, Post, cut_over};
use crate::day::{Day, Who};
use crate::planner::ChangedPlace;
use crate::planner::repair::changes;
use crate::rules::{Score, Shortfall};
use crate::site::people::NotTaken;
use crate::site::{AdultIndex, ChildIndex, Mess, Minute, SpaceIndex, Span, StationIndex};
use crate::solve::proof::Watch;
use crate::solve::repair::{Broken, posted_anew, repairs_of_use, trial};
use crate::solve::search::Steps;

/// How far it is searched on a day that is only supposed.
const STEPS: Steps = Steps { annealing: 1_500, descent: 750 };

/// What may be elsewhere than a chart has it.
#[derive(Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Moves {
    /// Nothing.
    #[default]
    None,
    /// Adults, children staying where they are.
    Posts,
    /// Everything that is to come, as little of it as may be.
    Least,
    /// Everything: nobody knows of any of it yet.
    Anything,
    /// Everything, and nothing is looked for where it cannot be enough.
    AnythingEnough,
}

/// Hands charts to `look` with the block in them and everybody where they are needed from a moment on,
/// until it says that it has seen enough; the first ones keep most of what is posted. What would leave
/// more broken than `most` is of no use.
pub(super) fn stand(
    day: &Day,
    laid: &Laid,
    question: &BlockQuestion,
    (at, most, moves): (Minute, &Shortfall, Moves),
    look: &mut dyn FnMut(Chart) -> bool,
) {
    let broken = Broken { day, posted: &laid.chart, at };
    let look = &mut |mut chart: Chart| {
        for at in question.stations.iter().filter(|at| is_risky(day, **at)) {
            lead_by_who_may(day, &mut chart, *at, question.span);
        }
        for wash in laid.washing.iter().filter(|w| is_never_left(day, w.station)) {
            stay_at(day, &mut chart, wash, question.span);
        }
        // Whoever was at the station goes along to the sinks, where nothing breaks by it.
        let mut along = chart.clone();
        for wash in laid.washing.iter().filter(|w| !is_never_left(day, w.station)) {
            go_along(day, &mut along, wash, question.span);
        }
        (along != chart && look(along)) || look(chart)
    };
    if moves == Moves::None {
        return;
    }
    if posted_anew(broken, SEED).into_iter().any(&mut *look) || moves == Moves::Posts {
        return;
    }
    let of_use = |least: &Shortfall| moves == Moves::Anything || least.may_come_within(most);
    if matches!(moves, Moves::Anything | Moves::AnythingEnough) {
        return trial(broken, SEED, STEPS, &of_use, look);
    }
    let found = repairs_of_use(broken, SEED, EFFORT, &of_use, &mut Watch::nobody());
    let score = |chart: &Chart| Score::of_rest(day, &laid.chart, at, chart);
    let mut charts: Vec<Chart> = found.charts.into_iter().map(|c| c.0).collect();
    charts.sort_by_cached_key(score);
    let _ = charts.into_iter().any(look);
}

/// Has somebody at a station with tools, heat or water who may be alone with children, where such a one
/// only watches the same space: the two change places.
fn lead_by_who_may(day: &Day, chart: &mut Chart, at: StationIndex, block: Span) {
    let station = day.station(at);
    let wet = |a: AdultIndex| day.site[a].posts_not_taken.contains(&NotTaken::Wet);
    let takes = |a: AdultIndex| day.site[a].may_be_alone && !(station.mess == Mess::Wet && wet(a));
    let posts = chart.adults.iter().flat_map(|d| d.posts.iter().map(|p| (d.adult, p)));
    let at_it = posts.filter(|(a, p)| p.at == Place::Station(at) && !day.site[*a].may_be_alone);
    let inside = at_it.filter_map(|(a, p)| Some((a, p.span.meet(block)?)));
    let inside: Vec<(AdultIndex, Span)> = inside.collect();
    for (leads, span) in inside {
        let loose = |p: &Post| only_watches(p) && p.space == station.space && p.span.holds(span);
        let other = chart.adults.iter().find(|d| takes(d.adult) && d.posts.iter().any(loose));
        let Some(other) = other.map(|d| d.adult) else { continue };
        for day in chart.adults.iter_mut().filter(|d| [leads, other].contains(&d.adult)) {
            cut_over(&mut day.posts, span.from, |p| &mut p.span);
            cut_over(&mut day.posts, span.to, |p| &mut p.span);
        }
        let find = |who: AdultIndex| {
            let day = chart.adults.iter().position(|d| d.adult == who)?;
            Some((day, chart.adults[day].posts.iter().position(|p| p.span == span)?))
        };
        let (Some(one), Some(two)) = (find(leads), find(other)) else { continue };
        let kept = chart.adults[one.0].posts[one.1].clone();
        chart.adults[one.0].posts[one.1] = chart.adults[two.0].posts[two.1].clone();
        chart.adults[two.0].posts[two.1] = kept;
    }
}

/// Whoever has been at a station that is not left stays at it while its children wash.
fn stay_at(day: &Day, chart: &mut Chart, wash: &Washing, block: Span) {
    let (at, space) = (Place::Station(wash.station), day.station(wash.station).space);
    let Some((who, washing)) = stood_before(chart, wash, block) else { return };
    let here = |p: &Post| washing.holds(p.span) && p.space == space;
    let watches = |p: &Post| p.for_child.is_none() && day.watches(p.at);
    for post in who.posts.iter_mut().filter(|p| here(p) && watches(p)) {
        *post = Post { at, zone: None, covers: None, for_child: None, ..post.clone() };
    }
}

/// Whoever has been at a station goes to the sinks with its children.
fn go_along(day: &Day, chart: &mut Chart, wash: &Washing, block: Span) {
    let from = day.station(wash.station).space;
    let Some((who, washing)) = stood_before(chart, wash, block) else { return };
    let here = |p: &Post| washing.holds(p.span) && p.space == from;
    for post in who.posts.iter_mut().filter(|p| here(p) && only_watches(p)) {
        let (at, space) = (Place::Transition, wash.space);
        *post = Post { at, space, zone: None, covers: None, ..post.clone() };
    }
}

/// Whoever is at a station until its children go to wash, with a cut where the block ends, and the time
/// in which they wash.
fn stood_before<'c>(
    chart: &'c mut Chart,
    wash: &Washing,
    block: Span,
) -> Option<(&'c mut AdultDay, Span)> {
    let washing = Span::new(wash.from, block.to)?;
    let at = Place::Station(wash.station);
    let stood = |p: &Post| p.at == at && p.span.to == washing.from;
    let who = chart.adults.iter_mut().find(|d| d.posts.iter().any(stood))?;
    cut_over(&mut who.posts, washing.to, |p| &mut p.span);
    Some((who, washing))
}

/// Whether a post only watches the children of its space, beside nobody.
fn only_watches(post: &Post) -> bool {
    let watches = matches!(post.at, Place::Zone(_) | Place::WholeGroup | Place::Outdoors);
    watches && post.for_child.is_none()
}

/// Who is elsewhere than in the chart that the block is laid over, longest stretches of it.
pub(super) fn moves(day: &Day, team: usize, laid: &Chart, now: &Chart, at: Minute) -> Vec<Change> {
    let (all, _) = changes(day, laid, now, at);
    let mut told: Vec<Change> = Vec::new();
    let mut children: Vec<(ChildIndex, &crate::planner::Change)> = Vec::new();
    for change in &all {
        let (Some(was), Some(is)) = (&change.was, &change.now) else { continue };
        if nobody_is_there(now, is.space, change.span) {
            continue;
        }
        match change.who {
            Who::Adult(_) if same_eyes(day, was, is) => {}
            // Who comes for the block goes where it takes them; the chart says nothing of them.
            Who::Adult(adult) if adult.0 < team => {
                let (to, span, instead) = (is.at, change.span, was.at);
                let to = match to {
                    Place::Transition => stood_at(&told, adult, span).map_or(to, Place::Station),
                    _ => to,
                };
                let beside = is.for_child;
                let goes_on = told.iter_mut().rev().find_map(|m| match m {
                    // Told once, whatever else the chart had on the way.
                    Change::Move { adult: a, to: t, beside: b, span: s, .. }
                        if (*a, *t, *b) == (adult, to, beside) && s.to == span.from =>
                    {
                        Some(s)
                    }
                    _ => None,
                });
                match goes_on {
                    Some(before) => before.to = span.to,
                    None => told.push(Change::Move { adult, to, instead, beside, span }),
                }
            }
            Who::Adult(_) => {}
            Who::Child(child) => children.push((child, change)),
        }
    }
    for (child, change) in children {
        let (Some(was), Some(is)) = (&change.was, &change.now) else { continue };
        let (to, instead, span) = (is.clone(), was.clone(), change.span);
        let same = told.iter_mut().find_map(|m| match m {
            Change::Elsewhere { children, to: t, instead: i, span: s }
                if (&*t, &*i, *s) == (&to, &instead, span) =>
            {
                Some(children)
            }
            _ => None,
        });
        match same {
            Some(others) => others.push(child),
            None => told.push(Change::Elsewhere { children: vec![child], to, instead, span }),
        }
    }
    told
}

/// Whether no child is in a space in a span: whoever is there then may be anywhere in it.
fn nobody_is_there(chart: &Chart, space: SpaceIndex, span: Span) -> bool {
    let mut stays = chart.children.iter().flat_map(|c| &c.stays);
    !stays.any(|s| s.space == space && s.span.meets(span))
}

/// Whether an adult at either of two places has the same children in sight and is tied to none of them.
fn same_eyes(day: &Day, was: &ChangedPlace, is: &ChangedPlace) -> bool {
    let loose = |p: &ChangedPlace| {
        let at =
            matches!(p.at, Place::Zone(_) | Place::WholeGroup | Place::Movement | Place::Outdoors);
        at && p.for_child.is_none()
    };
    let sees = |p: &ChangedPlace| {
        let (space, at, zone) = (p.space, p.at, p.zone);
        let span = Span { from: Minute(0), to: Minute::END_OF_DAY };
        day.sees(&Post { span, space, at, zone, for_child: None, covers: None })
    };
    was.space == is.space && loose(was) && loose(is) && sees(was) == sees(is)
}

/// The station from which an adult who was posted there goes to the sinks with its children.
fn stood_at(moves: &[Change], adult: AdultIndex, washing: Span) -> Option<StationIndex> {
    moves.iter().rev().find_map(|m| match m {
        Change::Move { adult: a, to: Place::Station(station), span, .. }
            if *a == adult && span.to == washing.from =>
        {
            Some(*station)
        }
        _ => None,
    })
}
