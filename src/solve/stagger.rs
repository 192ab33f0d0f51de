//! Groups that leave a place when it is their turn to wash or to dress, not all at once.
//!
//! The layout gives a transition the minutes that all of them need together. A group whose turn at
//! the sinks comes later, or who is dressed sooner than the young ones, goes on with what it is at
//! until then, wherever the adults carry both: that is found out by posting them and by whoever judges
//! the chart.

use super::clock::{GRID, grid_up};
use super::demand::Duties;
use super::posts::post;
use super::proof::Watch;
use crate::chart::{BlockKind, Cell, Chart, Group, Place, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Span};

/// A group that could stay where it is for a part of a transition.
struct Later {
    group: usize,
    /// The transition.
    way: Span,
    /// When the group leaves at the latest.
    leaves: Minute,
}

/// Lets groups leave later, one after another, where `better` says of what a chart was worth before and
/// of what it is worth then that it should be so.
pub fn stagger<W>(
    day: &Day,
    chart: &mut Chart,
    duties: &Duties,
    worth: impl Fn(&Chart) -> W,
    better: impl Fn(&W, &W) -> bool,
    watch: &Watch<'_>,
) {
    let mut before = worth(chart);
    for later in all_later(day, chart) {
        if watch.stopped() {
            break;
        }
        let mut tried = chart.clone();
        stay_until(&mut tried, &later);
        post(day, &mut tried, duties);
        if !somebody_along(&tried, later.way) {
            continue;
        }
        let after = worth(&tried);
        if better(&before, &after) {
            (*chart, before) = (tried, after);
        }
    }
    for block in 1..chart.blocks.len() {
        end_later(chart, block);
    }
}

/// Where all groups leave later than a transition begins, the block before it ends when the first
/// one leaves.
fn end_later(chart: &mut Chart, block: usize) {
    let way = chart.blocks[block].span;
    let cells = || chart.groups.iter().flat_map(|g| &g.cells).filter(|c| c.span.meets(way));
    let stays_on = |c: &Cell| c.at != Place::Transition && c.span.from < way.from;
    let leaves = cells().filter(|c| stays_on(c)).map(|c| c.span.to).min();
    let leaves = leaves.filter(|_| cells().all(|c| stays_on(c) || c.span.from > way.from));
    if let Some(leaves) = leaves.filter(|l| *l < way.to)
        && chart.blocks[block].kind == BlockKind::Transition
        && cells().filter(|c| stays_on(c)).all(|c| c.span.to < way.to)
    {
        chart.blocks[block].span.from = leaves;
        chart.blocks[block - 1].span.to = leaves;
    }
}

/// Whether in a transition an adult is on the move with whoever is, and not only in the same space.
fn somebody_along(chart: &Chart, way: Span) -> bool {
    let moving = chart.children.iter().flat_map(|c| &c.stays);
    let moving = moving.filter(|s| s.at == Place::Transition && s.span.meets(way));
    let adults = || chart.adults.iter().flat_map(|a| &a.posts);
    moving.filter_map(|s| Some((s.space, s.span.meet(way)?))).all(|(space, span)| {
        (span.from.0..span.to.0).step_by(usize::from(GRID)).map(Minute).all(|at| {
            adults().any(|p| p.at == Place::Transition && p.space == space && p.span.contains(at))
        })
    })
}

/// Minutes of all children that leaving later can save at most, in whatever order they go.
pub(super) fn most_saved(day: &Day, chart: &Chart) -> i64 {
    let in_way = |way: Span| -> i64 {
        let going = going(day, chart, way).into_iter().filter(|g| goes_on(g.from.at));
        let minutes = going.map(|g| {
            let washes = if g.washes() { day.wash_minutes(g.members.len(), g.to.space) } else { 0 };
            let washes = washes + day.site.walking(g.from.space, g.to.space);
            let saved = way.minutes().saturating_sub(g.own_minutes(day).max(washes));
            i64::from(saved) * g.members.len() as i64
        });
        minutes.sum()
    };
    ways(chart).into_iter().map(in_way).sum()
}

fn all_later(day: &Day, chart: &Chart) -> Vec<Later> {
    ways(chart).into_iter().flat_map(|way| later_in(day, chart, way)).collect()
}

/// The transitions that are long enough to be cut.
fn ways(chart: &Chart) -> Vec<Span> {
    let long = |c: &&Cell| c.at == Place::Transition && c.span.minutes() > GRID;
    let cells = chart.groups.iter().flat_map(|g| &g.cells).filter(long);
    let mut ways: Vec<Span> = cells.map(|c| c.span).collect();
    ways.sort_unstable();
    ways.dedup();
    ways
}

/// A group in a transition, with those of it who are here.
struct Going<'c> {
    group: usize,
    from: &'c Cell,
    to: &'c Cell,
    members: Vec<ChildIndex>,
}

impl Going<'_> {
    fn washes(&self) -> bool {
        self.from.at == Place::Outdoors || matches!(self.to.at, Place::Table(_))
    }

    /// Minutes on the grid in which the group tidies up, dresses and walks, sinks apart.
    fn own_minutes(&self, day: &Day) -> u16 {
        let members = self.members.iter().copied();
        let way = (self.from.space, self.to.space);
        grid_up(match (self.from.at, self.to.at) {
            (Place::Outdoors, _) => day.minutes_to_come_in(members, way),
            (_, Place::Outdoors) => day.minutes_to_go_out(members, way),
            // Who goes on choosing in the same space has nothing to tidy up.
            (Place::Choice(_), Place::Choice(_)) if way.0 == way.1 => 0,
            _ => day.schedule.transition_minutes + day.site.walking(way.0, way.1),
        })
    }
}

fn going<'c>(day: &Day, chart: &'c Chart, way: Span) -> Vec<Going<'c>> {
    let mut going = Vec::new();
    for (g, group) in chart.groups.iter().enumerate() {
        let from = group.cells.iter().find(|c| c.span.to == way.from);
        let to = group.cells.iter().find(|c| c.span.from == way.to);
        let (Some(from), Some(to)) = (from, to) else { continue };
        going.push(Going { group: g, from, to, members: members(day, group, way) });
    }
    going
}

/// Who could leave later in a transition. At the sinks those go first who leave something that they
/// cannot go on with, then the groups with the youngest, who take longest and are helped.
fn later_in(day: &Day, chart: &Chart, way: Span) -> Vec<Later> {
    let mut going = going(day, chart, way);
    let youngest = |g: &Going<'_>| g.members.iter().map(|c| day.months(*c)).min().unwrap_or(0);
    going.sort_by_key(|g| (goes_on(g.from.at), youngest(g), g.group));
    let mut washed = 0;
    let mut found = Vec::new();
    for g in going {
        let mut leaves = way.to.earlier(g.own_minutes(day));
        if g.washes() {
            // Its turn comes when those before it are done.
            let turn = day.wash_minutes(washed, g.to.space);
            washed += g.members.len();
            let all = day.wash_minutes(washed, g.to.space) - turn;
            let all = all + day.site.walking(g.from.space, g.to.space);
            leaves = leaves.min(way.from.later(turn)).min(way.to.earlier(all));
        }
        let leaves = Minute(leaves.0 / GRID * GRID);
        if goes_on(g.from.at) && leaves > way.from {
            found.push(Later { group: g.group, way, leaves });
        }
    }
    found
}

/// Whether a group, or a child, can go on with what it is at.
fn goes_on(at: Place) -> bool {
    matches!(at, Place::Station(_) | Place::Choice(_) | Place::Outdoors)
}

/// Members who are here in any part of a span.
fn members(day: &Day, group: &Group, span: Span) -> Vec<ChildIndex> {
    let here = |c: &ChildIndex| day.child_here(*c).iter().any(|h| h.meets(span));
    group.children.iter().copied().filter(here).collect()
}

fn stay_until(chart: &mut Chart, later: &Later) {
    let Later { group, way, leaves } = *later;
    let group = &mut chart.groups[group];
    for cell in &mut group.cells {
        if cell.span.to == way.from {
            cell.span.to = leaves;
            if let Place::Choice(k) = cell.at {
                let open = &mut chart.choices[k.0].span;
                open.to = open.to.max(leaves);
            }
        } else if cell.span == way {
            cell.span.from = leaves;
        }
    }
    for child in chart.children.iter_mut().filter(|c| group.children.contains(&c.child)) {
        let moving =
            |s: &Stay| s.at == Place::Transition && s.span.from == way.from && s.span.to > leaves;
        let Some(at) = child.stays.iter().position(moving) else { continue };
        // Whoever comes from the changing place, or just now from home, is on the way already.
        if let Some([last, moves]) = at.checked_sub(1).and_then(|b| child.stays.get_mut(b..=at))
            && last.span.to == way.from
            && goes_on(last.at)
        {
            last.span.to = leaves;
            moves.span.from = leaves;
        }
        child.stays.retain(|s| s.span.from < s.span.to);
    }
    group.cells.retain(|c| c.span.from < c.span.to);
}
