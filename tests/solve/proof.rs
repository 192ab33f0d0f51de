//! Bounds against every assignment: of tiny days, and of small models drawn by chance.

use super::optimum::days;
use super::tiny::{Tiny, assignments};
use fairturn::model::{Line, Model, Var};
use fairturn::solve::proof::{Budget, How, Told, Watch, bounds, priced_bound, prove};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::ops::ControlFlow;

type All = Vec<(Vec<usize>, Vec<i64>)>;

const PLENTY: Budget = Budget { pricing: 100, nodes: 100_000 };

fn below(rng: &mut ChaCha8Rng, bound: u32) -> i64 {
    i64::from(rng.next_u32() % bound)
}

/// A few choices, quantities that read them and each other with both signs, three levels.
fn by_chance(seed: u64) -> Model {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut model = Model::new(&["first", "second", "third"]);
    let mut vars: Vec<Var> = Vec::new();
    for c in 0..3 + below(&mut rng, 3) {
        let options: Vec<Var> =
            (0..2 + below(&mut rng, 3)).map(|o| model.option(format!("{c}:{o}"))).collect();
        vars.extend(&options);
        model.choice(format!("{c}"), options);
    }
    let costs = |rng: &mut ChaCha8Rng, model: &mut Model, var, each: i64| {
        let slug = ["first", "second", "third"][below(rng, 3) as usize];
        model.cost(slug, var, each);
    };
    for option in vars.clone() {
        if below(&mut rng, 3) == 0 {
            let each = below(&mut rng, 7) - 2;
            costs(&mut rng, &mut model, option, each);
        }
    }
    for f in 0..4 + below(&mut rng, 8) {
        let lines = (0..1 + below(&mut rng, 3)).map(|_| {
            let mut line = Line::new(below(&mut rng, 5) - 3);
            for _ in 0..2 + below(&mut rng, 5) {
                let var = vars[below(&mut rng, vars.len() as u32) as usize];
                line.add(below(&mut rng, 5) - 2, var);
            }
            line
        });
        let lines: Vec<Line> = lines.collect();
        let var = model.forced(format!("forced {f}"), lines);
        if below(&mut rng, 4) > 0 {
            let each = 1 + below(&mut rng, 6);
            costs(&mut rng, &mut model, var, each);
        }
        vars.push(var);
    }
    model
}

/// The least of a level over all assignments that have the earlier ones no worse than `held`.
fn least(all: &All, level: usize, held: &[i64]) -> i64 {
    let inside = all.iter().filter(|(_, v)| (0..level).all(|l| v[l] <= held[l]));
    inside.map(|(_, v)| v[level]).min().expect("what is held is among them")
}

/// Every promise about the bounds of one start, with little and with plenty to spend.
fn check(name: &str, model: &Model, all: &All, start: &[usize]) -> usize {
    let best = all.iter().map(|a| &a.1).min().expect("there are assignments");
    let mut open = 0;
    for budget in [
        Budget { pricing: 0, nodes: 0 },
        Budget { pricing: 30, nodes: 0 },
        Budget { pricing: 5, nodes: 3 },
    ] {
        let proof = prove(model, start.to_vec(), budget, &mut Watch::nobody());
        let values = model.value(&proof.taken);
        assert!(values <= model.value(start), "{name}: worse than the start");
        for (level, bound) in proof.bounds.iter().enumerate() {
            assert_eq!(bound.value, values[level], "{name}: {budget:?}");
            let least = least(all, level, &values);
            assert!(bound.bound <= least, "{name}: {bound:?} above {least}, {budget:?}");
            assert_eq!(bound.how == How::Open, bound.bound < bound.value, "{name}: {bound:?}");
            open += usize::from(bound.how == How::Open);
        }
    }
    let proof = prove(model, start.to_vec(), PLENTY, &mut Watch::nobody());
    assert_eq!(&model.value(&proof.taken), best, "{name}: from {start:?}");
    assert!(proof.whole() && !proof.cancelled, "{name}: {:?}", proof.bounds);
    assert_eq!(bounds(model, start, PLENTY), proof.bounds, "{name}: the same again");
    open
}

#[test]
fn bounds_of_models_drawn_by_chance_never_cross_the_optimum_and_reach_it() {
    let mut open = 0;
    for seed in 0..400 {
        let model = by_chance(seed);
        let all: All = assignments(&model).collect();
        for start in [0, all.len() / 2, all.len() - 1] {
            open += check(&format!("seed {seed}"), &model, &all, &all[start].0);
        }
    }
    assert!(open > 100, "little to spend leaves something open: {open}");
}

#[test]
fn bounds_of_tiny_days_never_cross_the_optimum_and_reach_it() {
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let all: All = assignments(&tiny.model).collect();
        let worst = all.iter().max_by_key(|a| &a.1).expect("there are assignments");
        let best = all.iter().min_by_key(|a| &a.1).expect("there are assignments");
        for start in [worst, best, &all[all.len() / 2]] {
            check(name, &tiny.model, &all, &start.0);
        }
    }
}

#[test]
fn any_prices_at_all_give_a_true_bound() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let (mut asked, mut sharp) = (0, 0);
    for seed in 0..150 {
        let model = by_chance(seed);
        let all: All = assignments(&model).collect();
        let (taken, held) = &all[all.len() / 3];
        for level in 0..3 {
            let least = least(&all, level, held);
            for _ in 0..20 {
                let price = |_| below(&mut rng, 4) * (below(&mut rng, 1 << 20) - (1 << 18));
                let Some(bound) = priced_bound(&model, taken, level, price) else { continue };
                assert!(bound <= least, "seed {seed}, level {level}: {bound} above {least}");
                asked += 1;
                sharp += usize::from(bound == least);
            }
        }
    }
    assert!(asked > 3_000 && sharp > 100, "{sharp} of {asked} met the least");
}

#[test]
fn who_says_stop_gets_what_there_is() {
    let model = by_chance(3);
    let all: All = assignments(&model).collect();
    let (worst, values) = all.iter().max_by_key(|a| &a.1).expect("there are assignments");
    let mut told = Vec::new();
    let mut stop = |progress: fairturn::solve::proof::Progress| {
        told.push(progress);
        ControlFlow::Break(())
    };
    let proof = prove(&model, worst.clone(), PLENTY, &mut Watch::by(&mut stop));
    assert!(proof.cancelled);
    assert!(&model.value(&proof.taken) <= values);
    for (level, bound) in proof.bounds.iter().enumerate() {
        let least = least(&all, level, &model.value(&proof.taken));
        assert!(bound.bound <= least, "{bound:?} above {least}");
    }
    assert!(proof.bounds.iter().any(|b| b.how == How::Open), "it was stopped too late to tell");
    assert_eq!(told.len(), 1, "it is not asked again");
    assert_eq!(told[0].at, Told::Pricing);
}

#[test]
fn the_best_layout_of_a_day_comes_with_bounds_that_are_the_same_again() {
    let (_, build) = days().into_iter().next().expect("there are days");
    let day = build.day();
    let effort = fairturn::solve::Effort { layouts: 2, short: 2_000, ..Default::default() };
    let certified = || fairturn::solve::certify(&day, 1, effort, PLENTY, &mut Watch::nobody());
    let (one, other) = (certified(), certified());
    assert_eq!(one.proof, other.proof);
    assert!(one.proof.whole());
    assert_eq!(one.frame.groups, other.frame.groups);
    let bounds: Vec<i64> = one.proof.bounds.iter().map(|b| b.bound).collect();
    assert_eq!(one.model.value(&one.proof.taken), bounds);
}

/// Three groups of two children, two turns, a station with three seats: prices alone see one group and a
/// half there in each turn, and nobody missing it.
#[test]
fn groups_of_which_only_one_finds_seats_are_counted_together() {
    let mut model = Model::new(&["seats", "missed"]);
    let mut there = vec![Vec::new(); 3];
    for turn in 0..2 {
        let mut taken = Line::new(-3);
        for (group, visits) in there.iter_mut().enumerate() {
            let goes = model.option(format!("{group} goes, {turn}"));
            let stays = model.option(format!("{group} stays, {turn}"));
            model.choice(format!("{group}, {turn}"), vec![goes, stays]);
            taken.add(2, goes);
            visits.push(goes);
        }
        let standing = model.forced(format!("standing, {turn}"), vec![taken]);
        model.cost("seats", standing, 1);
    }
    for (group, visits) in there.into_iter().enumerate() {
        let line = visits.into_iter().fold(Line::new(1), |line, v| line.plus(-1, v));
        let missed = model.forced(format!("{group} misses"), vec![line]);
        model.cost("missed", missed, 1);
    }
    let start = [0, 1, 1, 1, 0, 1];
    assert_eq!(model.value(&start), [0, 1]);
    let proven = bounds(&model, &start, Budget { pricing: 200, nodes: 1 });
    assert_eq!((proven[1].bound, proven[1].how), (1, How::Relaxed), "{:?}", proven[1]);
    let alone = bounds(&model, &start, Budget { pricing: 200, nodes: 0 });
    assert_eq!((alone[1].bound, alone[1].how), (0, How::Open), "{:?}", alone[1]);
}
