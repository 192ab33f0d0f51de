//! From a plan to the file.

use super::day::day_applied;
use super::name::{Named, block_kind};
use super::place::{self, choice_id};
use super::record;
use super::shape::*;
use crate::chart::{AdultDay, BlockKind, Cell, Chart, ChildDay, Group, Place, Post, Stay};
use crate::day::Day;
use crate::planner::{self, Plan};
use crate::rules::{self, Problem};
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, ZoneIndex};
use crate::wire::pretty::pretty;
use serde_json::Value;

/// Fewest minutes at a station that count as a visit.
const VISIT_MINUTES: u16 = 5;

/// A plan as the text of a chart file.
#[must_use]
pub fn write_chart(day: &Day, plan: &Plan) -> String {
    pretty(&chart_json(day, plan))
}

/// A plan as JSON.
#[must_use]
pub fn chart_json(day: &Day, plan: &Plan) -> Value {
    serde_json::to_value(chart_file(day, plan)).expect("plain fields with text for keys")
}

/// A problem of a chart as JSON.
pub(in crate::wire) fn problem_json(day: &Day, chart: &Chart, of: &Problem) -> Value {
    serde_json::to_value(problem(&Names { day, chart }, of)).expect("plain fields")
}

/// A place of a chart as JSON.
pub(in crate::wire) fn place_json(day: &Day, chart: &Chart, at: Place) -> Value {
    serde_json::to_value(Names { day, chart }.at(at)).expect("plain fields")
}

fn chart_file(day: &Day, plan: &Plan) -> ChartFile {
    let names = Names { day, chart: &plan.chart };
    ChartFile {
        format: super::FORMAT,
        site: day.site.id.clone(),
        date: plan.chart.date.to_string(),
        safe_to_run: plan.safe_to_run(),
        caution: planner::CAUTION,
        indoor_day: super::day::indoor(day),
        repair: None,
        changes: None,
        fixes: None,
        problems: plan.problems.iter().map(|p| problem(&names, p)).collect(),
        aims: record::aims(plan),
        rooms: vec![room(&names)],
        groups: plan.chart.groups.iter().map(|g| group(&names, g)).collect(),
        children: plan.chart.children.iter().map(|c| child(&names, c)).collect(),
        adults: plan.chart.adults.iter().map(|a| adult(&names, a)).collect(),
        day: day_applied(&names),
        ratio: record::ratio(&names),
        head_counts: record::head_counts(&names),
        minutes: record::minutes(&names),
        choice: record::choice(&names),
        room_for: record::room_for(&names, plan),
        notes: plan.notes.clone(),
        assumed: plan.assumed.clone(),
        made: record::made(plan),
    }
}

/// Ids for positions.
pub(super) struct Names<'a> {
    pub day: &'a Day,
    pub chart: &'a Chart,
}

impl Names<'_> {
    pub fn space(&self, at: SpaceIndex) -> String {
        self.day.site[at].id.clone()
    }

    pub fn zone(&self, at: ZoneIndex) -> String {
        self.day.site[at].id.clone()
    }

    pub fn child(&self, at: ChildIndex) -> String {
        self.day.site[at].id.clone()
    }

    pub fn adult(&self, at: AdultIndex) -> String {
        self.day.site[at].id.clone()
    }

    pub fn children(&self, list: &[ChildIndex]) -> Vec<String> {
        list.iter().map(|c| self.child(*c)).collect()
    }

    pub fn adults(&self, list: &[AdultIndex]) -> Vec<String> {
        list.iter().map(|a| self.adult(*a)).collect()
    }

    pub fn at(&self, at: Place) -> At {
        place::write(self, at)
    }
}

fn problem(names: &Names, problem: &Problem) -> ProblemLine {
    let words = rules::rule(problem.rule)
        .map_or_else(|| problem.rule.to_owned(), |rule| (rule.words)(names.day, problem));
    ProblemLine {
        rule: problem.rule,
        kind: problem.case,
        standard: problem.standard.clone(),
        clock: problem.span.into(),
        who: Who {
            children: names.children(&problem.children),
            adults: names.adults(&problem.adults),
        },
        place: Whereabouts {
            space: problem.space.map(|s| names.space(s)),
            zone: problem.zone.map(|z| names.zone(z)),
            at: problem.at.map(|at| names.at(at)),
        },
        needed: problem.needed,
        present: problem.present,
        by: problem.by,
        unit: problem.unit.word(),
        words,
    }
}

fn room(names: &Names) -> RoomDay {
    let (day, chart) = (names.day, names.chart);
    let blocks = chart.blocks.iter().map(|b| BlockLine {
        id: b.id.clone(),
        kind: block_kind(b.kind),
        meal: if let BlockKind::Meal(meal) = b.kind { Some(meal.word()) } else { None },
        clock: b.span.into(),
    });
    let choices = chart.choices.iter().enumerate().map(|(at, choice)| ChoiceLine {
        id: choice_id(at),
        clock: choice.span.into(),
        space: names.space(choice.space),
        open: choice
            .open
            .iter()
            .map(|&s| OpenStation { station: day.site[s].id.clone(), seats: day.station(s).seats })
            .collect(),
    });
    RoomDay {
        id: day.site[chart.room].id.clone(),
        blocks: blocks.collect(),
        choices: choices.collect(),
    }
}

fn group(names: &Names, group: &Group) -> GroupDay {
    let cell = |cell: &Cell| CellLine {
        block: names.chart.blocks.get(cell.block).map_or_else(String::new, |b| b.id.clone()),
        clock: cell.span.into(),
        space: names.space(cell.space),
        at: names.at(cell.at),
        by: match cell.at {
            Place::Station(_) => Some("assigned"),
            Place::Choice(_) => Some("choice"),
            _ => None,
        },
    };
    GroupDay {
        id: group.id.clone(),
        label: group.label.clone(),
        picture: group.picture.clone(),
        children: names.children(&group.children),
        cells: group.cells.iter().map(cell).collect(),
    }
}

fn child(names: &Names, child: &ChildDay) -> ChildStays {
    let stay = |stay: &Stay| StayLine {
        clock: stay.span.into(),
        space: names.space(stay.space),
        at: names.at(stay.at),
        zone: stay.zone.map(|z| names.zone(z)),
        state: stay.state.word(),
        meal: stay.meal.map(Named::word),
        visit: (matches!(stay.at, Place::Station(_)) && stay.span.minutes() >= VISIT_MINUTES)
            .then_some(true),
        exception: stay.apart.map(Named::word),
    };
    ChildStays { id: names.child(child.child), stays: child.stays.iter().map(stay).collect() }
}

fn adult(names: &Names, adult: &AdultDay) -> AdultPosts {
    let who = &names.day.site[adult.adult];
    let mut counts_as: Vec<String> = who.qualifications.clone();
    counts_as.extend(who.lead.then(|| "lead".to_owned()));
    counts_as.extend(who.first_aid.then(|| "first_aid".to_owned()));
    let post = |post: &Post| {
        let due = match post.at {
            Place::StaffBreak(b) => who.breaks.get(b),
            _ => None,
        };
        let counts = names.day.counts(adult.adult, post);
        PostLine {
            clock: post.span.into(),
            space: names.space(post.space),
            at: names.at(post.at),
            zone: post.zone.map(|z| names.zone(z)),
            counts,
            counts_as: if counts { counts_as.clone() } else { Vec::new() },
            for_child: post.for_child.map(|c| names.child(c)),
            covers: post.covers.map(|a| names.adult(a)),
            staff_break: due.map(|b| if b.paid { "paid" } else { "unpaid" }),
            on_premises: due.is_none_or(|b| !b.may_leave),
        }
    };
    AdultPosts { id: names.adult(adult.adult), posts: adult.posts.iter().map(post).collect() }
}
