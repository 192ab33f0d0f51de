//! Young children have their key adult near.

use super::reading::{Reading, is_awake};
use super::{Aim, Decided};
use crate::chart::{AdultDay, Chart, ChildDay, Place, Post, Stay};
use crate::day::Day;

/// The aim.
pub static AIM: Aim = Aim {
    slug: "key-adult",
    says: "A young child who is awake has the key adult in sight of a zone that it is in (or in \
           its space, on the way): minutes without count, in fives begun, while that adult is here \
           and not on a staff break, a task, one-to-one support or at the changing place.",
    unit: "times 5 minutes without the key adult",
    unit_of_one: "time 5 minutes without the key adult",
    measure: Some(measure),
    rows: None,
    decided: Decided::Posts,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let reading = Reading::of(day, chart);
    let mut without = 0;
    for child in reading.chart.children.iter().filter(|c| day.is_young(c.child)) {
        let Some(key) = day.site[child.child].key_adult else { continue };
        let Some(key) = reading.chart.adult(key) else { continue };
        for stay in child.stays.iter().filter(|s| is_awake(s) && s.at != Place::Care) {
            without += minutes_without(&reading, child, stay, key);
        }
    }
    (without + 4) / 5
}

/// Minutes of a stay in which the key adult is free to be near, and is not.
fn minutes_without(reading: &Reading, child: &ChildDay, stay: &Stay, key: &AdultDay) -> i64 {
    let zones = reading.zones(stay);
    let is_free = |post: &Post| {
        !matches!(post.at, Place::StaffBreak(_) | Place::Task(_) | Place::Care)
            && post.for_child.is_none_or(|c| c == child.child)
    };
    let is_near = |post: &Post| {
        post.space == stay.space
            && (zones.is_empty() || reading.sees(post).iter().any(|z| zones.contains(z)))
    };
    let posts = key.posts.iter().filter(|p| is_free(p) && !is_near(p));
    posts.filter_map(|p| p.span.meet(stay.span)).map(|s| i64::from(s.minutes())).sum()
}
