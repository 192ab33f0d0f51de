//! What is read off a chart for the record: aims, head counts, minutes, room for more.

use super::name::Named;
use super::shape::*;
use super::write::Names;
use crate::planner::{self, AgeRange, Plan};
use serde_json::{Map, Value};

pub(super) fn aims(plan: &Plan) -> Vec<AimLine> {
    plan.aims
        .iter()
        .map(|aim| AimLine {
            slug: aim.slug,
            value: aim.value,
            bound: aim.bound,
            unit: aim.unit,
            direction: "less",
            given: "these blocks and whole groups, the rules and the earlier aims no worse than here",
        })
        .collect()
}

pub(super) fn ratio(names: &Names) -> Vec<RatioLine> {
    planner::ratio_record(names.day, names.chart)
        .into_iter()
        .map(|row| RatioLine {
            space: row.space.map(|s| names.space(s)),
            site: row.space.is_none().then(|| names.day.site.id.clone()),
            clock: row.span.into(),
            by_band: row.by_range.iter().map(|&(range, n)| band(range, n)).collect(),
            asleep: row.asleep,
            standard: row.standard,
            needed: row.needed,
            present: row.present,
            words: row.words,
        })
        .collect()
}

pub(super) fn head_counts(names: &Names) -> Vec<HeadCountLine> {
    planner::head_counts(names.day, names.chart)
        .iter()
        .map(|count| HeadCountLine {
            clock: count.span.into(),
            space: names.space(count.space),
            heads: count.children.len(),
            children: names.children(&count.children),
            adults: names.adults(&count.adults),
        })
        .collect()
}

pub(super) fn minutes(names: &Names) -> Vec<ChildMinutes> {
    names
        .chart
        .children
        .iter()
        .map(|child| ChildMinutes {
            child: names.child(child.child),
            by_kind: planner::minutes_by_kind(child)
                .into_iter()
                .map(|(kind, minutes)| (kind.word().to_owned(), Value::from(minutes)))
                .collect(),
        })
        .collect()
}

pub(super) fn choice(names: &Names) -> Vec<ChoiceShareLine> {
    planner::choice_shares(names.day, names.chart)
        .iter()
        .map(|share| ChoiceShareLine {
            child: names.child(share.child),
            minutes: share.minutes,
            of: share.of,
            percent: share.percent(),
            good_third: share.is_good_third(),
            third_of_session: share.wished,
        })
        .collect()
}

pub(super) fn room_for(names: &Names, plan: &Plan) -> Vec<RoomForLine> {
    plan.room_for
        .iter()
        .map(|room| RoomForLine {
            space: names.space(room.space),
            clock: room.span.into(),
            more: room.more.iter().map(|&(range, more)| band(range, more)).collect(),
        })
        .collect()
}

pub(super) fn made(plan: &Plan) -> MadeLine {
    let made = &plan.made;
    let budgets: Map<String, Value> =
        made.budgets.iter().map(|(step, most)| (step.clone(), Value::from(*most))).collect();
    MadeLine {
        seed: made.seed,
        version: made.version,
        facts_digest: made.facts_digest.clone(),
        chart_digest: planner::chart_digest(&plan.chart),
        standards: made
            .standards
            .iter()
            .map(|s| StandardLine {
                id: s.id.clone(),
                edition: Some(s.edition.clone()),
                digest: s.digest.clone(),
            })
            .collect(),
        solver: made.solver.clone(),
        budgets,
        stopped_by: made.stopped_by.clone(),
        proof_scope: made.proof_scope.clone(),
        parent_digest: made.parent_digest.clone(),
        fixed_until: made.fixed_until.map(ClockTime),
    }
}

fn band(range: AgeRange, children: u32) -> BandLine {
    BandLine { from_months: range.from_months, below_months: range.below_months, children }
}
