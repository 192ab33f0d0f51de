//! Where children would be in a space without any adult, all of them in one space that has one:
//! before the law's numbers comes that somebody is with them.

use super::{Options, worth};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::alone::{Alone, alone};
use crate::planner::floor::{Until, joined, minutes_over, runs, split};
use crate::site::{SpaceIndex, Span};
use crate::solve::Effort;
use crate::solve::proof::Watch;
use crate::solve::repair::{Broken, kept, repairs};

/// Charts that follow the posted one but for the turns and choices in which `best` leaves children
/// of some space alone: those are spent in one space, to their end or only as long as somebody would
/// be alone.
pub(super) fn together(
    broken: Broken<'_>,
    best: &Chart,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let at = broken.at;
    let mut found: Vec<(Chart, Day, Chart)> = Vec::new();
    for span in left_alone(broken, best) {
        for (planning, redrawn) in in_one_space(broken, span) {
            let first = kept(Broken { day: &planning, posted: &redrawn, at }, options.seed);
            found.push((first, planning, redrawn));
        }
    }
    let mut charts: Vec<Chart> = found.iter().map(|f| f.0.clone()).collect();
    // The one that is best as it stands is searched for what would be better still.
    if let Some((_, planning, redrawn)) = found.iter().min_by_key(|f| worth(broken, &f.0)) {
        let effort = Effort { nodes: 0, ..options.effort };
        let followed = Broken { day: planning, posted: redrawn, at };
        let repaired = repairs(followed, options.seed, effort, watch);
        charts.extend(repaired.charts.into_iter().map(|c| c.0));
    }
    charts
}

/// The posted chart with everybody in one space for a span, in each way in which that can be, and the
/// day on which the stations of the other one are shut then.
fn in_one_space(Broken { day, posted, .. }: Broken<'_>, span: Span) -> Vec<(Day, Chart)> {
    let room = &day.site[day.room];
    let groups: Vec<String> = posted.groups.iter().map(|g| g.id.clone()).collect();
    let others = room.spaces.iter().filter(|s| **s != room.home && !day.site[**s].outdoors);
    let mut ways: Vec<(Until, SpaceIndex, Option<Chart>)> = Vec::new();
    for &space in others {
        for until in [Until::TheirEnd, Until::Then] {
            ways.push((until, space, joined(day, posted, space, (span, until))));
            ways.push((until, room.home, split(day, posted, &groups, space, (span, until))));
        }
    }
    let laid = |(until, left, redrawn): (Until, SpaceIndex, Option<Chart>)| {
        let mut planning = day.clone();
        let last = runs(posted, span, span.from).last().map_or(span.to, |run| run.to);
        let to = if until == Until::Then { span.to } else { last };
        for station in day.site.stations_of(left) {
            planning.closed[station.0].extend(Span::new(span.from, to));
        }
        redrawn.map(|redrawn| (planning, redrawn))
    };
    ways.into_iter().filter_map(laid).collect()
}

/// When children are alone in some space indoors, the way over before it included: from the first
/// minute to the last for each space.
fn left_alone(broken: Broken<'_>, best: &Chart) -> Vec<Span> {
    let Broken { day, at, .. } = broken;
    let mut found: Vec<(SpaceIndex, Span)> = Vec::new();
    for Alone { space, span, .. } in alone(day, best, at) {
        match found.iter_mut().find(|f| f.0 == space) {
            _ if day.site[space].outdoors => {}
            Some(known) => known.1.to = span.to,
            None => {
                let spaces = &day.site[day.room].spaces;
                let way = spaces.iter().map(|s| minutes_over(day, *s)).max().unwrap_or(0);
                let from = span.from.earlier(way).max(at);
                found.push((space, Span { from, to: span.to }));
            }
        }
    }
    let mut spans: Vec<Span> = found.into_iter().map(|f| f.1).collect();
    spans.dedup();
    spans
}
