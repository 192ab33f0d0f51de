//! Seeded choices, by rules of our own so that a newer random crate changes no invented site.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A seeded stream of choices.
pub(super) struct Chance(ChaCha8Rng);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(ChaCha8Rng::seed_from_u64(seed))
    }

    /// A number from `least` to `most`, both possible.
    pub fn between(&mut self, least: usize, most: usize) -> usize {
        let width = (most - least + 1) as u64;
        least + (self.0.next_u64() % width) as usize
    }

    /// True once in so many times.
    pub fn one_in(&mut self, times: usize) -> bool {
        self.between(1, times) == 1
    }

    pub fn one_of<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        &items[self.between(0, items.len() - 1)]
    }

    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for at in (1..items.len()).rev() {
            let other = self.between(0, at);
            items.swap(at, other);
        }
    }
}
