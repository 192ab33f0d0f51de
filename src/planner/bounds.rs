//! What was shown of a model's levels, said in the aims' own units.

use super::Plan;
use crate::day::Day;
use crate::rules::{AIMS, Decided, RULES, Shortfall};
use crate::site::Minute;
use crate::solve::Finalist;

/// The least that each aim can be in the layout and the groups of a finalist, with no rule and no
/// earlier aim worse than its plan has them; `None` where nothing was shown.
///
/// A bound of the model is a bound of the audited aim where the rows measure at most what the audit
/// does, and as long as every earlier level that was held leaves what the audit leaves. What holds with
/// fewer earlier aims held holds with all of them, so aims without rows need none.
pub(super) fn aim_bounds(day: &Day, finalist: &Finalist, plan: &Plan) -> Vec<Option<i64>> {
    let shown = |level: usize| finalist.bounds.get(level);
    let shortfall = Shortfall::of(day, &plan.chart, &plan.problems, Minute(0));
    let held = |rule: usize| {
        RULES[rule].rows.is_none()
            || shown(rule)
                .is_some_and(|b| u64::try_from(b.value).is_ok_and(|v| v >= shortfall.of_rule(rule)))
    };
    let mut held_so_far = (0..RULES.len()).all(held);
    let mut bounds = Vec::new();
    for (at, (aim, facts)) in plan.aims.iter().zip(AIMS).enumerate() {
        let level = shown(RULES.len() + at);
        let least = match facts.decided {
            // Settled before anything is decided in the layout.
            Decided::Groups | Decided::Layout(_) => Some(aim.value),
            Decided::Ways(minutes) => Some((finalist.waiting + minutes - 1) / minutes),
            Decided::Options if held_so_far => level.map(|l| l.bound),
            Decided::Options | Decided::Posts => None,
        };
        debug_assert!(least.is_none_or(|l| l <= aim.value), "{}: {least:?}", aim.slug);
        bounds.push(if aim.value == 0 { Some(0) } else { least.map(|l| l.clamp(0, aim.value)) });
        if facts.rows.is_some() && facts.is_of_options() {
            held_so_far &= level.is_some_and(|l| l.value >= aim.value);
        }
    }
    bounds
}
