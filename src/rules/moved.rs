//! What a repair changes of the chart on the wall, counted.

use crate::chart::{Chart, Place, Post, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Span, StationIndex};

/// Child-turns moved: a posted stay of a child, while that child is here, that is not kept whole
/// from a moment on. A stay that a child is fetched from to be changed is one stay; being changed
/// is one of its own; who has a choice stays as long as something stays open that was.
#[must_use]
pub fn moved(day: &Day, posted: &Chart, now: &Chart, at: Minute) -> u32 {
    let turns = posted.children.iter().map(|c| moved_of(day, posted, now, at, c.child));
    turns.sum()
}

fn moved_of(day: &Day, posted: &Chart, now: &Chart, at: Minute, child: ChildIndex) -> u32 {
    let here = day.child_here(child);
    let stays = posted.child(child).map_or(&[][..], |c| &c.stays);
    // A posted stay, and whether all of it so far is kept.
    let mut turn: Option<(&Stay, bool)> = None;
    let mut count = 0;
    for stay in stays {
        let ahead = Span::new(stay.span.from.max(at), stay.span.to);
        let spans: Vec<Span> = here.iter().filter_map(|h| h.meet(ahead?)).collect();
        let kept = spans.iter().all(|span| is_kept(posted, now, child, stay, *span));
        if stay.at == Place::Care {
            count += u32::from(!kept);
            continue;
        }
        let goes_on =
            turn.filter(|(before, _)| Stay { span: before.span, ..stay.clone() } == **before);
        let touches = |before: &Stay| {
            let between = stays
                .iter()
                .filter(|s| before.span.to <= s.span.from && s.span.to <= stay.span.from);
            between.clone().count() > 0 && between.clone().all(|s| s.at == Place::Care)
        };
        match goes_on.filter(|(before, _)| touches(before)) {
            Some((_, so_far)) => turn = Some((stay, so_far && kept)),
            None => {
                count += turn.map_or(0, |t| u32::from(!t.1));
                turn = Some((stay, kept));
            }
        }
    }
    count + turn.map_or(0, |t| u32::from(!t.1))
}

/// Whether a child is, all through a span, where the posted stay has it (or being changed).
fn is_kept(posted: &Chart, now: &Chart, child: ChildIndex, stay: &Stay, span: Span) -> bool {
    let new = now.child(child).map_or(&[][..], |c| &c.stays);
    let common = new.iter().filter(|s| s.span.meets(span));
    let mut minutes = 0;
    for other in common {
        minutes += other.span.meet(span).map_or(0, Span::minutes);
        let care = other.at == Place::Care;
        if !care && !same_place(posted, now, stay, other) {
            return false;
        }
    }
    minutes == span.minutes()
}

fn same_place(posted: &Chart, now: &Chart, one: &Stay, other: &Stay) -> bool {
    let open = |chart: &Chart, at: Place| -> Vec<StationIndex> {
        match at {
            Place::Choice(k) => chart.choices.get(k.0).map_or_else(Vec::new, |c| c.open.clone()),
            _ => Vec::new(),
        }
    };
    let at = match (one.at, other.at) {
        (Place::Choice(a), Place::Choice(b)) => {
            let (before, after) = (open(posted, one.at), open(now, other.at));
            (a == b && before == after) || before.iter().any(|s| after.contains(s))
        }
        (a, b) => a == b,
    };
    // Who lies on the same cot is not moved, asleep or settling.
    at && (one.space, one.zone, one.meal) == (other.space, other.zone, other.meal)
}

/// Posts of adults, while they are here, that are not kept whole from a moment on.
#[must_use]
pub fn posts_changed(day: &Day, posted: &Chart, now: &Chart, at: Minute) -> u32 {
    let mut count = 0;
    for stood in &posted.adults {
        let (here, new) = (day.adult_here(stood.adult), now.adult(stood.adult));
        let new = new.map_or(&[][..], |d| &d.posts);
        for post in &stood.posts {
            let ahead = Span::new(post.span.from.max(at), post.span.to);
            let spans: Vec<Span> = here.iter().filter_map(|h| h.meet(ahead?)).collect();
            let kept = spans.iter().all(|span| {
                let same = new.iter().filter(|p| same_post(p, post));
                let minutes = same.filter_map(|p| p.span.meet(*span)).map(Span::minutes);
                minutes.sum::<u16>() == span.minutes()
            });
            count += u32::from(!kept);
        }
    }
    count
}

fn same_post(one: &Post, other: &Post) -> bool {
    (one.space, one.at, one.zone, one.for_child)
        == (other.space, other.at, other.zone, other.for_child)
}
