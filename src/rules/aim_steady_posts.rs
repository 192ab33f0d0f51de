//! Adults stay where they are from turn to turn.

use super::{Aim, Decided, turns::turns_by_stretch};
use crate::chart::{AdultDay, Chart, Place, Post};
use crate::day::Day;
use crate::site::{Span, ZoneIndex};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "steady-posts",
    says: "Adults keep their zone from one turn of a stretch to the next: the changes are counted, \
           an adult's zone in a turn being the one in view for most of it; who is on a staff \
           break, a task or at the door has none and is not counted.",
    unit: "changes of zone",
    unit_of_one: "change of zone",
    measure: Some(measure),
    rows: None,
    decided: Decided::Posts,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let mut changes = 0;
    for turns in turns_by_stretch(day, chart) {
        for adult in &chart.adults {
            for pair in turns.windows(2) {
                let before = zone_in(day, adult, pair[0].span);
                let after = zone_in(day, adult, pair[1].span);
                changes += i64::from(before.is_some() && after.is_some() && before != after);
            }
        }
    }
    changes
}

/// The zone that an adult has in view for most of a turn; of equals the one that came first.
fn zone_in(day: &Day, adult: &AdultDay, turn: Span) -> Option<ZoneIndex> {
    let mut minutes: Vec<(ZoneIndex, u16)> = Vec::new();
    for post in &adult.posts {
        let (Some(zone), Some(span)) = (zone(day, post), post.span.meet(turn)) else { continue };
        match minutes.iter_mut().find(|(z, _)| *z == zone) {
            Some((_, sum)) => *sum = sum.saturating_add(span.minutes()),
            None => minutes.push((zone, span.minutes())),
        }
    }
    let most = minutes.iter().map(|(_, sum)| *sum).max()?;
    minutes.into_iter().find(|(_, sum)| *sum == most).map(|(zone, _)| zone)
}

fn zone(day: &Day, post: &Post) -> Option<ZoneIndex> {
    match post.at {
        Place::Station(s) => day.stations.get(s.0).map(|s| s.zone),
        Place::Table(t) => day.site.tables.get(t.0).map(|t| t.zone),
        Place::Zone(z) => Some(z),
        Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => post.zone,
        _ => None,
    }
}
