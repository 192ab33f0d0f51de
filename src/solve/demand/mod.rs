//! The adults that the children's stays call for, slice by slice.
//!
//! [`demands`] reads a chart whose children are placed and says, for every slice, which places
//! need an adult and how many counted adults each space needs. [`adults_wanted`] turns one slice
//! into a single figure. A search keeps one [`Needs`] and calls [`demands_with`]: reading the stays
//! again costs little, asking the standards again would cost much, and only new company is asked.

mod places;

use crate::chart::{Chart, Place, State, Stay};
use crate::day::Day;
use crate::model::asked::{Needs, Sleeper};
use crate::site::{
    AdultIndex, ChildIndex, Minute, SpaceIndex, Span, StationIndex, ZoneIndex, slices,
};
pub(super) use places::{beside, care_in, watching_places};
use places::{wanted_by_duties, wanted_in};

/// What is fixed for the adults before anyone is posted.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Duties {
    /// Staff breaks: who, which of the adult's breaks due, and from when.
    pub breaks: Vec<(AdultIndex, usize, Minute)>,
    /// Tasks, by position in the schedule, and from when; each takes one adult.
    pub tasks: Vec<(usize, Minute)>,
    /// Care rounds: where the changing place is and when; each takes one adult.
    pub care: Vec<(SpaceIndex, Span)>,
    /// Greeting and handing over: where and when; each takes one adult.
    pub door: Vec<(SpaceIndex, Span)>,
    /// Adults who are held up, with the position of the task that stands for it.
    pub held: Vec<(AdultIndex, usize, Span)>,
}

impl Duties {
    /// When the staff break at a position of `breaks` is; `None` for one that is not due.
    #[must_use]
    pub fn break_span(&self, day: &Day, at: usize) -> Option<Span> {
        let &(adult, due, from) = self.breaks.get(at)?;
        let due = day.site[adult].breaks.get(due)?;
        Span::new(from, from.later(due.minutes))
    }

    /// When the task at a position of `tasks` is; `None` for one that the schedule lacks.
    #[must_use]
    pub fn task_span(&self, day: &Day, at: usize) -> Option<Span> {
        let &(task, from) = self.tasks.get(at)?;
        let task = day.schedule.tasks.get(task)?;
        Span::new(from, from.later(task.minutes))
    }
}

/// How bad it is to leave a place without its adult; the worst first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Class {
    /// A child with one-to-one support.
    OneToOne,
    /// A staffed station in use.
    Staffed,
    /// A zone, a transition or a child being changed, seen by nobody else.
    Sight,
    /// A table that is eaten at.
    Table,
    /// The door or a task.
    Duty,
}

/// A place that needs adults.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// Where.
    pub space: SpaceIndex,
    /// At what.
    pub at: Place,
    /// The zone that the adult sees from there, if any.
    pub zone: Option<ZoneIndex>,
    /// How many; never 0.
    pub adults: u32,
    /// How bad it is to leave it open.
    pub class: Class,
    /// The child whose one-to-one support this is.
    pub for_child: Option<ChildIndex>,
    /// Whoever is here counts in the ratio of the space (if the adult counts at all).
    pub counted: bool,
}

/// What one slice needs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Demand {
    /// The slice.
    pub span: Span,
    /// Places that need an adult. Adults beyond them may stand anywhere.
    pub posts: Vec<Wanted>,
    /// Counted adults needed in each space with children, should none of them hold any
    /// qualification that lets one adult have more children.
    pub ratio: Vec<(SpaceIndex, u32)>,
    /// The same, should everybody on hand be in that space.
    pub ratio_at_best: Vec<(SpaceIndex, u32)>,
    /// Counted adults needed over all spaces by standards that judge the whole site.
    pub on_site: u32,
    /// Counted adults needed in the building, wherever in it: more than the spaces need only where
    /// a standard lets some leave sleepers, and not the building.
    pub in_building: u32,
    /// Adults that must be on the premises; whoever stays in on a staff break is one of them.
    pub least: u32,
    /// Counted adults on shift and not on a staff break.
    pub counted_on_hand: u32,
    /// Adults on shift and not on a staff break who do not count.
    pub others_on_hand: u32,
}

/// Adults with the children (or at a duty) that a slice needs: in each space as many as its ratio
/// or its places ask for, whichever is more; those who count for nobody there on top.
#[must_use]
pub fn adults_wanted(demand: &Demand) -> u32 {
    wanted(demand, &demand.ratio)
}

/// As [`adults_wanted`], with the ratio as it is while every qualified adult is in the right place.
#[must_use]
pub fn adults_wanted_at_best(demand: &Demand) -> u32 {
    wanted(demand, &demand.ratio_at_best)
}

fn wanted(demand: &Demand, ratio: &[(SpaceIndex, u32)]) -> u32 {
    let posts = |space: Option<SpaceIndex>, counted: bool| -> u32 {
        let here = |w: &&Wanted| w.counted == counted && space.is_none_or(|s| w.space == s);
        demand.posts.iter().filter(here).map(|w| w.adults).sum()
    };
    let with_children: u32 =
        ratio.iter().map(|&(space, need)| need.max(posts(Some(space), true))).sum();
    let elsewhere = demand.posts.iter().filter(|w| w.counted);
    let elsewhere: u32 = elsewhere
        .filter(|w| ratio.iter().all(|&(space, _)| space != w.space))
        .map(|w| w.adults)
        .sum();
    (with_children + elsewhere).max(demand.on_site) + posts(None, false)
}

/// The demand of every slice from the first to the last minute at which a child or an adult is
/// here. Slices end where a stay, a shift or a duty starts or ends.
#[must_use]
pub fn demands(day: &Day, chart: &Chart, duties: &Duties) -> Vec<Demand> {
    demands_with(&mut Needs::new(day), chart, duties)
}

/// As [`demands`], remembering what the standards answered.
pub fn demands_with(needs: &mut Needs, chart: &Chart, duties: &Duties) -> Vec<Demand> {
    let day = needs.day();
    let mut found = Vec::new();
    let mut sweep = Sweep::new(chart);
    let breaks: Vec<(AdultIndex, Span)> = (0..duties.breaks.len())
        .filter_map(|i| Some((duties.breaks[i].0, duties.break_span(day, i)?)))
        .collect();
    for span in cuts(day, chart, duties) {
        let here = sweep.at(span.from);
        let minute = span.from;
        let mut posts = Vec::new();
        let mut spaces: Vec<SpaceIndex> = here.iter().map(|(_, stay)| stay.space).collect();
        spaces.extend(duties.care.iter().filter(|c| c.1.contains(minute)).map(|c| c.0));
        spaces.sort_unstable();
        spaces.dedup();
        for &space in &spaces {
            wanted_in(day, chart, duties, minute, space, &here, &mut posts);
        }
        wanted_by_duties(day, duties, minute, &mut posts);
        let on_break = |a: AdultIndex| breaks.iter().any(|b| b.0 == a && b.1.contains(minute));
        let on_hand: Vec<AdultIndex> = day
            .adults
            .iter()
            .filter(|(a, spans)| spans.iter().any(|s| s.contains(minute)) && !on_break(*a))
            .filter(|(a, _)| !duties.held.iter().any(|h| h.0 == *a && h.2.contains(minute)))
            .map(|(a, _)| *a)
            .collect();
        let (counted, others): (Vec<_>, Vec<_>) =
            on_hand.into_iter().partition(|&a| day.site[a].counts);
        let (mut ratio, mut ratio_at_best, mut in_building) = (Vec::new(), Vec::new(), 0);
        for &space in &spaces {
            let heads = heads(day, &here, Some(space));
            if !heads.is_empty() {
                let worst = needs.in_space(space, minute, &heads, &[]);
                let best = needs.in_space(space, minute, &heads, &counted);
                ratio.push((space, worst.adults.max(1)));
                ratio_at_best.push((space, best.adults.max(1)));
                in_building += worst.in_building.max(1);
            }
        }
        let all = heads(day, &here, None);
        let on_site = needs.on_site(minute, &all, &[]);
        found.push(Demand {
            span,
            posts,
            ratio,
            ratio_at_best,
            on_site: on_site.adults,
            in_building: in_building.max(on_site.in_building),
            least: needs.least(u32::try_from(here.len()).unwrap_or(u32::MAX)),
            counted_on_hand: u32::try_from(counted.len()).unwrap_or(u32::MAX),
            others_on_hand: u32::try_from(others.len()).unwrap_or(u32::MAX),
        });
    }
    found
}

/// Children of a space (or of all), with who is asleep; who is changed out of everybody's sight is in
/// none.
pub(super) fn heads(
    day: &Day,
    here: &[(ChildIndex, &Stay)],
    space: Option<SpaceIndex>,
) -> Vec<Sleeper> {
    let inside = here.iter().filter(|(_, stay)| space.is_none_or(|s| stay.space == s));
    let inside = inside.filter(|(_, stay)| !day.is_by_itself(stay.space, stay.at));
    inside.map(|(child, stay)| (*child, stay.state == State::Asleep)).collect()
}

/// The slices of stays, shifts and duties.
pub(super) fn cuts(day: &Day, chart: &Chart, duties: &Duties) -> Vec<Span> {
    let stays = chart.children.iter().flat_map(|c| c.stays.iter().map(|s| s.span));
    let shifts = day.adults.iter().flat_map(|(_, spans)| spans.iter().copied());
    let breaks = (0..duties.breaks.len()).filter_map(|i| duties.break_span(day, i));
    let tasks = (0..duties.tasks.len()).filter_map(|i| duties.task_span(day, i));
    let rounds = duties.care.iter().chain(&duties.door).map(|d| d.1);
    let held = duties.held.iter().map(|h| h.2);
    let spans = stays.chain(shifts).chain(breaks).chain(tasks).chain(rounds).chain(held);
    slices(spans.flat_map(|s| [s.from, s.to]))
}

/// Reads the stays of rising minutes without searching anew.
pub(super) struct Sweep<'c> {
    chart: &'c Chart,
    next: Vec<usize>,
}

impl<'c> Sweep<'c> {
    pub(super) fn new(chart: &'c Chart) -> Sweep<'c> {
        Sweep { chart, next: vec![0; chart.children.len()] }
    }

    /// Who is here at a minute; minutes must not fall from one call to the next.
    pub(super) fn at(&mut self, minute: Minute) -> Vec<(ChildIndex, &'c Stay)> {
        let mut here = Vec::with_capacity(self.next.len());
        for (child, next) in self.chart.children.iter().zip(&mut self.next) {
            while child.stays.get(*next).is_some_and(|s| s.span.to <= minute) {
                *next += 1;
            }
            if let Some(stay) = child.stays.get(*next).filter(|s| s.span.contains(minute)) {
                here.push((child.child, stay));
            }
        }
        here
    }
}

/// Staffed stations of a space in use: with the adults that each needs.
pub(super) fn staffed_in(
    day: &Day,
    chart: &Chart,
    space: SpaceIndex,
    here: &[(ChildIndex, &Stay)],
) -> Vec<(StationIndex, u32)> {
    let inside: Vec<&(ChildIndex, &Stay)> = here.iter().filter(|h| h.1.space == space).collect();
    let awake = inside.iter().filter(|(_, s)| s.state != State::Asleep).count();
    let mut used: Vec<StationIndex> = Vec::new();
    for (_, stay) in &inside {
        match stay.at {
            Place::Station(s) => used.push(s),
            Place::Choice(k) => used.extend(&chart.choices[k.0].open),
            _ => {}
        }
    }
    used.sort_unstable();
    used.dedup();
    let mut found: Vec<(StationIndex, u32)> = Vec::new();
    for s in used {
        let who = |is_there: &dyn Fn(Place) -> bool| -> Vec<ChildIndex> {
            inside.iter().filter(|(_, stay)| is_there(stay.at)).map(|(c, _)| *c).collect()
        };
        let there = who(&|at| at == Place::Station(s));
        // Whoever may choose the station may come, as far as seats are left.
        let coming =
            who(&|at| matches!(at, Place::Choice(k) if chart.choices[k.0].open.contains(&s)));
        // Everyone awake at that one table: the one adult there has them all.
        let everyone = there.len() == awake;
        let sit_down = day.may_sit_down(s, &there, &coming);
        found.push((s, day.own_adults(s, &sit_down, everyone)));
    }
    found.retain(|f| f.1 > 0);
    found
}
