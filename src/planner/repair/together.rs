//! Where children would be in a space without any adult, all of them in one space that has one:
//! before the law's numbers comes that somebody is with them.

use super::{Options, worth};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::edit::floor::{Until, joined, minutes_over, runs, split};
use crate::rules::{Alone, alone};
use crate::site::{SpaceIndex, Span};
use crate::solve::Effort;
use crate::solve::proof::Watch;
use crate::solve::repair::{Broken, kept, repairs};

/// A posted chart with everybody in one space at some time, the day on which the stations of the other
/// one are shut then, and the chart of the rest that keeps all it can of it.
struct Redrawn {
    day: Day,
    posted: Chart,
    kept: Chart,
}

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
    let stretches = left_alone(broken, best);
    let mut whole: Vec<Span> = Vec::new();
    for span in stretches.iter().filter_map(|s| hull(&stretches, s.space)) {
        if !whole.contains(&span) {
            whole.push(span);
        }
    }
    let ways = whole.into_iter().flat_map(|span| in_one_space(broken, span, options.seed));
    let mut found: Vec<Redrawn> = ways.collect();
    found.extend(one_by_one(broken, best, options.seed));
    let mut charts: Vec<Chart> = found.iter().map(|f| f.kept.clone()).collect();
    // The one that is best as it stands is searched for what would be better still.
    if let Some(best) = found.iter().min_by_key(|f| worth(broken, &f.kept)) {
        let effort = Effort { nodes: 0, ..options.effort };
        let followed = Broken { day: &best.day, posted: &best.posted, at };
        let repaired = repairs(followed, options.seed, effort, watch);
        charts.extend(repaired.charts.into_iter().map(|c| c.0));
    }
    charts
}

/// One stretch after another in which children are alone, each in the way that leaves fewest alone;
/// nothing where none does.
fn one_by_one(broken: Broken<'_>, best: &Chart, seed: u64) -> Option<Redrawn> {
    let mut found: Option<Redrawn> = None;
    let mut since = broken.at;
    loop {
        let (day, posted, kept) = match &found {
            Some(f) => (&f.day, &f.posted, &f.kept),
            None => (broken.day, broken.posted, best),
        };
        let stretches = left_alone(broken, kept);
        let Some(next) = stretches.into_iter().find(|s| s.alone.from >= since) else {
            return found;
        };
        let ways = in_one_space(Broken { day, posted, ..broken }, next.span, seed);
        let least = ways.into_iter().min_by_key(|way| worth(broken, &way.kept));
        let alone = |chart: &Chart| worth(broken, chart).broken.alone();
        let of_use = |way: &Redrawn| alone(&way.kept) < alone(kept);
        match least.filter(of_use) {
            Some(way) => found = Some(way),
            None => since = next.alone.to,
        }
    }
}

/// The posted chart with everybody in one space for a span, in each way in which that can be.
fn in_one_space(broken: Broken<'_>, span: Span, seed: u64) -> Vec<Redrawn> {
    let Broken { day, posted, at } = broken;
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
        let posted = redrawn?;
        let mut planning = day.clone();
        let last = runs(broken.posted, span, span.from).last().map_or(span.to, |run| run.to);
        let to = if until == Until::Then { span.to } else { last };
        for station in day.site.stations_of(left) {
            planning.closed[station.0].extend(Span::new(span.from, to));
        }
        let kept = kept(Broken { day: &planning, posted: &posted, at }, seed);
        Some(Redrawn { day: planning, posted, kept })
    };
    ways.into_iter().filter_map(laid).collect()
}

/// When children are alone in some space indoors.
#[derive(Clone, Copy)]
struct Stretch {
    space: SpaceIndex,
    alone: Span,
    /// The way over before it included.
    span: Span,
}

/// When children are alone in some space indoors, in order of time.
fn left_alone(broken: Broken<'_>, chart: &Chart) -> Vec<Stretch> {
    let Broken { day, at, .. } = broken;
    let spaces = &day.site[day.room].spaces;
    let way = spaces.iter().map(|s| minutes_over(day, *s)).max().unwrap_or(0);
    let mut found: Vec<Stretch> = Vec::new();
    for Alone { space, span, .. } in alone(day, chart, at) {
        let goes_on = |s: &&mut Stretch| s.space == space && s.alone.to == span.from;
        match found.iter_mut().find(goes_on) {
            _ if day.site[space].outdoors => {}
            Some(known) => (known.alone.to, known.span.to) = (span.to, span.to),
            None => {
                let from = span.from.earlier(way).max(at);
                let with_way = Span { from, to: span.to };
                found.push(Stretch { space, alone: span, span: with_way });
            }
        }
    }
    found
}

/// From the first minute in which children of a space are alone to the last.
fn hull(stretches: &[Stretch], space: SpaceIndex) -> Option<Span> {
    let mut spans = stretches.iter().filter(|s| s.space == space).map(|s| s.span);
    let first = spans.next()?;
    Some(Span { to: spans.next_back().unwrap_or(first).to, ..first })
}
