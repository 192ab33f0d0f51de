//! Children with whom no adult is.

use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::rules::{self, Problem};
use crate::site::{Minute, SpaceIndex, Span, slices};

/// Children of a space in which no adult is, though one may be in another space.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Alone {
    pub space: SpaceIndex,
    pub span: Span,
    pub children: usize,
}

/// When children are in a space and no adult is with them there, from a moment on, by time and then
/// by space; who is held up, on a staff break or at a task that does not watch is with nobody.
pub(super) fn alone(day: &Day, chart: &Chart, at: Minute) -> Vec<Alone> {
    let stays = || chart.children.iter().flat_map(|c| &c.stays).filter(|s| s.span.to > at);
    let is_with = |place: Place| match place {
        Place::StaffBreak(_) => false,
        Place::Task(task) => day.schedule.tasks.get(task).is_some_and(|t| t.watching),
        _ => true,
    };
    let posts = || chart.adults.iter().flat_map(|a| &a.posts).filter(|p| is_with(p.at));
    let mut spaces: Vec<SpaceIndex> = stays().map(|s| s.space).collect();
    spaces.sort_unstable();
    spaces.dedup();
    let mut found: Vec<Alone> = Vec::new();
    for space in spaces {
        let stays = || stays().filter(|s| s.space == space).map(|s| s.span);
        let posts = || posts().filter(|p| p.space == space).map(|p| p.span);
        let edges = stays().chain(posts()).flat_map(|s| [s.from, s.to]).chain([at]);
        for span in slices(edges).into_iter().filter(|s| s.from >= at) {
            let children = stays().filter(|s| s.holds(span)).count();
            if children > 0 && !posts().any(|p| p.holds(span)) {
                found.push(Alone { space, span, children });
            }
        }
    }
    found.sort_by_key(|a| (a.span, a.space));
    found
}

/// Minutes of children in a space without any adult from a moment on, then person-minutes of shortfall
/// by rule of some problems: what is the worse of two charts is told by the first that differs. While
/// no adult is with any of the children nothing else matters.
pub(super) fn shortfall(day: &Day, chart: &Chart, at: Minute, problems: &[Problem]) -> Vec<u64> {
    let minutes = |a: Alone| a.children as u64 * u64::from(a.span.minutes());
    let mut found = vec![alone(day, chart, at).into_iter().map(minutes).sum()];
    let (_, others) = unattended(day, chart, problems, at);
    found.extend(rules::shortfall(others));
    found
}

/// When children are here and no adult is, or only such as are held up, from a moment on, and those of
/// some problems that do not lie in that: while nobody is there nothing else is to be told.
#[must_use]
pub fn unattended<'p>(
    day: &Day,
    chart: &Chart,
    problems: impl IntoIterator<Item = &'p Problem>,
    at: Minute,
) -> (Vec<Span>, Vec<&'p Problem>) {
    let nobody = nobody_there(day, chart, at);
    let apart = |problem: &&Problem| !nobody.iter().any(|span| span.holds(problem.span));
    let others = problems.into_iter().filter(apart).collect();
    (nobody, others)
}

fn nobody_there(day: &Day, chart: &Chart, at: Minute) -> Vec<Span> {
    let held: Vec<Place> = day.held_up().iter().map(|h| Place::Task(h.1)).collect();
    let stays = || chart.children.iter().flat_map(|c| &c.stays).map(|s| s.span);
    let posts = || chart.adults.iter().flat_map(|a| &a.posts);
    let posts = || posts().filter(|p| !held.contains(&p.at)).map(|p| p.span);
    let edges = stays().chain(posts()).flat_map(|s| [s.from, s.to]).chain([at]);
    let mut found: Vec<Span> = Vec::new();
    for span in slices(edges).into_iter().filter(|s| s.from >= at) {
        if stays().any(|s| s.holds(span)) && !posts().any(|p| p.holds(span)) {
            match found.last_mut() {
                Some(last) if last.to == span.from => last.to = span.to,
                _ => found.push(span),
            }
        }
    }
    found
}
