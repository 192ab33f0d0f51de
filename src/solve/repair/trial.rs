//! Charts for the question "would that mend it?": the cheapest first, and no more than it takes.

use super::stood::stood;
use super::{Broken, Rest, decode, posted_each, ways, without_visits_made};
use crate::chart::Chart;
use crate::model::Model;
use crate::rules::{Mend, RULES, Shortfall, rows};
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
    of_use: &dyn Fn(&Shortfall) -> bool,
    look: &mut dyn FnMut(Chart) -> bool,
) {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    // Rows read the grid: what lies beside it they take for more than it is.
    let rows_tell = on_grid(broken);
    let of_use = |least: Shortfall| !rows_tell || of_use(&least);
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
        if !of_use(rest.shown(&least_of_rules(&model))) {
            continue;
        }
        let taken = search(&rest.frame, &model, Some(options.clone()), steps, seed);
        if !of_use(rest.shown(&model.value(&taken))) {
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
pub(super) fn least_shortfall(model: &Model) -> Shortfall {
    Shortfall::of_levels(&least_of_rules(model))
}

fn least_of_rules(model: &Model) -> Vec<i64> {
    (0..RULES.len()).map(|level| model.trivial_bound(level)).collect()
}

impl Rest<'_> {
    /// What levels of its model show of the rules at the least. A staff break that goes on and cannot
    /// be had to its end is missed for them; how much of it is had is only seen once adults are posted.
    pub(super) fn shown(&self, levels: &[i64]) -> Shortfall {
        let begun =
            self.frame.breaks.iter().zip(&self.cut_short).filter(|(_, from)| from.is_some());
        let begun: i64 = begun.map(|(due, _)| i64::from(due.minutes)).sum();
        let mut levels = levels.to_vec();
        for (rule, level) in RULES.iter().zip(&mut levels) {
            if rule.is_mended_by(Mend::StaffBreak) {
                *level = (*level - begun).max(0);
            }
        }
        Shortfall::of_levels(&levels)
    }
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
