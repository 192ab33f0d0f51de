//! What changes for whom after a repair: what is to be done in the next half hour first, and one line
//! for each adult, each care round, and children who change alike.

use super::Look;
use super::lines::{Page, capital, counted, list};
use crate::chart::{Chart, Group, Place};
use crate::day::{Day, Happening, Who};
use crate::planner::{Change, ChangedPlace, Moved, Repaired, place_words, who_words};
use crate::site::{ChildIndex, Minute, Span};

/// What is to be done within so many minutes stands first.
const SOON: u16 = 30;

/// Who is changed so many minutes earlier or later is changed all the same.
const SOON_AGAIN: u16 = 60;

/// Changes that are the same for several children stand in one line.
pub(super) fn changes(repaired: &Repaired, look: Look, page: &mut Page) {
    let day = &repaired.day;
    let told = |c: &&Change| look.adult.is_none_or(|a| c.who == Who::Adult(a));
    let mut left: Vec<&Change> = repaired.changes.iter().filter(told).collect();
    // Who has left is told with what has happened.
    left.retain(|c| c.now.is_some() || !is_told(repaired, c));
    page.heading(&format!("What changes from {} on", repaired.at));
    if left.is_empty() {
        match look.adult {
            Some(adult) => page.line(&format!("  Nothing for {}.", day.site[adult].label)),
            None if opens(repaired) => {
                page.line("  Nothing but what is open: everybody who is here goes on as posted.");
            }
            None => page.line("  Nothing: everybody who is here goes on as posted."),
        }
    }
    let nothing = left.is_empty();
    let chart = &repaired.plan.chart;
    let mut said: Vec<(Minute, String)> = Vec::new();
    if look.adult.is_none() {
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
        said.push((first.span.from, format!("{name}: {}", first.words(day))));
    }
    while !adults.is_empty() {
        let first = adults.remove(0);
        let (more, others): (Vec<Line>, Vec<Line>) =
            adults.into_iter().partition(|l| l.who == first.who && look.adult.is_none());
        adults = others;
        let then = match (more.len(), more.last()) {
            (1, Some(last)) => format!("; then {}", last.words(day)),
            (_, Some(last)) => format!("; then other posts until {}, see below", last.span.to),
            (_, None) => String::new(),
        };
        let name = who_words(day, first.who);
        let breaks = breaks_moved(repaired, &first, &more);
        said.push((first.span.from, format!("{name}: {}{then}{breaks}", first.words(day))));
    }
    said.sort_by_key(|(from, _)| *from);
    let soon = repaired.at.later(SOON);
    let later = said.iter().position(|(from, _)| *from >= soon).unwrap_or(said.len());
    for (n, (_, words)) in said.iter().enumerate() {
        if later > 0 && n == later {
            page.line("  Later:");
        }
        page.wrapped("  ", words);
    }
    if look.adult.is_some() {
        return;
    }
    super::repair::waits(repaired, page);
    let moved = repaired.moved;
    let few = fewest(moved);
    let posts = posts(repaired.posts_changed);
    match moved.value {
        0 if nothing && repaired.posts_changed == 0 => {}
        0 => page.wrapped("  ", &format!("No child is moved. {}.", capital(&posts))),
        n => {
            let turns = counted(n as usize, "child-turn", "child-turns");
            page.wrapped("  ", &format!("{turns} moved{few}; {posts}."));
        }
    }
}

/// Whether a station was closed, or opened again.
fn opens(repaired: &Repaired) -> bool {
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
    spans.map(|span| format!("; staff break {span}")).collect()
}

/// What was shown of how few children could be moved.
pub(super) fn fewest(moved: Moved) -> String {
    match moved.bound {
        Some(least) if least == moved.value => {
            ", and with whole groups fewer would not do".to_owned()
        }
        Some(least) if least > 0 => {
            format!(", and with whole groups fewer than {least} would not do")
        }
        _ => " (whether fewer would do was not shown)".to_owned(),
    }
}

/// How many posts of adults a repair changes.
pub(super) fn posts(changed: u32) -> String {
    match changed as usize {
        0 => "no adult's post changes".to_owned(),
        n => format!("{} changed", counted(n, "post of an adult", "posts of adults")),
    }
}

/// One or several changes of somebody, as a line.
#[derive(Clone, PartialEq, Eq)]
struct Line<'a> {
    who: Who,
    span: Span,
    was: Vec<&'a ChangedPlace>,
    now: Option<&'a ChangedPlace>,
    /// How an adult is here who was not to be: the places stand with the adults.
    comes: Option<&'static str>,
}

impl Line<'_> {
    fn words(&self, day: &Day) -> String {
        let span = self.span;
        let words = |place| place_words(day, self.who, place);
        let was = self.was.iter().map(|was| words(was));
        // One staff break instead of another is told by its time.
        let same = self.now.map(words);
        let was: Vec<String> = was.filter(|was| Some(was) != same.as_ref()).collect();
        if let Some(comes) = self.comes {
            return format!("{comes}, {span}; posts: see the adults below");
        }
        match (self.now, was.is_empty()) {
            (None, _) => format!("not here, {span}"),
            (Some(now), true) => format!("{}, {span}", words(now)),
            (Some(now), false) => {
                let first = if was.len() > 1 { "first " } else { "" };
                format!("{} instead of {first}{}, {span}", words(now), was.join(", then "))
            }
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
                Some(if here { "stays" } else { "comes in" })
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
    let names: Vec<String> = labels.chain(alone.map(|w| who_words(day, *w))).collect();
    list(&names)
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
            let order = if names.len() > 1 { ", in this order" } else { "" };
            let words = format!("changing and toilet, {span}: {}{order}", list(&names));
            said.push((span.from.max(at), capital(&words)));
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
        said.push((
            change.span.from,
            format!("{}: not changed at {}", label(child), change.span.from),
        ));
    }
    said
}
