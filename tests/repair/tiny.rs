//! On tiny days, trying everything finds the same fewest moves as the repair says.

use super::many::past;
use crate::audits::build::Build;
use crate::solve::tiny::{Tiny, assignments, no_breaks, tiny};
use fairturn::chart::Chart;
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::{Options, Repaired, repair};
use fairturn::rules::{self, moved};
use fairturn::site::{AdultIndex, Minute, StationIndex, Supervision};

/// The chart of the first assignment without a shortfall.
pub fn posted(day: &Day) -> Chart {
    let tiny = Tiny::new(day);
    let safe = |chart: &Chart| rules::audit(day, chart).is_empty();
    let found = assignments(&tiny.model).map(|(taken, _)| tiny.chart(&taken).0).find(safe);
    found.expect("a tiny day can be run safely")
}

/// The fewest child-turns moved of all charts with the same past and the least shortfall.
fn fewest(after: &Day, posted: &Chart, at: Minute) -> (Vec<u64>, u32) {
    let tiny = Tiny::new(after);
    let before = past(posted, at);
    let charts = assignments(&tiny.model).map(|(taken, _)| tiny.chart(&taken).0);
    let same_past = |chart: &Chart| past(chart, at).children == before.children;
    let worth = |chart: Chart| {
        let shortfall = rules::shortfall(&rules::audit(after, &chart));
        (shortfall, moved(after, posted, &chart, at))
    };
    charts.filter(same_past).map(worth).min().expect("one at least has the same past")
}

fn repaired(build: &Build, at: Minute, happenings: &[Happening]) -> (Repaired, Vec<u64>, u32) {
    let day = build.day();
    let posted = posted(&day);
    let done = repair(&day, &posted, at, happenings, &Options::default()).expect("it can be");
    let (shortfall, least) = fewest(&done.day, &posted, at);
    (done, shortfall, least)
}

/// Two groups, two turns, three stations of which two are staffed.
pub fn with_stations(staffed: usize) -> Build {
    let mut build = tiny();
    no_breaks(&mut build);
    for (n, label) in ["art", "water", "blocks", "books"].iter().enumerate() {
        let station = build.station(label, crate::audits::build::CLASSROOM);
        if n < staffed {
            build.site.stations[station.0].supervision =
                Supervision::Staffed { children_per_adult: 4 };
        }
    }
    build
}

#[test]
fn a_closed_station_moves_as_few_as_trying_everything_does() {
    let at = Minute::hm(9, 0);
    for staffed in 0..3 {
        let build = with_stations(staffed);
        for station in 0..4 {
            let closed = Happening::Closed { station: StationIndex(station), span: None };
            let (done, shortfall, least) = repaired(&build, at, &[closed]);
            assert_eq!(rules::shortfall(&done.plan.problems), shortfall, "{staffed}, {station}");
            assert_eq!(done.moved.value, least, "{staffed}, {station}");
            assert!(done.moved.bound.is_none_or(|b| b <= least), "{staffed}, {station}");
        }
    }
}

#[test]
fn an_adult_who_leaves_moves_as_few_as_trying_everything_does() {
    for (staffed, at) in [(1, Minute::hm(9, 0)), (2, Minute::hm(9, 0)), (2, Minute::hm(9, 20))] {
        let build = with_stations(staffed);
        let away = Happening::Away { who: Who::Adult(AdultIndex(1)), span: None };
        let (done, shortfall, least) = repaired(&build, at, &[away]);
        assert_eq!(rules::shortfall(&done.plan.problems), shortfall, "{staffed} at {at}");
        assert_eq!(done.moved.value, least, "{staffed} at {at}");
    }
}

#[test]
fn who_is_touched_by_nothing_stays() {
    let build = with_stations(1);
    let day = build.day();
    let posted = posted(&day);
    let at = Minute::hm(9, 5);
    let used = |s: usize| {
        let stays = posted.children.iter().flat_map(|c| &c.stays);
        stays.clone().any(|stay| stay.at == fairturn::chart::Place::Station(StationIndex(s)))
    };
    let unused = (0..4).find(|s| !used(*s)).expect("four stations, at most three are used");
    let closed = Happening::Closed { station: StationIndex(unused), span: None };
    let done = repair(&day, &posted, at, &[closed], &Options::default()).expect("it can be");
    assert!(done.plan.chart == posted, "nobody was there");
    assert_eq!((done.moved.value, done.moved.bound), (0, Some(0)));
}
