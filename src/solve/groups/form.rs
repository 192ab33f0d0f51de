//! Puts children together: an exact search for sizes and keep-apart, then a seeded local search
//! that never gives up an earlier wish for a later one.

use crate::site::{AdultIndex, GroupAges};
use crate::steps::{self, Stage};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A child as far as forming groups needs it.
pub(super) struct Member {
    /// Age in months.
    pub months: u32,
    /// To whom the child belongs, where that counts.
    pub key_adult: Option<AdultIndex>,
    /// Comes on this weekday, Monday first.
    pub weekdays: [bool; 7],
    /// Positions of those who may not be in the same group.
    pub apart: Vec<usize>,
    /// Positions of those who should be.
    pub with: Vec<usize>,
}

/// Steps of the exact search for one number of groups; a room of 40 needs some hundreds.
const STEPS: u32 = 60_000;
/// How often a finished arrangement is shaken and improved again.
const SHAKES: u32 = 24;

/// The wishes in their order, each smaller the better: children missing to the smallest size, key
/// adults mixed, groups, weekdays on which a group is one child, friends parted, uneven sizes, ages.
type Cost = [i64; 7];
type Parts = Vec<Vec<usize>>;

/// Partitions the members (by position) into groups.
///
/// Nobody is with a child to be kept apart and no group is larger than `size.1`, whatever happens;
/// groups smaller than `size.0` only as far as they must be.
pub(super) fn form(members: &[Member], size: (usize, usize), ages: GroupAges, seed: u64) -> Parts {
    if members.is_empty() {
        return Vec::new();
    }
    let least = size.0.max(1);
    let forming = Forming { members, least, most: size.1.max(least), ages };
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let mut best: Option<(Cost, Parts)> = None;
    for count in members.len().div_ceil(forming.most)..=members.len() {
        let missing = (count * least).saturating_sub(members.len());
        let allowed = best.as_ref().map_or(usize::MAX, |(cost, _)| cost[0].unsigned_abs() as usize);
        if missing > allowed {
            break;
        }
        let Some(start) = forming.fill(count, allowed) else { continue };
        let found = forming.improve(start, &mut chance);
        if best.as_ref().is_none_or(|(cost, _)| found.0 < *cost) {
            best = Some(found);
        }
    }
    best.expect("every child in a group of one is always possible").1
}

struct Forming<'a> {
    members: &'a [Member],
    least: usize,
    most: usize,
    ages: GroupAges,
}

impl Forming<'_> {
    /// An arrangement into exactly `count` groups with the fewest children missing to the smallest
    /// size, at most `allowed`; `None` when there is none or the steps do not suffice to find one.
    fn fill(&self, count: usize, allowed: usize) -> Option<Parts> {
        let mut order: Vec<usize> = (0..self.members.len()).collect();
        order.sort_by_key(|&m| (usize::MAX - self.members[m].apart.len(), m));
        let mut filling = Filling {
            forming: self,
            order,
            parts: vec![Vec::new(); count],
            bound: allowed.saturating_add(1),
            found: None,
            steps: STEPS,
        };
        filling.place(0);
        filling.found
    }

    fn may_be_in(&self, member: usize, part: &[usize]) -> bool {
        part.iter().all(|other| !self.members[member].apart.contains(other))
    }

    /// What one group adds to each wish.
    fn cost(&self, part: &[usize]) -> Cost {
        let of = |m: &usize| &self.members[*m];
        let missing = self.least.saturating_sub(part.len());
        let mut keys: Vec<AdultIndex> = part.iter().filter_map(|m| of(m).key_adult).collect();
        keys.sort_unstable();
        keys.dedup();
        let thin = (0..7).filter(|&d| part.iter().filter(|m| of(m).weekdays[d]).count() == 1);
        let parted = part.iter().flat_map(|m| &of(m).with).filter(|w| !part.contains(w)).count();
        let months = part.iter().map(|m| i64::from(of(m).months));
        let ages = match self.ages {
            GroupAges::Alike => months.clone().max().unwrap_or(0) - months.min().unwrap_or(0),
            GroupAges::Mixed => {
                let all: i64 = self.members.iter().map(|m| i64::from(m.months)).sum();
                let (here, everyone) = (part.len() as i64, self.members.len() as i64);
                (months.sum::<i64>() * everyone - all * here).abs() / everyone
            }
        };
        let mixed = keys.len().saturating_sub(1) as i64;
        let even = (part.len() * part.len()) as i64;
        [missing as i64, mixed, 1, thin.count() as i64, parted as i64, even, ages]
    }

    fn total(&self, parts: &Parts) -> Cost {
        parts.iter().fold([0; 7], |sum, part| add(sum, self.cost(part)))
    }

    /// The best of repeated descents from `start`, the number of groups unchanged.
    fn improve(&self, mut start: Parts, chance: &mut ChaCha8Rng) -> (Cost, Parts) {
        self.descend(&mut start);
        let mut best = (self.total(&start), start);
        if best.1.len() < 2 {
            return best;
        }
        for _ in 0..SHAKES {
            let mut parts = best.1.clone();
            for _ in 0..3 {
                let (a, b) = (pick(chance, parts.len()), pick(chance, parts.len()));
                let (i, j) = (pick(chance, parts[a].len()), pick(chance, parts[b].len()));
                if a != b {
                    self.swapped(&parts, (a, i), (b, j))
                        .into_iter()
                        .for_each(|(x, y)| (parts[a], parts[b]) = (x, y));
                }
            }
            self.descend(&mut parts);
            let cost = self.total(&parts);
            if cost < best.0 {
                best = (cost, parts);
            }
        }
        best
    }

    /// Moves and swaps single children as long as that helps.
    fn descend(&self, parts: &mut Parts) {
        let mut better = true;
        while better {
            better = false;
            for a in 0..parts.len() {
                for b in 0..parts.len() {
                    better |= a != b && self.trade(parts, a, b);
                }
            }
        }
    }

    /// Makes the first move from `a` to `b`, or swap between them, that helps.
    fn trade(&self, parts: &mut Parts, a: usize, b: usize) -> bool {
        steps::count(Stage::Groups, 1 + parts[a].len() as u64);
        let before = add(self.cost(&parts[a]), self.cost(&parts[b]));
        let helps = |x: &Vec<usize>, y: &Vec<usize>| add(self.cost(x), self.cost(y)) < before;
        for i in 0..parts[a].len() {
            let moves = self.moved(parts, a, i, b).into_iter();
            let swaps = (0..parts[b].len()).filter_map(|j| self.swapped(parts, (a, i), (b, j)));
            let found = moves.chain(swaps).find(|(x, y)| helps(x, y));
            if let Some((x, y)) = found {
                (parts[a], parts[b]) = (x, y);
                return true;
            }
        }
        false
    }

    fn moved(
        &self,
        parts: &Parts,
        a: usize,
        i: usize,
        b: usize,
    ) -> Option<(Vec<usize>, Vec<usize>)> {
        let (mut from, mut to) = (parts[a].clone(), parts[b].clone());
        let member = from.swap_remove(i);
        let allowed = !from.is_empty() && to.len() < self.most && self.may_be_in(member, &to);
        to.push(member);
        allowed.then_some((from, to))
    }

    fn swapped(
        &self,
        parts: &Parts,
        (a, i): (usize, usize),
        (b, j): (usize, usize),
    ) -> Option<(Vec<usize>, Vec<usize>)> {
        let (mut x, mut y) = (parts[a].clone(), parts[b].clone());
        let (one, other) = (x.swap_remove(i), y.swap_remove(j));
        let allowed = self.may_be_in(one, &y) && self.may_be_in(other, &x);
        x.push(other);
        y.push(one);
        allowed.then_some((x, y))
    }
}

/// Depth-first search with the children of most keep-aparts first.
struct Filling<'a> {
    forming: &'a Forming<'a>,
    order: Vec<usize>,
    parts: Parts,
    /// Only arrangements with fewer children missing are wanted.
    bound: usize,
    found: Option<Parts>,
    steps: u32,
}

impl Filling<'_> {
    fn place(&mut self, at: usize) {
        let missing: usize =
            self.parts.iter().map(|p| self.forming.least.saturating_sub(p.len())).sum();
        let left = self.order.len() - at;
        let empty = self.parts.iter().filter(|p| p.is_empty()).count();
        if missing.saturating_sub(left) >= self.bound || empty > left || self.steps == 0 {
            return;
        }
        self.steps -= 1;
        steps::count(Stage::Groups, 1);
        let Some(&member) = self.order.get(at) else {
            self.bound = missing;
            self.found = Some(self.parts.clone());
            return;
        };
        let mut hosts: Vec<usize> = (0..self.parts.len()).collect();
        hosts.sort_by_key(|&p| (self.parts[p].len(), p));
        let mut opened = false;
        for host in hosts {
            let part = &self.parts[host];
            let again = part.is_empty() && std::mem::replace(&mut opened, true);
            let full = part.len() >= self.forming.most;
            if again || full || !self.forming.may_be_in(member, part) || self.bound == 0 {
                continue;
            }
            self.parts[host].push(member);
            self.place(at + 1);
            self.parts[host].pop();
        }
    }
}

fn add(a: Cost, b: Cost) -> Cost {
    std::array::from_fn(|at| a[at] + b[at])
}

/// A position below `count`, by a rule of our own so that a newer random crate changes nothing.
fn pick(chance: &mut ChaCha8Rng, count: usize) -> usize {
    (chance.next_u64() % count as u64) as usize
}
