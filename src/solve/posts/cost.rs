//! What one slice costs with every adult somewhere: broken rules first, then wishes.

use super::slice::{NOWHERE, Slice};
use crate::chart::Place;
use crate::model::asked::Sleeper;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::iter::Sum;
use std::ops::{Add, AddAssign};

/// Answers that are remembered of one company.
const MOST_KNOWN: usize = 1_024;

/// A cost: rules before aims, smaller is better.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub(super) struct Cost {
    /// Person-minutes of each rule in 17 bits, the worst rule on top (see the constants).
    pub rules: i128,
    /// Wishes, each weighed so that an earlier one is not given up for a later one.
    pub aims: i64,
}

/// An adult missing where the standards ask for one.
pub(super) const RATIO: i128 = 1 << 85;
/// A space whose children have nobody who may be alone with them.
pub(super) const ALONE: i128 = 1 << 68;
/// A child without its own adult or stand-in.
pub(super) const OWN_ADULT: i128 = 1 << 51;
/// An adult missing at a staffed station.
pub(super) const STAFFED: i128 = 1 << 34;
/// Half of a zone or transition that nobody sees (a child's own adult sees it by the way).
pub(super) const SIGHT: i128 = 1 << 17;
/// The rest: lead, table, door, task.
pub(super) const LESSER: i128 = 1;

/// A post of an adult that stands on the chart already and is left: dearer than a whole day of
/// anything else that is only wished for.
pub(super) const PUT: i64 = 1 << 50;
/// One of the two who hand children over while they stay at what they are at, in the rest of a day and
/// not as posted: the two together are dearer than one post left, so nobody comes to a table for five
/// minutes to save one.
pub(super) const HANDOVER: i64 = PUT / 8 * 5;
/// A minute in which somebody changes a child who may not be alone with children: there is mostly
/// somebody else (common practice).
pub(super) const NOT_TO_CHANGE: i64 = 1 << 36;
/// A minute in which a young child is without its key adult.
pub(super) const KEY_MINUTE: i64 = 1 << 34;
/// A change of zone.
pub(super) const CHANGE: i64 = 1 << 24;
/// The square of the wet posts of one adult.
pub(super) const WET: i64 = 1 << 14;

impl Cost {
    pub(super) const NONE: Cost = Cost { rules: 0, aims: 0 };
    pub(super) const NEVER: Cost = Cost { rules: i128::MAX / 4, aims: 0 };

    pub(super) fn rule(rules: i128) -> Cost {
        Cost { rules, aims: 0 }
    }

    pub(super) fn aim(aims: i64) -> Cost {
        Cost { rules: 0, aims }
    }

    pub(super) fn times(self, minutes: u16) -> Cost {
        Cost { rules: self.rules * i128::from(minutes), aims: self.aims * i64::from(minutes) }
    }
}

impl Add for Cost {
    type Output = Cost;
    fn add(self, other: Cost) -> Cost {
        Cost { rules: self.rules + other.rules, aims: self.aims + other.aims }
    }
}

impl AddAssign for Cost {
    fn add_assign(&mut self, other: Cost) {
        *self = *self + other;
    }
}

impl Sum for Cost {
    fn sum<I: Iterator<Item = Cost>>(costs: I) -> Cost {
        costs.fold(Cost::NONE, Add::add)
    }
}

/// A set of adults, by their position among the day's adults.
pub(super) type Crowd = u128;

/// The set of one adult; adults past the 128th of one room are not told apart and left out.
pub(super) fn only(adult: usize) -> Crowd {
    u32::try_from(adult).ok().and_then(|a| 1u128.checked_shl(a)).unwrap_or(0)
}

/// The children of one space in one slice.
#[derive(Clone, Debug)]
pub(super) struct Company {
    /// Who they are, and who sleeps.
    pub children: Vec<Sleeper>,
    /// Counted adults needed whoever they are; `None`: it depends on who is there.
    pub need: Option<u32>,
    /// What was answered so far, by the counted adults there.
    pub by_adults: RefCell<BTreeMap<Crowd, u32>>,
    /// Children on the move here: somebody watches.
    pub moving: bool,
    /// They are being changed out of everybody's sight.
    pub changed: bool,
}

/// A place that wants so many adults of its own.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Opening {
    pub wanted: u32,
    /// What each one missing costs in a minute.
    pub each: i128,
    /// Only adults who count will do.
    pub counted: bool,
    /// For a child's own adult: who that is, then the stand-ins, by position among the adults.
    pub in_order: Vec<usize>,
    /// A station, at which it is better to stand than to watch its zone from somewhere.
    pub station: bool,
    /// What each adult too many costs in a minute, who would do better watching a zone.
    pub too_many: i64,
}

/// A child whom an adult should have in view.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Belongs {
    pub adult: usize,
    /// Zones of the child; none: being in the same space is enough.
    pub zones: u64,
    pub company: usize,
    /// What a minute apart costs.
    pub each: i64,
}

/// Facts about the adults that hold all day.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) struct Team {
    /// Who counts in ratio.
    pub counts: Crowd,
    /// Who may be alone with children.
    pub may_be_alone: Crowd,
    /// Who holds first aid.
    pub first_aid: Crowd,
}

#[derive(Clone, Copy, Default)]
struct There {
    active: Crowd,
    counted: Crowd,
    watched: bool,
}

/// Room to add up in, kept from one call to the next.
#[derive(Default)]
pub(super) struct Scratch {
    there: Vec<There>,
    filled: Vec<u32>,
    crowds: Vec<u32>,
}

impl Slice {
    /// The cost of one minute with each adult at the spot that `at` names (or off shift). `ask`
    /// answers how many adults a company needs when exactly these count there.
    pub(super) fn minute(
        &self,
        team: &Team,
        at: &[u8],
        ask: &dyn Fn(usize, Crowd) -> u32,
        scratch: &mut Scratch,
    ) -> Cost {
        let Scratch { there, filled, crowds } = scratch;
        there.clear();
        there.resize(self.companies.len(), There::default());
        filled.clear();
        filled.resize(self.openings.len(), 0);
        crowds.clear();
        crowds.resize(self.loads.len(), 0);
        let (mut seen, mut half_seen) = (0u64, 0u64);
        let (mut working, mut aims) = (0, 0i64);
        for (adult, &spot) in at.iter().enumerate() {
            if spot == NOWHERE {
                continue;
            }
            let spot = &self.spots[usize::from(spot)];
            let me = only(adult);
            let counts = team.counts & me != 0;
            if spot.active {
                working |= me;
            }
            if spot.at == Place::Care && spot.for_child.is_none() && team.may_be_alone & me == 0 {
                aims += NOT_TO_CHANGE;
            }
            if let Some(company) = spot.company {
                let there = &mut there[company];
                if spot.active {
                    there.active |= me;
                }
                if spot.counts && counts {
                    there.counted |= me;
                }
                there.watched |= spot.watches && spot.for_child.is_none();
            }
            if spot.for_child.is_some() {
                half_seen |= spot.sees;
            } else {
                seen |= spot.sees;
                if let Some(load) = spot.load {
                    crowds[load] += 1;
                }
            }
            if let Some(opening) = spot.opening
                && (counts || !self.openings[opening].counted)
            {
                filled[opening] += 1;
                let order = &self.openings[opening].in_order;
                if let Some(place) = order.iter().position(|&a| a == adult)
                    && place > 0
                {
                    aims += KEY_MINUTE + 64 * i64::try_from(place).unwrap_or(64);
                }
            }
        }
        let mut rules = 0;
        let mut counted = 0;
        for (i, (company, there)) in self.companies.iter().zip(there.iter()).enumerate() {
            let present = there.counted.count_ones();
            // Who is with them counts for nobody else.
            counted += if company.changed { 0 } else { present };
            let need = company.need.unwrap_or_else(|| {
                let who = there.counted;
                let mut known = company.by_adults.borrow_mut();
                if known.len() >= MOST_KNOWN {
                    known.clear();
                }
                *known.entry(who).or_insert_with(|| ask(i, who))
            });
            rules += RATIO * i128::from(need.saturating_sub(present));
            if there.active & team.may_be_alone == 0 {
                rules += ALONE;
            }
            if company.moving && !there.watched {
                rules += 2 * SIGHT;
            }
            if !company.changed && there.active & team.first_aid == 0 {
                aims += 300;
            }
        }
        rules += RATIO * i128::from(self.on_site.saturating_sub(counted));
        for (opening, &there) in self.openings.iter().zip(filled.iter()) {
            rules += opening.each * i128::from(opening.wanted.saturating_sub(there));
            if opening.station {
                aims += i64::from(opening.wanted.saturating_sub(there));
            }
            aims += opening.too_many * i64::from(there.saturating_sub(opening.wanted));
        }
        let unseen = self.zones_in_use & !seen;
        rules += SIGHT * i128::from(unseen.count_ones() + (unseen & !half_seen).count_ones());
        for &asked in &self.asked {
            if working & asked == 0 {
                rules += 8 * LESSER;
            }
        }
        for (&load, &crowd) in self.loads.iter().zip(crowds.iter()) {
            let load = i64::from(load);
            // Children to each adult, squared: whoever is left over goes where it falls most.
            aims += if crowd == 0 { 24 } else { 12 } * load * load / i64::from(crowd).max(1);
        }
        for child in &self.belongs {
            let spot = at[child.adult];
            let spot = (spot != NOWHERE).then(|| &self.spots[usize::from(spot)]);
            let near = spot.is_none_or(|s| {
                s.excused
                    || s.company == Some(child.company)
                        && (child.zones == 0 || s.sees & child.zones != 0)
            });
            if !near {
                aims += child.each;
            }
        }
        Cost { rules, aims }
    }
}
