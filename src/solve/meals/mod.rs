//! Tables that are laid for meals.
//!
//! Map: `fed` gives children meals of their own, `options` the times at which a child can have one.

mod fed;
mod options;

pub use fed::{Feeding, feed};

use super::layout::Piece;
use super::seating::Seating;
use crate::chart::{BlockKind, Group, Place};
use crate::model::Planned;
use crate::site::{ChildIndex, MealKind, Span, TableIndex};

/// Food is offered on coming within so many minutes of it (common practice).
pub const ON_COMING: u16 = 60;

/// Spans in which the layout's meals lay each table.
#[must_use]
pub fn laid_by_layout(
    groups: &[Group],
    seatings: &[(MealKind, Seating)],
    pieces: &[Piece],
) -> Vec<(TableIndex, Span)> {
    let mut laid = Vec::new();
    for piece in pieces {
        let BlockKind::Meal(kind) = piece.kind else { continue };
        let Some((_, seating)) = seatings.iter().find(|s| s.0 == kind) else { continue };
        for (g, group) in groups.iter().enumerate() {
            if seating.sitting_of[g] == piece.number {
                laid.extend(
                    group.children.iter().filter_map(|&c| Some((seating.table(c)?, piece.span))),
                );
            }
        }
    }
    laid.sort_unstable();
    laid.dedup();
    laid
}

/// Spans in which any child eats at each table.
#[must_use]
pub fn laid(children: &[(ChildIndex, Vec<Planned>)]) -> Vec<(TableIndex, Span)> {
    let mut laid: Vec<(TableIndex, Span)> = children
        .iter()
        .flat_map(|(_, plan)| plan)
        .filter_map(|p| match p {
            Planned::Fixed(stay) => match stay.at {
                Place::Table(t) => Some((t, stay.span)),
                _ => None,
            },
            Planned::Cell { .. } => None,
        })
        .collect();
    laid.sort_unstable();
    laid.dedup();
    laid
}
