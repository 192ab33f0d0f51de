//! What is left of the minutes on the way.

use super::{Aim, Decided};
use crate::chart::{Chart, Place};
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "short-ways",
    says: "Of days that are alike in everything else the one is better in which children are on the \
           move for less: their minutes in transitions, to the minute.",
    unit: "minutes on the way",
    unit_of_one: "minute on the way",
    measure: Some(measure),
    rows: None,
    decided: Decided::Ways(1),
};

fn measure(_: &Day, chart: &Chart) -> i64 {
    let stays = chart.children.iter().flat_map(|c| &c.stays);
    stays.filter(|s| s.at == Place::Transition).map(|s| i64::from(s.span.minutes())).sum()
}
