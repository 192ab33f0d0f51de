//! The layouts of a day, searched in the order of what each can at best be worth.
//!
//! A layout begins as a bound: what it leaves to be wished, with every rule kept. Its model says more,
//! and a short search says all. Whichever stands first is looked into further, so the first that has
//! been searched cannot be beaten by any of the others, and most of those need no search at all.

use super::framing::frame;
use super::groups::{groups_today, standing_groups};
use super::layout::{Layout, Wishes, layouts};
use super::proof::{Told, Watch};
use super::rank::Rank;
use super::search::{Steps, search};
use super::whole::Effort;
use crate::chart::Group;
use crate::day::Day;
use crate::model::{Frame, Model, Unknowns};
use crate::rules::{Score, Shortfall, rows};
use std::cmp::Ordering;

/// How much room the models of all layouts may take at a time; those of any usual room take less.
const MOST_HELD: usize = 5_000_000;

/// A layout with the options that a short search found.
pub(super) struct Candidate<'d> {
    pub frame: Frame<'d>,
    pub model: Model,
    pub unknowns: Unknowns,
    pub taken: Vec<usize>,
    pub levels: Vec<i64>,
    pub wishes: Wishes,
    pub rank: Rank,
    layout: Layout,
    /// How much room the model takes.
    size: usize,
}

/// How far a layout has been looked into.
enum Stage<'d> {
    Searched(Box<Candidate<'d>>),
    Drawn(Box<Candidate<'d>>),
    Layout(Box<Layout>, Rank),
}

impl Stage<'_> {
    /// What it is at best worth, as far as is known.
    fn rank(&self) -> &Rank {
        match self {
            Stage::Searched(c) | Stage::Drawn(c) => &c.rank,
            Stage::Layout(_, rank) => rank,
        }
    }

    /// Of two that are worth as much, the one that is known better comes first.
    fn cmp(&self, other: &Stage<'_>) -> Ordering {
        let known = |s: &Stage<'_>| match s {
            Stage::Searched(_) => 0,
            Stage::Drawn(_) => 1,
            Stage::Layout(..) => 2,
        };
        self.rank().cmp(other.rank()).then(known(self).cmp(&known(other)))
    }
}

/// The layouts of a day, best first.
pub(super) struct Candidates<'d> {
    day: &'d Day,
    groups: Vec<Group>,
    seed: u64,
    short: u32,
    /// Layouts that were searched.
    searched: usize,
    /// Layouts in all.
    of: usize,
    stages: Vec<Stage<'d>>,
}

impl<'d> Candidates<'d> {
    pub fn new(day: &'d Day, seed: u64, effort: Effort) -> Candidates<'d> {
        let standing = standing_groups(&day.site, day.room, day.date, seed);
        let groups = groups_today(day, &standing);
        let layouts = layouts(day, &groups, effort.layouts.max(1));
        let of = layouts.len();
        let stage = |layout: Layout| {
            let rank = Rank::of_layout(layout.wishes);
            Stage::Layout(Box::new(layout), rank)
        };
        let stages = layouts.into_iter().map(stage).collect();
        Candidates { day, groups, seed, short: effort.short, searched: 0, of, stages }
    }

    /// The best of those that are left; never none the first time. When told to stop, the best of
    /// those that are searched by then, where there is one.
    pub fn next(&mut self, watch: &mut Watch<'_>) -> Option<Candidate<'d>> {
        loop {
            let searched = self.stages.iter().any(|s| matches!(s, Stage::Searched(_)));
            if watch.stopped() && searched {
                self.stages.retain(|s| matches!(s, Stage::Searched(_)));
            }
            let stages = self.stages.iter().enumerate();
            let (first, _) = stages.min_by(|a, b| a.1.cmp(b.1))?;
            let further = match self.stages.remove(first) {
                Stage::Searched(candidate) => return Some(*candidate),
                Stage::Drawn(candidate) => {
                    Stage::Searched(Box::new(self.search(*candidate, watch)))
                }
                Stage::Layout(layout, _) => Stage::Drawn(Box::new(self.draw(&layout))),
            };
            self.stages.insert(first, further);
            self.let_go(first);
        }
    }

    /// Lets the models of those go that come last, where all of them take more room than there is: they
    /// are drawn anew when their turn comes.
    fn let_go(&mut self, but: usize) {
        let size = |stage: &Stage<'_>| match stage {
            Stage::Searched(c) | Stage::Drawn(c) => c.size,
            Stage::Layout(..) => 0,
        };
        while self.stages.iter().map(size).sum::<usize>() > MOST_HELD {
            let others = self.stages.iter().enumerate().filter(|(at, s)| *at != but && size(s) > 0);
            // Rather one that is not searched yet.
            let searched = |stage: &Stage<'_>| matches!(stage, Stage::Searched(_));
            let last =
                others.max_by(|a, b| searched(b.1).cmp(&searched(a.1)).then_with(|| a.1.cmp(b.1)));
            let Some((last, _)) = last else { return };
            if let Stage::Searched(c) | Stage::Drawn(c) = self.stages.remove(last) {
                self.stages.insert(last, Stage::Layout(Box::new(c.layout), c.rank));
            }
        }
    }

    /// Whether one of those that are left may be worth as much as a chart that is drawn: what is asked
    /// for at the end.
    pub fn may_beat(&self, drawn: &Score, wishes: Wishes) -> bool {
        self.stages.iter().any(|stage| stage.rank().may_beat(drawn, wishes))
    }

    /// Whether one of those that are left may break less than a chart that is drawn.
    pub fn may_break_less(&self, drawn: &Shortfall) -> bool {
        self.stages.iter().any(|stage| stage.rank().is_less_broken(drawn))
    }

    /// Lays a layout over the children's times; the levels are what they are at the least.
    fn draw(&self, layout: &Layout) -> Candidate<'d> {
        let frame = frame(self.day, &self.groups, layout);
        let (model, unknowns) = rows::model(&frame);
        let levels = (0..model.levels.len()).map(|level| model.trivial_bound(level));
        let (levels, wishes): (Vec<i64>, _) = (levels.collect(), layout.wishes);
        let rank = Rank::of_levels(&model, &levels, wishes);
        let (layout, size, taken) = (layout.clone(), model.size(), Vec::new());
        Candidate { frame, model, unknowns, taken, levels, wishes, rank, layout, size }
    }

    fn search(&mut self, drawn: Candidate<'d>, watch: &mut Watch<'_>) -> Candidate<'d> {
        self.searched += 1;
        let stop = watch.part(Told::Searching, self.searched.min(self.of), self.of);
        let short = if stop { 0 } else { self.short };
        let steps = Steps { annealing: short, descent: short / 2 };
        let taken = search(&drawn.frame, &drawn.model, None, steps, self.seed);
        let levels = drawn.model.value(&taken);
        let rank = Rank::of_levels(&drawn.model, &levels, drawn.wishes);
        Candidate { taken, levels, rank, ..drawn }
    }
}
