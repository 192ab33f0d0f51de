//! The days, and what they take us.

use crate::Stopwatch;
use crate::measure::{forget_peak, peak_kib};
use fairturn::model::Model;
use fairturn::planner::{self, Options};
use fairturn::site::RoomIndex;
use fairturn::solve::proof::{Bound, Budget, Watch, bounds};
use fairturn::solve::{Effort, certify};
use fairturn::wire::invent::{awkward, invent};
use fairturn::wire::scenario::read;
use std::time::Duration;

/// One room-day and what it took.
pub struct Day {
    pub seed: u64,
    /// Somebody is missing.
    pub short_staffed: bool,
    /// To a chart that has been audited, by search alone.
    pub chart: Duration,
    /// To a chart and its proof, layouts and search included.
    pub certified: Duration,
    /// The proof alone, from the options that it ends with.
    pub proof: Duration,
    /// Passes that take solving.
    pub solved: usize,
    /// The first rule or aim whose value is not certified.
    pub open: Option<Bound>,
    pub peak_kib: Option<u64>,
    /// The same passes by HiGHS.
    pub highs: Option<Other>,
}

/// What the passes took another solver.
#[derive(Clone, Debug, Default)]
pub struct Other {
    pub time: Duration,
    /// Passes that reached the cap.
    pub capped: usize,
    /// Passes in which it found less than our value, or shows more than our value: a mistake.
    pub disagrees: Vec<&'static str>,
}

/// A day's model with what was shown of it.
pub struct Certified {
    pub model: Model,
    pub bounds: Vec<Bound>,
}

/// Value and bound are equal, or within one in a hundred where the value is beyond a hundred.
pub fn is_certified(bound: &Bound) -> bool {
    let gap = bound.value - bound.bound;
    gap == 0 || bound.value > 100 && gap * 100 <= bound.value
}

/// The levels that take solving.
pub fn passes(certified: &Certified) -> Vec<(usize, Bound)> {
    let bounds = certified.bounds.iter().copied().enumerate();
    bounds.filter(|(level, b)| b.value > certified.model.trivial_bound(*level)).collect()
}

/// An invented room on one of its days.
pub fn invented(seed: u64) -> fairturn::day::Day {
    let (children, adults) = (8 + seed as usize * 7 % 13, 2 + seed as usize % 4);
    let invent = if seed.is_multiple_of(2) { awkward } else { invent };
    let scenario = read(invent(1, children, adults, seed).as_bytes()).expect("no fault");
    scenario.open(RoomIndex(0), scenario.date).expect("the room is open")
}

/// Invents a day, makes its chart, and certifies it.
pub fn day(seed: u64) -> (Day, Certified) {
    let day = invented(seed);
    let effort = Effort { nodes: 0, ..Effort::default() };
    forget_peak();
    let watch = Stopwatch::start();
    let plan = planner::make(&day, &Options { seed: 1, effort });
    let chart = watch.read();
    drop(plan);
    let watch = Stopwatch::start();
    let found = certify(&day, 1, effort, Budget::default(), &mut Watch::nobody());
    let certified = watch.read();
    let peak_kib = peak_kib();
    let watch = Stopwatch::start();
    let again = bounds(&found.model, &found.proof.taken, Budget::default());
    let proof = watch.read();
    assert_eq!(again.len(), found.model.levels.len());
    let found = Certified { model: found.model, bounds: found.proof.bounds };
    let day = Day {
        seed,
        short_staffed: seed.is_multiple_of(3),
        chart,
        certified,
        proof,
        solved: passes(&found).len(),
        open: found.bounds.iter().find(|b| !is_certified(b)).copied(),
        peak_kib,
        highs: None,
    };
    (day, found)
}
