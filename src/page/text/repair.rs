//! A repaired day: whether it is safe, what changes and what does not, then the rest of the day.

use super::lines::{Page, capital, counted, list};
use super::{Look, aims, caution, changes, fixes, grid, notes, posts, problems, words};
use crate::chart::{Block, BlockKind, Chart, ChoiceIndex, Place};
use crate::day::{Happening, Who};
use crate::planner::{
    FixesSaid, Plan, Repaired, come_after_a_meal, happening_words, of_the_day, of_the_rest,
};
use crate::rules::long_waits;
use crate::site::{ChildIndex, MealKind, Minute, Span};
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// The whole answer, with what would mend the day and the blocks of the chart on the wall;
/// `edited`: it is not as it was made.
#[must_use]
pub fn print_repair(
    repaired: &Repaired,
    fixes: &FixesSaid,
    posted_blocks: &[Block],
    edited: bool,
    look: Look,
) -> String {
    let (day, plan, at) = (&repaired.day, &repaired.plan, repaired.at);
    let mut page = Page::default();
    let rest = Plan { chart: rest_of(&plan.chart, at), ..plan.clone() };
    problems::first_lines_of_rest(repaired, &rest.chart, fixes.left, &mut page);
    let notes = of_the_day(day, at).into_iter().chain(of_the_rest(day, &rest.chart));
    let notes = notes.chain(come_after_a_meal(day, &plan.chart, at));
    notes.for_each(|note| page.wrapped("", &note));
    fixes::fixes(fixes, &mut page);
    posted(repaired, edited, &mut page);
    happened(repaired, &mut page);
    if repaired.new_blocks.is_empty() || look.adult.is_some() {
        changes::changes(repaired, look, &mut page);
    } else {
        laid_out_anew(repaired, posted_blocks, &mut page);
    }
    unchanged(repaired, &mut page);
    page.heading(&format!("The rest of the day, from {at}"));
    if let Some(adult) = look.adult {
        posts::one(day, &rest.chart, adult, &mut page);
    } else {
        grid::tables(day, &rest.chart, &mut page);
        let mut waits = long_waits(day, &plan.chart);
        waits.retain(|wait| wait.span.to > at);
        notes::notes(day, &rest.chart, &waits, &mut page);
        posts::all(day, &rest.chart, &mut page);
        aims::aims(day, plan, look.verbose, &mut page);
        if look.verbose {
            aims::room_for(day, plan, true, &mut page);
            aims::assumed(plan, true, &mut page);
            aims::made(plan, &mut page);
        }
    }
    caution(&mut page);
    page.into_text()
}

/// What is to be known about the chart on the wall.
fn posted(repaired: &Repaired, edited: bool, page: &mut Page) {
    let at = repaired.at;
    if edited {
        let said = "The chart on the wall was edited after it was made";
        page.wrapped("", &format!("{said}: what it has before {at} is taken as it stands."));
    }
    if repaired.posted_problems > 0 {
        let problems = counted(repaired.posted_problems, "problem", "problems");
        page.wrapped("", &format!("The chart on the wall had {problems} before this happened."));
    }
}

/// What has happened, of all repairs so far.
fn happened(repaired: &Repaired, page: &mut Page) {
    let day = &repaired.day;
    let mut told: Vec<(Minute, Vec<String>)> = Vec::new();
    for happened in &day.happened {
        let words = happening_words(day, &happened.what);
        match told.last_mut() {
            Some((at, list)) if *at == happened.at => list.push(words),
            _ => told.push((happened.at, vec![words])),
        }
    }
    page.heading("What has happened");
    for (at, list) in &told {
        page.wrapped(&format!("  {at}  "), &format!("{}.", list.join(". ")));
    }
    if told.is_empty() {
        page.line("  Nothing.");
    }
}

/// Where the blocks themselves change, that is what is told: everybody follows them.
fn laid_out_anew(repaired: &Repaired, posted: &[Block], page: &mut Page) {
    page.heading(&format!("The day is laid out anew from {} on", repaired.at));
    page.wrapped("  ", why_anew(repaired));
    let blocks = &repaired.plan.chart.blocks;
    let shown = repaired.new_blocks.iter().map(|&n| &blocks[n]);
    for new in shown.filter(|b| b.kind != BlockKind::Transition) {
        let before = posted.iter().filter(|b| b.kind != BlockKind::Transition);
        let mut was: Vec<&str> =
            before.filter(|b| b.span.meets(new.span)).map(|b| block(b.kind)).collect();
        was.dedup();
        let (was, now) = (list(&was), block(new.kind));
        let same = posted.iter().filter(|b| b.kind == new.kind && b.span.meets(new.span));
        let same = same.max_by_key(|b| b.span.minutes());
        let words = match was.as_str() {
            // Where the children were to be on the way.
            "" => now.to_owned(),
            was if was == now => moved_block(now, same.map(|b| b.span), new.span),
            was => format!("{now} instead of {was}"),
        };
        page.wrapped(&format!("  {}  ", words::clock(new.span)), &format!("{words}."));
    }
    waits(repaired, page);
    let turns = counted(repaired.moved.value as usize, "child-turn", "child-turns");
    let posts = changes::posts(repaired.posts_changed);
    let few = changes::fewest(repaired.moved);
    page.wrapped("  ", &format!("{turns} moved{few}; {posts}: everybody follows the chart below."));
}

/// Who waits much longer than posted for a change or the toilet.
pub(super) fn waits(repaired: &Repaired, page: &mut Page) {
    let later = cared_for_later(repaired).into_iter().map(|(next, children)| {
        let when = next.map_or("any more today".to_owned(), |next| format!("before {next}"));
        format!("{when} for {}", words::children(&repaired.day, &children))
    });
    let later: Vec<String> = later.collect();
    if !later.is_empty() {
        page.wrapped("  ", &format!("No changing or toilet {}.", later.join(", ")));
    }
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

/// A block that is not when it was, or longer or shorter.
fn moved_block(block: &str, was: Option<Span>, now: Span) -> String {
    let minutes = |n: u16| counted(usize::from(n), "minute", "minutes");
    let (length, before) = (now.minutes(), was.map_or(now.minutes(), Span::minutes));
    let differs = match length.cmp(&before) {
        Ordering::Less => Some(format!("{} shorter", minutes(before - length))),
        Ordering::Equal => None,
        Ordering::Greater => Some(format!("{} longer", minutes(length - before))),
    };
    match (was.is_some_and(|was| was.from == now.from), differs) {
        (_, None) => format!("{block}, at another time"),
        (true, Some(differs)) => format!("{block}, {differs}"),
        (false, Some(differs)) => format!("{block}, at another time and {differs}"),
    }
}

/// Why the posted blocks do not go on.
fn why_anew(repaired: &Repaired) -> &'static str {
    let told = repaired.day.happened.iter().filter(|h| h.at == repaired.at);
    let sky = told.map(|h| &h.what).find_map(|what| match what {
        Happening::Indoors => Some("The children stay in: time outdoors is filled otherwise."),
        Happening::Outdoors => Some("The children go out: time is made for it."),
        _ => None,
    });
    sky.unwrap_or("With the blocks as posted a rule would be broken.")
}

fn unchanged(repaired: &Repaired, page: &mut Page) {
    let (day, chart) = (&repaired.day, &repaired.plan.chart);
    let as_posted = &repaired.unchanged;
    if repaired.changes.is_empty() {
        return;
    }
    let mut said = Vec::new();
    let groups: Vec<&str> =
        as_posted.groups.iter().map(|&g| chart.groups[g].label.as_str()).collect();
    if !groups.is_empty() {
        said.push(format!("{}: nothing changes.", list(&groups)));
    }
    let mut blocks: Vec<&str> = as_posted.blocks.iter().copied().map(block).collect();
    let mut seen: Vec<&str> = Vec::new();
    blocks.retain(|b| {
        let new = !seen.contains(b);
        seen.push(b);
        new
    });
    if let Some(first) = blocks.first() {
        let upper = capital(first);
        let names: Vec<&str> =
            [upper.as_str()].into_iter().chain(blocks[1..].iter().copied()).collect();
        said.push(format!("{} {} as posted.", list(&names), stays(names.len())));
    }
    let adults: Vec<&str> = as_posted.adults.iter().map(|&a| day.site[a].label.as_str()).collect();
    if !adults.is_empty() {
        let keep = if adults.len() == 1 { "keeps" } else { "keep" };
        said.push(format!("{} {keep} every post.", list(&adults)));
    }
    if !said.is_empty() {
        page.heading("What does not change");
        page.wrapped("  ", &said.join(" "));
    }
}

fn stays(n: usize) -> &'static str {
    if n == 1 { "stays" } else { "stay" }
}

fn block(kind: BlockKind) -> &'static str {
    match kind {
        BlockKind::Arrival => "arrival",
        BlockKind::Turn => "turns",
        BlockKind::Choice => "choice",
        BlockKind::Circle => "circle",
        BlockKind::Outdoors => "outdoors",
        BlockKind::Movement => "movement",
        BlockKind::Meal(MealKind::MorningSnack) => "morning snack",
        BlockKind::Meal(MealKind::AfternoonSnack) => "afternoon snack",
        BlockKind::Meal(kind) => words::meal(kind),
        BlockKind::Rest => "rest",
        BlockKind::Transition => "the ways between",
        BlockKind::GoingHome => "going home",
    }
}

/// A chart from a minute on.
fn rest_of(chart: &Chart, at: Minute) -> Chart {
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
