//! The adults by the clock: posts, tasks, staff breaks, who covers.

use super::WIDTH;
use super::lines::{Page, pad, side_by_side, width, wrap};
use super::words;
use crate::chart::{AdultDay, BlockKind, Chart, Place, Post, Stay};
use crate::day::Day;
use crate::planner::{HeadCount, head_counts};
use crate::site::{Adult, AdultIndex, ChildIndex, Span, slices};

/// Most adults side by side; they stand in as few rows as that allows, as wide as the page.
const ABREAST: usize = 3;

/// Columns of a clock span and the blanks after it.
const CLOCK: usize = 12;

/// Every adult, a few side by side.
pub(super) fn all(day: &Day, chart: &Chart, page: &mut Page) {
    page.heading("The adults by the clock (in brackets on the move: heads to count)");
    let counts = head_counts(day, chart);
    let rows = chart.adults.len().div_ceil(ABREAST).max(1);
    let abreast = chart.adults.len().div_ceil(rows).max(1);
    let wide = ((WIDTH - 2 * (abreast - 1)) / abreast).min(60);
    for row in chart.adults.chunks(abreast) {
        let columns: Vec<Vec<String>> =
            row.iter().map(|adult| lines(day, chart, &counts, adult, wide)).collect();
        page.gap();
        for line in side_by_side(&columns, &vec![wide; row.len()], "  ") {
            page.line(&line);
        }
    }
}

/// One adult's own paper.
pub(super) fn one(day: &Day, chart: &Chart, adult: AdultIndex, page: &mut Page) {
    page.gap();
    match chart.adult(adult) {
        None => page.line(&format!("{} is not on shift.", day.site[adult].label)),
        Some(posts) => {
            let counts = head_counts(day, chart);
            for line in lines(day, chart, &counts, posts, WIDTH) {
                page.line(&line);
            }
            heads(day, chart, &counts, posts, page);
        }
    }
}

/// Whose heads one adult counts on the move, and whom this adult changes.
fn heads(day: &Day, chart: &Chart, counts: &[HeadCount], adult: &AdultDay, page: &mut Page) {
    let mut told: Vec<(Span, Vec<ChildIndex>)> = Vec::new();
    for post in adult.posts.iter().flat_map(|post| by_heads(counts, adult.adult, post)) {
        let who: Vec<ChildIndex> = match (count_of(counts, adult.adult, &post), post.at) {
            (Some(count), _) => count.children.clone(),
            (None, Place::Care) => {
                let changed = |s: &Stay| {
                    s.at == Place::Care && s.space == post.space && s.span.meets(post.span)
                };
                let there = chart.children.iter().filter(|c| c.stays.iter().any(changed));
                there.map(|c| c.child).collect()
            }
            _ => continue,
        };
        match told.last_mut() {
            Some((span, before)) if span.to == post.span.from && *before == who => {
                span.to = post.span.to;
            }
            _ => told.push((post.span, who)),
        }
    }
    told.retain(|(_, who)| !who.is_empty());
    if told.is_empty() {
        return;
    }
    page.heading("Whose heads to count on the move, and whom to change");
    for (span, who) in told {
        page.wrapped(&format!("{}  ", words::clock(span)), &words::children(day, &who));
    }
}

fn lines(
    day: &Day,
    chart: &Chart,
    counts: &[HeadCount],
    adult: &AdultDay,
    wide: usize,
) -> Vec<String> {
    let who = &day.site[adult.adult];
    let all_day = beside_all_day(adult);
    let mut lines = wrap(&heading(day, adult.adult, who, all_day), wide);
    lines.push("-".repeat(lines.iter().map(|l| width(l)).max().unwrap_or(0)));
    let mut merged: Vec<(Span, String)> = Vec::new();
    for post in adult.posts.iter().flat_map(|post| by_heads(counts, adult.adult, post)) {
        let beside = post.for_child.filter(|_| all_day.is_none());
        let named = Post { for_child: beside, ..post.clone() };
        let count = count_of(counts, adult.adult, &post);
        let what = words_of(day, chart, count, who, &named);
        match merged.last_mut() {
            Some((span, before)) if span.to == named.span.from && *before == what => {
                span.to = named.span.to;
            }
            _ => merged.push((named.span, what)),
        }
    }
    for (span, what) in merged {
        for (at, line) in wrap(&what, wide - CLOCK).iter().enumerate() {
            let start = if at == 0 { words::clock(span) } else { String::new() };
            lines.push(pad(&start, CLOCK) + line);
        }
    }
    lines
}

/// The child whom an adult is beside at every post but the staff breaks.
fn beside_all_day(adult: &AdultDay) -> Option<ChildIndex> {
    let working = || adult.posts.iter().filter(|p| !matches!(p.at, Place::StaffBreak(_)));
    let child = working().next()?.for_child;
    child.filter(|_| working().all(|p| p.for_child == child))
}

/// Name, what a stranger must know about the adult, and the shift.
fn heading(day: &Day, adult: AdultIndex, who: &Adult, all_day: Option<ChildIndex>) -> String {
    let mut said: Vec<String> = day.adult_here(adult).iter().map(|s| words::clock(*s)).collect();
    if who.lead {
        said.push("lead".into());
    }
    if !who.counts {
        said.push("does not count in ratio".into());
    }
    if !who.may_be_alone {
        said.push("never alone with children".into());
    }
    if let Some(child) = all_day {
        said.push(format!("all the time beside {}", day.site[child].label));
    }
    format!("{}: {}", who.label, said.join(", "))
}

fn words_of(
    day: &Day,
    chart: &Chart,
    count: Option<&HeadCount>,
    who: &Adult,
    post: &Post,
) -> String {
    let heads = count.map_or(String::new(), |count| format!(" ({})", count.children.len()));
    let site = &day.site;
    let mut what = match post.at {
        Place::Station(s) => format!("at {}", words::station(day, s)),
        Place::Table(t) => {
            let at = &site[t].label;
            meal_then(chart, post.span).map_or_else(|| at.clone(), |meal| format!("{meal}, {at}"))
        }
        Place::Zone(z) => format!("watch {}", site[z].label),
        Place::Transition => format!("on the move{heads}"),
        Place::Care => "changing and toilet".into(),
        Place::Door => "at the door".into(),
        Place::Task(t) => task(day, t),
        Place::StaffBreak(b) => staff_break(who, b),
        Place::Unplaced => "no post".into(),
        Place::Rest => beside(day, "by the cots", post),
        Place::Movement => beside(day, "movement", post),
        other => words::place(day, chart, other, post.space),
    };
    // Where a staff break is had is the adult's own affair.
    let away = post.space != site[day.room].home && !matches!(post.at, Place::StaffBreak(_));
    if away
        && !matches!(post.at, Place::Movement | Place::Outdoors | Place::WholeGroup | Place::Rest)
    {
        what += &format!(" ({})", site[post.space].label);
    }
    if let Some(child) = post.for_child {
        what = format!("beside {}: {what}", site[child].label);
    }
    if let Some(other) = post.covers {
        what += &format!(", for {}", site[other].label);
    }
    if count.is_some() && post.at != Place::Transition {
        what += &format!(", also those on the move{heads}");
    }
    what
}

/// What an adult does together with the children, with the space where it is not the room's home.
fn beside(day: &Day, what: &str, post: &Post) -> String {
    if post.space == day.site[day.room].home {
        return what.to_owned();
    }
    format!("{what}, {}", day.site[post.space].label)
}

/// The meal whose block the post falls into.
fn meal_then(chart: &Chart, span: Span) -> Option<&'static str> {
    chart.blocks.iter().find_map(|b| match b.kind {
        BlockKind::Meal(kind) if b.span.meets(span) => Some(words::meal(kind)),
        _ => None,
    })
}

/// The children on the move whom an adult counts at a post, from its start.
fn count_of<'c>(counts: &'c [HeadCount], adult: AdultIndex, post: &Post) -> Option<&'c HeadCount> {
    let here = |c: &&HeadCount| {
        c.space == post.space && c.adults.contains(&adult) && c.span.contains(post.span.from)
    };
    counts.iter().find(here)
}

/// A post cut where there are other heads to count.
fn by_heads(counts: &[HeadCount], adult: AdultIndex, post: &Post) -> Vec<Post> {
    let mine = counts.iter().filter(|c| c.space == post.space && c.adults.contains(&adult));
    let inner = mine.flat_map(|c| [c.span.from, c.span.to]);
    let inner = inner.filter(|e| post.span.from < *e && *e < post.span.to);
    let edges = inner.chain([post.span.from, post.span.to]);
    slices(edges).into_iter().map(|span| Post { span, ..post.clone() }).collect()
}

fn task(day: &Day, task: usize) -> String {
    let Some(task) = day.schedule.tasks.get(task) else { return "task".into() };
    let eyes = if task.watching { "watching" } else { "not watching children" };
    format!("{} ({eyes})", task.label)
}

fn staff_break(who: &Adult, which: usize) -> String {
    let leaves = who.breaks.get(which).is_some_and(|b| b.may_leave);
    let stays = if leaves { "may go out" } else { "stays in the house" };
    format!("STAFF BREAK, {stays}")
}
