//! Where children would be in a space without any adult, all of them in one space that has one:
//! before the law's numbers comes that somebody is with them.

use super::Options;
use crate::chart::Chart;
use crate::planner::alone::{Alone, alone};
use crate::planner::floor::{joined, minutes_over, runs, split};
use crate::site::{SpaceIndex, Span};
use crate::solve::Effort;
use crate::solve::proof::Watch;
use crate::solve::repair::{Broken, kept, repairs};

/// Charts that follow the posted one but for the turns and choices in which `best` leaves children
/// of some space alone: those are spent in one space, the home one or the one that was left alone.
pub(super) fn together(
    broken: Broken<'_>,
    best: &Chart,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let Broken { day, posted, at } = broken;
    let home = day.site[day.room].home;
    let effort = Effort { nodes: 0, ..options.effort };
    let groups: Vec<String> = posted.groups.iter().map(|g| g.id.clone()).collect();
    let mut found = Vec::new();
    for (space, span) in left_alone(broken, best) {
        // Which space is left, and the chart in which it is.
        let ways: Vec<(SpaceIndex, Option<Chart>)> = if space == home {
            let posts = best.adults.iter().flat_map(|a| &a.posts).filter(|p| p.span.meets(span));
            let mut spaces: Vec<SpaceIndex> = posts.map(|p| p.space).collect();
            spaces.retain(|s| *s != home && !day.site[*s].outdoors);
            spaces.sort_unstable();
            spaces.dedup();
            let over = |to: SpaceIndex| (home, split(day, posted, &groups, to, span));
            spaces.into_iter().map(over).collect()
        } else {
            let over = split(day, posted, &groups, space, span);
            vec![(space, joined(day, posted, space, span)), (home, over)]
        };
        for (emptied, redrawn) in ways {
            let Some(redrawn) = redrawn else { continue };
            let mut planning = day.clone();
            let until = runs(posted, span, span.from).last().map_or(span.to, |run| run.to);
            for station in day.site.stations_of(emptied) {
                planning.closed[station.0].extend(Span::new(span.from, until));
            }
            let followed = Broken { day: &planning, posted: &redrawn, at };
            found.push(kept(followed, options.seed));
            if !watch.stopped() {
                let repaired = repairs(followed, options.seed, effort, watch);
                found.extend(repaired.charts.into_iter().map(|c| c.0));
            }
        }
    }
    found
}

/// The spaces indoors that are left alone, each from the first minute, or the way over before it, to
/// the last.
fn left_alone(broken: Broken<'_>, best: &Chart) -> Vec<(SpaceIndex, Span)> {
    let Broken { day, at, .. } = broken;
    let mut found: Vec<(SpaceIndex, Span)> = Vec::new();
    for Alone { space, span, .. } in alone(day, best, at) {
        match found.iter_mut().find(|f| f.0 == space) {
            _ if day.site[space].outdoors => {}
            Some(known) => known.1.to = span.to,
            None => {
                let from = span.from.earlier(minutes_over(day, space)).max(at);
                found.push((space, Span { from, to: span.to }));
            }
        }
    }
    found
}
