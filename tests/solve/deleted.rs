//! Every quantity that stands for a broken rule or a wish unmet, deleted in turn: the optimum of
//! what is left claims too little, and the audit of its chart says so.

use super::optimum::days;
use super::tempted::tempted;
use super::tiny::Tiny;
use crate::audits::build::Build;
use fairturn::model::{Model, State, Var};
use fairturn::rules::{self, AIMS, RULES, rows::Add};
use std::collections::{BTreeMap, BTreeSet};

/// Costs that are taken out of one level together.
struct Deleted {
    level: usize,
    what: String,
    terms: Vec<(Var, i64)>,
    /// The optimum without them: what it claims, and its options.
    best: Option<(Vec<i64>, Vec<usize>)>,
    /// The chart on which least is claimed of what the quantity alone tells: the claim, and options.
    told: Option<(i64, Vec<usize>)>,
}

/// Aims whose rows measure what the audit does; what the others hold is no aim's measure.
const MEASURED: &[&str] = &["must-do", "no-repeat", "balance", "fair-shares", "often-chosen"];

/// Rule or aim of a level, and what it adds to a model.
fn of_level(level: usize) -> (&'static str, Option<Add>) {
    match RULES.get(level) {
        Some(rule) => (rule.slug, rule.rows),
        None => {
            let aim = AIMS[level - RULES.len()];
            (aim.slug, aim.rows.filter(|_| MEASURED.contains(&aim.slug)))
        }
    }
}

/// What kind of quantity a name tells: the letters before the first `:` or `@`.
fn kind(name: &str) -> &str {
    let name = name.split([':', '@']).next().unwrap_or(name);
    name.trim_end_matches(|c: char| c.is_ascii_digit())
}

/// A deletion for each kind of quantity in each level, or for each single one. Tasks left stand in a
/// level of a rule and break none.
fn deletions(model: &Model, by: impl Fn(&str) -> &str) -> Vec<Deleted> {
    let mut found: BTreeMap<(usize, String), Vec<(Var, i64)>> = BTreeMap::new();
    for (level, of) in model.levels.iter().enumerate() {
        for &(var, each) in &of.terms {
            let name = &model.names[var.0 as usize];
            if of_level(level).1.is_some() && kind(name) != "task" {
                let what = format!("{}: {}", of.slug, by(name));
                found.entry((level, what)).or_default().push((var, each));
            }
        }
    }
    let deleted = |((level, what), terms)| Deleted { level, what, terms, best: None, told: None };
    found.into_iter().map(deleted).collect()
}

/// Tries every assignment; answers the optimum, and leaves in each deletion the optimum of the model
/// without its costs.
fn optimum(model: &Model, deleted: &mut [Deleted]) -> Vec<i64> {
    let sizes: Vec<usize> = model.choices.iter().map(Vec::len).collect();
    let mut state = State::new(model, vec![0; sizes.len()]);
    let overlap = |v: &usize| kind(&model.names[*v]) == "overlap";
    let overlaps: Vec<Var> =
        (0..model.names.len()).filter(overlap).map(|v| Var(v as u32)).collect();
    let mut best: Option<Vec<i64>> = None;
    for n in 0..sizes.iter().product() {
        let mut rest: usize = n;
        for (choice, size) in sizes.iter().enumerate() {
            state.take(choice, rest % size);
            rest /= size;
        }
        let levels = state.levels();
        if best.as_deref().is_none_or(|b| levels < b) {
            best = Some(levels.to_vec());
        }
        for gone in deleted.iter_mut() {
            let less: i64 = gone.terms.iter().map(|(v, each)| each * state.value(*v)).sum();
            let claims = |l: usize| levels[l] - if l == gone.level { less } else { 0 };
            let better = gone.best.as_ref().is_none_or(|(b, _)| {
                (0..levels.len()).find(|&l| claims(l) != b[l]).is_some_and(|l| claims(l) < b[l])
            });
            if better {
                let levels = (0..levels.len()).map(claims).collect();
                gone.best = Some((levels, state.taken().to_vec()));
            }
            let claim = claims(gone.level);
            // No chart has one adult on two staff breaks at once.
            let twice = overlaps.iter().any(|v| state.value(*v) > 0);
            if less > 0 && !twice && gone.told.as_ref().is_none_or(|(least, _)| claim < *least) {
                gone.told = Some((claim, state.taken().to_vec()));
            }
        }
    }
    best.expect("there are assignments")
}

/// What the audit, or the measure of the aim, finds in the chart of an assignment.
fn audited(tiny: &Tiny<'_>, taken: &[usize], level: usize) -> i64 {
    let (chart, _) = tiny.chart(taken);
    match level.checked_sub(RULES.len()) {
        None => {
            let found = rules::shortfall(&rules::audit(tiny.day, &chart))[level];
            i64::try_from(found).expect("a tiny shortfall")
        }
        Some(aim) => rules::measure(tiny.day, &chart)[aim],
    }
}

/// Days that between them hold every kind of row, and days in which every one is in the way.
fn all_days() -> Vec<(&'static str, Build)> {
    let mut all: Vec<(&'static str, Build)> = days().into_iter().collect();
    all.extend(tempted());
    all
}

#[test]
fn without_any_one_kind_of_quantity_some_days_optimum_is_false() {
    let mut dead: BTreeMap<String, &str> = BTreeMap::new();
    let mut needed: BTreeSet<String> = BTreeSet::new();
    let mut levels_needed: BTreeSet<usize> = BTreeSet::new();
    for (name, build) in all_days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let mut deleted = deletions(&tiny.model, kind);
        let best = optimum(&tiny.model, &mut deleted);
        for gone in deleted {
            let (claims, taken) = gone.best.expect("an optimum");
            dead.entry(gone.what.clone()).or_insert(name);
            if claims >= best {
                continue;
            }
            let (claim, found) = (claims[gone.level], audited(&tiny, &taken, gone.level));
            assert!(found > claim, "{name}, {}: {claim} is claimed, {found} found", gone.what);
            needed.insert(gone.what);
            levels_needed.insert(gone.level);
        }
    }
    dead.retain(|what, _| !needed.contains(what));
    assert!(dead.is_empty(), "no day's optimum needs these: {dead:#?}");
    let idle = |level: &usize| of_level(*level).1.is_some() && !levels_needed.contains(level);
    let idle: Vec<&str> =
        (0..RULES.len() + AIMS.len()).filter(idle).map(|level| of_level(level).0).collect();
    assert!(idle.is_empty(), "rows that no day needs: {idle:?}");
}

#[test]
fn each_single_quantity_tells_what_no_other_tells() {
    let (mut told, mut silent) = (BTreeSet::new(), BTreeSet::new());
    for (name, build) in all_days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        let mut deleted = deletions(&tiny.model, |name| name);
        optimum(&tiny.model, &mut deleted);
        for gone in deleted {
            let of_kind = {
                let (slug, name) = gone.what.split_once(": ").expect("a rule and a name");
                format!("{slug}: {}", kind(name))
            };
            let Some((claim, taken)) = gone.told else {
                silent.insert(of_kind);
                continue;
            };
            let found = audited(&tiny, &taken, gone.level);
            assert!(found > claim, "{name}, {}: {claim} is claimed, {found} found", gone.what);
            told.insert(of_kind);
        }
    }
    // That one adult takes two staff breaks at once no chart can say.
    silent.remove("staff-break: overlap");
    let silent: Vec<&String> = silent.difference(&told).collect();
    assert!(silent.is_empty(), "never above nought: {silent:?}");
}
