//! The chart under a block: the posted one, or where none is posted a day that is planned around the
//! block, as any day is planned, so that it respects whatever a chart does.

use super::BlockQuestion;
use crate::chart::{BlockKind, Chart, ChoiceIndex, Place};
use crate::day::Day;
use crate::planner::{Options, make};
use crate::rules::{self, About, Mend, Problem, Reads, Rule};
use crate::site::{Part, PartKind, SpaceIndex, Span};
use crate::solve::layout::part_kind;
use crate::solve::{Effort, gathering_zone};
use std::sync::Arc;

/// How far a day is planned around a block: whether it can be, not how well.
pub(super) const EFFORT: Effort =
    Effort { layouts: 4, short: 1_500, finalists: 2, long: 2_500, nodes: 0 };
/// The same question has the same answer.
pub(super) const SEED: u64 = 1;
/// What is left of a fixed part beside a block is worth so many minutes at the least.
const SHORTEST_PART: u16 = 15;

/// What a block is laid over.
#[derive(Clone)]
pub(super) struct Base {
    pub day: Day,
    pub chart: Chart,
    /// The chart was planned for the question: nobody has a post yet that somebody knows of.
    pub bare: bool,
    /// What the day lacks without the block.
    pub before: Vec<Problem>,
    /// All that the chart breaks without the block.
    pub broken: Vec<Problem>,
    /// The day without a chart, planned for no block, where the chart was planned around one.
    pub plain: Option<Arc<Base>>,
}

impl Base {
    /// The posted chart, or a day planned around the block.
    pub fn of(day: &Day, posted: Option<&Chart>, question: &BlockQuestion) -> Base {
        if let Some(chart) = posted {
            return Base::of_chart(day.clone(), chart.clone(), false);
        }
        let plain = Base::of_chart(day.clone(), supposed(day), true);
        let Some(around) = around(day, question) else { return plain };
        let chart = supposed(&around);
        let planned = Base::of_chart(around, chart, true);
        Base { before: plain.before.clone(), plain: Some(Arc::new(plain)), ..planned }
    }

    fn of_chart(day: Day, chart: Chart, bare: bool) -> Base {
        let broken = rules::audit(&day, &chart);
        let of_the_day = broken.iter().filter(|p| is_of_a_block(rules::rule_of(p), bare));
        let before = of_the_day.cloned().collect();
        Base { day, chart, bare, before, broken, plain: None }
    }

    /// What is planned for no block: another one only where this was planned around one.
    pub fn plain(&self) -> &Base {
        self.plain.as_deref().unwrap_or(self)
    }

    /// When the children rest by the chart.
    pub fn rest(&self) -> Option<Span> {
        self.chart.blocks.iter().find(|b| b.kind == BlockKind::Rest).map(|b| b.span)
    }
}

/// A day as it would be planned; who would choose where nothing is open plays on the floor.
fn supposed(day: &Day) -> Chart {
    let mut chart = make(day, &Options { seed: SEED, effort: EFFORT }).chart;
    let Chart { choices, children, .. } = &mut chart;
    for stay in children.iter_mut().flat_map(|c| &mut c.stays) {
        let nothing = |k: ChoiceIndex| choices.get(k.0).is_some_and(|c| c.open.is_empty());
        if matches!(stay.at, Place::Choice(k) if nothing(k)) {
            (stay.at, stay.zone) = (Place::WholeGroup, gathering_zone(day, stay.space));
        }
    }
    chart
}

/// Whether a rule that reads the whole day says something of a block.
pub(super) fn is_of_a_block(rule: &Rule, bare: bool) -> bool {
    let moves_with_it = rule.is_mended_by(Mend::Meal) || rule.is_mended_by(Mend::StaffBreak);
    // A day that is only supposed says nothing of how much the children moved in it.
    rule.reads == Reads::Day && (!bare || moves_with_it || rule.about == About::Children)
}

/// Where everybody is who is not at a station elsewhere: at home. Out of doors the whole room goes
/// together.
pub(super) fn main_space(day: &Day, question: &BlockQuestion) -> SpaceIndex {
    let mut spaces = question.stations.iter().map(|s| day.station(*s).space);
    match spaces.clone().next() {
        Some(first) if spaces.all(|s| day.site[s].outdoors) => first,
        _ => day.site[day.room].home,
    }
}

/// The day with its stations open for all of the block that may be: other fixed parts give way, the
/// rest does only where it has time beside the block. `None` where nothing has to give way.
fn around(day: &Day, question: &BlockQuestion) -> Option<Day> {
    let space = main_space(day, question);
    let out = day.site[space].outdoors;
    let kind = if out { PartKind::Outdoors } else { PartKind::Choice };
    let comes_and_goes =
        |p: &&Part| !out && matches!(p.kind, PartKind::Arrival | PartKind::GoingHome);
    let mut open = vec![question.span];
    for part in day.schedule.parts.iter().filter(comes_and_goes) {
        open = beside(&open, part.span);
    }
    if let Some(rest) = day.schedule.rest.as_ref() {
        let free = beside(&[rest.window], question.span);
        if free.iter().all(|s| s.minutes() < rest.minutes) {
            open = beside(&open, rest.window);
        }
    }
    open.retain(|s| s.minutes() >= crate::solve::GRID);
    if open.is_empty() {
        return None;
    }
    let mut around = day.clone();
    let mut parts: Vec<Part> = Vec::new();
    for part in &day.schedule.parts {
        let met = open.iter().any(|s| s.meets(part.span));
        let mut left = vec![part.span];
        open.iter().for_each(|s| left = beside(&left, *s));
        left.retain(|s| !met || s.minutes() >= SHORTEST_PART);
        parts.extend(left.into_iter().map(|span| Part { span, ..*part }));
    }
    for part in &mut parts {
        for span in &open {
            with_time_between(day, part, Part { kind, span: *span, space });
        }
    }
    parts.retain(|p| day.schedule.parts.contains(p) || p.span.minutes() >= SHORTEST_PART);
    parts.extend(open.into_iter().map(|span| Part { kind, span, space }));
    parts.sort_by_key(|p| p.span);
    around.schedule.parts = parts;
    Some(around)
}

/// Makes a part of the day shorter so that there is time to get from the block to it, or from it to the
/// block; to nothing where there is none.
fn with_time_between(day: &Day, part: &mut Part, block: Part) {
    let of = |p: &Part| (part_kind(p.kind), p.space);
    let (from, to) = (part.span.from, part.span.to);
    let span = if from >= block.span.to {
        let lead = day.transition_minutes(block.span.to, of(&block), of(part));
        Span { from: from.max(block.span.to.later(lead)).min(to), to }
    } else {
        let lead = day.transition_minutes(to, of(part), of(&block));
        Span { from, to: to.min(block.span.from.earlier(lead)).max(from) }
    };
    part.span = span;
}

/// What some spans have beside another one.
pub(super) fn beside(spans: &[Span], out: Span) -> Vec<Span> {
    let parts = |s: &Span| {
        let before = Span::new(s.from, s.to.min(out.from));
        let after = Span::new(s.from.max(out.to), s.to);
        before.into_iter().chain(after)
    };
    spans.iter().flat_map(parts).collect()
}
