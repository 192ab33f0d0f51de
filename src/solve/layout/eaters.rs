//! When each child eats in a layout: how far its meals are too near to one another or too far apart, and
//! which groups share which sitting.
//!
//! A way through the day knows when a meal's sittings are, not yet who is in which: while ways are
//! compared, the best way to share two meals that follow each other counts. Once a layout stands, all
//! its meals are shared out together ([`Eaters::share`]): who ate first eats first.

use super::super::clock::{GRID, grid_up};
use super::super::meals::ON_COMING;
use super::super::seating;
use super::Piece;
use crate::chart::{BlockKind, Group};
use crate::day::Day;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Sleep, Span};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// What children ate before a layout begins: who, which meal, and when it began.
pub type Eaten = Vec<(ChildIndex, MealKind, Minute)>;

/// The sitting of each group at a meal.
pub(super) type Sittings = (MealKind, Vec<usize>);

/// A way to share the meals so far: minutes off and what is wished of it, and which way of each meal.
type Shared = ((i64, [i64; 4]), Vec<usize>);

/// When the sittings of a meal begin: the first, and each of the others so many minutes after the one
/// before it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Sat {
    pub from: u16,
    pub step: u16,
}

/// A meal of a layout: its position among the meals, when it is, and the rest that lies between the
/// meal before and it, if it does.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Laid {
    pub meal: usize,
    pub sat: Sat,
    pub rested: Option<Span>,
}

/// Today's children as they eat.
pub(super) struct Eaters<'d> {
    day: &'d Day,
    meals: Vec<&'d Meal>,
    /// Of each meal, the ways to share its sittings.
    ways: Vec<Vec<Vec<usize>>>,
    /// Of each of them, how many tables are laid at once; where there is only one, nobody asks.
    tables: Vec<Vec<usize>>,
    /// Fewest and most minutes between the starts of two meals.
    interval: (i64, i64),
    children: Vec<Eater<'d>>,
    groups: usize,
    known: RefCell<BTreeMap<(Option<Sat>, Laid), i64>>,
}

struct Eater<'d> {
    group: usize,
    here: &'d [Span],
    asleep: &'d [Span],
    /// Minutes in the rest until it is up again, if it sleeps there.
    sleeps: u16,
    /// Start of the last meal before those of the layout.
    before: Option<u16>,
}

/// When a child begins to eat.
#[derive(Clone, Copy)]
struct Eats {
    at: u16,
    /// With its group, for the whole sitting.
    seated: bool,
    /// Offered on coming, having come too late for the meal.
    offered: bool,
}

impl<'d> Eaters<'d> {
    pub fn new(day: &'d Day, groups: &[Group], meals: &[&'d Meal], eaten: &Eaten) -> Eaters<'d> {
        let ways: Vec<Vec<Vec<usize>>> =
            meals.iter().map(|m| seating::ways(day, groups, m.kind)).collect();
        let shared = |(m, ways): (&&Meal, &Vec<Vec<usize>>)| match &ways[..] {
            [_] => vec![0],
            ways => seating::tables_at_once(day, groups, m.kind, ways),
        };
        let tables = meals.iter().zip(&ways).map(shared).collect();
        let breakfast = breakfasts(day, eaten);
        let eater = |(child, here): &'d (ChildIndex, Vec<Span>)| {
            let group = groups.iter().position(|g| g.children.contains(child))?;
            let sleep = &day.site[*child].sleep;
            let asleep: &[Span] = if let Sleep::At(times) = sleep { times } else { &[] };
            let sleeps = if let Sleep::InRest { minutes } = sleep { *minutes } else { 0 };
            let past = eaten.iter().filter(|e| e.0 == *child).map(|e| e.2.0);
            let own = breakfast.iter().filter(|b| b.0 == *child).map(|b| b.1);
            let before = past.chain(own).max();
            Some(Eater { group, here, asleep, sleeps, before })
        };
        let children = day.children.iter().filter_map(eater).collect();
        let (least, most) = day.meal_interval();
        let interval = (i64::from(least), i64::from(most));
        let (meals, groups) = (meals.to_vec(), groups.len());
        Eaters { day, meals, ways, tables, interval, children, groups, known: RefCell::default() }
    }

    /// How many sittings a meal takes.
    pub fn sittings(&self, meal: usize) -> usize {
        sittings(&self.ways[meal][0])
    }

    /// Minutes by which meals of an average child are too near or too far, where a meal follows one
    /// before it, and minutes of the window for who cannot have it at all, though it could be had; with
    /// each shared out as these two would best be.
    pub fn off(&self, before: Option<Sat>, laid: Laid) -> i64 {
        if let Some(&known) = self.known.borrow().get(&(before, laid)) {
            return known;
        }
        let pairs = self.pairs(before, laid);
        let firsts = if before.is_some() { &self.ways[laid.meal - 1][..] } else { &[][..] };
        let of = |first: Option<&Vec<usize>>| {
            let all = self.ways[laid.meal].iter().map(|second| pairs.sum(first, second));
            all.min().unwrap_or(0)
        };
        let least = match firsts {
            [] => of(None),
            firsts => firsts.iter().map(|first| of(Some(first))).min().unwrap_or(0),
        };
        let off = self.each(least);
        self.known.borrow_mut().insert((before, laid), off);
        off
    }

    /// Minutes of an average child, of minutes of all of them.
    fn each(&self, minutes: i64) -> i64 {
        let children = i64::try_from(self.children.len().max(1)).unwrap_or(1);
        (minutes + children - 1) / children
    }

    /// The sitting of each group at each meal that is laid, as who ate when, who sleeps and who leaves
    /// makes it best for all meals together; and by how many minutes of an average child that is more
    /// than the ways thought that led here.
    pub fn share(&self, pieces: &[Piece]) -> (Vec<Sittings>, i64) {
        let laid = self.laid(pieces);
        // For each way to share the meal so far: its price, and the ways before it.
        let mut best: Vec<Shared> = Vec::new();
        let mut before: Option<Laid> = None;
        let mut thought = 0;
        for &now in &laid {
            let pairs = self.pairs(before.map(|b| b.sat), now);
            thought += self.off(before.map(|b| b.sat), now);
            let mut next: Vec<Shared> = Vec::new();
            for (at, way) in self.ways[now.meal].iter().enumerate() {
                let wished = self.wished(now, way, at);
                let ended = |((off, odd), trail): &Shared| {
                    let first = before.zip(trail.last());
                    let first = first.map(|(before, &way)| &self.ways[before.meal][way]);
                    let off = off + self.each(pairs.sum(first, way));
                    let odd = std::array::from_fn(|n| odd[n] + wished[n]);
                    ((off, odd), trail.iter().copied().chain([at]).collect::<Vec<usize>>())
                };
                let alone: [Shared; 1] = [((0, [0; 4]), Vec::new())];
                let trails = if before.is_some() { &best[..] } else { &alone[..] };
                next.extend(trails.iter().map(ended).min());
            }
            (best, before) = (next, Some(now));
        }
        let Some(((off, _), trail)) = best.into_iter().min() else { return (Vec::new(), 0) };
        let shared = laid.iter().zip(trail);
        let shared = shared
            .map(|(l, at)| (self.meals[l.meal].kind, self.ways[l.meal][at].clone()))
            .collect();
        (shared, off - thought)
    }

    /// The meals that pieces lay, with those that they left out before one of them.
    fn laid(&self, pieces: &[Piece]) -> Vec<Laid> {
        let mut laid = Vec::new();
        let rests = pieces.iter().find(|p| p.kind == BlockKind::Rest).map(|p| p.span);
        let of = |meal: usize| {
            let kind = BlockKind::Meal(self.meals[meal].kind);
            pieces.iter().filter(move |p| p.kind == kind).map(|p| p.span.from.0)
        };
        let held = (0..self.meals.len()).filter(|&meal| of(meal).next().is_some());
        let mut before = 0;
        for meal in 0..held.max().map_or(0, |last| last + 1) {
            let mut starts = of(meal);
            let sat = match (starts.next(), starts.next()) {
                (Some(from), second) => Sat { from, step: second.map_or(0, |s| s - from) },
                (None, _) => self.left_out(meal),
            };
            let rested = rests.filter(|r| before <= r.from.0 && r.from.0 < sat.from);
            laid.push(Laid { meal, sat, rested });
            before = sat.from;
        }
        laid
    }

    /// When a meal is eaten that a layout has left out: everybody has it for itself, as soon as may be.
    pub fn left_out(&self, meal: usize) -> Sat {
        Sat { from: grid_up(self.meals[meal].window.from.0), step: 0 }
    }

    /// What is wished of a way to share a meal: that nobody who is here for another sitting misses its
    /// own, that few tables are laid at once, that who sleeps most eats first, and then that the youngest
    /// do.
    fn wished(&self, laid: Laid, way: &[usize], at: usize) -> [i64; 4] {
        if self.ways[laid.meal].len() < 2 {
            return [0; 4];
        }
        let sits =
            |eater: &Eater<'_>, sitting| self.eats(eater, laid, sitting).is_some_and(|e| e.seated);
        let (mut misses, mut sleepy) = (0, 0);
        for eater in &self.children {
            let own = way[eater.group];
            let another = || (0..sittings(way)).any(|sitting| sits(eater, sitting));
            misses += i64::from(!sits(eater, own) && another());
            if self.meals[laid.meal].kind == MealKind::Lunch {
                sleepy += i64::from(eater.sleeps) * i64::try_from(own).unwrap_or(0);
            }
        }
        let whole = |number: usize| i64::try_from(number).unwrap_or(0);
        [misses, whole(self.tables[laid.meal][at]), sleepy, whole(at)]
    }

    /// What each group's children are off by, for each sitting before and each sitting now.
    fn pairs(&self, before: Option<Sat>, laid: Laid) -> Pairs {
        let now = self.sittings(laid.meal);
        let then = if before.is_some() { self.sittings(laid.meal - 1) } else { 1 };
        let mut off = vec![0; self.groups * then * now];
        for eater in &self.children {
            for (first, second) in (0..then).flat_map(|i| (0..now).map(move |j| (i, j))) {
                let past = |at| Eats { at, seated: false, offered: false };
                let last = match before {
                    Some(sat) => {
                        self.eats(eater, Laid { meal: laid.meal - 1, sat, rested: None }, first)
                    }
                    None => eater.before.map(past),
                };
                let off = &mut off[(eater.group * then + first) * now + second];
                *off += match (last, self.eats(eater, laid, second)) {
                    (Some(last), Some(next)) => self.off_by(eater, last, next, laid.rested),
                    (None, Some(_)) => 0,
                    (_, None) => self.missed(eater, laid, second),
                };
            }
        }
        Pairs { then, now, off }
    }

    fn off_by(&self, eater: &Eater<'_>, last: Eats, next: Eats, rested: Option<Span>) -> i64 {
        let (least, most) = self.interval;
        let apart = i64::from(next.at) - i64::from(last.at);
        let soon = if last.offered || next.offered { 0 } else { (least - apart).max(0) };
        let stayed = |h: &Span| h.from.0 <= last.at && next.at <= h.to.0;
        let between = Span::new(Minute(last.at), Minute(next.at));
        let own = eater.asleep.iter().filter_map(|a| a.meet(between?)).map(Span::minutes);
        let settles = self.day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
        let in_rest = rested.map_or(0, |r| eater.up(r) - r.from.0).saturating_sub(settles);
        let awake = apart - i64::from(own.sum::<u16>() + in_rest);
        let stays = eater.here.iter().any(stayed);
        soon + if stays { (awake - most).max(0) } else { 0 }
    }

    /// When a child eats whose group is in a sitting: with it, where it is here and up for it, else as
    /// near to it as may be; `None` where it cannot.
    fn eats(&self, eater: &Eater<'_>, laid: Laid, sitting: usize) -> Option<Eats> {
        let Meal { minutes, window, .. } = *self.meals[laid.meal];
        let from = laid.from(sitting);
        let enough = |h: &Span| h.to.0 >= from + minutes.div_ceil(2);
        let up = |at| self.is_up(eater, laid, at);
        if up(from) && eater.comes(from).filter(enough).is_some() {
            return Some(Eats { at: from, seated: true, offered: false });
        }
        let whole = |at: u16| eater.comes(at).is_some_and(|h| h.to.0 >= at + minutes);
        let fits = |at: &u16| at + minutes <= window.to.0 && up(*at) && whole(*at);
        let starts = (grid_up(window.from.0)..window.to.0).step_by(usize::from(GRID));
        let at = starts.filter(fits).min_by_key(|at| (at.abs_diff(from), *at))?;
        let last = laid.from(self.sittings(laid.meal) - 1);
        let came = eater.comes(at)?.from.0;
        let offered = came > last && at <= came + ON_COMING;
        Some(Eats { at, seated: false, offered })
    }

    /// Whether a child is up when a meal begins at a minute, and minutes to wash in before it.
    fn is_up(&self, eater: &Eater<'_>, laid: Laid, at: u16) -> bool {
        let wash = at.saturating_sub(self.day.schedule.transition_minutes);
        let whole = Span { from: Minute(wash), to: Minute(at + self.meals[laid.meal].minutes) };
        let sleeps = laid.rested.filter(|_| eater.sleeps > 0);
        !eater.asleep.iter().any(|a| a.meets(whole)) && sleeps.is_none_or(|r| eater.up(r) <= wash)
    }

    /// What a child misses who cannot have a meal that its window leaves time for: minutes of the
    /// sitting, where it has a part of that, else of the window.
    fn missed(&self, eater: &Eater<'_>, laid: Laid, sitting: usize) -> i64 {
        let Meal { minutes, window, .. } = *self.meals[laid.meal];
        let here = eater.here.iter().filter_map(|h| h.meet(window));
        let up = here.filter(|h| !eater.asleep.iter().any(|a| a.meets(*h)));
        if !up.into_iter().any(|h| h.minutes() >= minutes) {
            return 0;
        }
        let from = laid.from(sitting);
        let part = eater.comes(from).filter(|_| self.is_up(eater, laid, from));
        match part.map(|h| h.to.0 - from) {
            Some(had) => i64::from(minutes.saturating_sub(had)),
            None => i64::from(window.minutes()),
        }
    }
}

impl Laid {
    fn from(self, sitting: usize) -> u16 {
        self.sat.from + u16::try_from(sitting).unwrap_or(0) * self.sat.step
    }
}

impl Eater<'_> {
    /// The stretch in which the child is here at a minute.
    fn comes(&self, at: u16) -> Option<Span> {
        self.here.iter().copied().find(|h| h.contains(Minute(at)))
    }

    /// When the child is up again from a rest.
    fn up(&self, rest: Span) -> u16 {
        (rest.from.0 + self.sleeps).min(rest.to.0)
    }
}

/// Minutes of a group's children, for each sitting before and each sitting now.
struct Pairs {
    then: usize,
    now: usize,
    off: Vec<i64>,
}

impl Pairs {
    fn sum(&self, first: Option<&Vec<usize>>, second: &[usize]) -> i64 {
        let sitting = |group: usize| first.map_or(0, |first| first[group]);
        let of = |(group, now): (usize, &usize)| {
            self.off[(group * self.then + sitting(group)) * self.now + now]
        };
        second.iter().enumerate().map(of).sum()
    }
}

fn sittings(way: &[usize]) -> usize {
    way.iter().max().map_or(1, |last| last + 1)
}

/// When each child who breakfasts here does: as soon as it can, while there is a seat.
fn breakfasts(day: &Day, eaten: &Eaten) -> Vec<(ChildIndex, u16)> {
    let Some(meal) = day.schedule.meal(MealKind::Breakfast) else {
        return Vec::new();
    };
    let seats: usize = meal.tables.iter().map(|&t| day.site[t].seats as usize).sum();
    let had = |c: ChildIndex| eaten.iter().any(|e| e.0 == c && e.1 == MealKind::Breakfast);
    let mut found: Vec<(ChildIndex, u16)> = Vec::new();
    for (child, here) in &day.children {
        let facts = &day.site[*child];
        if !facts.breakfast_here || had(*child) {
            continue;
        }
        let asleep: &[Span] = if let Sleep::At(times) = &facts.sleep { times } else { &[] };
        let starts = (grid_up(meal.window.from.0)..meal.window.to.0).step_by(usize::from(GRID));
        let at = starts.into_iter().find(|&from| {
            let Some(span) = Span::new(Minute(from), Minute(from + meal.minutes)) else {
                return false;
            };
            let there = found.iter().filter(|f| f.1.abs_diff(from) < meal.minutes).count();
            meal.window.holds(span)
                && here.iter().any(|h| h.holds(span))
                && !asleep.iter().any(|a| a.meets(span))
                && there < seats
        });
        found.extend(at.map(|at| (*child, at)));
    }
    found
}
