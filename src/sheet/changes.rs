//! What changes for whom after a repair: one line for each adult, each care round, and children who
//! change alike, by time.

use crate::chart::{Chart, Group, Place};
use crate::day::{Day, Happening, Who};
use crate::planner::{Change, ChangedPlace, Repaired, place_words};
use crate::say::{self, repair as said};
use crate::site::{AdultIndex, ChildIndex, Minute, Span};

/// Who is changed so many minutes earlier or later is changed all the same.
const SOON_AGAIN: u16 = 60;

/// Each change with when it begins; `only`: those of one adult.
pub(super) fn lines(repaired: &Repaired, only: Option<AdultIndex>) -> Vec<(Minute, String)> {
    let (day, chart) = (&repaired.day, &repaired.plan.chart);
    let told = |c: &&Change| only.is_none_or(|a| c.who == Who::Adult(a));
    let mut left: Vec<&Change> = repaired.changes.iter().filter(told).collect();
    // Who has left is told with what has happened.
    left.retain(|c| c.now.is_some() || !is_told(repaired, c));
    let mut said: Vec<(Minute, String)> = Vec::new();
    if only.is_none() {
        said.extend(rounds(repaired, &mut left));
    }
    let (mut lines, mut adults): (Vec<Line>, Vec<Line>) =
        joined(chart, &left).into_iter().partition(|line| matches!(line.who, Who::Child(_)));
    while !lines.is_empty() {
        let first = lines.remove(0);
        let same = |line: &Line| Line { who: first.who, ..line.clone() } == first;
        let (with, others): (Vec<Line>, Vec<Line>) = lines.into_iter().partition(same);
        lines = others;
        let whose: Vec<Who> = [first.who].into_iter().chain(with.iter().map(|l| l.who)).collect();
        let name = names(day, chart, &whose, first.span);
        said.push((first.span.from, say::child::people(&name, &first.words(day))));
    }
    while !adults.is_empty() {
        let first = adults.remove(0);
        let (more, others): (Vec<Line>, Vec<Line>) =
            adults.into_iter().partition(|l| l.who == first.who && only.is_none());
        adults = others;
        let then = more.last().map_or_else(String::new, |last| {
            said::then(more.len(), &last.words(day), last.span.to)
        });
        let breaks = breaks_moved(repaired, &first, &more);
        let words = first.words(day) + &then + &breaks;
        said.push((first.span.from, say::child::people(&say::who(day, first.who), &words)));
    }
    said.sort_by_key(|(from, _)| *from);
    said
}

/// Whether a station was closed, or opened again.
pub(super) fn opens(repaired: &Repaired) -> bool {
    let mut told = repaired.day.happened.iter().filter(|h| h.at == repaired.at);
    told.any(|h| matches!(h.what, Happening::Closed { .. } | Happening::Open { .. }))
}

/// When the staff breaks are that an adult's changes touch: nobody is to look for them in the list.
fn breaks_moved(repaired: &Repaired, first: &Line, more: &[Line]) -> String {
    let Who::Adult(adult) = first.who else { return String::new() };
    let places = [first].into_iter().chain(more).flat_map(|l| l.was.iter().copied().chain(l.now));
    let mut due: Vec<usize> = places
        .filter_map(|place| if let Place::StaffBreak(due) = place.at { Some(due) } else { None })
        .collect();
    due.sort_unstable();
    due.dedup();
    let posts = repaired.plan.chart.adult(adult).map_or(&[][..], |d| &d.posts);
    let when = |due: usize| {
        let taken = posts.iter().filter(move |p| p.at == Place::StaffBreak(due));
        taken.map(|p| p.span).filter(|s| s.to > repaired.at)
    };
    // A line that is the whole of it says it already.
    let last = more.last().filter(|_| more.len() == 1);
    let is_said = |span: &Span| {
        let whole = |line: &Line| {
            let rests = line.now.is_some_and(|now| matches!(now.at, Place::StaffBreak(_)));
            rests && line.span == *span
        };
        whole(first) || last.is_some_and(whole)
    };
    let spans = due.into_iter().flat_map(when).filter(|span| !is_said(span));
    spans.map(said::break_at).collect()
}

/// One or several changes of somebody, as a line.
#[derive(Clone, PartialEq, Eq)]
struct Line<'a> {
    who: Who,
    span: Span,
    was: Vec<&'a ChangedPlace>,
    now: Option<&'a ChangedPlace>,
    /// An adult is here who was not to be, and whether on after the shift: the places stand with the
    /// adults.
    comes: Option<bool>,
}

impl Line<'_> {
    fn words(&self, day: &Day) -> String {
        let span = self.span;
        let words = |place| place_words(day, self.who, place);
        let was = self.was.iter().map(|was| words(was));
        // One staff break instead of another is told by its time.
        let same = self.now.map(words);
        let was: Vec<String> = was.filter(|was| Some(was) != same.as_ref()).collect();
        match (self.comes, same) {
            (Some(stays), _) => said::comes(stays, span),
            (None, None) => said::not_here(span),
            (None, Some(now)) => said::instead(&now, &was, span),
        }
    }
}

/// Changes of one person that follow one another and end at one place, as one line.
fn joined<'a>(chart: &Chart, changes: &[&'a Change]) -> Vec<Line<'a>> {
    let mut lines: Vec<Line<'a>> = Vec::new();
    for change in changes {
        let comes = match change.who {
            Who::Adult(adult) if change.was.is_none() => {
                let posts = chart.adult(adult).map_or(&[][..], |d| &d.posts);
                let here = posts.iter().any(|p| p.span.to == change.span.from);
                Some(here)
            }
            _ => None,
        };
        let now = change.now.as_ref();
        let before = lines.iter_mut().rev().find(|l| l.who == change.who);
        match before {
            Some(l)
                if l.span.to == change.span.from
                    && ((l.comes.is_some() && comes.is_some()) || l.now == now) =>
            {
                l.span.to = change.span.to;
                l.was.extend(change.was.as_ref());
            }
            _ => lines.push(Line {
                who: change.who,
                span: change.span,
                was: change.was.iter().collect(),
                now,
                comes,
            }),
        }
    }
    lines
}

/// Whether that somebody is not here is what was told.
fn is_told(repaired: &Repaired, change: &Change) -> bool {
    repaired.day.happened.iter().any(|h| match h.what {
        Happening::Away { who, .. }
        | Happening::Late { who, .. }
        | Happening::Leaving { who, .. } => who == change.who,
        _ => false,
    })
}

/// A small group by its name, where it is all of it that is here; else the people one by one.
fn names(day: &Day, chart: &Chart, whose: &[Who], span: Span) -> String {
    let children: Vec<ChildIndex> = whose
        .iter()
        .filter_map(|w| match w {
            Who::Child(child) => Some(*child),
            Who::Adult(_) => None,
        })
        .collect();
    let here = |c: &ChildIndex| day.child_here(*c).iter().any(|h| h.meets(span));
    let whole = |g: &&Group| {
        let mut present: Vec<ChildIndex> = g.children.iter().copied().filter(here).collect();
        present.sort_unstable();
        present.len() > 1 && present.iter().all(|c| children.contains(c))
    };
    let groups: Vec<&Group> = chart.groups.iter().filter(whole).collect();
    let alone = whose.iter().filter(|w| match w {
        Who::Child(child) => !groups.iter().any(|g| g.children.contains(child)),
        Who::Adult(_) => true,
    });
    let labels = groups.iter().map(|g| g.label.clone());
    let names: Vec<String> = labels.chain(alone.map(|w| say::who(day, *w))).collect();
    say::list(&names)
}

/// Changed care rounds, a line each, whose changes are taken out of those that are left.
fn rounds(repaired: &Repaired, left: &mut Vec<&Change>) -> Vec<(Minute, String)> {
    let (day, chart, at) = (&repaired.day, &repaired.plan.chart, repaired.at);
    let care = |place: &Option<ChangedPlace>| place.as_ref().is_some_and(|p| p.at == Place::Care);
    let child = |change: &Change| match change.who {
        Who::Child(child) if care(&change.was) || care(&change.now) => Some(child),
        _ => None,
    };
    let changed: Vec<(ChildIndex, Change)> =
        left.iter().filter_map(|c| Some((child(c)?, (*c).clone()))).collect();
    left.retain(|change| child(change).is_none() || change.now.is_none());
    let mut cared: Vec<(Span, ChildIndex)> = chart
        .children
        .iter()
        .flat_map(|c| {
            c.stays.iter().filter(|s| s.at == Place::Care).map(move |s| (s.span, c.child))
        })
        .filter(|(span, _)| span.to > at)
        .collect();
    cared.sort_unstable();
    let mut rounds: Vec<(Span, Vec<ChildIndex>)> = Vec::new();
    for (span, child) in cared {
        match rounds.last_mut().filter(|(round, _)| span.from <= round.to.later(5)) {
            Some((round, children)) => {
                round.to = round.to.max(span.to);
                children.push(child);
            }
            None => rounds.push((span, vec![child])),
        }
    }
    let label = |c: &ChildIndex| day.site[*c].label.clone();
    let mut said: Vec<(Minute, String)> = Vec::new();
    for (span, children) in &rounds {
        let new = |(child, change): &(ChildIndex, Change)| {
            care(&change.now) && change.span.meets(*span) && children.contains(child)
        };
        if changed.iter().any(new) {
            let mut names: Vec<String> = children.iter().map(label).collect();
            names.dedup();
            said.push((span.from.max(at), said::round(*span, &names)));
        }
    }
    let around = |at: Minute, round: Span| {
        round.from <= at.later(SOON_AGAIN) && at <= round.to.later(SOON_AGAIN)
    };
    let out = |(child, change): &&(ChildIndex, Change)| {
        let at = change.span.from;
        let again = rounds.iter().any(|(r, children)| around(at, *r) && children.contains(child));
        care(&change.was) && change.now.is_some() && !again
    };
    for (child, change) in changed.iter().filter(out) {
        let from = change.span.from;
        said.push((from, said::not_changed(&label(child), from)));
    }
    said
}
