//! Adults at places of their own: staffed stations, tables, zones and transitions to watch.

use super::{Needing, SliceNeeds};
use crate::model::{Line, Target, Var};
use crate::site::{ChildIndex, SpaceIndex, StationIndex, ZoneIndex};
use std::collections::BTreeMap;

/// Adults at places of their own in one space.
pub(super) struct Posts {
    /// At staffed stations, in sight of every zone and transition, and in care rounds that see any.
    pub watching: Line,
    /// The same with an adult at each table; `None` without tables.
    pub seated: Option<Line>,
    /// Tables.
    pub tables: i64,
}

/// Who is in the zones of a space, and who sees them anyway.
#[derive(Default)]
struct Zones {
    /// Lines that reach 1 while somebody is in the zone who has no adult for that child alone.
    uses: BTreeMap<ZoneIndex, Vec<Line>>,
    /// Adults who are at something else there.
    sees: BTreeMap<ZoneIndex, Line>,
}

impl Needing<'_, '_> {
    /// The adults at places of their own in a space; adds what is to be seen there to `needs`.
    pub(super) fn posts(&mut self, space: SpaceIndex, needs: &mut SliceNeeds) -> Posts {
        let day = self.frame.day;
        let load = self.slice.spaces.iter().find(|l| l.space == space);
        let mut zones = Zones::default();
        for (&zone, children) in load.iter().flat_map(|l| &l.zones) {
            zones.uses.entry(zone).or_default().push(self.unless_fetched(Line::new(1), children));
        }
        let tied = self.stations(space, &mut zones);
        needs.tied = needs.tied.clone().plus_line(1, &tied);
        let mut posts = tied;
        for (round, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
            let sees = round.sees(day);
            sees.iter().for_each(|z| zones.sees.entry(*z).or_default().add(1, var));
            if !sees.is_empty() && round.space == space {
                posts.add(1, var);
            }
        }
        let mut watching = Watching::default();
        let moving = load.map_or(&[][..], |l| &l.moving);
        let mut seen: Vec<Line> = Vec::new();
        // Whoever is fetched from the way to be changed needs nobody along.
        let moving = (!moving.is_empty()).then(|| {
            let line = self.unless_fetched(Line::new(1), moving);
            seen.push(line.clone());
            if line.terms.is_empty() {
                return line;
            }
            Line::default().plus(1, self.model.forced(self.name("moving", space), vec![line]))
        });
        for (zone, lines) in zones.uses {
            seen.extend(lines.iter().cloned());
            let at = |name: &str| format!("{name}:{}@{}", day.site[zone].id, self.slice.span.from);
            let others = zones.sees.get(&zone);
            let unseen: Vec<Line> = lines
                .iter()
                .map(|l| others.map_or_else(|| l.clone(), |o| l.clone().plus_line(-1, o)))
                .collect();
            let watch = self.model.forced(at("watch"), unseen);
            let used = match others {
                Some(_) => self.model.forced(at("in-use"), lines),
                None => watch,
            };
            needs.spots.add(1, used);
            let tables =
                load.map_or(0, |l| l.tables.iter().filter(|t| day.site[**t].zone == zone).count());
            watching.add(watch, tables as i64);
        }
        if seen.len() > usize::from(moving.is_some()) {
            needs.used.insert(space);
        }
        if !seen.is_empty() {
            let watched = self.model.forced(self.name("watched", space), seen);
            needs.watched_spaces.add(1, watched);
        }
        if let Some(moving) = &moving {
            needs.spots = needs.spots.clone().plus_line(1, moving);
            needs.moving = needs.moving.clone().plus_line(1, moving);
            needs.reach = needs.reach.max(2);
        }
        let moving = moving.as_ref();
        Posts {
            tables: watching.tables,
            seated: (watching.tables > 0).then(|| {
                let all = self.on_the_move(space, "on-the-way", moving, &watching.free);
                posts.clone().plus_line(1, &watching.seated).plus_line(1, &all)
            }),
            watching: {
                let all = self.on_the_move(space, "on-the-move", moving, &watching.all);
                posts.plus_line(1, &watching.all).plus_line(1, &all)
            },
        }
    }

    fn name(&self, what: &str, space: SpaceIndex) -> String {
        format!("{what}:{}@{}", self.frame.day.site[space].id, self.slice.span.from)
    }

    /// One more adult for those on the move where nobody watches a zone: from a zone, those on the
    /// move are seen as well.
    fn on_the_move(
        &mut self,
        space: SpaceIndex,
        what: &str,
        moving: Option<&Line>,
        by: &Line,
    ) -> Line {
        let Some(moving) = moving else { return Line::default() };
        let line = moving.clone().plus_line(-1, by);
        Line::default().plus(1, self.model.forced(self.name(what, space), vec![line]))
    }

    /// A line less 1 while a care round has all of these children.
    fn unless_fetched(&self, mut line: Line, children: &[ChildIndex]) -> Line {
        for (round, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
            let fetched: Vec<ChildIndex> = round.changed_in(self.slice.span).collect();
            if children.iter().all(|c| fetched.contains(c)) {
                line.add(-1, var);
            }
        }
        line
    }

    /// Adults at staffed stations of a space; notes which zones open cells use, and which those
    /// adults see.
    fn stations(&mut self, space: SpaceIndex, zones: &mut Zones) -> Line {
        let (frame, day) = (self.frame, self.frame.day);
        let mut staffed: BTreeMap<StationIndex, Vec<(Vec<ChildIndex>, Var)>> = BTreeMap::new();
        for (cell, children) in &self.slice.cells {
            for (o, &var) in frame.cells[*cell].options.iter().zip(&self.unknowns.cells[*cell]) {
                let barred = |c: &&ChildIndex| o.instead.iter().any(|i| i.0 == **c);
                let there: Vec<ChildIndex> =
                    children.iter().filter(|c| !barred(c)).copied().collect();
                let zone = match &o.target {
                    _ if o.space != space => continue,
                    Target::Station(s) => {
                        if day.own_adults(*s, &there, false) > 0 {
                            staffed.entry(*s).or_default().push((there.clone(), var));
                        }
                        day.station(*s).zone
                    }
                    Target::Nest { zone, .. } => *zone,
                    Target::Unplaced => continue,
                };
                let alone = |c: &ChildIndex| day.site[*c].one_to_one.is_none();
                let watched: Vec<ChildIndex> = there.into_iter().filter(alone).collect();
                if !watched.is_empty() {
                    let line = self.unless_fetched(Line::default().plus(1, var), &watched);
                    zones.uses.entry(zone).or_default().push(line);
                }
            }
        }
        let mut tied = Line::default();
        for (station, cells) in staffed {
            let lines = self.own_adults(station, &cells);
            let name = format!("staff:{}@{}", day.station(station).id, self.slice.span.from);
            let own = self.model.forced(name, lines);
            tied.add(1, own);
            zones.sees.entry(day.station(station).zone).or_default().add(1, own);
        }
        tied
    }

    /// Adults of a station for any one, two or three groups there; one is enough where they are all
    /// the children awake in the space, and whoever is being changed asks for nobody.
    fn own_adults(&self, station: StationIndex, cells: &[(Vec<ChildIndex>, Var)]) -> Vec<Line> {
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
            let everyone = !awake && group.len() == open;
            let adults = |away: &[ChildIndex], everyone: bool| {
                let there = group.iter().flat_map(|&i| &cells[i].0).filter(|c| !away.contains(c));
                let there: Vec<ChildIndex> = there.copied().collect();
                i64::from(day.own_adults(station, &there, everyone))
            };
            let need = adults(&[], everyone);
            let mut line = Line::new(need - need * group.len() as i64);
            group.iter().for_each(|&i| line.add(need, cells[i].1));
            if !awake && group.len() + 1 == open {
                // Should the last group come as well, everyone is there.
                let fewer = adults(&[], true) - need;
                let others = (0..cells.len()).filter(|i| !group.contains(i));
                others.for_each(|i| line.add(fewer, cells[i].1));
            }
            for (round, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
                let away: Vec<ChildIndex> = round.changed_in(self.slice.span).collect();
                let less = need - adults(&away, everyone);
                if less > 0 {
                    line.add(-less, var);
                }
            }
            lines.push(line);
        }
        lines
    }
}

/// Adults who watch the zones of a space.
#[derive(Default)]
struct Watching {
    /// In all zones.
    all: Line,
    /// In zones without tables.
    free: Line,
    /// At tables, and in zones without.
    seated: Line,
    tables: i64,
}

impl Watching {
    fn add(&mut self, watch: Var, tables: i64) {
        self.all.add(1, watch);
        self.tables += tables;
        if tables == 0 {
            self.free.add(1, watch);
            self.seated.add(1, watch);
        } else {
            // Whoever sits at a table sees its zone.
            self.seated.constant += tables;
        }
    }
}
