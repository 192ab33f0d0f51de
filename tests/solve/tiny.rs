//! Tiny days on which every assignment of the open decisions can be tried.

use super::naming::bounded;
use crate::audits::build::{Build, span, today};
use fairturn::chart::{Chart, Place};
use fairturn::day::Day;
use fairturn::model::{Frame, Model, State, Unknowns};
use fairturn::rules::{self, RULES};
use fairturn::site::*;
use fairturn::solve::groups::{groups_today, standing_groups};
use fairturn::solve::{
    decode::decode, demand::Duties, framing::frame, layout::layouts, posts::post,
};
use std::collections::{BTreeMap, BTreeSet};

/// Rules whose shortfall the rows must give exactly.
const EXACT: &[&str] = &[
    "seats",
    "reset",
    "keep-apart",
    "kept",
    "ratio",
    "least-adults",
    "never-alone",
    "one-to-one",
    "staffed",
    "sight",
    "qualified",
    "class-size",
    "movement",
    "staff-break",
    "meals",
];

/// Two groups of two at 50 months, two adults, forty assigned minutes in two turns of fifteen and
/// one transition; a staff break of ten minutes each.
pub fn tiny() -> Build {
    let mut build = Build::new();
    build.schedule.open = span("09:00-09:40");
    build
        .schedule
        .stretches
        .push(Stretch { kind: StretchKind::Assigned, span: span("09:00-09:40") });
    build.schedule.turn_minutes = vec![AgeBand { below_months: None, minutes: 15 }];
    build.site.rooms[0].group_size = (2, 3);
    for g in 0..2 {
        let children: Vec<ChildIndex> =
            (0..2).map(|c| build.child(&format!("child {g}{c}"), 50, "09:00-09:40")).collect();
        build.site.rooms[0].groups.push(StandingGroup {
            id: format!("group {g}"),
            label: format!("group {g}"),
            picture: "boat".into(),
            children,
        });
    }
    for name in ["lead", "second"] {
        let adult = build.adult(name, "09:00-09:40");
        build.site.adults[adult.0].lead = name == "lead";
        build.site.adults[adult.0].first_aid = name == "lead";
        build.site.adults[adult.0].breaks.push(BreakDue {
            minutes: 10,
            window: span("09:10-09:35"),
            paid: true,
            may_leave: false,
        });
    }
    build
}

/// Everybody is so many months old.
pub fn aged(build: &mut Build, months: u32) {
    build.site.children.iter_mut().for_each(|c| c.born = today() - chrono::Months::new(months));
}

pub fn no_breaks(build: &mut Build) {
    build.site.adults.iter_mut().for_each(|a| a.breaks.clear());
}

/// A day with its first layout and the model of it.
pub struct Tiny<'d> {
    pub day: &'d Day,
    pub frame: Frame<'d>,
    pub model: Model,
    pub unknowns: Unknowns,
}

impl Tiny<'_> {
    pub fn new(day: &Day) -> Tiny<'_> {
        let groups = groups_today(day, &standing_groups(&day.site, day.room, day.date, 1));
        let layout = layouts(day, &groups, 1).remove(0);
        let frame = frame(day, &groups, &layout);
        let (model, unknowns) = rules::rows::model(&frame);
        Tiny { day, frame, model, unknowns }
    }

    /// The chart of an assignment, adults posted, and what they were to do.
    pub fn chart(&self, taken: &[usize]) -> (Chart, Duties) {
        let (mut chart, duties) = decode(&self.frame, &self.unknowns, taken);
        post(self.day, &mut chart, &duties);
        (chart, duties)
    }
}

/// Every assignment of a model, with its value by level; moved, never built anew.
pub fn assignments(model: &Model) -> impl Iterator<Item = (Vec<usize>, Vec<i64>)> + '_ {
    let sizes: Vec<usize> = model.choices.iter().map(Vec::len).collect();
    let count: usize = sizes.iter().product();
    assert!((2..=100_000).contains(&count), "{count} assignments: {sizes:?}");
    let mut state = State::new(model, vec![0; sizes.len()]);
    (0..count).map(move |n| {
        let mut rest = n;
        for (choice, size) in sizes.iter().enumerate() {
            state.take(choice, rest % size);
            rest /= size;
        }
        let taken = state.taken().to_vec();
        assert_eq!(state.levels(), model.value(&taken), "the moved state is the plain value");
        (taken, state.levels().to_vec())
    })
}

/// No rule's rows say more than its audit, whatever is decided.
pub fn at_most(build: &Build) {
    let day = build.day();
    let tiny = Tiny::new(&day);
    let rules: Vec<usize> = (0..RULES.len()).filter(|&r| EXACT.contains(&RULES[r].slug)).collect();
    for (taken, levels) in assignments(&tiny.model) {
        let Some(audit) = audited(&tiny, &taken, &rules) else { continue };
        for (&r, found) in rules.iter().zip(audit) {
            assert!(levels[r] <= found, "{taken:?}: {} {} > {found}", RULES[r].slug, levels[r]);
        }
    }
}

/// What the audit finds in the chart of an assignment, in the order of [`EXACT`]; `None` where the
/// posts leave a task that the assignment has: not doing it at all is another assignment.
fn audited(tiny: &Tiny<'_>, taken: &[usize], rules: &[usize]) -> Option<Vec<i64>> {
    let (chart, duties) = tiny.chart(taken);
    let posts = || chart.adults.iter().flat_map(|a| &a.posts);
    for (i, &(task, _)) in duties.tasks.iter().enumerate() {
        let whole = duties.task_span(tiny.day, i).expect("a task of the schedule");
        let done = posts().filter(|p| p.at == Place::Task(task)).filter_map(|p| p.span.meet(whole));
        if done.map(Span::minutes).sum::<u16>() < whole.minutes() {
            return None;
        }
    }
    let found = rules::shortfall(&rules::audit(tiny.day, &chart));
    let of = |&r: &usize| i64::try_from(found[r]).expect("a tiny shortfall");
    Some(rules.iter().map(of).collect())
}

/// Rows are the audit, rule by rule, for every assignment; or, unless `exact`, the audit's shortfall
/// as a whole never compares better than the rows'. Either way they ask for no more than the best
/// naming leaves open. The audits of each alive rule tell assignments apart, so that agreeing means
/// something.
fn compared(build: &Build, exact: bool, alive: &[&str]) {
    let day = build.day();
    let tiny = Tiny::new(&day);
    let rules: Vec<usize> = (0..RULES.len()).filter(|&r| EXACT.contains(&RULES[r].slug)).collect();
    let mut wrong: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let mut values: BTreeMap<&str, BTreeSet<i64>> = BTreeMap::new();
    for (taken, levels) in assignments(&tiny.model) {
        let Some(audit) = audited(&tiny, &taken, &rules) else { continue };
        let rows: Vec<i64> = rules.iter().map(|&r| levels[r]).collect();
        for (&r, &found) in rules.iter().zip(&audit) {
            values.entry(RULES[r].slug).or_default().insert(found);
        }
        if if exact { rows != audit } else { rows > audit } {
            let told: Vec<String> = (0..rules.len())
                .filter(|&i| rows[i] != audit[i])
                .map(|i| format!("{}: rows {}, audit {}", RULES[rules[i]].slug, rows[i], audit[i]))
                .collect();
            wrong.entry(told.join("; ")).or_insert_with(|| (0, format!("{taken:?}"))).0 += 1;
        }
    }
    let tell = |(what, (times, first))| format!("{what} ({times} times, first {first})");
    let wrong: Vec<String> = wrong.into_iter().map(tell).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for slug in alive {
        assert!(values[slug].len() > 1, "{slug} is {:?} whatever is decided", values[slug]);
    }
    bounded("the day", build, exact);
}

/// Rows are the audit, rule by rule.
pub fn agree(build: &Build, alive: &[&str]) {
    compared(build, true, alive);
}

/// The rows' shortfall as a whole never compares worse than the audit's.
pub fn agree_below(build: &Build, alive: &[&str]) {
    compared(build, false, alive);
}
