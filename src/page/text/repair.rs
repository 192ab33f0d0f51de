//! A repaired day: whether it is safe, what changes and what does not, then the rest of the day.

use super::lines::{Page, capital, counted, list};
use super::{Look, aims, caution, fixes, grid, notes, posts, problems, words};
use crate::chart::{Block, BlockKind, Chart, ChoiceIndex, Group, Place};
use crate::day::{Day, Happening, Who};
use crate::planner::{
    Change, ChangedPlace, FixesSaid, Plan, Repaired, happening_words, place_words, who_words,
};
use crate::site::{ChildIndex, MealKind, Minute, Span};

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
    problems::first_lines_of_rest(repaired, &rest.chart, &mut page);
    fixes::fixes(fixes, &mut page);
    posted(repaired, edited, &mut page);
    happened(repaired, &mut page);
    if repaired.new_blocks.is_empty() || look.adult.is_some() {
        changes(repaired, look, &mut page);
    } else {
        laid_out_anew(repaired, posted_blocks, &mut page);
    }
    unchanged(repaired, &mut page);
    page.heading(&format!("The rest of the day, from {at}"));
    if let Some(adult) = look.adult {
        posts::one(day, &rest.chart, adult, &mut page);
    } else {
        grid::tables(day, &rest.chart, &mut page);
        notes::notes(day, &rest.chart, &mut page);
        posts::all(day, &rest.chart, &mut page);
        aims::aims(day, plan, &mut page);
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
    let blocks = &repaired.plan.chart.blocks;
    let shown = repaired.new_blocks.iter().map(|&n| &blocks[n]);
    for new in shown.filter(|b| b.kind != BlockKind::Transition) {
        let before = posted.iter().filter(|b| b.kind != BlockKind::Transition);
        let mut was: Vec<&str> =
            before.filter(|b| b.span.meets(new.span)).map(|b| block(b.kind)).collect();
        was.dedup();
        let was = if was.is_empty() { "the ways between".to_owned() } else { list(&was) };
        let now = block(new.kind);
        let words = if was == now {
            format!("{now}, at another time")
        } else {
            format!("{now} instead of {was}")
        };
        page.wrapped(&format!("  {}  ", words::clock(new.span)), &format!("{words}."));
    }
    let turns = counted(repaired.moved.value as usize, "child-turn", "child-turns");
    let posts = posts(repaired.posts_changed);
    page.wrapped("  ", &format!("{turns} moved; {posts}: everybody follows the chart below."));
}

/// Changes that are the same for several children stand in one line.
fn changes(repaired: &Repaired, look: Look, page: &mut Page) {
    let day = &repaired.day;
    let told = |c: &&Change| look.adult.is_none_or(|a| c.who == Who::Adult(a));
    let mut left: Vec<&Change> = repaired.changes.iter().filter(told).collect();
    // Who has left is told with what has happened.
    left.retain(|c| c.now.is_some() || !is_told(repaired, c));
    page.heading(&format!("What changes from {} on", repaired.at));
    if left.is_empty() {
        page.line("  Nothing: everybody who is here goes on as posted.");
    }
    let nothing = left.is_empty();
    let mut lines = joined(&left);
    while !lines.is_empty() {
        let first = lines.remove(0);
        let same = |line: &Line| {
            let both = matches!((line.who, first.who), (Who::Child(_), Who::Child(_)));
            both && Line { who: first.who, ..line.clone() } == first
        };
        let (with, others): (Vec<Line>, Vec<Line>) = lines.into_iter().partition(same);
        lines = others;
        let whose: Vec<Who> = [first.who].into_iter().chain(with.iter().map(|l| l.who)).collect();
        let name = names(day, &repaired.plan.chart, &whose, first.span);
        page.wrapped("  ", &format!("{name}: {}", first.words(day)));
    }
    if look.adult.is_some() {
        return;
    }
    let moved = repaired.moved;
    let few = if moved.bound == Some(moved.value) { ", and fewer would not do" } else { "" };
    match moved.value {
        0 if nothing && repaired.posts_changed == 0 => {}
        0 => page.wrapped(
            "  ",
            &format!("No child is moved. {}.", capital(&posts(repaired.posts_changed))),
        ),
        n => {
            let turns = counted(n as usize, "child-turn", "child-turns");
            page.wrapped("  ", &format!("{turns} moved{few}; {}.", posts(repaired.posts_changed)));
        }
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
    /// Who has come in has places enough: they stand with the adults.
    comes: bool,
}

impl Line<'_> {
    fn words(&self, day: &Day) -> String {
        let span = self.span;
        let was: Vec<String> = self.was.iter().map(|was| place_words(day, was)).collect();
        match (self.now, was.is_empty()) {
            _ if self.comes => format!("comes in, {span}; where to stands with the adults below"),
            (None, _) => format!("not here, {span}"),
            (Some(now), true) => format!("{}, {span}", place_words(day, now)),
            (Some(now), false) => {
                format!("{} instead of {}, {span}", place_words(day, now), was.join(", then "))
            }
        }
    }
}

/// Changes of one person that follow one another and end at one place, as one line.
fn joined<'a>(changes: &[&'a Change]) -> Vec<Line<'a>> {
    let mut lines: Vec<Line<'a>> = Vec::new();
    for change in changes {
        let comes = matches!(change.who, Who::Adult(_)) && change.was.is_none();
        let now = change.now.as_ref();
        let before = lines.iter_mut().rev().find(|l| l.who == change.who);
        match before {
            Some(l) if l.span.to == change.span.from && ((l.comes && comes) || l.now == now) => {
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
    let mut blocks: Vec<&str> = as_posted.blocks.iter().map(|&b| block(b)).collect();
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
        BlockKind::Meal(MealKind::Breakfast) => words::meal(MealKind::Breakfast),
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
