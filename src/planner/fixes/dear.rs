//! Which of two sets of changes asks for more: the one comparison by which fixes are put in order, and
//! by which one makes another needless.

use super::sets::covers;
use crate::day::ExtraAdult;
use crate::planner::edit::Edit;
use crate::site::Span;

/// What a set of changes asks for; what counts first stands first, and less is better.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Dear {
    /// The most disturbing kind of change in it.
    kind: Option<u8>,
    /// How many come in from outside.
    outsiders: usize,
    /// How much they have to be able to do: each thing that is asked of each of them.
    abilities: usize,
    /// Minutes of their help.
    hired: u32,
    /// Minutes for which adults of the team are here beyond their shifts.
    overtime: u32,
    /// How many changes it is.
    changes: usize,
}

/// What a set of changes asks for.
pub(super) fn dear(set: &[Edit]) -> Dear {
    let minutes = |span: Span| u32::from(span.minutes());
    let mut dear = Dear {
        kind: set.iter().map(Edit::rank).max(),
        outsiders: 0,
        abilities: 0,
        hired: 0,
        overtime: 0,
        changes: set.len(),
    };
    for edit in set {
        match edit {
            Edit::AdultOfTheTeam { span, .. } => dear.overtime += minutes(*span),
            Edit::ExtraAdult(extra) => {
                dear.outsiders += 1;
                dear.abilities += abilities(extra);
                dear.hired += extra.span.map_or(0, minutes);
            }
            _ => {}
        }
    }
    dear
}

/// How many things are asked of somebody who comes in.
fn abilities(extra: &ExtraAdult) -> usize {
    let asked = [extra.counts, extra.may_be_alone, extra.lead, extra.first_aid];
    asked.into_iter().filter(|asked| *asked).count() + extra.qualifications.len()
}

/// Whether somebody from outside is among what a set asks for.
pub(super) fn hires(set: &[Edit]) -> bool {
    set.iter().any(|edit| matches!(edit, Edit::ExtraAdult(_)))
}

/// Whether a set that mends makes another one needless: the other is the same and more, or hires
/// somebody beside something else where there is a way without.
pub(super) fn makes_needless(known: &[Edit], other: &[Edit]) -> bool {
    let covered = |edit: &Edit| other.iter().any(|more| covers(edit, more));
    known.iter().all(covered) || (other.len() > 1 && hires(other) && !hires(known))
}
