//! The algebra of the rules and aims: what each adds to the model of a frame.
//!
//! Rows read a [`Frame`] and never a finished chart; the audits read a finished chart and never a
//! frame. What a rule decides before any cell is open (who may use what, when a station is shut) is
//! built in: the option is simply not there.
//!
//! Map: [`breaks`] when staff breaks are had, [`care`] care rounds, [`people`] adults by slice, [`team`] what they are short of in each,
//! [`runs`] who is at which open cell when, [`seats`] and [`places`] stations, [`still`] sitting still,
//! [`wishes`] the aims.

pub(super) mod breaks;
pub(super) mod care;
pub(super) mod people;
pub(super) mod places;
mod runs;
pub(super) mod seats;
pub(super) mod still;
pub mod team;
pub(super) mod wishes;

use super::{AIMS, RULES};
use crate::model::{Frame, Model, SliceNeeds, Unknowns};
use team::Missing;

/// What every row may read.
pub struct Rows<'a, 'd> {
    /// The table of needs.
    pub frame: &'a Frame<'d>,
    /// Its options.
    pub unknowns: &'a Unknowns,
    /// Adults needed, by slice.
    pub needs: &'a [SliceNeeds],
    /// Adults missing, by slice.
    pub missing: &'a [Missing],
}

/// Adds one rule's or aim's rows to a model.
pub type Add = fn(&Rows<'_, '_>, &mut Model);

/// The model of a frame: levels in the order of the rules, then of the aims.
#[must_use]
pub fn model(frame: &Frame<'_>) -> (Model, Unknowns) {
    with_levels(frame, true)
}

/// The model of a frame without the aims: all that it takes to see whether the rules can be met.
#[must_use]
pub fn model_of_rules(frame: &Frame<'_>) -> (Model, Unknowns) {
    with_levels(frame, false)
}

fn with_levels(frame: &Frame<'_>, wishes: bool) -> (Model, Unknowns) {
    // The rows of a rule may note what they leave to a wish, so each wish keeps its level.
    let levels: Vec<&'static str> =
        RULES.iter().map(|r| r.slug).chain(AIMS.iter().map(|a| a.slug)).collect();
    let mut model = Model::new(&levels);
    let unknowns = Unknowns::new(frame, &mut model);
    let needs = crate::model::needs(frame, &unknowns, &mut model);
    let missing: Vec<Missing> = frame
        .slices
        .iter()
        .zip(&needs)
        .map(|(slice, needs)| team::missing(frame, &unknowns, slice, needs, &mut model))
        .collect();
    let rows = Rows { frame, unknowns: &unknowns, needs: &needs, missing: &missing };
    let of_rules = RULES.iter().filter_map(|r| r.rows);
    let of_aims = AIMS.iter().filter(|_| wishes).filter_map(|a| a.rows);
    for add in of_rules.chain(of_aims) {
        add(&rows, &mut model);
    }
    (model, unknowns)
}
