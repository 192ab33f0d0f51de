//! What a repair changes and what it leaves, and the part of a chart that is to come.

use super::changes::{lines, opens};
use super::{Counter, First};
use crate::chart::{Block, BlockKind, Chart, ChoiceIndex, Place};
use crate::day::{Happening, Who};
use crate::planner::{Notes, Repaired};
use crate::rules::long_waits;
use crate::say::{self, repair as said};
use crate::site::{AdultIndex, ChildIndex, Minute, Span};
use std::collections::BTreeMap;

/// What is to be done within so many minutes stands first.
const SOON: u16 = 30;

/// What a repair changes, in the order in which it is read.
#[derive(Clone, Debug)]
pub struct ChangeSheet {
    /// How safe the rest is.
    pub first: First,
    /// What is to be known about the chart on the wall.
    pub posted: Vec<String>,
    /// What has happened, of all repairs so far, by when it was told.
    pub happened: Vec<(Minute, Vec<String>)>,
    /// What changes.
    pub changes: Changes,
    /// What does not.
    pub unchanged: Option<String>,
    /// The rest of the day.
    pub rest: Counter,
    /// The chart of it.
    pub chart: Chart,
}

/// What changes for whom.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    /// What is told.
    pub heading: String,
    /// What is to be done soon.
    pub soon: Vec<String>,
    /// What comes after.
    pub later: Vec<String>,
    /// Blocks that are new, where everybody follows them.
    pub blocks: Vec<(Span, String)>,
    /// How much that is.
    pub sum: Vec<String>,
}

impl ChangeSheet {
    /// Of a repair, with the blocks of the chart on the wall; `edited`: that one is not as it was made,
    /// `unmended`: no fix mends all of the rest, `only`: for one adult, `all`: with every problem.
    pub fn of(
        repaired: &Repaired,
        posted: &[Block],
        (edited, unmended, all): (bool, bool, bool),
        only: Option<AdultIndex>,
    ) -> ChangeSheet {
        let (day, whole, at) = (&repaired.day, &repaired.plan.chart, repaired.at);
        let chart = rest_of(whole, at);
        let notes = Notes::of_rest(day, whole, &chart, at);
        let mut waits = long_waits(day, whole);
        waits.retain(|wait| wait.span.to > at);
        let had = repaired.posted_problems;
        let posted_said = edited.then(|| said::edited(at)).into_iter();
        ChangeSheet {
            first: First::of_rest(repaired, &chart, unmended, notes.clone(), all),
            posted: posted_said.chain((had > 0).then(|| said::had_problems(had))).collect(),
            happened: happened(repaired),
            changes: if repaired.new_blocks.is_empty() || only.is_some() {
                changes(repaired, only)
            } else {
                anew(repaired, posted)
            },
            unchanged: unchanged(repaired),
            rest: Counter::of(day, (&chart, whole), &waits, &notes, all),
            chart,
        }
    }
}

fn happened(repaired: &Repaired) -> Vec<(Minute, Vec<String>)> {
    let mut told: Vec<(Minute, Vec<String>)> = Vec::new();
    for happened in &repaired.day.happened {
        let words = say::happening::sentence(&repaired.day, &happened.what);
        match told.last_mut() {
            Some((at, list)) if *at == happened.at => list.push(words),
            _ => told.push((happened.at, vec![words])),
        }
    }
    told
}

fn changes(repaired: &Repaired, only: Option<AdultIndex>) -> Changes {
    let mut soon: Vec<String> = Vec::new();
    let mut later: Vec<String> = Vec::new();
    let half_an_hour = repaired.at.later(SOON);
    for (from, words) in lines(repaired, only) {
        if from < half_an_hour { soon.push(words) } else { later.push(words) }
    }
    let nothing = soon.is_empty() && later.is_empty();
    if nothing {
        soon.push(match only {
            Some(adult) => said::nothing_for(&repaired.day.site[adult].label),
            None if opens(repaired) => said::NOTHING_BUT_OPEN.to_owned(),
            None => said::NOTHING.to_owned(),
        });
    }
    let mut sum = Vec::new();
    if only.is_none() {
        sum.extend(waits(repaired));
        let moved = repaired.moved.value;
        let silent = moved == 0 && nothing && repaired.posts_changed == 0;
        sum.extend((!silent).then(|| moved_words(repaired, false)));
    }
    Changes { heading: said::what_changes(repaired.at), soon, later, sum, ..Changes::default() }
}

fn moved_words(repaired: &Repaired, anew: bool) -> String {
    let moved = repaired.moved;
    said::moved(moved.value, moved.bound, repaired.posts_changed, anew)
}

/// Where the blocks themselves change, that is what is told: everybody follows them.
fn anew(repaired: &Repaired, posted: &[Block]) -> Changes {
    let word = |b: &Block| say::block::of_the_day(b.kind);
    let chart = &repaired.plan.chart;
    let shown = repaired.new_blocks.iter().map(|&n| &chart.blocks[n]);
    let shown = shown.filter(|b| b.kind != BlockKind::Transition);
    let told = shown.map(|new| {
        let before = posted.iter().filter(|b| b.kind != BlockKind::Transition);
        let mut was: Vec<&str> = before.filter(|b| b.span.meets(new.span)).map(word).collect();
        was.dedup();
        let same = posted.iter().filter(|b| b.kind == new.kind && b.span.meets(new.span));
        let same = same.max_by_key(|b| b.span.minutes()).map(|b| b.span);
        (new.span, said::block(word(new), &was, same, new.span))
    });
    let happened = repaired.day.happened.iter().filter(|h| h.at == repaired.at);
    let indoors = happened.map(|h| &h.what).find_map(|what| match what {
        Happening::Indoors => Some(true),
        Happening::Outdoors => Some(false),
        _ => None,
    });
    Changes {
        heading: said::anew(repaired.at),
        soon: vec![said::why_anew(indoors).to_owned()],
        blocks: told.collect(),
        sum: waits(repaired).into_iter().chain([moved_words(repaired, true)]).collect(),
        ..Changes::default()
    }
}

/// Who waits much longer than posted for a change or the toilet.
fn waits(repaired: &Repaired) -> Option<String> {
    let later = cared_for_later(repaired).into_iter();
    let later: Vec<(Option<Minute>, String)> =
        later.map(|(next, who)| (next, say::children(&repaired.day, &who))).collect();
    (!later.is_empty()).then(|| said::waits(&later))
}

fn unchanged(repaired: &Repaired) -> Option<String> {
    let (day, chart, as_posted) = (&repaired.day, &repaired.plan.chart, &repaired.unchanged);
    if repaired.changes.is_empty() {
        return None;
    }
    let groups: Vec<&str> =
        as_posted.groups.iter().map(|&g| chart.groups[g].label.as_str()).collect();
    let mut blocks: Vec<&str> = Vec::new();
    for block in as_posted.blocks.iter().copied().map(say::block::of_the_day) {
        if !blocks.contains(&block) {
            blocks.push(block);
        }
    }
    let adults: Vec<&str> = as_posted.adults.iter().map(|&a| day.site[a].label.as_str()).collect();
    said::unchanged(&groups, &blocks, &adults)
}

/// Children who are changed or taken to the toilet so much later than posted that it has to be told,
/// with the next time, if any.
fn cared_for_later(repaired: &Repaired) -> BTreeMap<Option<Minute>, Vec<ChildIndex>> {
    const MUCH: u16 = 45;
    let mut later: BTreeMap<Option<Minute>, Vec<ChildIndex>> = BTreeMap::new();
    for change in &repaired.changes {
        let (Who::Child(child), Some(was), Some(now)) = (change.who, &change.was, &change.now)
        else {
            continue;
        };
        if was.at != Place::Care || now.at == Place::Care {
            continue;
        }
        let due = change.span.from;
        let stays = repaired.plan.chart.child(child).map_or(&[][..], |c| &c.stays);
        let taken = stays.iter().filter(|s| s.at == Place::Care).map(|s| s.span.from);
        let next = taken.filter(|from| *from >= due.earlier(MUCH)).min();
        let who = later.entry(next).or_default();
        if next.is_none_or(|next| next >= due.later(MUCH)) && !who.contains(&child) {
            who.push(child);
        }
    }
    later.retain(|_, who| !who.is_empty());
    later
}

/// A chart from a minute on.
pub fn rest_of(chart: &Chart, at: Minute) -> Chart {
    let ahead = |span: &mut Span| {
        span.from = span.from.max(at);
        span.from < span.to
    };
    let mut rest = chart.clone();
    for group in &mut rest.groups {
        group.cells.retain_mut(|c| ahead(&mut c.span));
    }
    for child in &mut rest.children {
        child.stays.retain_mut(|s| ahead(&mut s.span));
    }
    for adult in &mut rest.adults {
        adult.posts.retain_mut(|p| ahead(&mut p.span));
    }
    rest.children.retain(|c| !c.stays.is_empty());
    rest.adults.retain(|a| !a.posts.is_empty());
    let earlier = rest.blocks.iter().filter(|b| b.span.to <= at).count();
    rest.blocks.retain_mut(|b| ahead(&mut b.span));
    rest.groups.iter_mut().flat_map(|g| &mut g.cells).for_each(|c| {
        c.block = c.block.saturating_sub(earlier);
    });
    // Only what somebody can still choose.
    let used = |k: usize| {
        let stays = rest.children.iter().flat_map(|c| &c.stays);
        stays.clone().any(|s| s.at == Place::Choice(ChoiceIndex(k)))
    };
    let kept: Vec<usize> = (0..rest.choices.len()).filter(|k| used(*k)).collect();
    let anew = |place: &mut Place| {
        if let Place::Choice(k) = place {
            k.0 = kept.iter().position(|old| *old == k.0).unwrap_or(usize::MAX);
        }
    };
    rest.children.iter_mut().flat_map(|c| &mut c.stays).for_each(|s| anew(&mut s.at));
    rest.groups.iter_mut().flat_map(|g| &mut g.cells).for_each(|c| anew(&mut c.at));
    rest.choices = kept.iter().map(|&k| rest.choices[k].clone()).collect();
    rest.choices.iter_mut().for_each(|c| c.span.from = c.span.from.max(at));
    rest
}
