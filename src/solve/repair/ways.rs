//! The frame of the rest: the posted blocks and groups, the past settled, what is to come open.

use super::{Broken, PostedCell, Rest, choices, duty, groups};
use crate::chart::{Block, BlockKind, Cell, Chart, ChoiceIndex, Group, OpenChoice, Place, Stay};
use crate::day::Day;
use crate::model::{Frame, Planned, VarCell};
use crate::site::{AdultIndex, MealKind, Minute, SpaceIndex, Span, TableIndex, merged, slices};
use crate::solve::allow::Surroundings;
use crate::solve::clock::{GRID, gathering_zone};
use crate::solve::way::stay;
use crate::solve::{few, meals, sleep};

/// Shorter than so many minutes nothing else is started with in what is left of a turn.
const SHORTEST: u16 = 10;

/// A frame while it is put together.
pub(super) struct Making<'d> {
    pub day: &'d Day,
    pub posted: &'d Chart,
    pub at: Minute,
    pub groups: Vec<Group>,
    pub around: Surroundings<'d>,
    pub choices: Vec<OpenChoice>,
    pub cells: Vec<VarCell>,
    pub posted_cells: Vec<PostedCell>,
    pub group_plans: Vec<Vec<Planned>>,
}

/// The frame of the rest of a day; `fewer_zones`: where more is open for choice than adults can
/// watch, less is.
pub(super) fn rest<'d>(broken: Broken<'d>, seed: u64, fewer_zones: bool) -> Rest<'d> {
    let Broken { day, posted, at } = broken;
    let mut making = Making {
        day,
        posted,
        at,
        groups: groups::groups(broken, seed),
        around: surroundings(day, posted),
        choices: posted.choices.clone(),
        cells: Vec::new(),
        posted_cells: Vec::new(),
        group_plans: Vec::new(),
    };
    for g in 0..making.groups.len() {
        let plan = making.group_plan(g);
        making.group_plans.push(plan);
    }
    let (mut children, rounds) = making.children();
    choices::adjust(&mut making, &mut children, fewer_zones);
    // Own sittings laid tables that nobody knew of: stations standing on them are closed.
    making.around.laid.extend(meals::laid(&children));
    let around = &making.around;
    for cell in making.cells.iter_mut().filter(|c| c.span.from >= at) {
        let span = cell.span;
        cell.options.retain(|o| o.stations().iter().all(|&s| around.usable(s, span)));
    }
    let Making { groups, choices, mut cells, posted_cells, group_plans, .. } = making;
    few::options(&mut cells, |number, _, option| {
        let posted = posted_cells[number].at.as_ref();
        posted.is_some_and(|(target, _)| *target == option.target)
    });
    let mut frame = Frame {
        day,
        blocks: blocks_kept_open(day, posted),
        groups,
        group_plans,
        children,
        choices,
        cells,
        slices: Vec::new(),
        breaks: Vec::new(),
        tasks: Vec::new(),
        rounds: Vec::new(),
    };
    frame.slices = frame.cut(GRID);
    frame.slices.retain(|s| s.span.from >= at);
    hold(day, &mut frame);
    let mut rest = Rest {
        frame,
        cells: posted_cells,
        breaks: Vec::new(),
        tasks: Vec::new(),
        rounds: Vec::new(),
        cut_short: Vec::new(),
        done: Default::default(),
    };
    duty::duties(broken, rounds, &mut rest);
    rest
}

/// The posted blocks; going home lasts until the last child goes, also after closing time.
fn blocks_kept_open(day: &Day, posted: &Chart) -> Vec<Block> {
    let mut blocks = posted.blocks.clone();
    let ends = blocks.last().map_or(day.schedule.open.to, |b| b.span.to);
    let late = Span::new(ends, day.closes()).filter(|late| late.to > day.schedule.open.to);
    let Some(late) = late else { return blocks };
    match blocks.last_mut().filter(|b| b.kind == BlockKind::GoingHome) {
        Some(going_home) => going_home.span.to = late.to,
        None => {
            let id = "after-closing".to_owned();
            blocks.push(Block { id, kind: BlockKind::GoingHome, span: late });
        }
    }
    blocks
}

/// Takes those who are held up from the adults of each slice of a day; they are on the premises still.
pub(super) fn hold(day: &Day, frame: &mut Frame<'_>) {
    let held = day.held_up();
    for slice in &mut frame.slices {
        let is_held = |a: &AdultIndex| held.iter().any(|h| h.0 == *a && h.2.meets(slice.span));
        let here = day.adults.iter().filter(|(_, h)| h.iter().any(|s| s.holds(slice.span)));
        slice.held = here.map(|(a, _)| *a).filter(is_held).collect();
        slice.adults.retain(|a| !is_held(a));
    }
}

fn surroundings<'d>(day: &'d Day, posted: &Chart) -> Surroundings<'d> {
    let eaten = posted.children.iter().flat_map(|c| &c.stays).filter_map(|s| match s.at {
        Place::Table(table) => Some((table, s.span)),
        _ => None,
    });
    let mut laid: Vec<(TableIndex, Span)> = eaten.collect();
    laid.sort_unstable();
    laid.dedup();
    let resting = |s: &&Stay| s.at == Place::Rest;
    let lying = posted.children.iter().flat_map(|c| &c.stays).filter(resting);
    let mut cots: Vec<(SpaceIndex, Span)> = lying.map(|s| (s.space, s.span)).collect();
    cots.sort_unstable();
    cots.dedup();
    let mut asleep = Vec::new();
    for (child, _) in &day.children {
        for stay in sleep::own_sleep(day, *child) {
            cots.push((stay.space, stay.span));
            asleep.push((*child, stay.span));
        }
    }
    let kept = day.kept.iter().filter(|k| matches!(k.who, crate::day::KeptFor::Child(_)));
    let taken = kept.map(|k| (k.station, k.span)).collect();
    Surroundings { day, laid, cots, asleep, taken }
}

impl Making<'_> {
    /// The spans in which any of a group is here, or the posted chart has cells for it.
    fn here(&self, g: usize) -> Vec<Span> {
        let children = self.groups[g].children.iter();
        let here = children.flat_map(|c| self.day.child_here(*c).iter().copied());
        merged(here.chain(self.posted_group(g).iter().map(|c| c.span)).collect())
    }

    /// The cells of a group on the posted chart.
    pub(super) fn posted_group(&self, g: usize) -> &[Cell] {
        let id = &self.groups[g].id;
        self.posted.groups.iter().find(|p| p.id == *id).map_or(&[][..], |p| &p.cells)
    }

    fn group_plan(&mut self, g: usize) -> Vec<Planned> {
        let mut plan = Vec::new();
        let cells = self.posted_group(g).to_vec();
        for here in self.here(g) {
            let mut edges: Vec<Minute> = vec![here.from, here.to];
            let inner = cells.iter().flat_map(|c| [c.span.from, c.span.to]).chain([self.at]);
            edges.extend(inner.filter(|e| here.from < *e && *e < here.to));
            for span in slices(edges) {
                match cells.iter().find(|c| c.span.holds(span)) {
                    Some(cell) => plan.push(self.piece(g, cell, span, true)),
                    None => self.fill(g, span, &mut plan),
                }
            }
        }
        plan
    }

    /// Time in which the posted chart has nobody of the group: what the other groups do then, else
    /// choice.
    fn fill(&mut self, g: usize, span: Span, plan: &mut Vec<Planned>) {
        let mine = self.day.any_young(&self.groups[g].children);
        let mut others: Vec<&Group> = self.posted.groups.iter().collect();
        others.sort_by_key(|other| self.day.any_young(&other.children) != mine);
        let cells: Vec<Cell> = others.iter().flat_map(|o| o.cells.iter().cloned()).collect();
        let blocks = self.posted.blocks.iter().map(|b| b.span);
        let inner = cells.iter().map(|c| c.span).chain(blocks).flat_map(|s| [s.from, s.to]);
        let mut edges: Vec<Minute> = vec![span.from, span.to];
        edges.extend(inner.filter(|e| span.from < *e && *e < span.to));
        for part in slices(edges) {
            let planned = match cells.iter().find(|c| c.span.holds(part)) {
                Some(cell) => self.piece(g, cell, part, false),
                None => {
                    let home = self.day.site[self.day.room].home;
                    let k = self.choice(home, part);
                    Planned::Fixed(stay(part, home, Place::Choice(k), None))
                }
            };
            match (plan.last_mut(), planned) {
                (Some(Planned::Fixed(last)), Planned::Fixed(next))
                    if last.span.to == next.span.from
                        && Stay { span: last.span, ..next.clone() } == *last =>
                {
                    last.span.to = next.span.to;
                }
                (_, planned) => plan.push(planned),
            }
        }
    }

    /// A choice that is open in a span already, or a new one.
    pub(super) fn choice(&mut self, space: SpaceIndex, span: Span) -> ChoiceIndex {
        let open = |c: &OpenChoice| c.space == space && c.span.holds(span);
        if let Some(k) = self.choices.iter().position(open) {
            return ChoiceIndex(k);
        }
        let here = self.day.children.iter().filter(|(_, h)| h.iter().any(|s| s.meets(span)));
        let here: Vec<_> = here.map(|(c, _)| *c).collect();
        let anew = self.around.open_choice(space, span, &here, (false, None), (1, false));
        let before = |c: &OpenChoice| c.space == space && c.span.to == span.from;
        if anew.open.is_empty()
            && let Some(k) = self.choices.iter().position(before)
        {
            // Where nothing can be opened anew they go on with what there is.
            self.choices[k].span.to = span.to;
            return ChoiceIndex(k);
        }
        self.choices.push(anew);
        ChoiceIndex(self.choices.len() - 1)
    }

    /// A cell of the posted chart, or the part of it inside `span`: settled, or open in a turn.
    fn piece(&mut self, g: usize, cell: &Cell, span: Span, own: bool) -> Planned {
        let block = self.posted.blocks.get(cell.block).map(|b| b.kind);
        let nest = matches!(cell.at, Place::Choice(_));
        let turn = match block {
            Some(BlockKind::Turn) => matches!(cell.at, Place::Station(_) | Place::Unplaced) || nest,
            Some(BlockKind::Circle) => nest,
            _ => false,
        };
        let past = span.to <= self.at;
        let rest = cell.span.from < self.at && !past && span.minutes() < SHORTEST;
        // What is left of the turn that is on is a cell of its own; what was before it is past.
        let half = past && cell.span.to > self.at;
        if turn && !rest && !half && !self.members(g, span).is_empty() {
            return self.open_cell(g, cell, span, own);
        }
        let zoned =
            matches!(cell.at, Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest);
        let zone = if zoned { gathering_zone(self.day, cell.space) } else { None };
        let at = if self.is_over(cell.at, cell.span, span) { Place::Transition } else { cell.at };
        let mut settled = stay(span, cell.space, at, zone);
        if let Place::Table(_) = cell.at {
            settled.meal = self.meal_at(span.from);
        }
        Planned::Fixed(settled)
    }

    /// Whether the end of a turn that is on is too short to begin anything else, and its station is
    /// closed: it is tidied up.
    pub(super) fn is_over(&self, at: Place, turn: Span, left: Span) -> bool {
        let Place::Station(station) = at else { return false };
        let short = turn.from < self.at && left.from >= self.at && left.minutes() < SHORTEST;
        short && self.day.closed[station.0].iter().any(|closed| closed.meets(left))
    }

    fn meal_at(&self, minute: Minute) -> Option<MealKind> {
        self.posted.blocks.iter().find_map(|b| match b.kind {
            BlockKind::Meal(kind) if b.span.contains(minute) => Some(kind),
            _ => None,
        })
    }
}
