//! How many adults each slice of a frame needs, as lines over its unknowns.

mod places;

use super::asked::{Needs, Sleeper};
use super::{Frame, Line, Model, Slice, Unknowns, Var};
use crate::site::{AdultIndex, ChildIndex, SpaceIndex};
use crate::standards::Scope;
use crate::steps::{self, Stage};
use std::collections::BTreeSet;

/// Most open cells that are told apart in a slice.
const MOST_APART: usize = 8;
/// Most terms that the lines of one slice have that tell them apart.
const MOST_IN_PATTERNS: usize = 100_000;

/// What a slice needs.
#[derive(Clone, Debug)]
pub struct SliceNeeds {
    /// Counted adults that the standards want among the children, all spaces together.
    pub counted: Line,
    /// A standard that judges each space wants somebody who counts wherever children are.
    pub in_each_space: bool,
    /// Adults at staffed stations.
    pub tied: Line,
    /// Adults at staffed stations, and as many more as have every zone, transition and child being
    /// changed in sight between them.
    pub posted: Line,
    /// As `posted`, but in each space what the standards want if that is more.
    pub with_ratio: Line,
    /// As `with_ratio`, with an adult at each table as well.
    pub seated: Line,
    /// Tables at which children eat.
    pub tables: i64,
    /// Spaces with children on the move, as a line.
    pub moving: Line,
    /// Zones, transitions and changing places with children: each is to be seen.
    pub spots: Line,
    /// How many of them one adult can see at most.
    pub reach: i64,
    /// More adults wanted while all of these, who hold qualifications, are away: (extra, who).
    pub switches: Vec<(i64, Vec<AdultIndex>)>,
    /// Spaces with children, as a line.
    pub spaces: Line,
    /// Spaces with children who are to be seen.
    pub watched_spaces: Line,
    /// Spaces in whose zones children may be.
    pub used: BTreeSet<SpaceIndex>,
    /// Children too many in each space where there can be any.
    pub too_many: Vec<Var>,
}

/// The needs of every slice; quantities that several slices share are made once.
pub fn needs(frame: &Frame<'_>, unknowns: &Unknowns, model: &mut Model) -> Vec<SliceNeeds> {
    let mut asked = Needs::new(frame.day);
    let mut all: Vec<SliceNeeds> = Vec::new();
    // Who is being changed changes within a round, and who is here; both make other lines.
    let mut changed: Vec<Vec<(Var, Vec<ChildIndex>)>> = Vec::new();
    for (i, slice) in frame.slices.iter().enumerate() {
        let rounds = unknowns.rounds_at(frame, slice.span);
        let rounds = rounds.map(|(way, var)| (var, way.changed_in(slice.span).collect()));
        let rounds: Vec<(Var, Vec<ChildIndex>)> = rounds.collect();
        let same = i > 0 && {
            let before = &frame.slices[i - 1];
            before.spaces == slice.spaces
                && before.cells == slice.cells
                && before.adults == slice.adults
                && changed[i - 1] == rounds
        };
        let mut needing = Needing { frame, unknowns, model, slice, asked: &mut asked };
        all.push(if same { all[i - 1].clone() } else { needing.needs() });
        changed.push(rounds);
    }
    all
}

/// Adults in a slice who count in ratio.
#[must_use]
pub fn counted(frame: &Frame<'_>, slice: &Slice) -> Vec<AdultIndex> {
    slice.adults.iter().copied().filter(|a| frame.day.site[*a].counts).collect()
}

struct Needing<'a, 'f> {
    frame: &'a Frame<'f>,
    unknowns: &'a Unknowns,
    model: &'a mut Model,
    slice: &'a Slice,
    asked: &'a mut Needs<'f>,
}

impl Needing<'_, '_> {
    fn needs(&mut self) -> SliceNeeds {
        let (frame, slice) = (self.frame, self.slice);
        let mut spaces: BTreeSet<SpaceIndex> = slice.spaces.iter().map(|l| l.space).collect();
        for (cell, _) in &slice.cells {
            spaces.extend(frame.cells[*cell].options.iter().map(|o| o.space));
        }
        let counted_here = counted(frame, slice);
        let day = frame.day;
        let mut needs = SliceNeeds {
            counted: Line::default(),
            in_each_space: day.standards.iter().any(|s| s.scope == Scope::Room),
            tied: Line::default(),
            posted: Line::default(),
            with_ratio: Line::default(),
            seated: Line::default(),
            tables: 0,
            moving: Line::default(),
            spots: Line::default(),
            reach: 1,
            switches: Vec::new(),
            spaces: Line::default(),
            watched_spaces: Line::default(),
            used: BTreeSet::new(),
            too_many: Vec::new(),
        };
        for (round, var) in self.unknowns.rounds_at(frame, slice.span) {
            needs.spots.add(1, var);
            needs.reach = needs.reach.max(1 + round.sees(day).len() as i64);
            if round.sees(day).is_empty() {
                // Whoever is there counts for no space, and for those who are there.
                for line in [&mut needs.posted, &mut needs.with_ratio, &mut needs.seated] {
                    line.add(1, var);
                }
                let changed = round.changed_in(slice.span);
                let without = changed.filter(|c| day.site[*c].one_to_one.is_none());
                let heads: Vec<Sleeper> = without.map(|c| (c, false)).collect();
                let at = slice.span.from;
                let inside = self.asked.in_space(round.space, at, &heads, &counted_here).adults;
                if inside.max(self.asked.on_site(at, &heads, &counted_here).adults) > 0 {
                    needs.counted.add(1, var);
                }
            }
        }
        let alone = spaces.len() == 1;
        for space in spaces {
            self.space(space, alone, &counted_here, &mut needs);
        }
        self.whole_site(&counted_here, &mut needs);
        needs
    }

    /// Counted adults that the standards want with these heads in a space.
    fn wanted(&mut self, space: SpaceIndex, heads: &[Sleeper], adults: &[AdultIndex]) -> u32 {
        self.asked.in_space(space, self.slice.span.from, heads, adults).adults
    }

    /// Heads settled in a space.
    fn settled(&self, space: SpaceIndex) -> Vec<Sleeper> {
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
        let settled = self.settled(space);
        let posts = self.posts(space, needs);
        let mut lines = vec![Line::default()];
        if alone {
            let mut heads = settled.clone();
            heads.extend(self.slice.cells.iter().flat_map(|c| c.1.iter().map(|&c| (c, false))));
            let need = self.wanted(space, &heads, adults);
            let line = self.less_the_changed(Line::new(i64::from(need)), space, &heads, adults);
            needs.counted = needs.counted.clone().plus_line(1, &line);
            needs.switches = self.switches(space, &heads, adults, need);
            needs.spaces.constant += 1;
            lines[0] = line;
        } else {
            let ratio = self.patterns(space, &settled, adults);
            let used = self.used(space, &settled);
            needs.counted.add(1, ratio);
            needs.spaces.add(1, used);
            lines[0].add(1, ratio);
        }
        let ways = if alone { vec![self.all_there(&settled)] } else { self.ways(space, &settled) };
        needs.too_many.extend(self.too_many(space, &ways));
        let name = |what: &str| {
            format!("{what}:{}@{}", self.frame.day.site[space].id, self.slice.span.from)
        };
        let (posted, seated) = (name("adults"), name("seated"));
        needs.posted = needs.posted.clone().plus_line(1, &posts.watching);
        lines.push(posts.watching);
        let whole = self.model.forced(posted, lines.clone());
        needs.with_ratio.add(1, whole);
        needs.tables += posts.tables;
        let seats = posts.seated.map(|line| {
            lines[1] = line;
            self.model.forced(seated, lines)
        });
        needs.seated.add(1, seats.unwrap_or(whole));
    }

    /// The need of every way in which the open cells may be in a space or not.
    fn patterns(&mut self, space: SpaceIndex, settled: &[Sleeper], adults: &[AdultIndex]) -> Var {
        let mut lines = Vec::new();
        for pattern in self.ways(space, settled) {
            let need = self.wanted(space, &pattern.heads, adults);
            if need > 0 {
                let line = pattern.reaching(i64::from(need));
                lines.push(self.less_the_changed(line, space, &pattern.heads, adults));
            }
        }
        let name = format!("ratio:{}@{}", self.frame.day.site[space].id, self.slice.span.from);
        self.model.forced(name, lines)
    }

    /// A need of these heads in a space with what it is less, or more, while a care round has some of
    /// them elsewhere: at a changing place in another space, or out of this one's sight.
    fn less_the_changed(
        &mut self,
        mut line: Line,
        space: SpaceIndex,
        heads: &[Sleeper],
        adults: &[AdultIndex],
    ) -> Line {
        let need = i64::from(self.wanted(space, heads, adults));
        for (var, left) in self.left_by_rounds(heads, |round, sees| round != space || !sees) {
            line.add(i64::from(self.wanted(space, &left, adults)) - need, var);
        }
        line
    }

    /// For each care round that takes some of these heads away, those who are left; `takes` says of its
    /// space, and of whether it is in sight of anything, whether it does.
    fn left_by_rounds(
        &self,
        heads: &[Sleeper],
        takes: impl Fn(SpaceIndex, bool) -> bool,
    ) -> Vec<(Var, Vec<Sleeper>)> {
        let mut found = Vec::new();
        for (round, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
            if !takes(round.space, !round.sees(self.frame.day).is_empty()) {
                continue;
            }
            let gone: Vec<ChildIndex> = round.changed_in(self.slice.span).collect();
            let left: Vec<Sleeper> =
                heads.iter().copied().filter(|(c, _)| !gone.contains(c)).collect();
            if left.len() < heads.len() {
                found.push((var, left));
            }
        }
        found
    }

    /// Children too many in a space, in all of these ways; `None` where there never are. Whoever may have
    /// been fetched to be changed elsewhere is given the benefit of the doubt.
    fn too_many(&mut self, space: SpaceIndex, ways: &[Pattern]) -> Option<Var> {
        let mut lines = Vec::new();
        for pattern in ways {
            let over = i64::from(self.asked.too_many(space, &pattern.heads));
            if over == 0 {
                continue;
            }
            let mut line = pattern.reaching(over);
            for (round, var) in self.unknowns.rounds_at(self.frame, self.slice.span) {
                let here = |c: ChildIndex| pattern.heads.iter().any(|(head, _)| *head == c);
                if round.space != space && round.changed_in(self.slice.span).any(here) {
                    line.add(-over, var);
                }
            }
            lines.push(line);
        }
        let name = format!("too-many:{}@{}", self.frame.day.site[space].id, self.slice.span.from);
        self.model.rising(name, lines)
    }

    /// The only way where there is no other space.
    fn all_there(&self, settled: &[Sleeper]) -> Pattern {
        let cells = self.slice.cells.iter().flat_map(|(_, children)| children);
        let heads = settled.iter().copied().chain(cells.map(|&child| (child, false)));
        Pattern { heads: heads.collect(), inside: 0, here: Line::default() }
    }

    /// Every way in which the open cells may be in a space or not.
    fn ways(&self, space: SpaceIndex, settled: &[Sleeper]) -> Vec<Pattern> {
        let cells = &self.slice.cells;
        let told_apart = self.told_apart();
        let way = |mask: u32| {
            let mut way = Pattern { heads: settled.to_vec(), inside: 0, here: Line::default() };
            for (m, (cell, children)) in cells.iter().enumerate() {
                let within = m < told_apart && mask >> m & 1 == 1;
                if within {
                    way.heads.extend(children.iter().map(|&c| (c, false)));
                    way.inside += 1;
                }
                let vars = &self.unknowns.cells[*cell];
                for (o, var) in self.frame.cells[*cell].options.iter().zip(vars) {
                    if o.space == space {
                        way.here.add(if within { 1 } else { -1 }, *var);
                    }
                }
            }
            steps::count(Stage::Model, 1 + way.here.terms.len() as u64 / 32);
            way
        };
        (0_u32..(1 << told_apart)).map(way).collect()
    }

    /// How many of the open cells may be in a space or not in each way, one by one: fewer where there
    /// are so many places that the lines would fill the memory. The need is then lower than it may be.
    fn told_apart(&self) -> usize {
        let cells = &self.slice.cells;
        let places: usize = cells.iter().map(|c| self.frame.cells[c.0].options.len()).sum();
        let few = |cells: &usize| places << cells <= MOST_IN_PATTERNS;
        (0..=cells.len().min(MOST_APART)).rev().find(few).unwrap_or(0)
    }

    /// Whether any child is in a space.
    fn used(&mut self, space: SpaceIndex, settled: &[Sleeper]) -> Var {
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

    fn whole_site(&mut self, adults: &[AdultIndex], needs: &mut SliceNeeds) {
        let mut heads: Vec<Sleeper> =
            self.slice.spaces.iter().flat_map(|l| l.heads.clone()).collect();
        heads.extend(self.slice.cells.iter().flat_map(|c| c.1.iter().map(|&c| (c, false))));
        let need = self.asked.on_site(self.slice.span.from, &heads, adults).adults;
        if need > 0 {
            let mut line = Line::new(i64::from(need));
            for (var, left) in self.left_by_rounds(&heads, |_, sees| !sees) {
                let left = self.asked.on_site(self.slice.span.from, &left, adults).adults;
                line.add(i64::from(left) - i64::from(need), var);
            }
            let lines = vec![needs.counted.clone(), line];
            let counted = self.model.forced(format!("counted@{}", self.slice.span.from), lines);
            needs.counted = Line::default().plus(1, counted);
        }
        let outdoors = self.slice.cells.is_empty()
            && self.slice.spaces.iter().all(|l| self.frame.day.site[l.space].outdoors);
        let over = i64::from(self.asked.too_many_on_site(outdoors, &heads));
        if over > 0 {
            let name = format!("too-many@{}", self.slice.span.from);
            needs.too_many.push(self.model.forced(name, vec![Line::new(over)]));
        }
    }

    /// How far the need rises while some of those who hold qualifications are away.
    fn switches(
        &mut self,
        space: SpaceIndex,
        heads: &[Sleeper],
        adults: &[AdultIndex],
        need: u32,
    ) -> Vec<(i64, Vec<AdultIndex>)> {
        let day = self.frame.day;
        let holds = |a: &AdultIndex| !day.site[*a].qualifications.is_empty();
        let holders: Vec<AdultIndex> = adults.iter().copied().filter(holds).take(6).collect();
        let mut switches = Vec::new();
        for mask in 1_u32..(1 << holders.len()) {
            let away: Vec<AdultIndex> =
                (0..holders.len()).filter(|i| mask >> i & 1 == 1).map(|i| holders[i]).collect();
            let left: Vec<AdultIndex> =
                adults.iter().copied().filter(|a| !away.contains(a)).collect();
            let more = self.wanted(space, heads, &left);
            if more > need {
                switches.push((i64::from(more) - i64::from(need), away));
            }
        }
        switches
    }
}

/// One way in which open cells may be in a space or not.
struct Pattern {
    /// Who is there then.
    heads: Vec<Sleeper>,
    /// How many open cells.
    inside: i64,
    /// Reaches `inside` exactly when they and no others are.
    here: Line,
}

impl Pattern {
    /// A line that reaches a figure exactly when this very pattern is there.
    fn reaching(&self, figure: i64) -> Line {
        let mut line = Line::new(figure - figure * self.inside);
        line.terms = self.here.terms.iter().map(|t| (t.0, t.1 * figure)).collect();
        line
    }
}
