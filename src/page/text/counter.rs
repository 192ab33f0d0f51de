//! The page for the counter: first lines, grid, adults side by side, and what stands under them.

use super::WIDTH;
use super::lines::{Page, pad, side_by_side, width, wrap};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::head_counts;
use crate::say::{adult as said, capital, clock};
use crate::sheet::{Counter, First, Grid, Own, Row, by_name};
use crate::site::AdultIndex;

/// Narrowest column of a small group; more groups than that leaves room for stand in another table.
const NARROWEST: usize = 13;

/// Widest column of a small group.
const WIDEST: usize = 30;

/// Columns of a clock and the blank after it.
const CLOCK: usize = 6;

/// Most columns for an adult's name, beside the posts.
const MARGIN: usize = 12;

/// How safe the day is, and what is wrong.
pub(super) fn verdict(first: &First, page: &mut Page) {
    page.wrapped("", &first.verdict);
    first.at_once.iter().for_each(|line| page.wrapped("", line));
    first.problems.iter().for_each(|problem| page.wrapped("  ! ", problem));
}

/// Who is here, and what somebody has to do.
pub(super) fn under(first: &First, page: &mut Page) {
    first.past.iter().for_each(|line| page.wrapped("", line));
    page.wrapped("", &first.heads);
    first.to_do.iter().for_each(|line| page.wrapped("  > ", &capital(line)));
}

pub(super) fn counter(counter: &Counter, page: &mut Page) {
    grid(&counter.grid, page);
    adults(&counter.adults, page);
    page.gap();
    for paragraph in counter.facts.chunk_by(|a, b| a.about == b.about) {
        let told = paragraph.iter().map(|f| format!("{}: {}.", f.name, f.said.join("; ")));
        page.hanging(&told.collect::<Vec<_>>().join(" "));
    }
    counter.foot.iter().for_each(|line| page.hanging(line));
}

fn grid(grid: &Grid, page: &mut Page) {
    let clocks = clock_width(&grid.rows);
    let names = grid.rows.iter().map(|r| width(&r.name)).max().unwrap_or(0);
    let left = clocks + names + 2;
    let most = ((WIDTH - left) / (NARROWEST + 1)).max(1);
    let tables = grid.groups.len().div_ceil(most).max(1);
    let across = grid.groups.len().div_ceil(tables).max(1);
    for table in 0..tables {
        let part: Vec<usize> = (0..grid.groups.len()).skip(table * across).take(across).collect();
        let columns = columns(grid, &part, WIDTH - left);
        let widths: Vec<usize> = [clocks, names].into_iter().chain(columns.clone()).collect();
        let of = |(n, wide): (&usize, &usize)| wrap(&grid.groups[*n], *wide);
        let head: Vec<Vec<String>> =
            [Vec::new(), Vec::new()].into_iter().chain(part.iter().zip(&columns).map(of)).collect();
        page.gap();
        table_row(&head, &widths, page);
        for row in &grid.rows {
            let start = format!("{} {} ", clock(row.span), pad(&row.name, names));
            let cell = |(n, wide): (&usize, &usize)| -> Vec<String> {
                row.cells[*n].iter().flat_map(|line| wrap(line, *wide)).collect()
            };
            if row.cells.is_empty() {
                page.wrapped(&start, row.all.as_deref().unwrap_or(""));
                continue;
            }
            let cells: Vec<Vec<String>> = [vec![clock(row.span)], vec![row.name.clone()]]
                .into_iter()
                .chain(part.iter().zip(&columns).map(cell))
                .collect();
            table_row(&cells, &widths, page);
            if let Some(all) = &row.all {
                page.wrapped(&" ".repeat(left), all);
            }
        }
    }
}

/// How wide each column of a table is: what it needs, or else its share of what the others leave.
fn columns(grid: &Grid, part: &[usize], room: usize) -> Vec<usize> {
    let cells = |n: usize| grid.rows.iter().filter_map(move |r| r.cells.get(n)).flatten();
    let head = |n: usize| width(&grid.groups[n]).div_ceil(2) + 2;
    let wants = |n: usize| cells(n).map(|c| width(c)).max().unwrap_or(0).max(head(n)).min(WIDEST);
    let mut wide: Vec<usize> = part.iter().map(|n| wants(*n)).collect();
    let room = room.saturating_sub(part.len() - 1);
    while wide.iter().sum::<usize>() > room {
        let widest = wide.iter().copied().max().unwrap_or(0);
        wide.iter_mut().rfind(|w| **w == widest).into_iter().for_each(|w| *w -= 1);
    }
    wide
}

fn clock_width(rows: &[Row]) -> usize {
    rows.iter().map(|r| width(&clock(r.span))).max().unwrap_or(0)
}

fn table_row(cells: &[Vec<String>], widths: &[usize], page: &mut Page) {
    side_by_side(cells, widths, " ").iter().for_each(|line| page.line(line));
}

/// Every adult, the name in the margin, as many posts on a line as it holds: each line begins with a
/// time.
fn adults(adults: &[Own], page: &mut Page) {
    page.gap();
    let names = adults.iter().map(|own| width(&own.name)).max().unwrap_or(0);
    let margin = (names + 1).min(MARGIN);
    for own in adults {
        let mut lines = vec![said::before(&own.known)];
        // The same once more after what all do stands with the first time.
        for same in own.lines.chunk_by(|a, b| a.1 == b.1) {
            let times: Vec<String> = same.iter().map(|(from, _)| from.to_string()).collect();
            let item = format!("{} {}", times.join(", "), same[0].1);
            match lines.last_mut() {
                Some(line) if line.is_empty() => *line = item,
                Some(line) if line.ends_with(':') => *line = format!("{line} {item}"),
                Some(line) if width(line) + 2 + width(&item) < WIDTH - margin => {
                    *line = format!("{line}; {item}");
                }
                _ => lines.push(item),
            }
        }
        let lines: Vec<String> =
            lines.iter().flat_map(|line| wrap(line, WIDTH - margin - 1)).collect();
        table_row(&[wrap(&own.name, margin), lines], &[margin, WIDTH - margin - 1], page);
    }
}

/// One adult's own paper.
pub(super) fn one(day: &Day, chart: &Chart, adult: AdultIndex, page: &mut Page) {
    page.gap();
    let Some(posts) = chart.adult(adult) else {
        page.line(&said::not_on_shift(day, adult));
        return;
    };
    let counts = head_counts(day, chart);
    let own = Own::of(day, chart, &counts, posts, false);
    page.wrapped("", &said::heading(&own.name, &own.known));
    for (from, words) in &own.lines {
        page.wrapped(&pad(&from.to_string(), CLOCK), words);
    }
    let named = by_name(day, chart, &counts, posts);
    if !named.is_empty() {
        page.heading(said::BY_NAME);
        for (span, who) in named {
            page.wrapped(&format!("{}  ", clock(span)), &who);
        }
    }
}
