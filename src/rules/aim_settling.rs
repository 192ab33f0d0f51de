//! All adults stay while the children settle for the rest.

use super::pieces::post_pieces;
use super::{Aim, Decided, rows};
use crate::chart::{BlockKind, Chart, Place};
use crate::day::Day;
use crate::site::Span;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "settling",
    says: "All adults stay while the children settle for the rest: the stretches of 5 minutes that \
           staff breaks, and tasks that do not watch, take from the settling minutes with which it \
           begins, for each adult.",
    unit: "times 5 minutes away from the cots",
    unit_of_one: "time 5 minutes away from the cots",
    measure: Some(measure),
    rows: Some(rows::wishes::settling),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let minutes = day.schedule.rest.as_ref().map_or(0, |rest| rest.settling_minutes);
    let rests = chart.blocks.iter().filter(|b| b.kind == BlockKind::Rest).map(|b| b.span);
    let settles = rests.filter_map(|rest| Span::new(rest.from, rest.from.later(minutes)));
    let stays = || chart.children.iter().flat_map(|c| &c.stays);
    let lies_down = |settle: &Span| stays().any(|s| s.at == Place::Rest && s.span.meets(*settle));
    let settles: Vec<Span> = settles.filter(lies_down).collect();
    let goes = |at: Place| match at {
        Place::StaffBreak(_) => true,
        Place::Task(task) => day.schedule.tasks.get(task).is_some_and(|t| !t.watching),
        _ => false,
    };
    let mut stretches = 0;
    for adult in &chart.adults {
        for (_, gone) in post_pieces(&adult.posts, |p| goes(p.at).then_some(p.at)) {
            let within = settles.iter().filter_map(|settle| settle.meet(gone));
            stretches += within.map(|w| i64::from(w.minutes().div_ceil(5))).sum::<i64>();
        }
    }
    stretches
}
