//! Posts that stand already: kept before a moment, followed after it.

use super::slice::{NOWHERE, Slice, Spot};
use crate::chart::{AdultDay, Place, Post};
use crate::day::Day;
use crate::site::{AdultIndex, Minute, Span};

/// The posts of a chart that hangs on the wall, and the moment from which they may change.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// Before it nothing changes.
    pub at: Minute,
    /// Everybody's posts, before and after.
    pub posts: &'a [AdultDay],
}

/// Slices from the moment on, cut where a standing post ends.
pub(super) fn from_on(slices: Vec<Span>, standing: Option<&Standing<'_>>) -> Vec<Span> {
    let Some(standing) = standing else { return slices };
    let posts = standing.posts.iter().flat_map(|a| &a.posts);
    let edges = posts.flat_map(|p| [p.span.from, p.span.to]).chain([standing.at]);
    let (Some(first), Some(last)) = (slices.first(), slices.last()) else { return slices };
    let whole = Span { from: first.from.max(standing.at), to: last.to };
    let inside = edges.filter(|e| whole.from <= *e && *e <= whole.to);
    let all = slices.iter().flat_map(|s| [s.from, s.to]).chain(inside);
    let after = |s: &Span| s.from >= standing.at;
    crate::site::slices(all).into_iter().filter(after).collect()
}

impl Standing<'_> {
    /// For each adult the spot of a slice at which the chart has the adult, if it is one to take.
    pub(super) fn put(&self, day: &Day, slice: &Slice) -> Vec<Option<u8>> {
        let at = |(a, (adult, _)): (usize, &(AdultIndex, Vec<Span>))| {
            let post = self.post_at(*adult, slice.span.from)?;
            let takes = &slice.takes[a];
            takes.iter().copied().find(|&s| is_at(&slice.spots[usize::from(s)], post))
        };
        day.adults.iter().enumerate().map(at).collect()
    }

    /// Whether each adult's post begins where a slice does.
    pub(super) fn begins(&self, day: &Day, slice: &Slice) -> Vec<bool> {
        let begins = |(adult, _): &(AdultIndex, Vec<Span>)| {
            let from = slice.span.from;
            self.post_at(*adult, from).is_some_and(|p| p.span.from == from)
        };
        day.adults.iter().map(begins).collect()
    }

    fn post_at(&self, adult: AdultIndex, minute: Minute) -> Option<&Post> {
        let posts = &self.posts.iter().find(|a| a.adult == adult)?.posts;
        posts.iter().find(|p| p.span.contains(minute))
    }

    /// The posts before the moment with these after them, for everybody who was or is here.
    pub(super) fn and_then(&self, mut rest: Vec<AdultDay>) -> Vec<AdultDay> {
        self.covered(&mut rest);
        let before = Span::new(Minute(0), self.at);
        let mut adults: Vec<AdultDay> = Vec::new();
        for stood in self.posts {
            let past = stood
                .posts
                .iter()
                .filter_map(|p| Some(Post { span: p.span.meet(before?)?, ..p.clone() }));
            let past: Vec<Post> = past.collect();
            if !past.is_empty() {
                adults.push(AdultDay { adult: stood.adult, posts: past });
            }
        }
        for day in rest {
            match adults.iter_mut().find(|a| a.adult == day.adult) {
                Some(known) => known.posts.extend(day.posts),
                None => adults.push(day),
            }
        }
        adults.sort_by_key(|a| a.adult);
        for day in &mut adults {
            let mut joined: Vec<Post> = Vec::new();
            for post in day.posts.drain(..) {
                match joined.last_mut() {
                    Some(last) if last.span.to == post.span.from && same(last, &post) => {
                        last.span.to = post.span.to;
                    }
                    _ => joined.push(post),
                }
            }
            day.posts = joined;
        }
        adults
    }

    /// Who stood in for somebody on a staff break that goes on still does, and who waits where no child
    /// is waits as posted.
    fn covered(&self, rest: &mut [AdultDay]) {
        let resting: Vec<(AdultIndex, Span)> = rest
            .iter()
            .flat_map(|d| d.posts.iter().map(move |p| (d.adult, p)))
            .filter(|(_, p)| matches!(p.at, Place::StaffBreak(_)))
            .map(|(a, p)| (a, p.span))
            .collect();
        for day in rest {
            for post in &mut day.posts {
                let stood = self.post_at(day.adult, post.span.from);
                // Who watches a zone to which no child comes any more is told nothing new.
                let waits = |s: &&Post| {
                    matches!(s.at, Place::Zone(_))
                        && (post.at, s.space) == (Place::Preparation, post.space)
                        && s.span.holds(post.span)
                };
                if let Some(watches) = stood.filter(waits) {
                    (post.at, post.zone) = (watches.at, watches.zone);
                }
                let stood = stood.filter(|s| s.at == post.at && s.span.holds(post.span));
                if let (Some(stood), Place::StaffBreak(_)) = (stood, post.at) {
                    // Whoever goes on with a staff break has left from where the chart says.
                    post.space = stood.space;
                }
                let stood = stood.filter(|s| same(s, &Post { covers: s.covers, ..post.clone() }));
                let goes_on =
                    |who: &AdultIndex| resting.iter().any(|(a, s)| a == who && s.holds(post.span));
                if let Some(stood) = stood {
                    post.covers = post.covers.or(stood.covers.filter(goes_on));
                }
            }
        }
    }
}

impl Slice {
    /// Whether a chart stands already that is followed.
    pub(super) fn stands(&self) -> bool {
        !self.put.is_empty()
    }

    /// Whether an adult at a spot is not where the chart has that adult, who could be there.
    pub(super) fn leaves(&self, adult: usize, spot: u8) -> bool {
        let put = self.put.get(adult).copied().flatten();
        spot != NOWHERE && put.is_some_and(|put| put != spot)
    }
}

fn is_at(spot: &Spot, post: &Post) -> bool {
    let zone = post.zone.is_none() || post.zone == spot.zone;
    (spot.space, spot.at, spot.for_child) == (post.space, post.at, post.for_child) && zone
}

fn same(one: &Post, other: &Post) -> bool {
    Post { span: one.span, ..other.clone() } == *one
}
