//! Children with whom no adult is.

use super::Problem;
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::{Minute, SpaceIndex, Span, slices};

/// Children of a space in which no adult is, though one may be in another space.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Alone {
    /// Where.
    pub space: SpaceIndex,
    /// When.
    pub span: Span,
    /// How many.
    pub children: usize,
}

/// When children are in a space and no adult is with them there, from a moment on, by time and then
/// by space; who is held up, on a staff break or at a task that does not watch is with nobody.
#[must_use]
pub fn alone(day: &Day, chart: &Chart, at: Minute) -> Vec<Alone> {
    // Who is changed where nobody of the space sees it is there by itself.
    let side = |space: SpaceIndex, place: Place| (space, day.is_by_itself(space, place));
    let stays = || chart.children.iter().flat_map(|c| &c.stays).filter(|s| s.span.to > at);
    let posts = || chart.adults.iter().flat_map(|a| &a.posts).filter(|p| day.watches(p.at));
    let mut sides: Vec<(SpaceIndex, bool)> = stays().map(|s| side(s.space, s.at)).collect();
    sides.sort_unstable();
    sides.dedup();
    let mut found: Vec<Alone> = Vec::new();
    for here in sides {
        let space = here.0;
        let stays = || stays().filter(|s| side(s.space, s.at) == here).map(|s| s.span);
        let posts = || posts().filter(|p| side(p.space, p.at) == here).map(|p| p.span);
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
