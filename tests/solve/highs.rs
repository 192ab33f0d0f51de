//! HiGHS on every pass, with the feature `highs`: another solver, written by others, in floating
//! point, ends where search and proof do.

use super::milp::{Pass, polish_by, problem, read};
use super::optimum::days;
use super::tiny::{Tiny, assignments};
use fairturn::day::Day;
use fairturn::model::Model;
use fairturn::site::RoomIndex;
use fairturn::solve::proof::{Budget, Watch};
use fairturn::solve::{Effort, certify};
use fairturn::wire::invent::awkward;
use fairturn::wire::scenario;
use good_lp::solvers::highs::highs;
use good_lp::{Solution, SolutionStatus, SolverModel};

/// The pass of [`polish_by`], solved to its end: a gap of a half is none between whole numbers.
const BY_HIGHS: Pass = |model, level, held, nodes| {
    let (problem, by_var) = problem(model, level, held, highs);
    let most = i32::try_from(nodes).expect("a budget of nodes");
    let problem = problem
        .set_option("mip_max_nodes", most)
        .set_option("mip_rel_gap", 0.0)
        .set_option("mip_abs_gap", 0.5);
    let solution = problem.solve().ok()?;
    let finished = matches!(solution.status(), SolutionStatus::Optimal);
    Some((read(model, |v| solution.value(by_var[v.0 as usize])), finished))
};

#[test]
fn highs_reaches_the_optimum_of_tiny_days_from_the_worst_start() {
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let all: Vec<_> = assignments(&tiny.model).collect();
        let (_, best) = all.iter().min_by_key(|a| &a.1).expect("there are assignments");
        let (worst, _) = all.iter().max_by_key(|a| &a.1).expect("there are assignments");
        let polished = polish_by(BY_HIGHS, &tiny.model, worst.clone(), 20_000);
        assert!(polished.passes > 0, "{name}: the worst start has something to improve");
        assert_eq!(polished.passes, polished.finished, "{name}: within the nodes");
        assert_eq!(&tiny.model.value(&polished.taken), best, "{name}");
    }
}

/// Solves each pass of a day that takes solving; how many there were, and how many we left open.
fn each_pass(name: &str, day: &Day) -> (usize, usize) {
    let effort = Effort { layouts: 3, short: 4_000, ..Effort::default() };
    let found = certify(day, 1, effort, Budget::default(), &mut Watch::nobody());
    let model: &Model = &found.model;
    let held: Vec<i64> = found.proof.bounds.iter().map(|b| b.value).collect();
    let (mut solved, mut open) = (0, 0);
    for (level, bound) in found.proof.bounds.iter().enumerate() {
        if bound.value <= model.trivial_bound(level) {
            continue;
        }
        let answer = BY_HIGHS(model, level, &held, 50_000);
        let (taken, finished) = answer.unwrap_or_else(|| panic!("{name}: {bound:?} has no answer"));
        let values = model.value(&taken);
        let kept = (0..level).all(|earlier| values[earlier] <= held[earlier]);
        assert!(kept, "{name}: {bound:?}, and earlier levels are {values:?} of {held:?}");
        let its = values[level];
        assert!(bound.bound <= its, "{name}: {bound:?}, and HiGHS reaches {its}");
        if finished {
            assert!(its <= bound.value, "{name}: {bound:?}, and HiGHS ends at {its}");
        }
        solved += 1;
        open += usize::from(bound.bound < bound.value);
    }
    (solved, open)
}

#[test]
fn highs_finds_no_value_below_our_bounds_and_none_above_our_values() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let (mut solved, mut open) = (0, 0);
    for name in ["half-day", "family-home", "mixed-age-room", "short-staffed"] {
        let path = folder.join(format!("{name}.scenario.json"));
        let text = std::fs::read(&path).expect("a shipped scenario");
        let scenario = scenario::read(&text).expect("no fault in it");
        let day = scenario.open(RoomIndex(0), scenario.date).expect("the room is open");
        let (passes, left) = each_pass(name, &day);
        (solved, open) = (solved + passes, open + left);
    }
    for seed in 1..=6 {
        let text = awkward(1, 10, 3, seed);
        let scenario = scenario::read(text.as_bytes()).expect("no fault");
        let day = scenario.open(RoomIndex(0), scenario.date).expect("the room is open");
        let (passes, left) = each_pass(&format!("awkward {seed}"), &day);
        (solved, open) = (solved + passes, open + left);
    }
    assert!(solved >= 10, "{solved} passes took solving");
    assert!(open * 4 <= solved, "{open} of {solved} passes are left open");
}
