//! Little of a child's day goes to transitions and waiting.

use super::{Aim, Decided, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "little-waiting",
    says: "Children spend little time tidying, washing, walking and waiting: the minutes of all \
           children in transitions, in quarters of an hour begun.",
    unit: "quarters of an hour",
    unit_of_one: "quarter of an hour",
    measure: Some(measure),
    rows: Some(rows::wishes::little_disturbance),
    decided: Decided::Ways(15),
};

fn measure(_: &Day, chart: &Chart) -> i64 {
    let stays = chart.children.iter().flat_map(|c| &c.stays);
    let minutes: i64 =
        stays.filter(|s| s.at == Place::Transition).map(|s| i64::from(s.span.minutes())).sum();
    (minutes + 14) / 15
}
