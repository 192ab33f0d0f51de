//! What of a day only whoever asks is told: heads by the clock, and what is open for choice.

use super::lines::Page;
use crate::chart::{BlockKind, Chart, OpenChoice};
use crate::day::Day;
use crate::planner::head_counts;
use crate::say::{clock, list};
use crate::site::{ChildIndex, SpaceIndex, Span};

pub(super) fn day(day: &Day, chart: &Chart, page: &mut Page) {
    moves(day, chart, page);
    open_stations(day, chart, page);
}

/// When children are on the way, and how many heads to count.
fn moves(day: &Day, chart: &Chart, page: &mut Page) {
    let counts = head_counts(day, chart);
    if counts.is_empty() {
        return;
    }
    let out = chart.blocks.iter().any(|b| b.kind == BlockKind::Outdoors);
    let dress = if out { "dress, " } else { "" };
    page.heading(&format!("Everyone moves (tidy up, wash hands, {dress}walk): heads to count"));
    // Who watches may change on the way; the heads are the same.
    let mut heads: Vec<(Span, SpaceIndex, &[ChildIndex])> = Vec::new();
    for count in &counts {
        let same = |(_, space, children): &&mut (Span, SpaceIndex, &[ChildIndex])| {
            *space == count.space && *children == count.children
        };
        match heads.iter_mut().rev().find(same) {
            Some((span, _, _)) if span.to == count.span.from => span.to = count.span.to,
            _ => heads.push((count.span, count.space, &count.children)),
        }
    }
    let home = day.site[day.room].home;
    let told = heads.iter().map(|(span, space, children)| {
        let label = &day.site[*space].label;
        let place = if *space == home { String::new() } else { format!(" {label}") };
        format!("{}{place}: {}", clock(*span), children.len())
    });
    page.flow("  ", &told.collect::<Vec<_>>());
}

/// What is open for choice, and when; stretches with the same stations stand together.
fn open_stations(day: &Day, chart: &Chart, page: &mut Page) {
    if chart.choices.is_empty() {
        return;
    }
    page.heading("Open for choice");
    let mut choices: Vec<&OpenChoice> = chart.choices.iter().collect();
    choices.sort_by_key(|c| (c.span, c.space));
    let mut told: Vec<(&OpenChoice, Vec<Span>)> = Vec::new();
    for choice in choices {
        let same = |c: &OpenChoice| (c.space, &c.open) == (choice.space, &choice.open);
        let Some((_, spans)) = told.iter_mut().find(|(c, _)| same(c)) else {
            told.push((choice, vec![choice.span]));
            continue;
        };
        match spans.last_mut() {
            Some(before) if choice.span.from <= before.to => {
                before.to = before.to.max(choice.span.to);
            }
            _ => spans.push(choice.span),
        }
    }
    for (choice, spans) in told {
        let open: Vec<&str> = choice.open.iter().map(|s| day.station(*s).label.as_str()).collect();
        let seats = day.seats(&choice.open);
        let clocks: Vec<String> = spans.iter().map(|s| clock(*s)).collect();
        let (open, place) = (list(&open), &day.site[choice.space].label);
        page.wrapped("  ", &format!("{}: {open}; {seats} seats, {place}", clocks.join(", ")));
    }
}
