//! Charts for the question "would that mend it?": the cheapest first, and no more than it takes.

use super::stood::stood;
use super::{Broken, decode, posted_each, ways, without_visits_made};
use crate::chart::Chart;
use crate::model::Model;
use crate::rules::{RULES, rows};
use crate::solve::GRID;
use crate::solve::search::{Steps, search};

/// Hands charts of the rest to `look`, until it says that it has seen enough: the one that keeps
/// everybody at the posted post, then what a search finds. `of_use` says of a shortfall by rule
/// whether a chart with no less than that can be of use: where the rows show that none can, nothing
/// is searched.
///
/// The wishes are left out of what is searched: whether a rule can be met is asked, nothing else.
pub fn trial(
    broken: Broken<'_>,
    seed: u64,
    steps: Steps,
    of_use: &dyn Fn(&[u64]) -> bool,
    look: &mut dyn FnMut(Chart) -> bool,
) {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    // Rows read the grid: what lies beside it they take for more than it is.
    let rows_tell = on_grid(broken);
    let of_use = |least: Vec<u64>| !rows_tell || of_use(&least);
    let mut choices = None;
    for fewer_zones in [false, true] {
        let rest = ways::rest(with, seed, fewer_zones);
        if choices.as_ref().is_some_and(|before| *before == rest.frame.choices) {
            break;
        }
        let (model, unknowns) = rows::model_of_rules(&rest.frame);
        let options = rest.posted_options(&unknowns);
        let (chart, duties) = decode::decode(&rest, with, &options);
        if let Some(adults) = stood(broken, &chart, &duties)
            && look(Chart { adults, ..chart.clone() })
        {
            return;
        }
        choices = Some(rest.frame.choices.clone());
        if !of_use(least_shortfall(&model)) {
            continue;
        }
        let taken = search(&rest.frame, &model, Some(options.clone()), steps, seed);
        if !of_use(shortfall(&model.value(&taken))) {
            continue;
        }
        let (chart, duties) =
            if taken == options { (chart, duties) } else { decode::decode(&rest, with, &taken) };
        for chart in posted_each(broken, &rest, &taken, (chart, duties)) {
            if look(chart) {
                return;
            }
        }
    }
}

/// The shortfall by rule that nothing a model leaves open can get below.
pub(super) fn least_shortfall(model: &Model) -> Vec<u64> {
    let least = (0..RULES.len()).map(|level| model.trivial_bound(level));
    shortfall(&least.collect::<Vec<i64>>())
}

/// The least shortfall by rule of what the rows ask for; tasks left undone weigh as staff breaks in
/// them, and break no rule.
pub(super) fn shortfall(levels: &[i64]) -> Vec<u64> {
    let of_rule = RULES.iter().zip(levels);
    let least = of_rule.map(|(rule, &level)| if rule.slug == "staff-break" { 0 } else { level });
    least.map(|level| u64::try_from(level).unwrap_or(0)).collect()
}

/// Whether everything that is to come begins and ends on the planner's grid.
pub(super) fn on_grid(broken: Broken<'_>) -> bool {
    let Broken { day, at, .. } = broken;
    let people = day.children.iter().map(|c| &c.1).chain(day.adults.iter().map(|a| &a.1));
    let held = day.held_up().into_iter().map(|h| h.2);
    let closed = day.closed.iter().flatten().copied();
    let spans = people.flatten().copied().chain(held).chain(closed);
    let edges = spans.flat_map(|s| [s.from, s.to]).chain([at]);
    edges.filter(|e| *e >= at).all(|e| e.0.is_multiple_of(GRID))
}
