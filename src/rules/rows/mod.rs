//! The algebra of the rules and aims: what each adds to the model of a frame.
//!
//! Rows read a [`Frame`] and never a finished chart; the audits read a finished chart and never a
//! frame. What a rule decides before any cell is open (who may use what, when a station is shut) is
//! built in: the option is simply not there.
//!
//! Map: [`people`] adults by slice, [`places`] stations by cell, [`wishes`] the aims.

mod people;
mod places;
mod wishes;

use super::{AIMS, RULES};
use crate::model::{Frame, Model, SliceNeeds, Unknowns};

/// What every row may read.
pub struct Rows<'a, 'd> {
    /// The table of needs.
    pub frame: &'a Frame<'d>,
    /// Its options.
    pub unknowns: &'a Unknowns,
    /// Adults needed, by slice.
    pub needs: &'a [SliceNeeds],
}

/// Adds one rule's or aim's rows to a model.
type Add = fn(&Rows<'_, '_>, &mut Model);

/// Rows by slug; rules and aims that the layout alone decides have none.
const TABLE: &[(&str, Add)] = &[
    ("seats", places::seats),
    ("reset", places::reset),
    ("keep-apart", places::keep_apart),
    ("kept", places::kept),
    ("ratio", people::ratio),
    ("least-adults", people::least_adults),
    ("never-alone", people::never_alone),
    ("one-to-one", people::one_to_one),
    ("staffed", people::staffed),
    ("sight", people::sight),
    ("qualified", people::qualified),
    ("movement", places::movement),
    ("staff-break", people::staff_break),
    ("must-do", wishes::must_do),
    ("no-repeat", wishes::no_repeat),
    ("little-waiting", wishes::little_disturbance),
    ("balance", wishes::balance),
    ("fair-shares", wishes::fair_shares),
    ("often-chosen", wishes::often_chosen),
    ("fair-posts", wishes::breaks_in_rest),
];

/// The model of a frame: levels in the order of the rules, then of the aims.
#[must_use]
pub fn model(frame: &Frame<'_>) -> (Model, Unknowns) {
    let levels: Vec<&'static str> =
        RULES.iter().map(|r| r.slug).chain(AIMS.iter().map(|a| a.slug)).collect();
    let mut model = Model::new(&levels);
    let unknowns = Unknowns::new(frame, &mut model);
    let needs = crate::model::needs(frame, &unknowns, &mut model);
    let rows = Rows { frame, unknowns: &unknowns, needs: &needs };
    for (_, add) in TABLE.iter().filter(|(slug, _)| levels.contains(slug)) {
        add(&rows, &mut model);
    }
    (model, unknowns)
}

/// Slugs that have rows.
pub fn with_rows() -> impl Iterator<Item = &'static str> {
    TABLE.iter().map(|(slug, _)| *slug)
}
