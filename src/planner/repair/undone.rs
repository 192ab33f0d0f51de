//! A repair taken back before anything had happened: the chart from before hangs again.

use crate::chart::{Chart, Post, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute, Span};

/// The chart that the posted one is a repair of, and the day that it was for.
#[derive(Clone, Copy, Debug)]
pub struct Before<'a> {
    /// The day, with what had happened until then.
    pub day: &'a Day,
    /// The chart.
    pub chart: &'a Chart,
}

/// Whether the rest of a day is again what it was before the posted chart was drawn, and nobody has
/// been anywhere yet where the chart from before had not.
pub(super) fn is_undone(after: &Day, posted: &Chart, before: Before<'_>, at: Minute) -> bool {
    let was = before.day;
    let facts = |day: &Day| {
        let closed: Vec<Vec<Span>> = day.closed.iter().map(|c| ahead(c, at)).collect();
        let held: Vec<(AdultIndex, Span)> =
            day.held_up().into_iter().filter_map(|h| Some((h.0, h.2.meet(rest(at))?))).collect();
        let parts = day.schedule.parts.iter().filter(|p| p.span.to > at);
        let parts: Vec<_> = parts.map(|p| (p.kind, p.span, p.space)).collect();
        (children(day, at), adults(day, at), closed, held, parts, day.indoor.value)
    };
    let same_breaks = after.adults.iter().all(|(a, _)| {
        let known = was.site.adults.get(a.0);
        known.is_some_and(|adult| adult.breaks == after.site[*a].breaks)
    });
    same_breaks && facts(after) == facts(was) && past(posted, at) == past(before.chart, at)
}

fn rest(at: Minute) -> Span {
    Span { from: at, to: Minute::END_OF_DAY }
}

fn ahead(spans: &[Span], at: Minute) -> Vec<Span> {
    spans.iter().filter_map(|s| s.meet(rest(at))).collect()
}

fn children(day: &Day, at: Minute) -> Vec<(ChildIndex, Vec<Span>)> {
    let here = day.children.iter().map(|(c, here)| (*c, ahead(here, at)));
    here.filter(|(_, here)| !here.is_empty()).collect()
}

fn adults(day: &Day, at: Minute) -> Vec<(AdultIndex, Vec<Span>)> {
    let here = day.adults.iter().map(|(a, here)| (*a, ahead(here, at)));
    here.filter(|(_, here)| !here.is_empty()).collect()
}

/// Everybody's stays and posts up to a minute.
type Past = (Vec<(ChildIndex, Vec<Stay>)>, Vec<(AdultIndex, Vec<Post>)>);

fn past(chart: &Chart, at: Minute) -> Past {
    let cut = |span: Span| Span::new(span.from, span.to.min(at));
    let stays = |stays: &[Stay]| -> Vec<Stay> {
        stays.iter().filter_map(|s| Some(Stay { span: cut(s.span)?, ..s.clone() })).collect()
    };
    let posts = |posts: &[Post]| -> Vec<Post> {
        posts.iter().filter_map(|p| Some(Post { span: cut(p.span)?, ..p.clone() })).collect()
    };
    let children = chart.children.iter().map(|c| (c.child, stays(&c.stays)));
    let adults = chart.adults.iter().map(|a| (a.adult, posts(&a.posts)));
    (
        children.filter(|(_, s)| !s.is_empty()).collect(),
        adults.filter(|(_, p)| !p.is_empty()).collect(),
    )
}
