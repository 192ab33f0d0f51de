//! A layout and today's groups made into a [`Frame`]: what is settled, what is still open.

use super::allow::Surroundings;
use super::clock::{GRID, gathering_zone, grid_up};
use super::layout::{Layout, Piece};
use super::starts::{blocks, breaks, tasks};
use super::way::{clip, join, overlay, stay};
use super::{care, few, meals, sleep};
use crate::chart::{Apart, BlockKind, ChoiceIndex, Group, OpenChoice, Place, Stay};
use crate::day::{Day, KeptFor};
use crate::model::{CellOption, Frame, Planned, Target, VarCell};
use crate::site::{
    ChildIndex, MealKind, Minute, SpaceIndex, Span, StationIndex, TableIndex, age_banded, slices,
};

/// The frame of a layout for these groups.
#[must_use]
pub fn frame<'d>(day: &'d Day, groups: &[Group], layout: &Layout) -> Frame<'d> {
    let laid = meals::laid_by_layout(groups, &layout.seatings, &layout.pieces);
    let mut framing = Framing {
        day,
        groups,
        layout,
        around: Surroundings::of(day, layout, laid),
        choices: Vec::new(),
        cells: Vec::new(),
    };
    let group_plans: Vec<Vec<Planned>> = (0..groups.len()).map(|g| framing.group_plan(g)).collect();
    let mut children: Vec<(ChildIndex, Vec<Planned>)> = Vec::new();
    for (child, here) in &day.children {
        let Some(g) = groups.iter().position(|g| g.children.contains(child)) else { continue };
        let mut plan: Vec<Planned> = Vec::new();
        for span in here {
            plan.extend(clip(&group_plans[g], *span));
        }
        for rest in layout.pieces.iter().filter(|p| p.kind == BlockKind::Rest) {
            framing.rest_of(*child, *rest, &mut plan);
        }
        for stay in sleep::own_sleep(day, *child) {
            overlay(&mut plan, &stay);
        }
        framing.seat(*child, &mut plan);
        framing.kept(*child, &mut plan);
        children.push((*child, join(plan)));
    }
    let (pieces, eaten) = (&layout.pieces[..], &layout.eaten);
    let feeding = meals::Feeding { day, pieces, eaten, now: Minute(0) };
    meals::feed(&feeding, |_| true, &mut children, &mut |span, child, table| {
        framing.meanwhile(span, child, table)
    });
    let Framing { choices, cells, around, .. } = framing;
    let mut frame = Frame {
        day,
        blocks: blocks(layout),
        groups: groups.to_vec(),
        group_plans,
        children,
        choices,
        cells,
        slices: Vec::new(),
        breaks: breaks(day),
        tasks: tasks(day),
        rounds: Vec::new(),
    };
    // Own sittings laid tables that no layout knew of: stations standing on them are closed.
    let laid = meals::laid(&frame.children);
    let around = Surroundings { laid, ..around };
    for choice in &mut frame.choices {
        let span = choice.span;
        choice.open.retain(|&s| day.station(s).stands_on.is_none() || around.usable(s, span));
    }
    for cell in &mut frame.cells {
        let span = cell.span;
        cell.options.retain(|o| o.stations().iter().all(|&s| around.usable(s, span)));
    }
    let owed = |_, cell: &VarCell, option: &CellOption| {
        let is = |s: StationIndex| option.target == Target::Station(s);
        let owes = |child: &ChildIndex| groups[cell.group].children.contains(child);
        day.must_do.iter().any(|(child, station)| is(*station) && owes(child))
    };
    few::options(&mut frame.cells, owed);
    frame.rounds = care::rounds(day, &frame);
    frame.slices = frame.cut(GRID);
    frame
}

struct Framing<'a, 'd> {
    day: &'d Day,
    groups: &'a [Group],
    layout: &'a Layout,
    around: Surroundings<'d>,
    choices: Vec<OpenChoice>,
    cells: Vec<VarCell>,
}

impl Framing<'_, '_> {
    fn group_plan(&mut self, g: usize) -> Vec<Planned> {
        let pieces = &self.layout.pieces;
        let members = self.groups[g].children.clone();
        let young = self.day.any_young(&members);
        let mut plan = Vec::new();
        let mut i = 0;
        while i < pieces.len() {
            let piece = pieces[i];
            let zone = gathering_zone(self.day, piece.space);
            let fixed = |at, zone| Planned::Fixed(stay(piece.span, piece.space, at, zone));
            match piece.kind {
                BlockKind::Turn if young => {
                    let last = run_of_turns(pieces, i);
                    let whole = Span { from: piece.span.from, to: pieces[last].span.to };
                    if last > i && self.owes(g) && starts_run(pieces, i) {
                        // A visit that is owed comes first, in a turn of its own.
                        plan.push(self.cell(g, i, piece, piece.span, true));
                    } else {
                        plan.push(self.cell(g, i, piece, whole, true));
                        i = last;
                    }
                }
                BlockKind::Turn => plan.push(self.cell(g, i, piece, piece.span, false)),
                BlockKind::Circle if young => self.short_circle(g, i, piece, &mut plan),
                BlockKind::Circle => plan.push(fixed(Place::WholeGroup, zone)),
                BlockKind::Outdoors => plan.push(fixed(Place::Outdoors, zone)),
                BlockKind::Movement => plan.push(fixed(Place::Movement, zone)),
                BlockKind::Rest => plan.push(fixed(Place::Rest, zone)),
                BlockKind::Transition => plan.push(fixed(Place::Transition, None)),
                BlockKind::Meal(kind) => match self.table(g, kind, piece.number) {
                    Some(table) => {
                        let mut eats = stay(piece.span, piece.space, Place::Table(table), None);
                        eats.meal = Some(kind);
                        plan.push(Planned::Fixed(eats));
                    }
                    None => plan.extend(self.choice(piece)),
                },
                BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome => {
                    plan.extend(self.choice(piece));
                }
            }
            i += 1;
        }
        join(plan)
    }

    fn cell(
        &mut self,
        group: usize,
        block: usize,
        piece: Piece,
        span: Span,
        nest: bool,
    ) -> Planned {
        let here = |c: &ChildIndex| self.day.child_here(*c).iter().any(|h| h.meets(span));
        let members: Vec<ChildIndex> =
            self.groups[group].children.iter().copied().filter(here).collect();
        let home = self.day.site[self.day.room].home;
        let mut options = if nest {
            let mut options = self.around.turn_options(span, home, &members);
            let one_turn = piece.kind == BlockKind::Turn && span == piece.span;
            options.retain(|o| one_turn && self.owed(group, o));
            options.extend(self.around.nest_options(span, home, &members));
            options
        } else {
            self.around.turn_options(span, home, &members)
        };
        self.keep(group, span, &mut options);
        self.cells.push(VarCell { group, block, stretch: piece.number, span, options });
        Planned::Cell { span, cell: self.cells.len() - 1 }
    }

    /// Whether somebody of a group owes a visit.
    fn owes(&self, g: usize) -> bool {
        self.day.must_do.iter().any(|(c, _)| self.groups[g].children.contains(c))
    }

    /// Whether an option is a station at which somebody of the group owes a visit.
    fn owed(&self, g: usize, option: &CellOption) -> bool {
        let Target::Station(s) = option.target else { return false };
        self.day.must_do.iter().any(|&(c, owed)| owed == s && self.groups[g].children.contains(&c))
    }

    /// A cell that the teacher keeps has that option only, where it is one at all.
    fn keep(&self, group: usize, span: Span, options: &mut Vec<CellOption>) {
        let id = &self.groups[group].id;
        for kept in &self.day.kept {
            if matches!(&kept.who, KeptFor::Group(g) if g == id) && kept.span.meets(span) {
                let wanted = Target::Station(kept.station);
                if options.iter().any(|o| o.target == wanted) {
                    options.retain(|o| o.target == wanted || o.target == Target::Unplaced);
                }
            }
        }
    }

    /// The young leave the circle when it gets long for them.
    fn short_circle(&mut self, g: usize, block: usize, piece: Piece, plan: &mut Vec<Planned>) {
        let youngest = self.groups[g].children.iter().map(|&c| self.day.months(c)).min();
        let longest = age_banded(&self.day.schedule.whole_group_minutes, youngest.unwrap_or(0));
        let zone = gathering_zone(self.day, piece.space);
        let leave = piece.span.from.later(grid_up(longest.max(GRID)));
        let circle = Span { from: piece.span.from, to: leave.min(piece.span.to) };
        plan.push(Planned::Fixed(stay(circle, piece.space, Place::WholeGroup, zone)));
        if let Some(rest) = Span::new(circle.to, piece.span.to) {
            plan.push(self.cell(g, block, piece, rest, true));
        }
    }

    /// The table of a group (of its first child that has one) in a sitting.
    fn table(&self, g: usize, kind: MealKind, sitting: usize) -> Option<TableIndex> {
        let (_, seating) = self.layout.seatings.iter().find(|s| s.0 == kind)?;
        let here = seating.sitting_of[g] == sitting;
        let mut members = self.groups[g].children.iter().filter(|_| here);
        members.find_map(|&c| seating.table(c))
    }

    /// A child whose group does not fit at one table sits at its own.
    fn seat(&self, child: ChildIndex, plan: &mut [Planned]) {
        for planned in plan {
            let Planned::Fixed(stay) = planned else { continue };
            let seating = self.layout.seatings.iter().find(|s| Some(s.0) == stay.meal);
            if let Some(table) = seating.and_then(|s| s.1.table(child)) {
                stay.at = Place::Table(table);
                stay.space = self.day.site[table].space;
            }
        }
    }

    /// A settled stretch of choice for everybody in the block, the same for all its groups; what is
    /// open changes only where adults come or go.
    fn choice(&mut self, piece: Piece) -> Vec<Planned> {
        let mut plan = Vec::new();
        for span in self.shifts_within(piece.span) {
            let alone = span == piece.span && self.is_alone(piece);
            let k = self.open(piece.space, span, (false, alone));
            let at = stay(span, self.choices[k.0].space, Place::Choice(k), None);
            plan.push(Planned::Fixed(at));
        }
        plan
    }

    /// A span cut where adults come or go, no piece shorter than a quarter of an hour.
    fn shifts_within(&self, span: Span) -> Vec<Span> {
        let edges = self.day.adults.iter().flat_map(|(_, here)| here).flat_map(|h| [h.from, h.to]);
        let far = |e: &Minute| e.0 >= span.from.0 + 15 && e.0 + 15 <= span.to.0;
        let mut cuts: Vec<Minute> = vec![span.from];
        let mut inner: Vec<Minute> = edges.filter(far).map(|e| Minute(grid_up(e.0))).collect();
        inner.sort_unstable();
        for edge in inner {
            if cuts.last().is_none_or(|c| edge.0 >= c.0 + 15) {
                cuts.push(edge);
            }
        }
        cuts.push(span.to);
        slices(cuts)
    }

    /// Fewest adults at any time of a span; one is left free for a staff break or a care round
    /// where there are three or more.
    fn watchers(&self, span: Span) -> usize {
        let minutes = (span.from.0..span.to.0).step_by(usize::from(GRID)).map(Minute);
        let here = |m: Minute| {
            self.day.adults.iter().filter(|(_, h)| h.iter().any(|s| s.contains(m))).count()
        };
        let fewest = minutes.map(here).min().unwrap_or(1);
        if fewest >= 3 { fewest - 1 } else { fewest.max(1) }
    }

    /// Whether no other choice touches this one, nor a circle that the young leave for one.
    fn is_alone(&self, piece: Piece) -> bool {
        let choice = |p: &&Piece| {
            matches!(p.kind, BlockKind::Arrival | BlockKind::Choice | BlockKind::GoingHome)
        };
        let touches = |p: &&Piece| p.span.to == piece.span.from || p.span.from == piece.span.to;
        let left_early = self.groups.iter().any(|g| self.day.any_young(&g.children));
        let circle = |p: &&Piece| p.kind == BlockKind::Circle && left_early;
        !self.layout.pieces.iter().filter(|p| choice(p) || circle(p)).any(|p| touches(&p))
    }

    fn open(&mut self, space: SpaceIndex, span: Span, (quiet, alone): (bool, bool)) -> ChoiceIndex {
        if let Some(k) = self.choices.iter().position(|c| c.span == span && c.space == space) {
            return ChoiceIndex(k);
        }
        let here: Vec<ChildIndex> = self
            .day
            .children
            .iter()
            .filter(|(c, spans)| {
                // In a rest only those who get up before its end have something quiet to do.
                let joins = |s: Span| !quiet || self.day.up_from_rest(*c, s) < s.to;
                spans.iter().filter_map(|h| h.meet(span)).any(joins)
            })
            .map(|(c, _)| *c)
            .collect();
        let near = gathering_zone(self.day, space).filter(|_| quiet);
        let watchers = (self.watchers(span), alone);
        self.choices.push(self.around.open_choice(space, span, &here, (quiet, near), watchers));
        ChoiceIndex(self.choices.len() - 1)
    }

    /// What a child does that has a meal at another time, while its group sits at a table: what others
    /// do meanwhile, else something beside the table, or elsewhere if an adult is left for it.
    fn meanwhile(&mut self, span: Span, child: ChildIndex, table: TableIndex) -> Option<Stay> {
        let laid = self.around.laid.iter().filter(|(_, laid)| laid.meets(span)).count();
        let one_is_left = self.watchers(span) > laid;
        let zone = self.day.site[table].zone;
        let fine = |choice: &OpenChoice| {
            let in_sight = choice.open.iter().all(|&s| self.day.station(s).zone == zone);
            !choice.open.is_empty() && (in_sight || one_is_left)
        };
        let k = self.around.beside(&mut self.choices, table, (span, child), fine)?;
        Some(stay(span, self.day.site[table].space, Place::Choice(k), None))
    }

    /// Who sleeps, sleeps; who does not, or wakes, has something quiet.
    fn rest_of(&mut self, child: ChildIndex, piece: Piece, plan: &mut Vec<Planned>) {
        let zone = gathering_zone(self.day, piece.space);
        let here: Vec<Span> =
            self.day.child_here(child).iter().filter_map(|h| h.meet(piece.span)).collect();
        for span in here {
            let home = self.day.site[self.day.room].home;
            let k = self.open(home, piece.span, (true, true));
            let up = self.up_when_seated(child, piece.span, span, k);
            for resting in sleep::in_rest_until(self.day, child, piece.space, zone, span, up) {
                overlay(plan, &resting);
            }
            if let Some(quiet) = Span::new(up, span.to) {
                overlay(plan, &stay(quiet, home, Place::Choice(k), None));
            }
        }
    }

    /// When a child is up from a rest: where the quiet stations have fewer seats than there are
    /// children up, whoever woke last looks at a book on the cot for as long as may be.
    fn up_when_seated(
        &self,
        child: ChildIndex,
        rest: Span,
        here: Span,
        choice: ChoiceIndex,
    ) -> Minute {
        let day = self.day;
        let usual = day.up_from_rest(child, here);
        let open = &self.choices[choice.0].open;
        let seats = day.seats(open);
        let ups = day.children.iter().filter_map(|(c, spans)| {
            let here = spans.iter().find_map(|h| h.meet(rest))?;
            let up = day.up_from_rest(*c, here);
            (up < here.to).then_some((up, *c))
        });
        let before = ups.filter(|&(up, c)| (up, c) < (usual, child)).count();
        let full = usual < here.to && before >= seats as usize;
        if full { sleep::latest_up(day, child, usual, here) } else { usual }
    }

    /// Cells of single children that the teacher keeps.
    fn kept(&self, child: ChildIndex, plan: &mut Vec<Planned>) {
        for kept in self.day.kept.iter().filter(|k| k.who == KeptFor::Child(child)) {
            let s = self.day.station(kept.station);
            let mut there = stay(kept.span, s.space, Place::Station(kept.station), None);
            there.apart = Some(Apart::Kept);
            overlay(plan, &there);
        }
    }
}

/// Whether no other turn comes right before, transitions apart.
fn starts_run(pieces: &[Piece], at: usize) -> bool {
    let before = pieces[..at].iter().rev().find(|p| p.kind != BlockKind::Transition);
    before.is_none_or(|p| p.kind != BlockKind::Turn)
}

/// Position of the last turn of the run that starts at `first`: turns with transitions between.
fn run_of_turns(pieces: &[Piece], first: usize) -> usize {
    let mut last = first;
    for (i, piece) in pieces.iter().enumerate().skip(first) {
        match piece.kind {
            BlockKind::Turn => last = i,
            BlockKind::Transition => {}
            _ => break,
        }
    }
    last
}
