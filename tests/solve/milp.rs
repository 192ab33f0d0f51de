//! The model of a day handed to MILP solvers that are not ours, level by level, through `good_lp`.
//!
//! Each level that is not at its trivial bound gets a pass of its own, with the earlier levels held
//! at what they have, inside a budget of nodes. What comes back is rounded, put into the model and
//! believed only if it is no worse: a solver's arithmetic never decides anything by itself.

use fairturn::model::{Model, Var};
use good_lp::{
    Constraint, Expression, ProblemVariables, Solver, SolverModel, Variable, constraint, variable,
};

/// What the passes found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Polished {
    /// The options taken.
    pub taken: Vec<usize>,
    /// Passes run.
    pub passes: u32,
    /// Passes that ended within their budget.
    pub finished: u32,
}

/// One level with the earlier ones held, within so many nodes: the options found, and whether the
/// solver came to its end.
pub type Pass = fn(&Model, usize, &[i64], u64) -> Option<(Vec<usize>, bool)>;

/// Improves options level by level with microlp; never returns worse ones.
pub fn polish(model: &Model, taken: Vec<usize>, nodes: u64) -> Polished {
    polish_by(by_microlp, model, taken, nodes)
}

/// The same with any solver.
pub fn polish_by(pass: Pass, model: &Model, taken: Vec<usize>, nodes: u64) -> Polished {
    let mut best = Polished { taken, passes: 0, finished: 0 };
    let mut levels = model.value(&best.taken);
    for level in 0..levels.len() {
        if levels[level] <= model.trivial_bound(level) {
            continue;
        }
        best.passes += 1;
        let Some((found, finished)) = pass(model, level, &levels, nodes) else {
            continue;
        };
        best.finished += u32::from(finished);
        let value = model.value(&found);
        if value < levels {
            levels = value;
            best.taken = found;
        }
    }
    best
}

/// A solver's variables by unknown. No start is handed over: with one, HiGHS 1.16 takes it for the
/// optimum of a tiny day where it is not.
fn variables(model: &Model) -> (ProblemVariables, Vec<Variable>) {
    let mut is_option = vec![false; model.names.len()];
    model.choices.iter().flatten().for_each(|v| is_option[v.0 as usize] = true);
    let mut variables = ProblemVariables::new();
    let by_var = is_option
        .into_iter()
        .map(|option| variables.add(if option { variable().binary() } else { variable().min(0) }));
    let by_var = by_var.collect();
    (variables, by_var)
}

fn sum(by_var: &[Variable], terms: &[(Var, i64)], constant: i64) -> Expression {
    let start = Expression::from(constant as f64);
    terms.iter().fold(start, |sum, &(v, times)| sum + by_var[v.0 as usize] * times as f64)
}

fn rows(by_var: &[Variable], model: &Model, level: usize, held: &[i64]) -> Vec<Constraint> {
    let mut rows = Vec::new();
    for choice in &model.choices {
        let ones: Vec<(Var, i64)> = choice.iter().map(|&v| (v, 1)).collect();
        rows.push(constraint!(sum(by_var, &ones, 0) == 1));
    }
    for forced in &model.forced {
        for line in &forced.lines {
            let reached = sum(by_var, &line.terms, line.constant);
            rows.push(constraint!(reached <= by_var[forced.var.0 as usize]));
        }
    }
    for (earlier, &most) in model.levels[..level].iter().zip(held) {
        if !earlier.terms.is_empty() {
            rows.push(constraint!(sum(by_var, &earlier.terms, 0) <= most as f64));
        }
    }
    rows
}

/// The pass of a level in a solver's own form, and the solver's variables by unknown.
pub fn problem<S: Solver>(
    model: &Model,
    level: usize,
    held: &[i64],
    solver: S,
) -> (S::Model, Vec<Variable>) {
    let (variables, by_var) = variables(model);
    let rows = rows(&by_var, model, level, held);
    let objective = sum(&by_var, &model.levels[level].terms, 0);
    let mut problem = variables.minimise(objective).using(solver);
    for row in rows {
        problem.add_constraint(row);
    }
    (problem, by_var)
}

fn by_microlp(model: &Model, level: usize, held: &[i64], nodes: u64) -> Option<(Vec<usize>, bool)> {
    use good_lp::solvers::microlp::microlp;
    let (problem, _) = problem(model, level, held, microlp);
    // Only microlp's own options hold a budget of nodes.
    let mut options = ::microlp::SolveOptions::default();
    options.node_limit = Some(nodes);
    let outcome = problem.as_inner().solve_with(options).ok()?;
    let finished = outcome.is_optimal();
    let solution = outcome.into_solution().ok()?;
    let values: Vec<f64> = solution.iter().map(|(_, value)| value).collect();
    Some((read(model, |v| values.get(v.0 as usize).copied().unwrap_or(0.0)), finished))
}

/// The option of each choice that the solver's values lean to.
pub fn read(model: &Model, value: impl Fn(Var) -> f64) -> Vec<usize> {
    let lean = |choice: &Vec<Var>| {
        (0..choice.len())
            .max_by(|&a, &b| value(choice[a]).total_cmp(&value(choice[b])))
            .unwrap_or(0)
    };
    model.choices.iter().map(lean).collect()
}
