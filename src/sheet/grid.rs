//! The day as a grid: the clock down, the small groups across.

use crate::chart::{Block, BlockKind, Cell, Chart, ChoiceIndex, Group, Place};
use crate::day::Day;
use crate::say::{self, counter as said};
use crate::site::{SpaceIndex, Span, StationIndex};

/// The day as a grid.
#[derive(Clone, Debug)]
pub struct Grid {
    /// The small groups, each with its children.
    pub groups: Vec<String>,
    /// The blocks, but for the ways between.
    pub rows: Vec<Row>,
}

/// One block.
#[derive(Clone, Debug)]
pub struct Row {
    /// When.
    pub span: Span,
    /// What it is called.
    pub name: String,
    /// What each group does, a line for each place; none where it is told for all at once.
    pub cells: Vec<Vec<String>>,
    /// What holds for all of them.
    pub all: Option<String>,
}

impl Grid {
    /// Of a chart.
    pub fn of(day: &Day, chart: &Chart) -> Grid {
        let of_group = |g: &Group| {
            let names: Vec<&str> = g.children.iter().map(|c| &*day.site[*c].label).collect();
            said::group(&g.label, &names)
        };
        let blocks = chart.blocks.iter().filter(|b| b.kind != BlockKind::Transition);
        Grid {
            groups: chart.groups.iter().map(of_group).collect(),
            rows: blocks.map(|block| row(day, chart, block)).collect(),
        }
    }
}

fn row(day: &Day, chart: &Chart, block: &Block) -> Row {
    let (span, name) = (block.span, say::block::head(chart, block));
    let there: Vec<Vec<(&Cell, Span)>> =
        chart.groups.iter().map(|g| cells(chart, g, block)).collect();
    let home = day.site[day.room].home;
    let choosing = matches!(
        block.kind,
        BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome | BlockKind::Rest
    );
    let open = |k: ChoiceIndex| chart.choices.get(k.0).map_or(&[][..], |c| &c.open);
    let named = |k: ChoiceIndex| !choosing && open(k).len() <= 3;
    let words = |cell: &Cell| match cell.at {
        Place::Choice(k) if !named(k) && cell.space == home => said::CHOICE.to_owned(),
        // The name of the row says what; left to say is where.
        Place::Movement | Place::Outdoors if cell.space != home => {
            day.site[cell.space].label.clone()
        }
        Place::Choice(k) => say::place::of_children(day, cell.at, cell.space, open(k)),
        at => say::place::of_children(day, at, cell.space, &[]),
    };
    let texts: Vec<Vec<String>> = there.iter().map(|c| text(c, block, words)).collect();
    let unnamed = there.iter().flatten().any(|(cell, _)| match cell.at {
        Place::Choice(k) => !named(k),
        _ => block.kind == BlockKind::Rest,
    });
    let open = if unnamed { open_in(day, chart, block, home) } else { String::new() };
    let here: Vec<usize> = (0..texts.len()).filter(|n| !there[*n].is_empty()).collect();
    // What most do, and the one group that does otherwise.
    let usual = here
        .iter()
        .map(|n| &texts[*n])
        .max_by_key(|t| here.iter().filter(|n| texts[**n] == **t).count());
    let others: Vec<usize> = here.iter().copied().filter(|n| Some(&texts[*n]) != usual).collect();
    let own = matches!(block.kind, BlockKind::Turn | BlockKind::Meal(_));
    let together = block.kind != BlockKind::Turn
        && here.len() > 1
        && usual.is_some_and(|t| t.len() == 1)
        && (others.is_empty() || (others.len() == 1 && here.len() > 2 && !own));
    if !together {
        return Row {
            span,
            name,
            cells: texts,
            all: (!open.is_empty()).then(|| said::open(&open)),
        };
    }
    let usual = usual.map_or("", |t| t[0].as_str());
    let all = said::everybody(block.kind, usual, &open);
    let others: Vec<String> =
        others.iter().map(|n| said::but(&chart.groups[*n].label, &texts[*n])).collect();
    Row { span, name, cells: Vec::new(), all: Some(said::parts(&all, &others)) }
}

/// What is open for choice in a block, by space and from when.
fn open_in(day: &Day, chart: &Chart, block: &Block, home: SpaceIndex) -> String {
    let mut open: Vec<(SpaceIndex, Span, &[StationIndex])> = Vec::new();
    let choices = chart.choices.iter().filter(|c| c.span.meets(block.span));
    let mut choices: Vec<_> = choices.collect();
    choices.sort_by_key(|c| (c.space != home, c.space, c.span));
    for choice in choices {
        match open.last_mut() {
            Some((space, span, same)) if *space == choice.space && **same == choice.open[..] => {
                span.to = span.to.max(choice.span.to);
            }
            _ => open.push((choice.space, choice.span, &choice.open)),
        }
    }
    let told = open.iter().map(|(space, span, stations)| {
        let names: Vec<&str> = stations.iter().map(|s| day.station(*s).label.as_str()).collect();
        let to = (span.to < block.span.to).then_some(span.to);
        let space = (*space != home).then(|| (day.site[*space].label.as_str(), to));
        said::open_from((span.from > block.span.from).then_some(span.from), space, &names)
    });
    told.collect::<Vec<_>>().join("; ")
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
fn text(there: &[(&Cell, Span)], block: &Block, name: impl Fn(&Cell) -> String) -> Vec<String> {
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
    let several = places.len() > 1;
    let line = |(n, (place, span)): (usize, &(String, Span))| {
        let last = n + 1 == places.len();
        let from = (several || span.from > block.span.from).then_some(span.from);
        let to = if several { last && span.to > block.span.to } else { span.to != block.span.to };
        said::in_cell(place, from, to.then_some(span.to))
    };
    match places.len() {
        0 => vec!["-".to_owned()],
        _ => places.iter().enumerate().map(line).collect(),
    }
}
