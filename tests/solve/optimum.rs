//! The search and the MILP against the optimum by enumeration, on tiny days; and every quantity
//! that stands for a broken rule is worth something somewhere.

use super::agreement_places::snack;
use super::agreement_presence::nests;
use super::milp::polish;
use super::tempted::{kept_and_changed, small_studio};
use super::tiny::{Tiny, assignments, no_breaks, tiny};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::day::{KeptCell, KeptFor, Visit};
use fairturn::model::Model;
use fairturn::rules::RULES;
use fairturn::site::*;
use fairturn::solve::search::{Steps, search};
use fairturn::standards::{Standard, find, local_limits_example};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A staffed and a plain station, breaks, an owed visit, wishes and a record.
fn wishes() -> Build {
    let mut build = tiny();
    let clay = build.station("clay", CLASSROOM);
    let books = build.station("books", CLASSROOM);
    build.site.stations[clay.0].supervision = Supervision::Staffed { children_per_adult: 2 };
    build.must_do.push((ChildIndex(2), clay));
    build.site.children[0].often_chosen.push(books);
    build.site.children[3].often_chosen.push(books);
    for child in [0, 1] {
        let date = crate::audits::build::today() - chrono::Days::new(1);
        build.record.visits.push(Visit { child: ChildIndex(child), station: clay, date });
    }
    build
}

/// Two wet stations to be wiped, a still one and little patience for sitting still.
fn wet_and_still() -> Build {
    let mut build = tiny();
    let paint = build.station("paint", CLASSROOM);
    let sand = build.station("sand", CLASSROOM);
    let books = build.station("books", CLASSROOM);
    for wet in [paint, sand] {
        build.site.stations[wet.0].mess = Mess::Wet;
        build.site.stations[wet.0].reset_minutes = 10;
    }
    build.site.stations[books.0].energy = Energy::Still;
    build.site.stations[sand.0].energy = Energy::Still;
    build.schedule.movement.longest_still = 20;
    no_breaks(&mut build);
    build
}

/// Two spaces, one adult who may not be alone, one who holds everything and may leave.
fn spaces_and_qualifications() -> Build {
    let mut build = tiny();
    let studio = build.space("studio");
    build.station("blocks", CLASSROOM);
    build.station("clay", studio);
    build.site.adults[1].may_be_alone = false;
    build.site.adults[0].breaks[0].may_leave = true;
    build.standards.push(find("england-eyfs").expect("a built-in standard"));
    let limits = Standard::from_json(local_limits_example()).expect("limits of a house");
    build.standards.push(Arc::new(limits));
    build
}

/// A child with an own adult and a stand-in, one in nappies, two staff breaks of one adult.
fn own_adult_and_care() -> Build {
    let mut build = tiny();
    build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    let own = build.adult("own", "09:00-09:40");
    let due = build.site.adults[0].breaks.remove(0);
    build.site.adults[own.0].breaks = vec![due.clone(), due];
    let stand_ins = vec![AdultIndex(1)];
    build.site.children[0].one_to_one = Some(OneToOne { adult: own, stand_ins });
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    build.site.children[2].toileting = Toileting::Nappies;
    build.site.settings.care_interval = 30;
    build.schedule.care_rounds.push(CareRound { window: span("09:00-09:15") });
    build
}

/// A kept cell at a station that is too small for both groups, which are to be kept apart.
fn kept_and_apart() -> Build {
    let mut build = tiny();
    let blocks = build.station("blocks", CLASSROOM);
    build.station("books", CLASSROOM);
    build.site.stations[blocks.0].seats = 3;
    build.site.children[0].keep_apart.push(ChildIndex(2));
    build.site.children[2].keep_apart.push(ChildIndex(0));
    let who = KeptFor::Group("group 1".into());
    build.kept.push(KeptCell { who, station: blocks, span: span("09:00-09:15") });
    build
}

/// Tiny days that between them hold every kind of row.
pub fn days() -> [(&'static str, Build); 9] {
    [
        ("wishes", wishes()),
        ("wet and still", wet_and_still()),
        ("spaces and qualifications", spaces_and_qualifications()),
        ("own adult and care", own_adult_and_care()),
        ("kept and apart", kept_and_apart()),
        ("a snack", snack()),
        ("nests", nests()),
        ("kept and changed", kept_and_changed()),
        ("small studio", small_studio()),
    ]
}

#[test]
fn search_and_milp_reach_the_optimum() {
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let all: Vec<_> = assignments(&tiny.model).collect();
        let (_, best) = all.iter().min_by_key(|a| &a.1).expect("there are assignments");
        let (bad, worst) = all.iter().max_by_key(|a| &a.1).expect("there are assignments");
        assert!(best < worst, "{name}: nothing to decide");
        let steps = Steps { annealing: 20_000, descent: 10_000 };
        for seed in 1..=3 {
            let found = search(&tiny.frame, &tiny.model, None, steps, seed);
            assert_eq!(&tiny.model.value(&found), best, "{name}, seed {seed}: the search");
        }
        let polished = polish(&tiny.model, bad.clone(), 2_000);
        assert_eq!(&tiny.model.value(&polished.taken), best, "{name}: from the worst start");
        assert_eq!(polished.passes, polished.finished, "{name}: inside the nodes");
    }
}

#[test]
fn no_assignment_costs_less_than_the_trivial_bound() {
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let bounds: Vec<i64> =
            (0..tiny.model.levels.len()).map(|l| tiny.model.trivial_bound(l)).collect();
        for (taken, levels) in assignments(&tiny.model) {
            let below = (0..bounds.len()).find(|&l| levels[l] < bounds[l]);
            assert_eq!(below, None, "{name}: {taken:?} costs {levels:?}, bounds {bounds:?}");
        }
    }
}

/// What kind of quantity a name tells: what stands before the first `:` or `@`.
fn kind(name: &str) -> &str {
    name.split([':', '@']).next().unwrap_or(name)
}

/// Quantities that stand for a broken rule: level, position among the unknowns.
fn broken_rules(model: &Model) -> Vec<(usize, usize)> {
    let forced: BTreeSet<u32> = model.forced.iter().map(|f| f.var.0).collect();
    let levels = model.levels.iter().enumerate().take(RULES.len());
    let terms = levels.flat_map(|(l, level)| level.terms.iter().map(move |t| (l, t.0.0)));
    terms.filter(|(_, var)| forced.contains(var)).map(|(l, var)| (l, var as usize)).collect()
}

/// The model without the cost of one quantity.
fn without(model: &Model, level: usize, var: usize) -> Model {
    let mut less = model.clone();
    less.levels[level].terms.retain(|t| t.0.0 as usize != var);
    less
}

#[test]
fn no_broken_rule_is_dead_in_the_model() {
    let mut dead: BTreeMap<String, &str> = BTreeMap::new();
    let mut alive: BTreeSet<String> = BTreeSet::new();
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let mut left: Vec<(usize, usize, Model)> = broken_rules(&tiny.model)
            .into_iter()
            .map(|(level, var)| (level, var, without(&tiny.model, level, var)))
            .collect();
        left.retain(|q| {
            dead.entry(kind(&tiny.model.names[q.1]).into()).or_insert(name);
            !alive.contains(kind(&tiny.model.names[q.1]))
        });
        for (taken, levels) in assignments(&tiny.model) {
            left.retain(|(level, var, less)| {
                let kind = kind(&tiny.model.names[*var]);
                if !alive.contains(kind) && less.value(&taken)[*level] < levels[*level] {
                    alive.insert(kind.into());
                }
                !alive.contains(kind)
            });
            if left.is_empty() {
                break;
            }
        }
    }
    dead.retain(|kind, _| !alive.contains(kind));
    assert!(dead.is_empty(), "deleting these changes nothing anywhere: {dead:?}");
    // Nothing that the shipped rooms' models hold is left out above.
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    for name in ["half-day", "mixed-age-room-cfoc", "preschool-room"] {
        let path = folder.join(format!("{name}.scenario.json"));
        let text = std::fs::read(&path).expect("a shipped scenario");
        let scenario = fairturn::wire::scenario::read(&text).expect("no fault in it");
        let day = scenario.open(RoomIndex(0), scenario.date).expect("the room is open");
        let model = Tiny::new(&day).model;
        for (level, var) in broken_rules(&model) {
            let kind = kind(&model.names[var]);
            assert!(alive.contains(kind), "{name}: {} of {}", kind, RULES[level].slug);
        }
    }
}
