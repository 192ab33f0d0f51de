//! Tasks are done.

use super::pieces::post_pieces;
use super::{Aim, Decided, rows};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::site::Span;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "tasks",
    says: "Every task that takes an adult is done, whole, by one adult and in its window: the minutes \
           of those that are not.",
    unit: "minutes of tasks left undone",
    unit_of_one: "minute of a task left undone",
    measure: Some(measure),
    rows: Some(rows::wishes::tasks),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let mut undone = 0;
    for (at, task) in day.schedule.tasks.iter().enumerate() {
        // One that its window has no room for is not asked for any more.
        if task.minutes > task.window.minutes() {
            continue;
        }
        let pieces = chart
            .adults
            .iter()
            .flat_map(|a| post_pieces(&a.posts, |p| (p.at == Place::Task(at)).then_some(())));
        let inside = pieces.filter_map(|(_, span)| span.meet(task.window)).map(Span::minutes);
        undone += i64::from(task.minutes.saturating_sub(inside.max().unwrap_or(0)));
    }
    undone
}
