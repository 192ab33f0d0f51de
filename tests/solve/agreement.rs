//! On tiny days every assignment of the open decisions is tried: what the rows say it costs is what
//! the audit finds in the chart, rule by rule.

use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::model::State;
use fairturn::rules::{self, RULES};
use fairturn::site::*;
use fairturn::solve::groups::{groups_today, standing_groups};
use fairturn::solve::{decode::decode, framing::frame, layout::layouts, posts::post};
use std::collections::BTreeMap;

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

/// Tries every assignment; returns how many, and the disagreements.
fn disagreements(build: &Build) -> (usize, Vec<String>) {
    let day = build.day();
    let groups = groups_today(&day, &standing_groups(&day.site, day.room, day.date, 1));
    let layout = layouts(&day, &groups, 1).remove(0);
    let frame = frame(&day, &groups, &layout);
    let (model, unknowns) = rules::rows::model(&frame);
    let sizes: Vec<usize> = model.choices.iter().map(Vec::len).collect();
    let count: usize = sizes.iter().product();
    assert!((2..=100_000).contains(&count), "{count} assignments: {sizes:?}");
    let mut found: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let mut state = State::new(&model, vec![0; sizes.len()]);
    for n in 0..count {
        let mut rest = n;
        let mut taken = Vec::new();
        for (choice, size) in sizes.iter().enumerate() {
            taken.push(rest % size);
            state.take(choice, rest % size);
            rest /= size;
        }
        assert_eq!(state.levels(), model.value(&taken), "the moved state is the plain value");
        let (mut chart, duties) = decode(&frame, &unknowns, &taken);
        post(&day, &mut chart, &duties);
        let problems = rules::audit(&day, &chart);
        let audited = rules::shortfall(&problems);
        for (r, rule) in RULES.iter().enumerate().filter(|(_, r)| EXACT.contains(&r.slug)) {
            let (rows, audit) = (state.levels()[r], audited[r]);
            if u64::try_from(rows) != Ok(audit) {
                let what = format!("{}: rows {rows}, audit {audit}", rule.slug);
                let entry = found.entry(what).or_insert_with(|| (0, format!("{taken:?}")));
                entry.0 += 1;
            }
        }
    }
    let tell = |(what, (times, first))| format!("{what} ({times} times, first {first})");
    (count, found.into_iter().map(tell).collect())
}

fn tiny() -> Build {
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

fn check(build: &Build) {
    let (count, found) = disagreements(build);
    assert!(found.is_empty(), "of {count} assignments:\n{}", found.join("\n"));
}

#[test]
fn staffed_stations_and_breaks() {
    let mut build = tiny();
    let clay = build.station("clay", CLASSROOM);
    build.station("books", CLASSROOM);
    build.site.stations[clay.0].supervision = Supervision::Staffed { children_per_adult: 2 };
    check(&build);
}

#[test]
fn zones_and_one_who_may_not_be_alone() {
    let mut build = tiny();
    let loft = build.zone("loft", CLASSROOM);
    let blocks = build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    build.site.stations[blocks.0].zone = loft;
    build.site.adults[1].may_be_alone = false;
    check(&build);
}

#[test]
fn reset_and_wet_stations() {
    let mut build = tiny();
    let paint = build.station("paint", CLASSROOM);
    let sand = build.station("sand", CLASSROOM);
    build.station("books", CLASSROOM);
    for wet in [paint, sand] {
        build.site.stations[wet.0].mess = Mess::Wet;
        build.site.stations[wet.0].reset_minutes = 10;
    }
    build.site.adults.iter_mut().for_each(|a| a.breaks.clear());
    check(&build);
}

#[test]
fn still_stretches() {
    let mut build = tiny();
    build.schedule.movement.longest_still = 20;
    let books = build.station("books", CLASSROOM);
    let writing = build.station("writing", CLASSROOM);
    build.station("blocks", CLASSROOM);
    for still in [books, writing] {
        build.site.stations[still.0].energy = Energy::Still;
    }
    build.site.adults.iter_mut().for_each(|a| a.breaks.clear());
    check(&build);
}

#[test]
fn ratio_while_somebody_is_on_a_staff_break() {
    let mut build = tiny();
    build
        .standards
        .push(fairturn::standards::find("ireland-full-day").expect("a built-in standard"));
    build.site.children.iter_mut().for_each(|c| {
        c.born = crate::audits::build::today() - chrono::Months::new(31);
    });
    build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    let mut third: Vec<ChildIndex> = Vec::new();
    for name in ["a", "b", "c"] {
        third.push(build.child(name, 31, "09:00-09:40"));
    }
    build.site.rooms[0].groups[0].children.extend(third);
    build.site.rooms[0].group_size = (2, 5);
    build.site.stations.iter_mut().for_each(|s| s.seats = 6);
    check(&build);
}
