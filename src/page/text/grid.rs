//! The small groups, and the day as tables: blocks across, small groups down.

use super::WIDTH;
use super::lines::{Page, list, pad, side_by_side, width, wrap};
use super::words;
use crate::chart::{Block, BlockKind, Cell, Chart, Group, Place};
use crate::day::Day;
use crate::site::{ChildIndex, MealKind, Span};

/// Widest columns of a table, in the order in which they are tried.
const COLUMNS: [usize; 3] = [16, 13, 11];

/// Between two columns.
const BETWEEN: &str = "  ";

/// Who is in which small group, with what an adult must know of each.
pub(super) fn groups(day: &Day, chart: &Chart, page: &mut Page) {
    page.heading("Small groups");
    let names = names_width(chart);
    for group in &chart.groups {
        let members: Vec<String> = group.children.iter().map(|c| member(day, *c)).collect();
        page.wrapped(&format!("  {}", pad(&group.label, names + 2)), &members.join(", "));
    }
    let alone: Vec<String> = chart
        .children
        .iter()
        .filter(|c| chart.group_of(c.child).is_none())
        .map(|c| member(day, c.child))
        .collect();
    if !alone.is_empty() {
        page.wrapped("  In no group: ", &alone.join(", "));
    }
}

/// A child with allergies, the adult who is always beside it, and when it is here if not as long
/// as the room is open.
fn member(day: &Day, child: ChildIndex) -> String {
    let facts = &day.site[child];
    let mut said = Vec::new();
    let here = day.child_here(child);
    if here != [day.schedule.open] {
        let spans: Vec<String> = here.iter().map(|s| words::clock(*s)).collect();
        said.push(list(&spans));
    }
    if !facts.allergies.is_empty() {
        said.push(format!("allergic to {}", list(&facts.allergies)));
    }
    if let Some(own) = &facts.one_to_one {
        said.push(format!("always with {}", day.site[own.adult].label));
    }
    if said.is_empty() {
        return facts.label.clone();
    }
    format!("{} ({})", facts.label, said.join("; "))
}

fn names_width(chart: &Chart) -> usize {
    chart.groups.iter().map(|g| width(&g.label)).max().unwrap_or(0)
}

/// One column: a block with what each group does in it.
struct Column {
    span: Span,
    head: [String; 2],
    cells: Vec<Vec<String>>,
    width: usize,
}

/// The day in one table, or in a table for each part of the day where one would be too wide.
///
/// Columns are made narrower only where that saves a table.
pub(super) fn tables(day: &Day, chart: &Chart, page: &mut Page) {
    let names = names_width(chart).max(5);
    let room = WIDTH.saturating_sub(names);
    let columns = |most: usize| -> Vec<Column> {
        let blocks = chart.blocks.iter().filter(|b| b.kind != BlockKind::Transition);
        blocks.map(|b| column(day, chart, b, most)).collect()
    };
    let laid_out: Vec<Vec<Column>> = COLUMNS.iter().map(|most| columns(*most)).collect();
    let tried = laid_out.iter().map(|columns| split(columns, edges(chart), room));
    let Some(tables) = tried.min_by_key(Vec::len) else { return };
    for (name, columns) in tables {
        table(&name, chart, names, columns, page);
    }
}

/// The tables of a day, each with its name.
fn split(columns: &[Column], edges: (u16, u16), room: usize) -> Vec<(String, &[Column])> {
    if needs(columns) <= room {
        return vec![("The day".to_owned(), columns)];
    }
    let at = |until: u16| columns.partition_point(|c| c.span.from.0 < until);
    let (noon, after) = (at(edges.0), at(edges.1));
    let both = &columns[noon..];
    let later = if needs(both) <= room {
        vec![("Midday and afternoon", both)]
    } else {
        vec![("Midday", &columns[noon..after]), ("Afternoon", &columns[after..])]
    };
    std::iter::once(("Morning", &columns[..noon]))
        .chain(later)
        .flat_map(|(name, part)| {
            pieces(part, room).into_iter().map(move |piece| (name.to_owned(), piece))
        })
        .collect()
}

/// The minutes at which midday and afternoon begin: at lunch, and after the rest.
fn edges(chart: &Chart) -> (u16, u16) {
    let blocks = || chart.blocks.iter();
    let lunch = blocks().find(|b| b.kind == BlockKind::Meal(MealKind::Lunch));
    let midday = lunch.map_or(12 * 60, |b| b.span.from.0);
    let rest = blocks().rfind(|b| b.kind == BlockKind::Rest).or(lunch);
    (midday, rest.map_or(14 * 60, |b| b.span.to.0).max(midday))
}

fn needs(columns: &[Column]) -> usize {
    columns.iter().map(|c| c.width + BETWEEN.len()).sum()
}

/// Cuts a part of the day into the fewest pieces that fit, about as many columns in each.
fn pieces(part: &[Column], room: usize) -> Vec<&[Column]> {
    (1..=part.len())
        .map(|n| part.chunks(part.len().div_ceil(n)).collect::<Vec<_>>())
        .find(|pieces| pieces.iter().all(|p| p.len() == 1 || needs(p) <= room))
        .unwrap_or_default()
}

fn table(name: &str, chart: &Chart, names: usize, columns: &[Column], page: &mut Page) {
    let (Some(first), Some(last)) = (columns.first(), columns.last()) else { return };
    page.heading(&format!("{name}, {} to {}", first.span.from, last.span.to));
    let widths: Vec<usize> =
        std::iter::once(names).chain(columns.iter().map(|c| c.width)).collect();
    let mut row = |name: &str, cells: Vec<Vec<String>>| {
        let cells: Vec<Vec<String>> = std::iter::once(vec![name.to_owned()]).chain(cells).collect();
        for line in side_by_side(&cells, &widths, BETWEEN) {
            page.line(&line);
        }
    };
    row("", columns.iter().map(|c| c.head.to_vec()).collect());
    row(&"-".repeat(names), columns.iter().map(|c| vec!["-".repeat(c.width)]).collect());
    for (at, group) in chart.groups.iter().enumerate() {
        row(&group.label, columns.iter().map(|c| c.cells[at].clone()).collect());
    }
}

fn column(day: &Day, chart: &Chart, block: &Block, most: usize) -> Column {
    let head = [words::block(chart, block), words::clock(block.span)];
    let there: Vec<Vec<(&Cell, Span)>> =
        chart.groups.iter().map(|g| cells(chart, g, block)).collect();
    // What is open in a block of choice stands below the tables, once.
    let choosing = matches!(
        block.kind,
        BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome | BlockKind::Rest
    );
    let home = day.site[day.room].home;
    let name = |cell: &Cell| match cell.at {
        Place::Choice(_) if choosing && cell.space == home => "choice".to_owned(),
        // The heading says what; left to say is where.
        Place::Movement | Place::Outdoors if cell.space != home => {
            day.site[cell.space].label.clone()
        }
        at => words::place(day, chart, at, cell.space),
    };
    let texts: Vec<Vec<String>> = there.iter().map(|cells| cell(cells, block, name)).collect();
    let widest = texts.iter().flatten().map(|t| width(t)).max().unwrap_or(0).min(most);
    let wide = head.iter().map(|h| width(h)).max().unwrap_or(0).max(widest);
    let cells =
        texts.iter().map(|t| t.iter().flat_map(|line| wrap(line, wide)).collect()).collect();
    Column { span: block.span, head, cells, width: wide }
}

/// What a group does in a block, without the moving between; where it leaves later than the others,
/// until then.
fn cells<'a>(chart: &Chart, group: &'a Group, block: &Block) -> Vec<(&'a Cell, Span)> {
    let way = chart.blocks.iter().find(|b| b.span.from == block.span.to);
    let way = way.filter(|b| b.kind == BlockKind::Transition);
    let cells = group.cells.iter().filter(|c| c.at != Place::Transition);
    let in_block = |c: &'a Cell| {
        // What is left of a choice for those who leave later begins with the way.
        let left = c.span.from == block.span.to && chart.blocks.get(c.block) == Some(block);
        let span = c.span.meet(block.span).or(left.then_some(c.span))?;
        let later = way.is_some_and(|way| way.span.from < c.span.to && c.span.to < way.span.to);
        Some((c, if later { Span { to: c.span.to, ..span } } else { span }))
    };
    cells.filter_map(in_block).collect()
}

/// One line for each place of a group in a block, with the clock where it is not the block's.
fn cell(there: &[(&Cell, Span)], block: &Block, name: impl Fn(&Cell) -> String) -> Vec<String> {
    let mut places: Vec<(String, Span)> = Vec::new();
    for (cell, span) in there {
        let place = name(cell);
        match places.last_mut() {
            Some((before, until)) if *before == place && until.to == span.from => {
                until.to = span.to;
            }
            _ => places.push((place, *span)),
        }
    }
    match places.as_slice() {
        [] => vec!["-".to_owned()],
        [(place, span)] => match (span.from > block.span.from, span.to != block.span.to) {
            (false, false) => vec![place.clone()],
            (true, false) => vec![format!("{place} from {}", span.from)],
            (false, true) => vec![format!("{place} until {}", span.to)],
            (true, true) => vec![place.clone(), words::clock(*span)],
        },
        several => {
            let mut lines: Vec<String> =
                several.iter().map(|(p, span)| format!("{} {p}", span.from)).collect();
            if let (Some(line), Some((_, span))) = (lines.last_mut(), several.last())
                && span.to > block.span.to
            {
                line.push_str(&format!(" until {}", span.to));
            }
            lines
        }
    }
}
