//! The same day with one group somewhere else in one turn: what a question "why here?" is answered
//! from. Layout and groups stay; everything else may be as good as it can be made.

use super::{Broken, Rest, decode, ways};
use crate::chart::Chart;
use crate::model::Target;
use crate::rules::rows;
use crate::site::{Minute, Span};
use crate::solve::Effort;
use crate::solve::posts::post;
use crate::solve::proof::{Budget, Watch, prove};
use crate::solve::search::{Steps, search};

/// One group in one turn of a chart, and where it could be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OpenTurn {
    /// When.
    pub span: Span,
    /// Where the chart has it; `None`: nowhere that is offered.
    pub here: Option<Target>,
    /// Every place that is offered to it then, the chart's own among them.
    pub places: Vec<Target>,
    cell: usize,
}

/// The turn that a group is in at a minute; `None` when it is in none.
#[must_use]
pub fn open_turn(broken: Broken<'_>, group: &str, minute: Minute, seed: u64) -> Option<OpenTurn> {
    let rest = ways::rest(broken, seed, false);
    let of = |c: &usize| {
        let cell = &rest.frame.cells[*c];
        rest.frame.groups[cell.group].id == group && cell.span.contains(minute)
    };
    let cell = (0..rest.frame.cells.len()).find(of)?;
    let open = &rest.frame.cells[cell];
    let mut places: Vec<Target> = Vec::new();
    for option in open.options.iter().filter(|o| o.target != Target::Unplaced) {
        if !places.contains(&option.target) {
            places.push(option.target.clone());
        }
    }
    let here = rest.cells[cell].at.as_ref().map(|at| at.0.clone());
    Some(OpenTurn { span: open.span, here, places, cell })
}

/// The best chart that is found with the group of a turn at `place`; `None` when that is not
/// offered.
#[must_use]
pub fn elsewhere(
    broken: Broken<'_>,
    turn: &OpenTurn,
    place: &Target,
    seed: u64,
    effort: Effort,
    watch: &mut Watch<'_>,
) -> Option<Chart> {
    let mut rest: Rest<'_> = ways::rest(broken, seed, false);
    rest.frame.cells[turn.cell].options.retain(|o| o.target == *place);
    if rest.frame.cells[turn.cell].options.is_empty() {
        return None;
    }
    let (model, unknowns) = rows::model(&rest.frame);
    let start = rest.posted_options(&unknowns);
    let steps = Steps { annealing: effort.short, descent: effort.short / 2 };
    let mut taken = search(&rest.frame, &model, Some(start), steps, seed);
    if effort.nodes > 0 {
        taken = prove(&model, taken, Budget::nodes(effort.nodes), watch).taken;
    }
    let (mut chart, duties) = decode::decode(&rest, broken, &taken);
    post(broken.day, &mut chart, &duties);
    Some(chart)
}
