//! Charts for the question "would that mend it?": the cheapest first, and no more than it takes.

use super::{Broken, Taken, decode, posted, stood, ways, without_visits_made};
use crate::chart::Chart;
use crate::model::Model;
use crate::rules::RULES;
use crate::solve::GRID;
use crate::solve::search::{Steps, search};

/// Hands charts of the rest to `look`, until it says that it has seen enough: the one that keeps all
/// that can be kept, then what a search finds. `every_rule`: nothing but a chart without a problem is
/// of use, so nothing is searched where the model shows that there is none.
pub fn trial(
    broken: Broken<'_>,
    seed: u64,
    steps: Steps,
    every_rule: bool,
    look: &mut dyn FnMut(Chart) -> bool,
) {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    // Rows read the grid: what lies beside it they take for more than it is.
    let rows_tell = every_rule && on_grid(broken);
    let mut choices = None;
    for fewer_zones in [false, true] {
        let rest = ways::rest(with, seed, fewer_zones);
        if choices.as_ref().is_some_and(|before| *before == rest.frame.choices) {
            break;
        }
        let Taken { model, options } = Taken::posted(&rest);
        let (chart, duties) = decode::decode(&rest, with, &options);
        if let Some(adults) = stood(broken, &duties)
            && look(Chart { adults, ..chart.clone() })
        {
            return;
        }
        let of_use = |options: &[usize]| !rows_tell || !breaks_a_rule(&model, options);
        if of_use(&options) && look(posted(broken, chart, &duties)) {
            return;
        }
        choices = Some(rest.frame.choices.clone());
        let hopeless = (0..RULES.len()).any(|l| counts(l) && model.trivial_bound(l) > 0);
        if rows_tell && hopeless {
            continue;
        }
        let taken = search(&rest.frame, &model, Some(options.clone()), steps, seed);
        if taken != options && of_use(&taken) {
            let (chart, duties) = decode::decode(&rest, with, &taken);
            if look(posted(broken, chart, &duties)) {
                return;
            }
        }
    }
}

/// Whether the rows of a rule say that it is broken.
fn breaks_a_rule(model: &Model, options: &[usize]) -> bool {
    let values = model.value(options);
    (0..RULES.len()).any(|l| counts(l) && values[l] > 0)
}

/// Whether everything that is to come begins and ends on the planner's grid.
fn on_grid(broken: Broken<'_>) -> bool {
    let Broken { day, at, .. } = broken;
    let people = day.children.iter().map(|c| &c.1).chain(day.adults.iter().map(|a| &a.1));
    let held = day.held_up().into_iter().map(|h| h.2);
    let closed = day.closed.iter().flatten().copied();
    let spans = people.flatten().copied().chain(held).chain(closed);
    let edges = spans.flat_map(|s| [s.from, s.to]).chain([at]);
    edges.filter(|e| *e >= at).all(|e| e.0.is_multiple_of(GRID))
}

/// Tasks left undone weigh as staff breaks in the rows, and break no rule.
fn counts(level: usize) -> bool {
    RULES[level].slug != "staff-break"
}
