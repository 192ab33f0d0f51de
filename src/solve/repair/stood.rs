//! Everybody at the post of the posted chart, as long as that can be.

use super::Broken;
use crate::chart::{AdultDay, Chart, Place, Post};
use crate::site::{Minute, SpaceIndex, Span, slices};
use crate::solve::demand::Duties;

/// Everybody at the post of the posted chart while here; `None` where somebody is here who has no
/// post, has a duty elsewhere, or would stand where no child is any more.
pub(super) fn stood(broken: Broken<'_>, chart: &Chart, duties: &Duties) -> Option<Vec<AdultDay>> {
    let (day, at) = (broken.day, broken.at);
    let mut adults = Vec::new();
    for stood in &broken.posted.adults {
        let here = day.adult_here(stood.adult);
        let mut posts: Vec<Post> = Vec::new();
        for post in &stood.posts {
            let past = Span::new(post.span.from, post.span.to.min(at));
            let ahead = Span::new(post.span.from.max(at), post.span.to);
            let ahead: Vec<Span> = here.iter().filter_map(|h| h.meet(ahead?)).collect();
            // Nobody begins a staff break that cannot be whole, or goes back to what is left of one.
            let whole = |span: Span| {
                span.from == at.max(post.span.from) && (post.span.from < at || span == post.span)
            };
            if matches!(post.at, Place::StaffBreak(_)) && !ahead.iter().all(|s| whole(*s)) {
                return None;
            }
            for span in past.into_iter().chain(ahead) {
                let next = Post { span, ..post.clone() };
                match posts.last_mut() {
                    Some(last) if last.span.to == span.from && post.span.holds(last.span) => {
                        last.span.to = span.to;
                    }
                    _ => posts.push(next),
                }
            }
        }
        if !posts.is_empty() {
            adults.push(AdultDay { adult: stood.adult, posts });
        }
    }
    let tiled = day.adults.iter().all(|(adult, here)| {
        let posts = adults.iter().find(|a| a.adult == *adult);
        let spans: Vec<Span> = posts.map_or(&[][..], |d| &d.posts).iter().map(|p| p.span).collect();
        here.iter().filter_map(|h| Span::new(h.from.max(at), h.to)).all(|h| {
            let inside = spans.iter().filter_map(|s| s.meet(h)).map(Span::minutes);
            inside.sum::<u16>() == h.minutes()
        })
    });
    let rests = |&(adult, due, start): &(crate::site::AdultIndex, usize, Minute)| {
        let posts = adults.iter().find(|a| a.adult == adult).map_or(&[][..], |d| &d.posts);
        posts.iter().any(|p| p.at == Place::StaffBreak(due) && p.span.from == start)
    };
    let held = duties.held.iter().any(|h| h.2.to > at);
    let idle = |post: &Post| post.span.to > at && !with_somebody(chart, post);
    if adults.iter().flat_map(|a| &a.posts).any(idle) {
        return None;
    }
    let stands = tiled && !held && duties.breaks.iter().all(rests);
    (stands && !stands_apart(chart, &adults, at)).then_some(adults)
}

/// Whether a post at a station, at care or beside one child has a child there.
fn with_somebody(chart: &Chart, post: &Post) -> bool {
    let stays = chart.children.iter().flat_map(|c| c.stays.iter().map(|s| (c.child, s)));
    let mut there = stays.filter(|(_, s)| s.span.meets(post.span) && s.space == post.space);
    match (post.for_child, post.at) {
        (Some(child), _) => there.any(|(c, _)| c == child),
        (None, Place::Station(station)) => there.any(|(_, s)| match s.at {
            Place::Choice(k) => chart.choices.get(k.0).is_some_and(|c| c.open.contains(&station)),
            at => at == post.at,
        }),
        (None, Place::Care) => there.any(|(_, s)| s.at == Place::Care),
        _ => true,
    }
}

/// Whether somebody stands in a space without children while children are in another one without
/// anybody.
fn stands_apart(chart: &Chart, adults: &[AdultDay], at: Minute) -> bool {
    let here = |post: &&Post| !matches!(post.at, Place::StaffBreak(_) | Place::Task(_));
    let posts = || adults.iter().flat_map(|a| &a.posts).filter(here).map(|p| (p.space, p.span));
    let stays = || chart.children.iter().flat_map(|c| &c.stays).map(|s| (s.space, s.span));
    let edges = posts().chain(stays()).flat_map(|(_, s)| [s.from, s.to]).filter(|e| *e >= at);
    slices(edges.chain([at])).into_iter().any(|span| {
        let now = |(space, s): (SpaceIndex, Span)| s.holds(span).then_some(space);
        let with = |space| posts().filter_map(now).any(|s| s == space);
        let among = |space| stays().filter_map(now).any(|s| s == space);
        stays().filter_map(now).any(|space| !with(space))
            && posts().filter_map(now).any(|space| !among(space))
    })
}
