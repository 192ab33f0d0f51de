//! Tiny days on which every assignment of the open decisions can be tried.

use crate::audits::build::{Build, span, today};
use fairturn::chart::Chart;
use fairturn::day::Day;
use fairturn::model::{Frame, Model, State, Unknowns};
use fairturn::rules::{self, RULES};
use fairturn::site::*;
use fairturn::solve::groups::{groups_today, standing_groups};
use fairturn::solve::{decode::decode, framing::frame, layout::layouts, posts::post};
use std::collections::{BTreeMap, BTreeSet};

/// Rules whose shortfall the rows must give exactly.
const EXACT: &[&str] = &[
    "seats",
    "reset",
    "kept",
    "ratio",
    "least-adults",
    "never-alone",
    "one-to-one",
    "staffed",
    "sight",
    "qualified",
    "movement",
    "staff-break",
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

    /// The chart of an assignment, adults posted.
    pub fn chart(&self, taken: &[usize]) -> Chart {
        let (mut chart, duties) = decode(&self.frame, &self.unknowns, taken);
        post(self.day, &mut chart, &duties);
        chart
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

/// How close rows and audit have to be.
#[derive(Clone, Copy, Default)]
pub struct Close<'a> {
    /// Rules in which the rows may ask for more, never for less.
    pub cautious: &'a [&'a str],
    /// Rules in which both find something or neither does.
    pub same_sign: &'a [&'a str],
    /// Nothing is said of assignments that leave a group without a place.
    pub placed: bool,
    /// Instead of rule by rule: the rows' shortfall never compares better than the audit's.
    pub as_a_whole: bool,
}

/// Rows are the audit, as close as `close` says. The audits of each alive rule tell assignments
/// apart, so that agreeing means something.
pub fn agree_as(build: &Build, close: Close<'_>, alive: &[&str]) {
    let day = build.day();
    let tiny = Tiny::new(&day);
    let rules: Vec<usize> = (0..RULES.len()).filter(|&r| EXACT.contains(&RULES[r].slug)).collect();
    let mut wrong: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let mut values: BTreeMap<&str, BTreeSet<i64>> = BTreeMap::new();
    for (taken, levels) in assignments(&tiny.model) {
        let unplaced =
            (0..tiny.frame.cells.len()).any(|c| taken[c] + 1 == tiny.frame.cells[c].options.len());
        if close.placed && unplaced {
            continue;
        }
        let audited = rules::shortfall(&rules::audit(&day, &tiny.chart(&taken)));
        let both = |r: usize| (levels[r], i64::try_from(audited[r]).expect("a tiny shortfall"));
        let mut differs = |what: String| {
            wrong.entry(what).or_insert_with(|| (0, format!("{taken:?}"))).0 += 1;
        };
        for &r in &rules {
            let ((rows, audit), slug) = (both(r), RULES[r].slug);
            values.entry(slug).or_default().insert(audit);
            let fine = if close.cautious.contains(&slug) {
                rows >= audit
            } else if close.same_sign.contains(&slug) {
                (rows > 0) == (audit > 0)
            } else {
                rows == audit
            };
            if !fine && !close.as_a_whole {
                differs(format!("{slug}: rows {rows}, audit {audit}"));
            }
        }
        let (rows, audit): (Vec<i64>, Vec<i64>) = rules.iter().map(|&r| both(r)).unzip();
        if close.as_a_whole && rows < audit {
            differs(format!("rows {rows:?}, audit {audit:?}"));
        }
    }
    let tell = |(what, (times, first))| format!("{what} ({times} times, first {first})");
    let wrong: Vec<String> = wrong.into_iter().map(tell).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for slug in alive {
        assert!(values[slug].len() > 1, "{slug} is {:?} whatever is decided", values[slug]);
    }
}

/// Rows are the audit, rule by rule.
pub fn agree(build: &Build, alive: &[&str]) {
    agree_as(build, Close::default(), alive);
}
