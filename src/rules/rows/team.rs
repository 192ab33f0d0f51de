//! The adults of one slice against what it asks of them, the worst first.
//!
//! Ratio takes its adults before a one-to-one child does, that child before a staffed station, the
//! station before whoever watches, those before a table: in that order each rule is short of what
//! those before it leave. What is short is never more than the best naming of the adults is short
//! of; tasks are done where they stand.

use crate::model::unknowns::Unknowns;
use crate::model::{Frame, Line, Model, Slice, SliceNeeds, Var};
use crate::site::{Adult, AdultIndex, ChildIndex, Task};

/// Adults missing in a slice, by rule; `None` where none can be.
#[derive(Clone, Copy, Debug, Default)]
pub struct Missing {
    /// Counted adults in ratio.
    pub ratio: Option<Var>,
    /// Own adults of one-to-one children.
    pub one_to_one: Option<Var>,
    /// Adults at staffed stations.
    pub staffed: Option<Var>,
    /// Adults who see what nobody else sees.
    pub sight: Option<Var>,
    /// Adults at tables.
    pub tables: Option<Var>,
}

/// What is missing in a slice, as quantities of the model.
pub(super) fn missing(
    frame: &Frame<'_>,
    unknowns: &Unknowns,
    slice: &Slice,
    needs: &SliceNeeds,
    model: &mut Model,
) -> Missing {
    if slice.children.is_empty() {
        return Missing::default();
    }
    let mut team = Team { frame, unknowns, slice, needs, model, found: Missing::default() };
    let called = team.called();
    let ratio = team.ratio(&called);
    let beside = team.one_to_one(&ratio);
    team.staffed(&beside, &called);
    team.watching(&beside);
    team.found
}

struct Team<'a, 'd> {
    frame: &'a Frame<'d>,
    unknowns: &'a Unknowns,
    slice: &'a Slice,
    needs: &'a SliceNeeds,
    model: &'a mut Model,
    found: Missing,
}

/// A line less a quantity, if there is one.
fn less(line: Line, missing: Option<Var>) -> Line {
    missing.into_iter().fold(line, |line, var| line.plus(-1, var))
}

impl Team<'_, '_> {
    fn name(&self, what: &str) -> String {
        format!("{what}@{}", self.slice.span.from)
    }

    /// Minus the adults who are here, fit and not on a staff break.
    fn without(&self, fit: impl Fn(&Adult, AdultIndex) -> bool) -> Line {
        without(self.frame, self.unknowns, self.slice, fit)
    }

    fn everybody(&self) -> Line {
        self.without(|_, _| true)
    }

    /// Adults whom such tasks take.
    fn at_tasks(&self, such: impl Fn(&Task) -> bool) -> Line {
        let tasks = self.unknowns.tasks_at(self.frame, self.slice.span);
        tasks
            .filter(|(task, _)| such(&self.frame.day.schedule.tasks[*task]))
            .fold(Line::default(), |line, (_, var)| line.plus(1, var))
    }

    /// Counted adults whom tasks take that do not watch: those who do not count go first.
    fn called(&mut self) -> Line {
        let line = self.at_tasks(|task| !task.watching);
        if line.terms.is_empty() {
            return line;
        }
        let line = line.plus_line(1, &self.without(|a, _| !a.counts));
        let called = self.model.rising(self.name("called"), vec![line]);
        called.into_iter().fold(Line::default(), |line, var| line.plus(1, var))
    }

    /// Counted adults wanted in ratio or called away, less those who are there.
    fn ratio(&mut self, called: &Line) -> Line {
        let (slice, needs) = (self.slice, self.needs);
        let mut line = called.clone().plus_line(1, &self.without(|a, _| a.counts));
        line = line.plus_line(1, &needs.counted);
        let switched = needs.switches.iter().map(|(extra, away)| {
            let mut gone = Line::new(extra - extra * away.len() as i64);
            self.unknowns
                .take_off(self.frame, slice.span, &mut gone, *extra, |a, _| away.contains(&a));
            gone
        });
        let switched: Vec<Line> = switched.filter(|l| !l.terms.is_empty()).collect();
        if !switched.is_empty() {
            line.add(1, self.model.forced(self.name("switch"), switched));
        }
        self.found.ratio = self.model.rising(self.name("ratio-short"), vec![line.clone()]);
        line
    }

    /// The own adult or a stand-in beside each one-to-one child; answers the adults who are.
    fn one_to_one(&mut self, ratio: &Line) -> Line {
        let site = &self.frame.day.site;
        let own = |c: &&ChildIndex| site[**c].one_to_one.is_some();
        let children: Vec<ChildIndex> = self.slice.children.iter().filter(own).copied().collect();
        if children.is_empty() {
            return Line::default();
        }
        let may = |who: &[ChildIndex], a: AdultIndex| {
            let named = who.iter().filter_map(|&c| site[c].one_to_one.as_ref());
            named.clone().any(|s| s.adult == a || s.stand_ins.contains(&a))
        };
        let mut lines = Vec::new();
        for mask in 1_u32..1 << children.len().min(4) {
            let set: Vec<ChildIndex> =
                (0..children.len()).filter(|i| mask >> i & 1 == 1).map(|i| children[i]).collect();
            let count = set.len() as i64;
            lines.push(Line::new(count).plus_line(1, &self.without(|_, a| may(&set, a))));
            // The ratio leaves so many counted adults, and those who do not count.
            let others = self.without(|adult, a| !adult.counts && may(&set, a));
            let left = Line::new(count).plus_line(1, &others).plus_line(1, ratio);
            lines.push(less(left, self.found.ratio));
        }
        let tasks = self.at_tasks(|_| true);
        let count = children.len() as i64;
        lines.push(Line::new(count).plus_line(1, &tasks).plus_line(1, &self.everybody()));
        self.found.one_to_one = self.model.rising(self.name("one-to-one"), lines);
        less(Line::new(count), self.found.one_to_one)
    }

    /// Counted adults at staffed stations.
    fn staffed(&mut self, beside: &Line, called: &Line) {
        let tied = &self.needs.tied;
        if tied.terms.is_empty() && tied.constant <= 0 {
            return;
        }
        let all = tied.clone().plus_line(1, &self.everybody());
        let all = all.plus_line(1, beside).plus_line(1, &self.at_tasks(|_| true));
        let counted = self.without(|a, _| a.counts).plus_line(1, called);
        let counted = tied.clone().plus_line(1, &counted);
        self.found.staffed = self.model.rising(self.name("staffed"), vec![all, counted]);
    }

    /// Everything seen by somebody, and somebody at each table.
    fn watching(&mut self, beside: &Line) {
        let needs = self.needs;
        let others = self.everybody().plus_line(1, beside);
        let blind = |task: &Task| !task.watching || !needs.used.contains(&task.space);
        let free = others.clone().plus_line(1, &self.at_tasks(blind));
        // Who watches from a task counts in ratio, even where there is nothing to be seen.
        let counting = others.clone().plus_line(1, &self.at_tasks(|task| !task.watching));
        let (ratio, staffed) = (self.found.ratio, self.found.staffed);
        let left = |line: &Line, free: &Line| less(line.clone().plus_line(1, free), staffed);
        let mut lines =
            vec![left(&needs.posted, &free), less(left(&needs.with_ratio, &counting), ratio)];
        if needs.reach > 1 || staffed.is_some() {
            lines.push(needs.spots.clone().plus_line(needs.reach, &free));
        }
        // From a task nobody sees those on the move, nor sits at a table.
        let busy = self.at_tasks(|_| true);
        let idle = others.plus_line(1, &busy);
        let moves = needs.moving.constant > 0 || !needs.moving.terms.is_empty();
        if moves && !busy.terms.is_empty() {
            let line = needs.moving.clone().plus_line(1, &needs.tied);
            lines.push(left(&line, &idle));
        }
        if !needs.in_each_space && self.frame.day.site.spaces.len() > 1 {
            // Rather nobody than somebody who may not be alone: that rule comes first.
            let may = self.without(|a, _| a.may_be_alone);
            lines.push(needs.watched_spaces.clone().plus_line(1, &may));
        }
        self.found.sight = self.model.rising(self.name("sight"), lines);
        if needs.tables > 0 {
            let tables = Line::new(needs.tables).plus_line(1, &needs.tied);
            let seated = less(left(&needs.seated, &counting), ratio);
            let lines = vec![less(seated, self.found.sight), left(&tables, &idle)];
            self.found.tables = self.model.rising(self.name("table"), lines);
        }
    }
}

/// Minus the adults who are here in a slice, fit and not on a staff break.
pub(super) fn without(
    frame: &Frame<'_>,
    unknowns: &Unknowns,
    slice: &Slice,
    fit: impl Fn(&Adult, AdultIndex) -> bool,
) -> Line {
    let site = &frame.day.site;
    let fit_here: Vec<AdultIndex> =
        slice.adults.iter().copied().filter(|&a| fit(&site[a], a)).collect();
    let mut line = Line::new(-(fit_here.len() as i64));
    unknowns.take_off(frame, slice.span, &mut line, 1, |a, _| fit_here.contains(&a));
    line
}
