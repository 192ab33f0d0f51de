//! How many counted adults the binding standards ask for, and how many children are too many together,
//! remembered.
//!
//! A search asks the same question thousands of times: the same children in the same space, with
//! one asleep or not. [`Needs`] keeps every answer under who is there, who sleeps, which adults count
//! and whether it is out of doors, so that only new company costs a reading of the standards. The
//! time of day is no part of the question: what standards relax at opening and closing is never
//! planned with. Keep one [`Needs`] for a whole search of one day.

use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, Minute, SpaceIndex};
use crate::standards::{Head, Scope, Situation};
use crate::steps::{self, Stage};
use std::collections::BTreeMap;

/// Answers that are remembered at a time; far more than any usual room asks for.
const MOST_KNOWN: usize = 10_000;

/// A child who is somewhere, and whether it counts as asleep there.
pub type Sleeper = (ChildIndex, bool);

/// The needs of one day's children, each asked of the standards once.
pub struct Needs<'d> {
    day: &'d Day,
    known: BTreeMap<Asked, Answer>,
    too_many: BTreeMap<(SpaceIndex, Vec<usize>), u32>,
}

#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Asked {
    scope: bool,
    outdoors: bool,
    children: Vec<(usize, bool)>,
    adults: Vec<usize>,
}

/// What the strictest of the standards asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Answer {
    /// Counted adults with the children.
    pub adults: u32,
    /// Counted adults in the building, `adults` among them.
    pub in_building: u32,
}

impl<'d> Needs<'d> {
    /// Nothing asked yet.
    #[must_use]
    pub fn new(day: &'d Day) -> Needs<'d> {
        Needs { day, known: BTreeMap::new(), too_many: BTreeMap::new() }
    }

    /// The day that is asked about.
    #[must_use]
    pub fn day(&self) -> &'d Day {
        self.day
    }

    /// Counted adults that the children of one space need by the strictest of the standards that
    /// judge each space, if exactly `adults` count there. No children need nobody.
    pub fn in_space(
        &mut self,
        space: SpaceIndex,
        minute: Minute,
        children: &[Sleeper],
        adults: &[AdultIndex],
    ) -> Answer {
        let outdoors = self.day.site[space].outdoors;
        self.ask(Scope::Room, outdoors, minute, children, adults)
    }

    /// Counted adults that all the children need together by the standards that judge the whole
    /// site, if exactly `adults` count anywhere; 0 where no such standard binds.
    pub fn on_site(
        &mut self,
        minute: Minute,
        children: &[Sleeper],
        adults: &[AdultIndex],
    ) -> Answer {
        self.ask(Scope::Site, false, minute, children, adults)
    }

    /// Adults that must be on the premises while so many children are there.
    #[must_use]
    pub fn least(&self, children: u32) -> u32 {
        let asked = self.day.standards.iter().map(|s| s.least_adults(children));
        if children == 0 { 0 } else { asked.max().unwrap_or(0) }
    }

    /// Children that are too many in one space, added up over everything that says how many it may hold:
    /// its licence, its floor, the class sizes of the standards that judge each space, and how many of
    /// them may be young. Who sleeps counts like the others.
    pub fn too_many(&mut self, space: SpaceIndex, children: &[Sleeper]) -> u32 {
        let mut who: Vec<usize> = children.iter().map(|(child, _)| child.0).collect();
        who.sort_unstable();
        let key = (space, who);
        if let Some(&known) = self.too_many.get(&key) {
            return known;
        }
        let (day, of) = (self.day, &self.day.site[space]);
        let here = u32::try_from(children.len()).unwrap_or(u32::MAX);
        let floor = day.standards.iter().filter_map(|s| {
            let each = s.floor_per_child(of.outdoors)?;
            Some(of.floor_area? / each.max(1))
        });
        let most = of.class_size.into_iter().chain(floor);
        let over: u32 = most.map(|most| here.saturating_sub(most)).sum();
        let over = over + self.past_the_standards(Scope::Room, of.outdoors, children);
        self.too_many.insert(key, over);
        over
    }

    /// The same on the whole site, by the standards that judge that.
    #[must_use]
    pub fn too_many_on_site(&self, outdoors: bool, children: &[Sleeper]) -> u32 {
        self.past_the_standards(Scope::Site, outdoors, children)
    }

    fn past_the_standards(&self, scope: Scope, outdoors: bool, children: &[Sleeper]) -> u32 {
        let day = self.day;
        let heads: Vec<Head> = children.iter().map(|(child, _)| day.head(*child, false)).collect();
        let here = u32::try_from(heads.len()).unwrap_or(u32::MAX);
        let situation = Situation {
            date: day.date,
            adults: &[],
            governing_age: day.site[day.room].governing_age,
            minute: Minute(0),
            open: day.schedule.open,
            outdoors,
        };
        let of_scope = day.standards.iter().filter(|s| s.scope == scope);
        let over = of_scope.map(|standard| {
            let size = standard.class_size(&heads, &situation);
            let young = standard.too_many_young(&heads, day.date).into_iter();
            let young: u32 = young.map(|y| y.together - y.cap.at_most).sum();
            young + size.map_or(0, |most| here.saturating_sub(most))
        });
        over.sum()
    }

    fn ask(
        &mut self,
        scope: Scope,
        outdoors: bool,
        minute: Minute,
        children: &[Sleeper],
        adults: &[AdultIndex],
    ) -> Answer {
        if children.is_empty() || self.day.standards.iter().all(|s| s.scope != scope) {
            return Answer::default();
        }
        let mut key = Asked {
            scope: scope == Scope::Site,
            outdoors,
            children: children.iter().map(|&(c, asleep)| (c.0, asleep)).collect(),
            adults: adults.iter().map(|a| a.0).collect(),
        };
        key.children.sort_unstable();
        key.adults.sort_unstable();
        if let Some(&answer) = self.known.get(&key) {
            return answer;
        }
        steps::count(Stage::Model, 1 + children.len() as u64 / 4);
        let site = &self.day.site;
        let heads: Vec<Head> =
            key.children.iter().map(|&(c, asleep)| self.day.head(ChildIndex(c), asleep)).collect();
        let held: Vec<&[String]> =
            key.adults.iter().map(|&a| site.adults[a].qualifications.as_slice()).collect();
        let situation = Situation {
            date: self.day.date,
            adults: &held,
            governing_age: site[self.day.room].governing_age,
            minute,
            open: self.day.schedule.open,
            outdoors,
        };
        let mut answer = Answer::default();
        for standard in self.day.standards.iter().filter(|s| s.scope == scope) {
            let need = standard.need(&heads, &situation);
            answer.adults = answer.adults.max(need.adults);
            answer.in_building = answer.in_building.max(need.in_building);
        }
        if self.known.len() >= MOST_KNOWN {
            self.known.clear();
        }
        self.known.insert(key, answer);
        answer
    }
}
