//! The posted chart redrawn: children split over two spaces, joined in one, two groups made one.

use crate::chart::{
    Apart, Block, BlockKind, Chart, ChoiceIndex, OpenChoice, Place, State, Stay, cut_over,
};
use crate::day::{Day, is_for};
use crate::site::{ChildIndex, Energy, Mess, Minute, Noise, SpaceIndex, Span, StationIndex};
use crate::solve::GRID;

/// The turns and choices that lie in a span, whole but for what is past, with the ways between two of
/// them: unbroken runs.
pub(in crate::planner) fn runs(chart: &Chart, within: Span, at: Minute) -> Vec<Span> {
    let open = |b: &Block| {
        matches!(
            b.kind,
            BlockKind::Arrival | BlockKind::Turn | BlockKind::Choice | BlockKind::GoingHome
        )
    };
    let mut runs: Vec<Span> = Vec::new();
    let mut touches = false;
    for block in chart.blocks.iter().filter(|b| b.span.meets(within)) {
        let Some(span) = Span::new(block.span.from.max(at), block.span.to) else { continue };
        if open(block) {
            match runs.last_mut().filter(|_| touches) {
                Some(run) => run.to = span.to,
                None => runs.push(span),
            }
            touches = true;
        } else {
            touches &= block.kind == BlockKind::Transition;
        }
    }
    runs
}

/// How long the children are elsewhere.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::planner) enum Until {
    /// Until the turns and choices end that a span lies in.
    TheirEnd,
    /// Until the span itself does.
    Then,
}

/// The runs of a span from its beginning on.
fn runs_until(chart: &Chart, span: Span, until: Until) -> Vec<Span> {
    let whole = runs(chart, span, span.from);
    match until {
        Until::TheirEnd => whole,
        Until::Then => whole.into_iter().filter_map(|run| run.meet(span)).collect(),
    }
}

/// Groups spend the runs of a span in another space, with something to choose there.
pub(in crate::planner) fn split(
    day: &Day,
    chart: &Chart,
    groups: &[String],
    space: SpaceIndex,
    when: (Span, Until),
) -> Option<Chart> {
    let children = children_of(chart, groups);
    let mut redrawn = split_by_child(day, chart, &children, space, when)?;
    for run in runs_until(chart, when.0, when.1) {
        let there = |c: &OpenChoice| c.space == space && c.span == run;
        let k = ChoiceIndex(redrawn.choices.iter().rposition(there)?);
        for group in redrawn.groups.iter_mut().filter(|g| groups.contains(&g.id)) {
            for cell in group.cells.iter_mut().filter(|c| run.holds(c.span)) {
                if matches!(cell.at, Place::Station(_) | Place::Choice(_)) {
                    (cell.at, cell.space) = (Place::Choice(k), space);
                }
            }
        }
    }
    Some(redrawn)
}

/// The children of some groups.
pub(in crate::planner) fn children_of(chart: &Chart, groups: &[String]) -> Vec<ChildIndex> {
    let groups = chart.groups.iter().filter(|g| groups.contains(&g.id));
    groups.flat_map(|g| g.children.iter().copied()).collect()
}

/// Some children spend the runs of a span in another space, with something to choose there; their groups
/// go on as they do.
pub(in crate::planner) fn split_by_child(
    day: &Day,
    chart: &Chart,
    children: &[ChildIndex],
    space: SpaceIndex,
    (span, until): (Span, Until),
) -> Option<Chart> {
    let home = day.site[day.room].home;
    let mut redrawn = chart.clone();
    let runs = runs_until(chart, span, until);
    for run in &runs {
        cut(&mut redrawn, *run);
        let open = open_in(day, space, *run, children, false)?;
        redrawn.choices.push(OpenChoice { span: *run, space, open });
        let k = ChoiceIndex(redrawn.choices.len() - 1);
        let walk = minutes_over(day, space);
        let moves = Moves { from: home, to: space, run: *run, k, walk, back: walk };
        moves.redraw(&mut redrawn, children, |_| true)?;
    }
    (!runs.is_empty()).then_some(redrawn)
}

/// When and where whoever is in a space in a span is with the others instead: in turns and choices at
/// home, in a rest where the cots stand, from the span's beginning to the end of each.
pub(in crate::planner) fn joins(
    day: &Day,
    chart: &Chart,
    space: SpaceIndex,
    (span, until): (Span, Until),
) -> Vec<(Span, SpaceIndex)> {
    let home = day.site[day.room].home;
    let open = runs_until(chart, span, until).into_iter().map(|run| (run, home));
    let rests = chart.blocks.iter().filter(|b| b.kind == BlockKind::Rest && b.span.meets(span));
    let last = |rest: Span| if until == Until::Then { rest.to.min(span.to) } else { rest.to };
    let rests = rests.filter_map(|b| Span::new(b.span.from.max(span.from), last(b.span)));
    let cots = day.schedule.rest.as_ref().map(|rest| rest.space);
    let rests = rests.filter_map(|rest| Some((rest, cots?)));
    open.chain(rests).filter(|(_, into)| *into != space).collect()
}

/// Whoever is in a space in a span has a choice with the others instead; turns there are left to the
/// repair, which finds the stations closed.
pub(in crate::planner) fn joined(
    day: &Day,
    chart: &Chart,
    space: SpaceIndex,
    (span, until): (Span, Until),
) -> Option<Chart> {
    let home = day.site[day.room].home;
    let mut redrawn = chart.clone();
    let mut found = false;
    for (run, into) in joins(day, chart, space, (span, until)) {
        cut(&mut redrawn, run);
        let choosing = |s: &Stay| s.space == space && matches!(s.at, Place::Choice(_));
        // In a rest whoever lies there stays there.
        let quiet = chart.blocks.iter().any(|b| b.kind == BlockKind::Rest && b.span.holds(run));
        let there = |s: &Stay| {
            let is_there = if quiet { choosing(s) } else { s.at != Place::Transition };
            is_there && s.space == space && run.meets(s.span)
        };
        let children: Vec<ChildIndex> =
            chart.children.iter().filter(|c| c.stays.iter().any(there)).map(|c| c.child).collect();
        if children.is_empty() {
            continue;
        }
        found = true;
        let mut stays = redrawn.children.iter().flat_map(|c| &c.stays);
        if stays.any(|s| run.holds(s.span) && choosing(s)) {
            let open = open_in(day, into, run, &children, quiet)?;
            redrawn.choices.push(OpenChoice { span: run, space: into, open });
            let k = ChoiceIndex(redrawn.choices.len() - 1);
            let other = if into == home { space } else { into };
            let walk = minutes_over(day, other);
            let back = if until == Until::Then { walk } else { 0 };
            let moves = Moves { from: space, to: into, run, k, walk, back };
            moves.redraw(&mut redrawn, &children, choosing)?;
            for cell in redrawn.groups.iter_mut().flat_map(|g| &mut g.cells) {
                let choice = matches!(cell.at, Place::Choice(_));
                if choice && cell.space == space && run.holds(cell.span) {
                    (cell.at, cell.space) = (Place::Choice(k), into);
                }
            }
            close_behind(&mut redrawn, space, run);
        }
    }
    found.then_some(redrawn)
}

/// Minutes of walking between the home space and another one, on the grid.
pub(in crate::planner) fn minutes_over(day: &Day, space: SpaceIndex) -> u16 {
    day.site.walking(day.site[day.room].home, space).next_multiple_of(GRID)
}

/// What was open for choice in a space is no longer where nobody is left in it for a run.
fn close_behind(chart: &mut Chart, space: SpaceIndex, run: Span) {
    let stays: Vec<(Place, Span)> =
        chart.children.iter().flat_map(|c| &c.stays).map(|s| (s.at, s.span)).collect();
    let used =
        |k: usize| stays.iter().any(|s| s.0 == Place::Choice(ChoiceIndex(k)) && s.1.meets(run));
    let ends =
        |c: &OpenChoice| c.space == space && c.span.contains(run.from) && c.span.to <= run.to;
    for (k, choice) in chart.choices.iter_mut().enumerate() {
        if ends(choice) && choice.span.from < run.from && !used(k) {
            choice.span.to = run.from;
        }
    }
}

/// From a moment on one group goes where another goes.
pub(in crate::planner) fn merged(
    chart: &Chart,
    group: &str,
    into: &str,
    at: Minute,
) -> Option<Chart> {
    let leaves = chart.groups.iter().position(|g| g.id == group)?;
    let mut redrawn = chart.clone();
    let left = redrawn.groups.remove(leaves);
    let host = redrawn.groups.iter_mut().find(|g| g.id == into)?;
    host.children.extend(&left.children);
    host.children.sort_unstable();
    let cells = host.cells.clone();
    for child in redrawn.children.iter_mut().filter(|c| left.children.contains(&c.child)) {
        let mut stays: Vec<Stay> = Vec::new();
        for stay in child.stays.drain(..) {
            let with_group = matches!(stay.at, Place::Station(_) | Place::Choice(_));
            if stay.span.from < at || stay.apart.is_some() || !with_group {
                stays.push(stay);
                continue;
            }
            let mut from = stay.span.from;
            for cell in cells.iter().filter(|c| c.span.meets(stay.span)) {
                let span = cell.span.meet(stay.span)?;
                let goes = matches!(cell.at, Place::Station(_) | Place::Choice(_));
                if !goes || span.from != from {
                    return None;
                }
                stays.push(Stay { span, space: cell.space, at: cell.at, ..stay.clone() });
                from = span.to;
            }
            if from != stay.span.to {
                return None;
            }
        }
        child.stays = stays;
    }
    Some(redrawn)
}

/// Cuts every stay and cell at both ends of a run, so that the part inside can be moved.
fn cut(chart: &mut Chart, run: Span) {
    for edge in [run.from, run.to] {
        chart.children.iter_mut().for_each(|c| cut_over(&mut c.stays, edge, |stay| &mut stay.span));
        chart.groups.iter_mut().for_each(|g| cut_over(&mut g.cells, edge, |cell| &mut cell.span));
    }
}

/// Children who change the space for a run of turns and choices.
struct Moves {
    from: SpaceIndex,
    to: SpaceIndex,
    run: Span,
    k: ChoiceIndex,
    /// Minutes of walking there, on the grid.
    walk: u16,
    /// And back at the end of the run.
    back: u16,
}

impl Moves {
    /// Redraws the stays of the children in the run; who is asleep, at care, or eats, stays so.
    fn redraw(
        &self,
        chart: &mut Chart,
        children: &[ChildIndex],
        which: impl Fn(&Stay) -> bool,
    ) -> Option<()> {
        let there = Span::new(self.run.from.later(self.walk), self.run.to.earlier(self.back))?;
        for child in chart.children.iter_mut().filter(|c| children.contains(&c.child)) {
            let mut stays: Vec<Stay> = Vec::new();
            for stay in child.stays.drain(..) {
                let moves =
                    matches!(stay.at, Place::Station(_) | Place::Choice(_) | Place::Transition);
                let own = matches!(stay.apart, Some(Apart::Sleep | Apart::Care | Apart::Food));
                if !self.run.holds(stay.span) || !moves || own || !which(&stay) {
                    stays.push(stay);
                    continue;
                }
                let parts = [
                    (stay.span.meet(Span { from: self.run.from, to: there.from }), self.from, true),
                    (stay.span.meet(there), self.to, false),
                    (stay.span.meet(Span { from: there.to, to: self.run.to }), self.to, true),
                ];
                for (span, space, walking) in parts {
                    let Some(span) = span else { continue };
                    let on_the_way = walking || stay.at == Place::Transition;
                    let at = if on_the_way { Place::Transition } else { Place::Choice(self.k) };
                    let now = Stay {
                        span,
                        space,
                        at,
                        zone: None,
                        state: State::Awake,
                        meal: None,
                        apart: None,
                    };
                    stays.push(now);
                }
            }
            child.stays = stays;
        }
        Some(())
    }
}

/// Stations of a space that can be open to all of some children without an adult of their own, for a rest
/// only `quiet` ones; `None` where they have fewer seats than children.
fn open_in(
    day: &Day,
    space: SpaceIndex,
    span: Span,
    children: &[ChildIndex],
    quiet: bool,
) -> Option<Vec<StationIndex>> {
    let fits = |s: &StationIndex| {
        let station = day.station(*s);
        let opens = station.open.is_empty() || station.open.iter().any(|o| o.holds(span));
        !day.takes_own_adult(*s)
            && station.mess != Mess::Wet
            && (!quiet || (station.noise == Noise::Quiet && station.energy != Energy::Vigorous))
            && opens
            && !day.closed[s.0].iter().any(|c| c.meets(span))
            && children.iter().all(|c| is_for(station, *s, &day.site[*c], day.date))
    };
    let open: Vec<StationIndex> = day.site.stations_of(space).filter(fits).collect();
    let seats = day.seats(&open);
    (seats as usize >= children.len()).then_some(open)
}
