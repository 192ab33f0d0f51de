//! The same passes by HiGHS: one thread, the same holds, a cap.

use crate::Stopwatch;
use crate::ours::{Certified, Other, passes};
use fairturn::model::{Model, Var};
use highs::{HighsModelStatus, RowProblem, Sense};

/// Solves each pass and adds up what that takes.
pub fn solve(certified: &Certified, cap_seconds: f64) -> Other {
    let model = &certified.model;
    let held: Vec<i64> = certified.bounds.iter().map(|b| b.value).collect();
    let mut all = Other::default();
    for (level, bound) in passes(certified) {
        let mut problem = problem(model, level, &held).optimise(Sense::Minimise);
        problem.make_quiet();
        problem.set_option("threads", 1);
        problem.set_option("time_limit", cap_seconds);
        // The value is whole: a gap below one is none.
        problem.set_option("mip_abs_gap", 0.99);
        problem.set_option("mip_rel_gap", 0.0099);
        let watch = Stopwatch::start();
        let solved = problem.solve();
        all.time += watch.read();
        let value = bound.value as f64;
        let (best, least) = (solved.objective_value(), solved.double_info_value(c"mip_dual_bound"));
        match solved.status() {
            HighsModelStatus::Optimal => {
                let below = best < bound.bound as f64 - 0.001 * value.abs().max(1.0);
                if below || least.is_ok_and(|least| least > value + 0.001 * value.abs().max(1.0)) {
                    all.disagrees.push(bound.slug);
                }
            }
            HighsModelStatus::ReachedTimeLimit => all.capped += 1,
            _ => all.disagrees.push(bound.slug),
        }
    }
    all
}

fn problem(model: &Model, level: usize, held: &[i64]) -> RowProblem {
    let mut option = vec![false; model.names.len()];
    model.choices.iter().flatten().for_each(|v| option[v.0 as usize] = true);
    let mut cost = vec![0_i64; model.names.len()];
    model.levels[level].terms.iter().for_each(|(v, each)| cost[v.0 as usize] += each);
    let mut problem = RowProblem::new();
    let columns: Vec<_> = (0..option.len())
        .map(|v| match option[v] {
            true => problem.add_integer_column(cost[v] as f64, 0..=1),
            false => problem.add_column(cost[v] as f64, 0..),
        })
        .collect();
    let row = |terms: &[(Var, i64)], sign: i64| -> Vec<_> {
        let mut sums = std::collections::BTreeMap::new();
        terms.iter().for_each(|(v, times)| *sums.entry(v.0 as usize).or_insert(0) += times * sign);
        sums.into_iter().map(|(v, times)| (columns[v], times as f64)).collect()
    };
    for choice in &model.choices {
        let ones: Vec<(Var, i64)> = choice.iter().map(|&v| (v, 1)).collect();
        problem.add_row(1..=1, row(&ones, 1));
    }
    for forced in &model.forced {
        for line in &forced.lines {
            let mut terms = row(&line.terms, -1);
            terms.push((columns[forced.var.0 as usize], 1.0));
            problem.add_row(line.constant as f64.., terms);
        }
    }
    for (earlier, &most) in model.levels[..level].iter().zip(held) {
        if !earlier.terms.is_empty() {
            problem.add_row(..=most as f64, row(&earlier.terms, 1));
        }
    }
    problem
}
