//! How many adults each slice of a frame needs, as lines over its unknowns.

use super::{Frame, Line, Model, Slice, Target, Unknowns, Var};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, StationIndex, ZoneIndex};
use crate::standards::{Head, Scope, Situation};
use std::collections::{BTreeMap, BTreeSet};

/// What a slice needs.
#[derive(Clone, Debug)]
pub struct SliceNeeds {
    /// Counted adults that the standards want among the children, all spaces together.
    pub counted: Line,
    /// Adults at staffed stations.
    pub tied: Line,
    /// Adults at places of their own and watching zones and transitions, all spaces together; where
    /// there is more than one space, in each of them what the standards want if that is more.
    pub posted: Line,
    /// One more adult wanted when this one's qualification is away: (extra, who, holders here).
    pub switch: Option<(i64, Vec<AdultIndex>)>,
    /// Spaces with children, as a line.
    pub spaces: Line,
    /// Adults with a one-to-one child here.
    pub one_to_one: i64,
}

/// Remembers what the standards asked for a set of children.
#[derive(Default)]
pub struct Asked(BTreeMap<Question, (u32, u32)>);

/// When (and whether outdoors), which children and whether asleep, which adults.
type Question = (u16, Vec<(ChildIndex, bool)>, Vec<AdultIndex>);

/// Counted adults wanted by room-scope and by site-scope standards for these heads.
pub fn wanted(
    day: &Day,
    asked: &mut Asked,
    slice: &Slice,
    heads: &[(ChildIndex, bool)],
    adults: &[AdultIndex],
    outdoors: bool,
) -> (u32, u32) {
    if heads.is_empty() {
        return (0, 0);
    }
    let key = (slice.span.from.0 * 2 + u16::from(outdoors), heads.to_vec(), adults.to_vec());
    if let Some(known) = asked.0.get(&key) {
        return *known;
    }
    let set: Vec<Head> = heads
        .iter()
        .map(|&(c, asleep)| Head { months: day.months(c), born: day.site[c].born, asleep })
        .collect();
    let qualifications: Vec<&[String]> =
        adults.iter().map(|&a| day.site[a].qualifications.as_slice()).collect();
    let at = Situation {
        date: day.date,
        adults: &qualifications,
        governing_age: day.site[day.room].governing_age,
        minute: slice.span.from,
        open: day.schedule.open,
        outdoors,
    };
    let most = |scope: Scope| {
        let of = day.standards.iter().filter(|s| s.scope == scope);
        of.map(|s| s.need(&set, &at).adults).max().unwrap_or(0)
    };
    let found = (most(Scope::Room), most(Scope::Site));
    asked.0.insert(key, found);
    found
}

/// The needs of every slice; quantities that several slices share are made once.
pub fn needs(frame: &Frame<'_>, unknowns: &Unknowns, model: &mut Model) -> Vec<SliceNeeds> {
    let mut asked = Asked::default();
    let mut all: Vec<SliceNeeds> = Vec::new();
    let mut keys: Vec<(Vec<Var>, Vec<AdultIndex>)> = Vec::new();
    for (i, slice) in frame.slices.iter().enumerate() {
        let rounds: Vec<Var> = unknowns.rounds_at(frame, slice.span).map(|r| r.1).collect();
        let key = (rounds, slice.adults.clone());
        let same = i > 0 && {
            let before = &frame.slices[i - 1];
            before.spaces == slice.spaces && before.cells == slice.cells && keys[i - 1] == key
        };
        let next = if same {
            all[i - 1].clone()
        } else {
            Needing { frame, unknowns, model, slice, asked: &mut asked }.needs()
        };
        all.push(next);
        keys.push(key);
    }
    all
}

/// Adults in a slice who count in ratio and are not beside a one-to-one child.
#[must_use]
pub fn counted(frame: &Frame<'_>, slice: &Slice) -> Vec<AdultIndex> {
    let beside = one_to_one(frame.day, slice);
    let counts = |a: &AdultIndex| frame.day.site[*a].counts && !beside.contains(a);
    slice.adults.iter().copied().filter(counts).collect()
}

/// The adult beside each one-to-one child who is here: its own, else the first stand-in here.
#[must_use]
pub fn one_to_one(day: &Day, slice: &Slice) -> Vec<AdultIndex> {
    let mut beside = Vec::new();
    for &child in &slice.children {
        if let Some(support) = &day.site[child].one_to_one {
            let mut who = std::iter::once(&support.adult).chain(&support.stand_ins);
            beside.extend(who.find(|a| slice.adults.contains(a) && !beside.contains(*a)).copied());
        }
    }
    beside
}

struct Needing<'a, 'f> {
    frame: &'a Frame<'f>,
    unknowns: &'a Unknowns,
    model: &'a mut Model,
    slice: &'a Slice,
    asked: &'a mut Asked,
}

impl Needing<'_, '_> {
    fn needs(&mut self) -> SliceNeeds {
        let (frame, slice) = (self.frame, self.slice);
        let mut spaces: BTreeSet<SpaceIndex> = slice.spaces.iter().map(|l| l.space).collect();
        for (cell, _) in &slice.cells {
            spaces.extend(frame.cells[*cell].options.iter().map(|o| o.space));
        }
        let counted_here = counted(frame, slice);
        let mut needs = SliceNeeds {
            counted: Line::default(),
            tied: Line::default(),
            posted: Line::default(),
            switch: None,
            spaces: Line::default(),
            one_to_one: one_to_one(frame.day, slice).len() as i64,
        };
        let alone = spaces.len() == 1;
        for space in spaces {
            self.space(space, alone, &counted_here, &mut needs);
        }
        self.whole_site(&counted_here, &mut needs);
        needs
    }

    /// Heads settled in a space.
    fn settled(&self, space: SpaceIndex) -> Vec<(ChildIndex, bool)> {
        let load = self.slice.spaces.iter().find(|l| l.space == space);
        load.map_or(Vec::new(), |l| l.heads.clone())
    }

    fn space(
        &mut self,
        space: SpaceIndex,
        alone: bool,
        adults: &[AdultIndex],
        needs: &mut SliceNeeds,
    ) {
        let day = self.frame.day;
        let outdoors = day.site[space].outdoors;
        let settled = self.settled(space);
        let (tied, posts) = self.posts(space);
        let mut lines = vec![posts];
        if alone {
            let mut heads = settled.clone();
            heads.extend(self.slice.cells.iter().flat_map(|c| c.1.iter().map(|&c| (c, false))));
            heads.sort_unstable();
            let need = wanted(day, self.asked, self.slice, &heads, adults, outdoors).0;
            needs.counted.constant += i64::from(need);
            needs.switch = self.switch(&heads, adults, need, outdoors);
            needs.spaces.constant += 1;
        } else {
            let ratio = self.patterns(space, &settled, adults, outdoors);
            let used = self.used(space, &settled);
            needs.counted.add(1, ratio);
            needs.spaces.add(1, used);
            lines.push(Line::default().plus(1, ratio));
        }
        needs.tied.constant += tied.constant;
        needs.tied.terms.extend(tied.terms);
        let whole = self
            .model
            .forced(format!("adults:{}@{}", day.site[space].id, self.slice.span.from), lines);
        needs.posted.add(1, whole);
    }

    /// The need of every way in which the open cells may be in a space or not.
    fn patterns(
        &mut self,
        space: SpaceIndex,
        settled: &[(ChildIndex, bool)],
        adults: &[AdultIndex],
        outdoors: bool,
    ) -> Var {
        let movable: Vec<usize> = (0..self.slice.cells.len()).collect();
        let mut lines = Vec::new();
        for mask in 0_u32..(1 << movable.len().min(8)) {
            let mut heads = settled.to_vec();
            let mut here = Line::default();
            let mut inside = 0_i64;
            for &m in &movable {
                let (cell, children) = &self.slice.cells[m];
                let within = m < 8 && mask >> m & 1 == 1;
                if within {
                    heads.extend(children.iter().map(|&c| (c, false)));
                    inside += 1;
                }
                for (o, var) in
                    self.frame.cells[*cell].options.iter().zip(&self.unknowns.cells[*cell])
                {
                    if o.space == space {
                        here.add(if within { 1 } else { -1 }, *var);
                    }
                }
            }
            heads.sort_unstable();
            let need = wanted(self.frame.day, self.asked, self.slice, &heads, adults, outdoors).0;
            if need == 0 {
                continue;
            }
            // Reaches the need exactly when this very pattern is there.
            let need = i64::from(need);
            let mut line = Line::new(need - need * inside);
            line.terms = here.terms.iter().map(|t| (t.0, t.1 * need)).collect();
            lines.push(line);
        }
        let name = format!("ratio:{}@{}", self.frame.day.site[space].id, self.slice.span.from);
        self.model.forced(name, lines)
    }

    /// Whether any child is in a space.
    fn used(&mut self, space: SpaceIndex, settled: &[(ChildIndex, bool)]) -> Var {
        let mut lines = vec![Line::new(i64::from(!settled.is_empty()))];
        for (cell, _) in &self.slice.cells {
            let mut line = Line::default();
            for (o, var) in self.frame.cells[*cell].options.iter().zip(&self.unknowns.cells[*cell])
            {
                if o.space == space {
                    line.add(1, *var);
                }
            }
            lines.push(line);
        }
        let name = format!("used:{}@{}", self.frame.day.site[space].id, self.slice.span.from);
        self.model.forced(name, lines)
    }

    /// Adults at the staffed stations of a space, and with those at its tables and those who watch
    /// its zones.
    fn posts(&mut self, space: SpaceIndex) -> (Line, Line) {
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

    fn whole_site(&mut self, adults: &[AdultIndex], needs: &mut SliceNeeds) {
        let mut heads: Vec<(ChildIndex, bool)> =
            self.slice.spaces.iter().flat_map(|l| l.heads.clone()).collect();
        heads.extend(self.slice.cells.iter().flat_map(|c| c.1.iter().map(|&c| (c, false))));
        heads.sort_unstable();
        let need = wanted(self.frame.day, self.asked, self.slice, &heads, adults, false).1;
        if need > 0 {
            let lines = vec![needs.counted.clone(), Line::new(i64::from(need))];
            let counted = self.model.forced(format!("counted@{}", self.slice.span.from), lines);
            needs.counted = Line::default().plus(1, counted);
        }
    }

    /// Whether the need rises when everyone with a qualification is away.
    fn switch(
        &mut self,
        heads: &[(ChildIndex, bool)],
        adults: &[AdultIndex],
        need: u32,
        outdoors: bool,
    ) -> Option<(i64, Vec<AdultIndex>)> {
        let day = self.frame.day;
        let plain = |a: &AdultIndex| day.site[*a].qualifications.is_empty();
        let (without, holders): (Vec<_>, Vec<_>) = adults.iter().copied().partition(plain);
        if holders.is_empty() {
            return None;
        }
        let more = wanted(day, self.asked, self.slice, heads, &without, outdoors).0;
        (more > need).then_some((i64::from(more) - i64::from(need), holders))
    }
}
