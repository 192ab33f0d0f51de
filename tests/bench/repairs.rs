//! Repairs and what-ifs of the same invented days, held against making the day in the same run.

use crate::Stopwatch;
use crate::ours::invented;
use fairturn::day::{Happening, Who};
use fairturn::planner::{self, Fixes, Options, Repaired};
use fairturn::rules::{self, Problem};
use fairturn::site::{Minute, Span};
use std::time::Duration;

/// How many what-ifs one answer is held to.
pub const WHAT_IFS: u32 = 20;

/// What happens on a day, and what answering it took.
pub struct Repair {
    pub seed: u64,
    /// To a made and audited chart, by the same budgets.
    pub made: Duration,
    pub repaired: Duration,
    /// A rule is broken after it.
    pub broken: bool,
    /// Time for what would mend it, and the what-ifs that took; none where nothing has to be mended.
    pub what_ifs: Option<(Duration, usize)>,
    pub offered: usize,
    /// What the answer is worth: shortfall, child-turns moved with their bound, posts changed, aims,
    /// and the fixes.
    pub answer: String,
}

impl Repair {
    /// Time for [`WHAT_IFS`] what-ifs at the pace of this answer.
    pub fn twenty(&self) -> Option<Duration> {
        let (time, tried) = self.what_ifs.filter(|w| w.1 > 0)?;
        Some(time * WHAT_IFS / u32::try_from(tried).unwrap_or(u32::MAX))
    }
}

/// Somebody has to go in the middle of the morning: on even days for two hours and a half, on odd
/// days a station is closed as well.
pub fn repair(seed: u64) -> Repair {
    let day = invented(seed);
    let options = Options::default();
    let watch = Stopwatch::start();
    let posted = planner::make(&day, &options).chart;
    let made = watch.read();
    let open = day.schedule.open;
    let at = Minute((open.from.0 + open.minutes() / 4).next_multiple_of(5));
    let gone = |here: &Span| here.contains(at);
    let who = day.adults.iter().rfind(|(_, here)| here.iter().any(gone)).map(|(a, _)| *a);
    let mut happenings: Vec<Happening> = Vec::new();
    happenings.extend(who.map(|adult| {
        let span = Span::new(at, at.later(150));
        Happening::Away { who: Who::Adult(adult), span }
    }));
    if !seed.is_multiple_of(2) {
        let used = posted.groups.iter().flat_map(|g| &g.cells).find_map(|c| match c.at {
            fairturn::chart::Place::Station(station) if c.span.from > at => Some(station),
            _ => None,
        });
        happenings.extend(used.map(|station| Happening::Closed { station, span: None }));
    }
    let watch = Stopwatch::start();
    let done = planner::repair(&day, &posted, at, &happenings, &options).expect("it can be");
    let repaired = watch.read();
    let broken = done.plan.problems.iter().any(|p| p.span.to > at);
    let watch = Stopwatch::start();
    let fixes = planner::fixes(&day, &posted, &done, &options);
    let what_ifs = broken.then(|| (watch.read(), fixes.tried));
    let answer = answer(&done, &fixes);
    Repair { seed, made, repaired, broken, what_ifs, offered: fixes.fixes.len(), answer }
}

fn answer(done: &Repaired, fixes: &Fixes) -> String {
    let ahead: Vec<Problem> =
        done.plan.problems.iter().filter(|p| p.span.to > done.at).cloned().collect();
    let short: Vec<(usize, u64)> =
        rules::shortfall(&ahead).into_iter().enumerate().filter(|s| s.1 > 0).collect();
    let aims: Vec<i64> = done.plan.aims.iter().map(|a| a.value).collect();
    let words: Vec<&str> = fixes.fixes.iter().map(|f| f.words.as_str()).collect();
    format!(
        "{short:?} moved {} (least {:?}), posts {}, aims {aims:?}; left {}: {words:?}",
        done.moved.value,
        done.moved.bound,
        done.posts_changed,
        fixes.left.len()
    )
}
