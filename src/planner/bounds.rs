//! What was shown of a model's levels, said in the aims' own units.

use super::Plan;
use crate::rules::{self, AIMS, RULES};
use crate::solve::Finalist;

/// How the rows of an aim go with what its audit measures.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Rows {
    /// They measure what the audit measures, or less.
    AtMost,
    /// Another thing (nests undisturbed, care rounds), or there are none: the posts decide, or what is
    /// settled already.
    Other,
}

fn rows(slug: &str) -> Rows {
    match slug {
        "must-do" | "care-in-time" | "settling" | "no-repeat" | "balance" | "fair-shares"
        | "often-chosen" => Rows::AtMost,
        _ => Rows::Other,
    }
}

/// Whether the options that are taken decide an aim, and its rows say how.
pub(super) fn by_options(slug: &str) -> bool {
    rows(slug) == Rows::AtMost
}

/// The least that each aim can be in the layout and the groups of a finalist, with no rule and no
/// earlier aim worse than its plan has them; `None` where nothing was shown.
///
/// A bound of the model is a bound of the audited aim where the rows measure at most what the audit
/// does, and as long as every earlier level that was held leaves what the audit leaves. What holds with
/// fewer earlier aims held holds with all of them, so aims without rows need none.
pub(super) fn aim_bounds(finalist: &Finalist, plan: &Plan) -> Vec<Option<i64>> {
    let shown = |level: usize| finalist.bounds.get(level);
    let shortfall = rules::shortfall(&plan.problems);
    // Tasks stand in the level of the staff breaks: they are done as they are here.
    let held = |rule: usize| {
        RULES[rule].rows.is_none()
            || shown(rule)
                .is_some_and(|b| u64::try_from(b.value).is_ok_and(|v| v >= shortfall[rule]))
    };
    let mut held_so_far = (0..RULES.len()).all(held);
    let mut bounds = Vec::new();
    for (at, aim) in plan.aims.iter().enumerate() {
        let level = shown(RULES.len() + at);
        let least = match aim.slug {
            // Settled before anything is decided in the layout.
            "keep-with" => Some(aim.value),
            "little-waiting" => Some((finalist.waiting + 14) / 15),
            slug if by_options(slug) && held_so_far => level.map(|l| l.bound),
            _ => None,
        };
        debug_assert!(least.is_none_or(|l| l <= aim.value), "{}: {least:?}", aim.slug);
        bounds.push(if aim.value == 0 { Some(0) } else { least.map(|l| l.clamp(0, aim.value)) });
        if AIMS[at].rows.is_some() && by_options(aim.slug) {
            held_so_far &= level.is_some_and(|l| l.value >= aim.value);
        }
    }
    bounds
}
