//! Over the days every child gets round all stations.

use super::{Aim, Decided, rows, turns};
use crate::chart::Chart;
use crate::day::Day;
use crate::day::materials::allergy_at;
use crate::site::{ChildIndex, Span, Station, StationIndex};
use crate::standards::{foods::Meeting, hazards::caution};

/// The aim.
pub static AIM: Aim = Aim {
    slug: "fair-shares",
    says: "Over the visit record and today every child who goes round gets to all stations that it \
           may use and that are open today: of each the days with a visit count, and what is more \
           than one above the child's fewest is squared.",
    unit: "visits too many at one station, squared",
    unit_of_one: "visit too many at one station",
    measure: Some(measure),
    rows: Some(rows::wishes::fair_shares),
    decided: Decided::Options,
};

fn measure(day: &Day, chart: &Chart) -> i64 {
    let stations = open_today(day);
    // One row of counts for each child who goes round; `None` for everybody else.
    let mut rows: Vec<Option<Vec<u32>>> = vec![None; day.site.children.len()];
    for (child, _) in day.children.iter().filter(|(c, _)| !day.is_young(*c)) {
        if let Some(row) = rows.get_mut(child.0) {
            *row = Some(vec![0; day.stations.len()]);
        }
    }
    let before = day.record.visits.iter().filter(|v| v.date < day.date);
    let mut visits: Vec<_> = before.map(|v| (v.child, v.station, v.date)).collect();
    for child in &chart.children {
        visits.extend(turns::visits(child).into_iter().map(|(s, _)| (child.child, s, day.date)));
    }
    visits.sort_unstable();
    visits.dedup();
    for (child, station, _) in visits {
        let row = rows.get_mut(child.0).and_then(Option::as_mut);
        if let Some(count) = row.and_then(|r| r.get_mut(station.0)) {
            *count += 1;
        }
    }
    let mut all = 0;
    for (child, row) in rows.iter().enumerate() {
        let Some(row) = row else { continue };
        let child = ChildIndex(child);
        let used: Vec<i64> = stations
            .iter()
            .filter(|s| may_use(day, child, **s))
            .map(|s| i64::from(row[s.0]))
            .collect();
        let fewest = used.iter().min().copied().unwrap_or(0);
        all += used.iter().map(|n| (n - fewest - 1).max(0).pow(2)).sum::<i64>();
    }
    all
}

/// Stations of the room that are open at some time today.
fn open_today(day: &Day) -> Vec<StationIndex> {
    let room = &day.site[day.room];
    let open = |station: &StationIndex| {
        let closed = day.closed.get(station.0).map_or(&[][..], |c| c);
        !closed.iter().any(|span: &Span| span.holds(day.schedule.open))
    };
    let stations = (0..day.stations.len()).map(StationIndex);
    stations.filter(|s| room.spaces.contains(&day.station(*s).space)).filter(open).collect()
}

fn may_use(day: &Day, child: ChildIndex, at: StationIndex) -> bool {
    let (facts, months) = (&day.site[child], day.months(child));
    let station: &Station = day.station(at);
    let old_enough = station.from_months <= months
        && station
            .hazards
            .iter()
            .all(|h| caution(*h).barred_under_months.is_none_or(|least| months >= least));
    old_enough
        && station.below_months.is_none_or(|below| months < below)
        && !facts.not_for.contains(&at)
        && allergy_at(station, facts) == Meeting::No
}
