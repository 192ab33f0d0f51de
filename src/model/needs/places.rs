//! Adults at places of their own: staffed stations, tables, zones and transitions to watch.

use super::Needing;
use crate::model::{Line, Target, Var};
use crate::site::{SpaceIndex, StationIndex, ZoneIndex};
use std::collections::BTreeMap;

impl Needing<'_, '_> {
    /// Adults at the staffed stations of a space, and with those at its tables and those who watch
    /// its zones.
    pub(super) fn posts(&mut self, space: SpaceIndex) -> (Line, Line) {
        let day = self.frame.day;
        let load = self.slice.spaces.iter().find(|l| l.space == space);
        let mut sees: BTreeMap<ZoneIndex, Line> = BTreeMap::new();
        let mut uses: BTreeMap<ZoneIndex, Vec<Line>> = BTreeMap::new();
        let mut posts = Line::default();
        if let Some(load) = load {
            posts.constant += load.tables.len() as i64;
            for &table in &load.tables {
                sees.entry(day.site[table].zone).or_default().constant += 1;
            }
            for &zone in &load.zones {
                uses.entry(zone).or_default().push(Line::new(1));
            }
        }
        let tied = self.stations(space, &mut sees, &mut uses);
        for (zones, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
            for &zone in zones {
                sees.entry(zone).or_default().add(1, var);
            }
        }
        let mut watchers = Line::default();
        for (zone, mut lines) in uses {
            if let Some(seen) = sees.get(&zone) {
                for line in &mut lines {
                    line.constant -= seen.constant;
                    line.terms.extend(seen.terms.iter().map(|t| (t.0, -t.1)));
                }
            }
            let name = format!("watch:{}@{}", day.site[zone].id, self.slice.span.from);
            watchers.add(1, self.model.forced(name, lines));
        }
        if load.is_some_and(|l| l.moving) {
            // Whoever watches a zone here sees those on the move as well.
            let mut line = Line::new(1);
            line.terms.extend(watchers.terms.iter().map(|t| (t.0, -t.1)));
            let name = format!("on-the-move:{}@{}", day.site[space].id, self.slice.span.from);
            watchers.add(1, self.model.forced(name, vec![line]));
        }
        posts.terms.extend(watchers.terms);
        posts.constant += tied.constant;
        posts.terms.extend(tied.terms.iter().copied());
        (tied, posts)
    }

    /// Adults at staffed stations of a space; notes which zones open cells use, and which those
    /// adults see.
    fn stations(
        &mut self,
        space: SpaceIndex,
        sees: &mut BTreeMap<ZoneIndex, Line>,
        uses: &mut BTreeMap<ZoneIndex, Vec<Line>>,
    ) -> Line {
        let (frame, day) = (self.frame, self.frame.day);
        let mut staffed: BTreeMap<StationIndex, Vec<(u32, Var)>> = BTreeMap::new();
        for (cell, children) in &self.slice.cells {
            for (o, &var) in frame.cells[*cell].options.iter().zip(&self.unknowns.cells[*cell]) {
                let zone = match &o.target {
                    _ if o.space != space => continue,
                    Target::Station(s) => {
                        let barred = o.instead.iter().filter(|i| children.contains(&i.0)).count();
                        let there = u32::try_from(children.len() - barred).unwrap_or(0);
                        if day.station(*s).supervision.adults_for(there) > 0 {
                            staffed.entry(*s).or_default().push((there, var));
                        }
                        day.station(*s).zone
                    }
                    Target::Nest { zone, .. } => *zone,
                    Target::Unplaced => continue,
                };
                uses.entry(zone).or_default().push(Line::default().plus(1, var));
            }
        }
        let mut tied = Line::default();
        for (station, cells) in staffed {
            let lines = self.own_adults(station, &cells);
            let name = format!("staff:{}@{}", day.station(station).id, self.slice.span.from);
            let own = self.model.forced(name, lines);
            tied.add(1, own);
            let seen = sees.entry(day.station(station).zone).or_default();
            seen.add(1, own);
        }
        tied
    }

    /// Adults of a station for any one, two or three groups there; one is enough where they are all
    /// the children awake in the space.
    fn own_adults(&self, station: StationIndex, cells: &[(u32, Var)]) -> Vec<Line> {
        let day = self.frame.day;
        let space = day.station(station).space;
        let awake = self.settled(space).iter().any(|h| !h.1);
        let open = self.slice.cells.len();
        let mut lines = Vec::new();
        for mask in 1_u32..(1 << cells.len().min(8)) {
            let inside = |i: &usize| mask >> i & 1 == 1;
            let group: Vec<usize> = (0..cells.len().min(8)).filter(inside).collect();
            if group.len() > 3 {
                continue;
            }
            let children = group.iter().map(|&i| cells[i].0).sum();
            let everyone = !awake && group.len() == open;
            let need = i64::from(day.station(station).supervision.adults_for(children));
            let need = if everyone { need.min(1) } else { need };
            let mut line = Line::new(need - need * group.len() as i64);
            group.iter().for_each(|&i| line.add(need, cells[i].1));
            if !awake && group.len() + 1 == open {
                // Should the last group come as well, everyone is there.
                let others = (0..cells.len()).filter(|i| !group.contains(i));
                others.for_each(|i| line.add(1 - need, cells[i].1));
            }
            lines.push(line);
        }
        lines
    }
}
