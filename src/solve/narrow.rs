//! What stays open for choice where others are at something else.
//!
//! Where only some groups go on with a choice, fewer zones stay open for them, as one tidies up a
//! corner when most of the children have left, so that more adults are with those who wash. The young
//! who leave a circle early are at once where they are in the turn after it.

use super::demand::Duties;
use super::posts::post;
use super::proof::Watch;
use crate::chart::{BlockKind, Cell, Chart, ChoiceIndex, OpenChoice, Place, Stay, cut_over};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, Noise, Span, StationIndex, ZoneIndex};

/// Opens what the young go on with as soon as they leave a circle, and leaves fewer zones open from the
/// minute at which some groups leave a choice and others stay, each where `bears` says of what a chart
/// was worth before and of what it is worth then that it may be so.
pub fn narrow<W>(
    day: &Day,
    chart: &mut Chart,
    duties: &Duties,
    worth: impl Fn(&Chart) -> W,
    bears: impl Fn(&W, &W) -> bool,
    watch: &Watch<'_>,
) {
    let mut before = worth(chart);
    for (early, then) in beside_a_circle(chart) {
        for open in goes_on_with(day, chart, early, then) {
            let mut tried = chart.clone();
            tried.choices[early.0].open = open;
            post(day, &mut tried, duties);
            let after = worth(&tried);
            if bears(&before, &after) {
                (*chart, before) = (tried, after);
                break;
            }
        }
    }
    // What is left open may be left by some again.
    let mut at = 0;
    while at < chart.choices.len() {
        let left = left_by_some(chart, ChoiceIndex(at));
        for open in left.iter().flat_map(|left| fewer_zones(day, chart, left)) {
            if watch.stopped() {
                return;
            }
            let mut tried = chart.clone();
            let Some(left) = &left else { continue };
            split(&mut tried, left, open);
            post(day, &mut tried, duties);
            let after = worth(&tried);
            if bears(&before, &after) {
                (*chart, before) = (tried, after);
                break;
            }
        }
        at += 1;
    }
}

/// Choices of groups that left a circle early, each with the one that comes right after it.
fn beside_a_circle(chart: &Chart) -> Vec<(ChoiceIndex, ChoiceIndex)> {
    let circle = |c: &Cell| chart.blocks[c.block].kind == BlockKind::Circle;
    let pairs = chart.groups.iter().flat_map(|g| g.cells.windows(2));
    let pairs = pairs.filter_map(|pair| match (pair[0].at, pair[1].at) {
        (Place::Choice(early), Place::Choice(then)) if circle(&pair[0]) => Some((early, then)),
        _ => None,
    });
    pairs.collect()
}

/// What is open next, less what is loud: in the zones of what is open beside the circle, else wherever
/// it is.
fn goes_on_with(
    day: &Day,
    chart: &Chart,
    early: ChoiceIndex,
    then: ChoiceIndex,
) -> Vec<Vec<StationIndex>> {
    let now = &chart.choices[early.0].open;
    let near = |s: &StationIndex| now.iter().any(|&n| day.station(n).zone == day.station(*s).zone);
    let next = chart.choices[then.0].open.iter().copied();
    let next: Vec<StationIndex> = next.filter(|s| day.station(*s).noise != Noise::Loud).collect();
    let nearby = next.iter().copied().filter(near).collect();
    let there =
        chart.children.iter().filter(|c| c.stays.iter().any(|s| s.at == Place::Choice(early)));
    let wanted = day.site.settings.seats_to_choose(there.count());
    let mut open = vec![nearby, next];
    open.dedup();
    open.retain(|open| day.seats(open) >= wanted);
    open
}

/// A choice that some groups leave before others.
struct Left {
    choice: ChoiceIndex,
    /// When the first leave.
    from: Minute,
    /// Groups that go on.
    groups: Vec<usize>,
    /// Children of theirs who are there then.
    children: Vec<ChildIndex>,
}

fn left_by_some(chart: &Chart, choice: ChoiceIndex) -> Option<Left> {
    let at = Place::Choice(choice);
    let until = |g: usize| {
        let cells = chart.groups[g].cells.iter().filter(|c| c.at == at);
        cells.map(|c| c.span.to).max()
    };
    let ends = || (0..chart.groups.len()).filter_map(|g| Some((g, until(g)?)));
    let from = ends().map(|(_, to)| to).min()?;
    let groups: Vec<usize> = ends().filter(|(_, to)| *to > from).map(|(g, _)| g).collect();
    let goes_on = |s: &Stay| s.at == at && s.span.to > from;
    let there = chart.children.iter().filter(|c| c.stays.iter().any(goes_on));
    let children: Vec<ChildIndex> = there.map(|c| c.child).collect();
    let theirs = |c: &ChildIndex| groups.iter().any(|&g| chart.groups[g].children.contains(c));
    let all_theirs = !children.is_empty() && children.iter().all(theirs);
    all_theirs.then_some(Left { choice, from, groups, children })
}

/// The stations of fewer zones that have seats enough for who is left, fewest zones first.
fn fewer_zones(day: &Day, chart: &Chart, left: &Left) -> Vec<Vec<StationIndex>> {
    let open = &chart.choices[left.choice.0].open;
    let mut zones: Vec<ZoneIndex> = open.iter().map(|&s| day.station(s).zone).collect();
    zones.sort_unstable();
    zones.dedup();
    let wanted = day.site.settings.seats_to_choose(left.children.len());
    let one = |z: &ZoneIndex| -> Vec<StationIndex> {
        open.iter().copied().filter(|&s| day.station(s).zone == *z).collect()
    };
    let mut kept: Vec<Vec<StationIndex>> = zones.iter().map(one).collect();
    kept.sort_by_key(|of| std::cmp::Reverse(day.seats(of)));
    let enough = |of: &Vec<StationIndex>| day.seats(of) >= wanted;
    if zones.len() > 1 && kept.iter().any(enough) {
        kept.retain(enough);
        return kept;
    }
    // No zone alone: those with most seats together.
    let together = (2..zones.len()).map(|n| {
        let mut of = kept[..n].concat();
        of.sort_unstable();
        of
    });
    together.filter(enough).take(1).collect()
}

/// Makes what is left of a choice one of its own.
fn split(chart: &mut Chart, left: &Left, open: Vec<StationIndex>) {
    let was = &mut chart.choices[left.choice.0];
    let rest = OpenChoice {
        span: Span { from: left.from, to: was.span.to.max(left.from.later(1)) },
        space: was.space,
        open,
    };
    was.span.to = left.from;
    chart.choices.push(rest);
    let new = Place::Choice(ChoiceIndex(chart.choices.len() - 1));
    let goes_on = |at: Place, span: Span| at == Place::Choice(left.choice) && span.to > left.from;
    for &g in &left.groups {
        let cells = &mut chart.groups[g].cells;
        if cells.iter().any(|c| goes_on(c.at, c.span) && c.span.from < left.from) {
            cut_over(cells, left.from, |c| &mut c.span);
        }
        cells.iter_mut().filter(|c| goes_on(c.at, c.span)).for_each(|c| c.at = new);
    }
    for child in &mut chart.children {
        if child.stays.iter().any(|s| goes_on(s.at, s.span) && s.span.from < left.from) {
            cut_over(&mut child.stays, left.from, |s| &mut s.span);
        }
        child.stays.iter_mut().filter(|s| goes_on(s.at, s.span)).for_each(|s| s.at = new);
    }
}
