//! The ways that reach a minute; of those that stand alike, the best few.

use super::{Way, Wishes};
use std::collections::BTreeMap;

const KEEP_ALIKE: usize = 3;
const KEEP_AT_A_MINUTE: usize = 200;

/// What two ways have in common that stand alike.
type Alike = (usize, bool, u32, u32, u16, i64, u32);

/// Ways that reach one minute.
#[derive(Default)]
pub(super) struct Frontier {
    arrived: usize,
    ways: Vec<Ranked>,
    alike: BTreeMap<Alike, Vec<usize>>,
}

struct Ranked {
    /// Of two that leave the same to be wished, the first that came is the better.
    rank: (Wishes, usize),
    way: Way,
}

impl Frontier {
    /// One more way, dropped at once where better ones stand alike.
    pub fn add(&mut self, wishes: Wishes, way: Way) {
        let rank = (wishes, self.arrived);
        self.arrived += 1;
        let alike = (
            way.meals,
            way.rested,
            way.moves,
            way.turns,
            way.still / 20,
            wishes.choice,
            way.run.min(3),
        );
        let same = self.alike.entry(alike).or_default();
        if same.len() < KEEP_ALIKE {
            same.push(self.ways.len());
            self.ways.push(Ranked { rank, way });
            return;
        }
        let worst = same.iter().copied().max_by_key(|&at| self.ways[at].rank);
        if let Some(worst) = worst.filter(|&at| rank < self.ways[at].rank) {
            self.ways[worst] = Ranked { rank, way };
        }
    }

    /// The best few, best first.
    pub fn best(&self) -> Vec<Way> {
        let mut order: Vec<(Wishes, usize, usize)> =
            self.ways.iter().enumerate().map(|(at, w)| (w.rank.0, w.rank.1, at)).collect();
        order.sort_unstable();
        order.truncate(KEEP_AT_A_MINUTE);
        let settled = |&(.., at): &(Wishes, usize, usize)| {
            let mut way = self.ways[at].way.clone();
            way.trail.settle();
            way
        };
        order.iter().map(settled).collect()
    }
}
