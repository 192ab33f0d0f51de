//! Open cells: where a group may go in a turn that is still to come, or in what is left of one.

use super::PostedCell;
use super::ways::Making;
use crate::chart::{Apart, BlockKind, Cell, Place};
use crate::day::KeptFor;
use crate::model::{CellOption, Planned, Target, VarCell};
use crate::site::{ChildIndex, Span, StationIndex, StretchKind};
use crate::solve::allow::may_use;

impl Making<'_> {
    /// A turn of a group: past it has the one option that is posted, else all that are allowed,
    /// what is posted among them. `own`: the posted cell is the group's own.
    pub(super) fn open_cell(&mut self, g: usize, cell: &Cell, span: Span, own: bool) -> Planned {
        let members: Vec<ChildIndex> = self.members(g, span);
        let home = self.day.site[self.day.room].home;
        let target = if own { self.target(cell) } else { None };
        let past = span.to <= self.at;
        let mut options: Vec<CellOption> = Vec::new();
        if past {
            let space = cell.space;
            let target = target.clone().map_or(Target::Unplaced, |t| t.0);
            options.push(CellOption { target, space, instead: Vec::new() });
        } else {
            options.extend(target.iter().flat_map(|t| self.as_posted(cell, span, &t.0, &members)));
            let young = self.day.any_young(&members);
            let mut more = self.around.turn_options(span, home, &members);
            if young {
                let turn = self.posted.blocks.get(cell.block).filter(|b| b.kind == BlockKind::Turn);
                let one_turn = turn.is_some_and(|b| b.span.holds(span));
                more.retain(|o| one_turn && self.owed(&members, o));
                more.extend(self.around.nest_options(span, home, &members));
            }
            more.retain(|o| !options.contains(o));
            options.extend(more);
            self.keep(g, span, &mut options);
        }
        let stretches = self.day.schedule.stretches.iter();
        let within = stretches
            .enumerate()
            .find(|(_, s)| s.kind == StretchKind::Assigned && s.span.contains(cell.span.from));
        let stretch = within.map_or(0, |s| s.0);
        self.cells.push(VarCell { group: g, block: cell.block, stretch, span, options });
        self.posted_cells.push(PostedCell {
            at: target,
            under_way: own && cell.span.from < self.at,
            children: Vec::new(),
        });
        Planned::Cell { span, cell: self.cells.len() - 1 }
    }

    pub(super) fn members(&self, g: usize, span: Span) -> Vec<ChildIndex> {
        let here = |c: &ChildIndex| self.day.child_here(*c).iter().any(|h| h.meets(span));
        self.groups[g].children.iter().copied().filter(here).collect()
    }

    /// What a posted cell goes to.
    fn target(&self, cell: &Cell) -> Option<(Target, Option<crate::chart::ChoiceIndex>)> {
        match cell.at {
            Place::Station(s) => Some((Target::Station(s), None)),
            Place::Choice(k) => {
                let open = self.posted.choices.get(k.0)?.open.clone();
                let zone = self.day.station(*open.first()?).zone;
                Some((Target::Nest { zone, open }, Some(k)))
            }
            _ => None,
        }
    }

    /// The posted place as options, if it can still be used: with everybody, and where somebody new
    /// to it finds no seat, with that one beside it.
    fn as_posted(
        &self,
        cell: &Cell,
        span: Span,
        target: &Target,
        members: &[ChildIndex],
    ) -> Vec<CellOption> {
        let stations: Vec<StationIndex> = match target {
            Target::Station(s) => vec![*s],
            Target::Nest { open, .. } => open.clone(),
            Target::Unplaced => return Vec::new(),
        };
        if !stations.iter().all(|&s| self.around.usable(s, span)) {
            return Vec::new();
        }
        let barred = |c: &ChildIndex| stations.iter().any(|&s| !may_use(self.day, *c, s));
        let (out, inside): (Vec<ChildIndex>, Vec<ChildIndex>) =
            members.iter().copied().partition(|c| barred(c));
        let Some(beside) = self.beside(span, stations[0], &out) else { return Vec::new() };
        let option = |instead: Vec<(ChildIndex, StationIndex)>| CellOption {
            target: target.clone(),
            space: cell.space,
            instead,
        };
        let mut options = vec![option(beside)];
        let seats = self.day.seats(&stations);
        let over = inside.len().saturating_sub(seats as usize);
        let new: Vec<ChildIndex> =
            inside.into_iter().filter(|c| self.stay_at(*c, span.from).is_none()).collect();
        if over > 0 && new.len() >= over {
            let aside = out.iter().chain(&new[..over]).copied().collect::<Vec<_>>();
            options.extend(self.beside(span, stations[0], &aside).map(option));
        }
        options
    }

    /// A place for each child who cannot be with the group: where it is posted, else a quiet one in
    /// the same zone.
    fn beside(
        &self,
        span: Span,
        station: StationIndex,
        children: &[ChildIndex],
    ) -> Option<Vec<(ChildIndex, StationIndex)>> {
        let posted = |c: ChildIndex| {
            let stay = self.stay_at(c, span.from)?;
            match (stay.at, stay.apart) {
                (Place::Station(s), Some(Apart::Barred))
                    if self.around.usable(s, span) && may_use(self.day, c, s) =>
                {
                    Some((c, s))
                }
                _ => None,
            }
        };
        let mut instead: Vec<(ChildIndex, StationIndex)> =
            children.iter().filter_map(|&c| posted(c)).collect();
        let left: Vec<ChildIndex> =
            children.iter().copied().filter(|c| !instead.iter().any(|i| i.0 == *c)).collect();
        let found = self.around.instead(station, span, &left);
        instead.extend(
            found.into_iter().filter(|f| !instead.iter().any(|i| i.1 == f.1)).collect::<Vec<_>>(),
        );
        (instead.len() == children.len()).then_some(instead)
    }

    /// The stay of a child on the posted chart.
    pub(super) fn stay_at(
        &self,
        child: ChildIndex,
        minute: crate::site::Minute,
    ) -> Option<&crate::chart::Stay> {
        self.posted.child(child)?.stays.iter().find(|s| s.span.contains(minute))
    }

    fn owed(&self, members: &[ChildIndex], option: &CellOption) -> bool {
        let Target::Station(s) = option.target else { return false };
        self.day.must_do.iter().any(|&(c, owed)| owed == s && members.contains(&c))
    }

    /// A cell that the teacher keeps has that option only, where it is one at all.
    fn keep(&self, g: usize, span: Span, options: &mut Vec<CellOption>) {
        let id = &self.groups[g].id;
        for kept in &self.day.kept {
            if matches!(&kept.who, KeptFor::Group(k) if k == id) && kept.span.meets(span) {
                let wanted = Target::Station(kept.station);
                if options.iter().any(|o| o.target == wanted) {
                    options.retain(|o| o.target == wanted || o.target == Target::Unplaced);
                }
            }
        }
    }
}
