//! A day without a chart: who is there by the facts, awake or asleep, and which staff breaks fall
//! into the block because there is no other time for them.

use super::BlockQuestion;
use crate::chart::{AdultDay, Block, BlockKind, Chart, ChildDay, Place, Post, State, Stay};
use crate::day::Day;
use crate::site::{
    AdultIndex, BreakDue, ChildIndex, Minute, Sleep, SpaceIndex, Span, ZoneIndex, slices,
};
use crate::solve::GRID;

/// Settling minutes where the schedule has no rest (common practice).
const SETTLING: u16 = 10;

/// Where everybody is who is not at a station elsewhere: at home. Another indoor space takes only
/// those who have a seat there; out of doors the whole room goes together.
pub(super) fn main_space(day: &Day, question: &BlockQuestion) -> SpaceIndex {
    let mut spaces = question.stations.iter().map(|s| day.station(*s).space);
    match spaces.clone().next() {
        Some(first) if spaces.all(|s| day.site[s].outdoors) => first,
        _ => day.site[day.room].home,
    }
}

/// The rest as it is assumed: at the start of its window.
pub(super) fn rest_span(day: &Day) -> Option<Span> {
    let rest = day.schedule.rest.as_ref()?;
    Span::new(rest.window.from, rest.window.from.later(rest.minutes).min(rest.window.to))
}

/// Everybody of the day, awake in the main space or at rest; the adults watch its first zone.
pub(super) fn bare(day: &Day, question: &BlockQuestion) -> Chart {
    let main = main_space(day, question);
    let zone = day.site.zones_of(main).next();
    let children = day.children.iter().map(|(child, here)| ChildDay {
        child: *child,
        stays: here.iter().flat_map(|span| stays(day, *child, *span, main, zone)).collect(),
    });
    let breaks = forced_breaks(day, question.span);
    let adults = day.adults.iter().map(|(adult, here)| AdultDay {
        adult: *adult,
        posts: posts(*adult, here, &breaks, main, zone),
    });
    let mut chart = Chart {
        room: day.room,
        date: day.date,
        groups: Vec::new(),
        blocks: rest_span(day)
            .map(|span| Block { id: "rest-1".into(), kind: BlockKind::Rest, span })
            .into_iter()
            .collect(),
        choices: Vec::new(),
        children: children.collect(),
        adults: adults.collect(),
    };
    beside_their_children(day, &mut chart);
    chart
}

fn watching(zone: Option<ZoneIndex>) -> Place {
    zone.map_or(Place::WholeGroup, Place::Zone)
}

/// When a child lies down and when it is asleep, by its own times or in the assumed rest.
fn lying(day: &Day, child: ChildIndex) -> Vec<(Span, Option<Span>)> {
    let settling = day.schedule.rest.as_ref().map_or(SETTLING, |r| r.settling_minutes);
    let asleep = |lies: Span| Span::new(lies.from.later(settling), lies.to);
    let facts = &day.site[child];
    match &facts.sleep {
        Sleep::At(times) => times.iter().map(|lies| (*lies, asleep(*lies))).collect(),
        Sleep::InRest { minutes } => rest_span(day)
            .and_then(|rest| Span::new(rest.from, rest.from.later(*minutes).min(rest.to)))
            .map(|lies| (lies, asleep(lies)))
            .into_iter()
            .collect(),
        Sleep::None => {
            let longest = day.schedule.rest.as_ref().map_or(0, |r| r.awake_longest);
            let quiet = facts.quiet_rest_minutes.min(longest);
            rest_span(day)
                .and_then(|rest| Span::new(rest.from, rest.from.later(quiet).min(rest.to)))
                .map(|lies| (lies, None))
                .into_iter()
                .collect()
        }
    }
}

fn stays(
    day: &Day,
    child: ChildIndex,
    here: Span,
    main: SpaceIndex,
    zone: Option<ZoneIndex>,
) -> Vec<Stay> {
    let lying = lying(day, child);
    let cots = day.schedule.rest.as_ref().map_or(day.site[day.room].home, |r| r.space);
    let edges = lying.iter().flat_map(|(lies, asleep)| {
        let asleep = asleep.unwrap_or(*lies);
        [lies.from, lies.to, asleep.from, asleep.to]
    });
    let edges = edges.filter(|m| here.from <= *m && *m <= here.to).chain([here.from, here.to]);
    let stay = |span: Span| {
        let at = lying.iter().find(|(lies, _)| lies.contains(span.from));
        let (space, at, zone, state) = match at {
            None => (main, watching(zone), zone, State::Awake),
            Some((_, asleep)) => {
                let sleeps = asleep.is_some_and(|s| s.contains(span.from));
                let state = if sleeps { State::Asleep } else { State::Resting };
                (cots, Place::Rest, day.site.zones_of(cots).next(), state)
            }
        };
        Stay { span, space, at, zone, state, meal: None, apart: None }
    };
    slices(edges).into_iter().map(stay).collect()
}

/// A staff break that has no other time than one in the block.
struct Forced {
    adult: AdultIndex,
    due: usize,
    span: Span,
}

/// The staff breaks that cannot lie wholly outside the block, each at the start that takes least of
/// the block and, after that, meets fewest of the others.
fn forced_breaks(day: &Day, block: Span) -> Vec<Forced> {
    let mut forced: Vec<Forced> = Vec::new();
    for (adult, here) in &day.adults {
        for (due, rest) in day.site[*adult].breaks.iter().enumerate() {
            let starts: Vec<Span> = starts(rest, here).collect();
            if starts.is_empty() || starts.iter().any(|s| !s.meets(block)) {
                continue;
            }
            let of_block = |s: &Span| s.meet(block).map_or(0, Span::minutes);
            let others = |s: &Span| forced.iter().filter(|f| f.span.meets(*s)).count();
            let best = starts.into_iter().min_by_key(|s| (others(s), of_block(s), s.from));
            forced.extend(best.map(|span| Forced { adult: *adult, due, span }));
        }
    }
    forced
}

/// Where a staff break may lie: in its window and in the shift, on the grid or at the window's own
/// start.
fn starts(rest: &BreakDue, here: &[Span]) -> impl Iterator<Item = Span> {
    let window = rest.window;
    let minutes = rest.minutes;
    let mut from: Vec<Minute> = rest.starts(GRID).chain([window.from]).collect();
    from.sort_unstable();
    from.dedup();
    let here = here.to_vec();
    from.into_iter()
        .filter_map(move |from| Span::new(from, from.later(minutes)))
        .filter(move |s| window.holds(*s) && here.iter().any(|h| h.holds(*s)))
}

fn posts(
    adult: AdultIndex,
    here: &[Span],
    breaks: &[Forced],
    space: SpaceIndex,
    zone: Option<ZoneIndex>,
) -> Vec<Post> {
    let mine: Vec<&Forced> = breaks.iter().filter(|f| f.adult == adult).collect();
    let post = |span: Span| {
        let away = mine.iter().find(|f| f.span.contains(span.from));
        let at = away.map_or(watching(zone), |f| Place::StaffBreak(f.due));
        Post { span, space, at, zone, for_child: None, covers: None }
    };
    let cut = |h: &Span| {
        let h = *h;
        let inner = mine.iter().flat_map(|f| [f.span.from, f.span.to]);
        let inner = inner.filter(move |m| h.from < *m && *m < h.to);
        slices(inner.chain([h.from, h.to])).into_iter().map(post).collect::<Vec<Post>>()
    };
    here.iter().flat_map(cut).collect()
}

/// The own adult of a child with one-to-one support, or the first stand-in who is there, is there
/// for that child alone.
fn beside_their_children(day: &Day, chart: &mut Chart) {
    for (child, here) in &day.children {
        let Some(support) = &day.site[*child].one_to_one else { continue };
        let beside = || std::iter::once(&support.adult).chain(&support.stand_ins).copied();
        let mut edges = chart.edges();
        edges.retain(|m| here.iter().any(|h| h.from <= *m && *m <= h.to));
        for span in slices(edges) {
            if !here.iter().any(|h| h.holds(span)) {
                continue;
            }
            let found = beside().find_map(|adult| free_post(chart, adult, span));
            if let Some((adult, at)) = found {
                let posts = &mut chart.adults[adult].posts;
                let whole = posts.remove(at);
                let part = |from, to, child| {
                    Span::new(from, to).map(|span| Post { span, for_child: child, ..whole })
                };
                let parts = [
                    part(whole.span.from, span.from, whole.for_child),
                    part(span.from, span.to, Some(*child)),
                    part(span.to, whole.span.to, whole.for_child),
                ];
                posts.extend(parts.into_iter().flatten());
                posts.sort_by_key(|p| p.span);
            }
        }
    }
}

/// The post of an adult that holds a span and is free, by positions.
fn free_post(chart: &Chart, adult: AdultIndex, span: Span) -> Option<(usize, usize)> {
    let day = chart.adults.iter().position(|a| a.adult == adult)?;
    let free = |p: &Post| {
        p.span.holds(span) && p.for_child.is_none() && !matches!(p.at, Place::StaffBreak(_))
    };
    chart.adults[day].posts.iter().position(free).map(|at| (day, at))
}
