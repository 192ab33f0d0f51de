//! Repairs the rest of a day whose chart hangs on the wall.
//!
//! Map: `changes` what is not as posted, person by person, `words` all that in words, `undone` a repair
//! that is taken back, `together` all children in one space where some would be without an adult,
//! `which_break` which staff break was missed.

mod changes;
mod together;
mod undone;
mod which_break;
mod words;

pub use changes::{Change, Place as ChangedPlace, Unchanged, changes};
pub use undone::Before;
pub use words::{change_words, place_words, what_words};

use super::{Options, Plan, audit};
use crate::chart::{Block, BlockKind, Chart, Place};
use crate::day::{Day, Happening, HappeningFault, Who};
use crate::rules::posts_changed;
use crate::rules::{self, Problem, Score, moved};
use crate::site::{AdultIndex, Minute};
use crate::solve::Effort;
use crate::solve::proof::Watch;
use crate::solve::repair::{Broken, breaks_a_rule, had_later, kept, relaid, repairs, stands};
use together::together;
use which_break::which_breaks;

/// A repaired day.
#[derive(Clone, Debug)]
pub struct Repaired {
    /// The day after what has happened.
    pub day: Day,
    /// The whole day's chart: the past as posted, then the rest; and what is known about it.
    pub plan: Plan,
    /// Before it nothing is changed.
    pub at: Minute,
    /// What is not as posted, in order of time, then of people.
    pub changes: Vec<Change>,
    /// Blocks that the posted chart has not, by position in the chart; none where its blocks stand.
    pub new_blocks: Vec<usize>,
    /// What of the rest of the day is as posted.
    pub unchanged: Unchanged,
    /// Child-turns that are moved: posted stays of a child, while here, that are not kept whole.
    pub moved: Moved,
    /// Adult posts that are not kept whole.
    pub posts_changed: u32,
    /// How many problems the posted chart itself had before this happened.
    pub posted_problems: usize,
}

impl Repaired {
    /// Problems that reach into the rest of the day, worst first.
    pub fn problems_ahead(&self) -> impl Iterator<Item = &Problem> {
        self.plan.problems_ahead()
    }

    /// Problems that were over before its moment: nobody can mend them any more.
    pub fn problems_past(&self) -> impl Iterator<Item = &Problem> {
        self.plan.problems_past()
    }

    /// Adults who are on a staff break by the chart on the wall and with the children at once by this
    /// one: they have to be called back first.
    #[must_use]
    pub fn called_back(&self) -> Vec<AdultIndex> {
        let back = |change: &&Change| {
            let rests = |place: &Option<ChangedPlace>| {
                place.as_ref().is_some_and(|p| matches!(p.at, Place::StaffBreak(_)))
            };
            let elsewhere = change.now.as_ref().is_some_and(|p| !matches!(p.at, Place::Task(_)));
            change.span.from == self.at && rests(&change.was) && elsewhere && !rests(&change.now)
        };
        let begun = |adult: &AdultIndex| {
            let posts = self.plan.chart.adult(*adult).map_or(&[][..], |d| &d.posts);
            posts.iter().any(|p| matches!(p.at, Place::StaffBreak(_)) && p.span.to == self.at)
        };
        let adults = self.changes.iter().filter(back).filter_map(|change| match change.who {
            Who::Adult(adult) => Some(adult),
            Who::Child(_) => None,
        });
        adults.filter(begun).collect()
    }

    /// Whether no rule is broken in the rest of the day.
    #[must_use]
    pub fn safe_to_run(&self) -> bool {
        self.problems_ahead().next().is_none()
    }
}

/// Child-turns moved.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Moved {
    /// How many.
    pub value: u32,
    /// The fewest that was shown to be possible with the rules no worse, within the posted blocks
    /// and groups; `None` when nothing was shown.
    pub bound: Option<u32>,
}

/// Repairs the rest of a day after some happenings: the past stays, then the rules, then as few
/// children moved as possible, then as few adults, then the aims.
///
/// `day` is the day that the posted chart was made for, with what happened before (see
/// [`Day::happened`]).
///
/// # Errors
/// What is wrong with the happenings; the posted chart then stands as it is.
pub fn repair(
    day: &Day,
    posted: &Chart,
    at: Minute,
    happenings: &[Happening],
    options: &Options,
) -> Result<Repaired, Vec<HappeningFault>> {
    repair_of_repair(day, posted, None, at, happenings, options)
}

/// As [`repair`], where the posted chart is itself a repair of another one: if what had happened is
/// taken back before anybody was anywhere else for it, the answer is that other chart.
///
/// # Errors
/// As [`repair`].
pub fn repair_of_repair(
    day: &Day,
    posted: &Chart,
    before: Option<Before<'_>>,
    at: Minute,
    happenings: &[Happening],
    options: &Options,
) -> Result<Repaired, Vec<HappeningFault>> {
    repair_watched(day, (posted, before), at, happenings, options, &mut Watch::nobody())
}

/// [`repair_of_repair`] of `posted` and the chart before it, telling somebody how far it is; when
/// told to stop, the answer is the best there is by then.
///
/// # Errors
/// As [`repair`].
pub fn repair_watched(
    day: &Day,
    (posted, before): (&Chart, Option<Before<'_>>),
    at: Minute,
    happenings: &[Happening],
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Repaired, Vec<HappeningFault>> {
    let at = day.moment(at);
    let happenings = which_breaks(day, posted, at, happenings)?;
    let after = day.after(at, &happenings)?;
    let broken = Broken { day: &after, posted, at };
    let worth = |chart: &Chart| worth(broken, chart);
    let first = kept(broken, options.seed);
    let stands = stands(broken);
    let first_worth = worth(&first);
    let breaks = |chart: &Chart| breaks_a_rule(broken, chart);
    let mut stopped_by = "nothing left to improve";
    let undone = before.filter(|before| undone::is_undone(&after, posted, *before, at));
    let (chart, bound) = if let Some(before) = undone {
        (before.chart.clone(), None)
    } else if first == *posted && touches_nobody(day, &after, posted, &happenings) {
        // Whatever the chart broke it broke before: it goes on hanging as it does.
        (first, Some(0))
    } else if stands && first_worth.moved.0 == 0 && !breaks(&first) {
        (first, Some(0))
    } else {
        let weighed = |(chart, bound): (Chart, Option<u32>)| {
            let worth = worth(&chart);
            (chart, bound, worth)
        };
        let mut charts: Vec<(Chart, Option<u32>, Score)> = Vec::new();
        if !stands {
            let anew = relaid(broken, &first, true, (options.seed, options.effort), watch);
            let bound = kept_in(broken);
            charts.extend(anew.into_iter().map(|chart| weighed((chart, bound))));
        }
        if charts.is_empty() {
            let found = repairs(broken, options.seed, options.effort, watch);
            if !found.finished {
                stopped_by = "budget";
            }
            charts.push((first, None, first_worth));
            charts.extend(found.charts.into_iter().map(weighed));
            if !watch.stopped() {
                let had = had_later(broken, options.seed);
                charts.extend(had.into_iter().map(|chart| weighed((chart, None))));
            }
        }
        let least = |charts: &[(Chart, Option<u32>, Score)]| {
            let best = (0..charts.len()).min_by(|a, b| charts[*a].2.cmp(&charts[*b].2));
            best.expect("there is always a chart")
        };
        let mut best = least(&charts);
        if !stands && !watch.stopped() && breaks(&charts[best].0) {
            // Other blocks leave as much open as posted ones: turns, staff breaks, care.
            let anew = charts[best].0.clone();
            let effort = Effort { nodes: 0, ..options.effort };
            let broken = Broken { posted: &anew, ..broken };
            let found = repairs(broken, options.seed, effort, watch).charts;
            let bound = charts[best].1;
            charts.extend(found.into_iter().map(|(chart, _)| weighed((chart, bound))));
            best = least(&charts);
        }
        if !watch.stopped() && charts[best].2.broken.alone() > 0 {
            let all = together(broken, &charts[best].0, options, watch);
            charts.extend(all.into_iter().map(|chart| weighed((chart, None))));
            best = least(&charts);
        }
        // The bound of one way holds for all of them that are as good by the rules.
        let as_good = charts.iter().filter(|c| c.2.broken == charts[best].2.broken);
        let bound = as_good.filter_map(|c| c.1).min();
        let (chart, ..) = charts.swap_remove(best);
        let mended = if stands && !watch.stopped() && breaks(&chart) {
            other_blocks(broken, &chart, options, watch)
        } else {
            Vec::new()
        };
        match mended.into_iter().min_by_key(worth) {
            Some(mended) => (mended, None),
            None => (chart, bound),
        }
    };
    if watch.stopped() {
        stopped_by = crate::solve::STOPPED;
    }
    let how = How { seed: options.seed, bound, stopped_by };
    Ok(told(day, after, posted, chart, at, &how))
}

/// What was told of a repair when its chart was drawn, told again: `before` is the day that `posted`
/// was for, `after` the one that `chart` is for, `at` the moment of the repair, `bound` the fewest
/// child-turns moved that was shown to be possible.
#[must_use]
pub fn retold(
    (before, posted): (&Day, &Chart),
    (after, chart): (Day, Chart),
    at: Minute,
    bound: Option<u32>,
) -> Repaired {
    let how = How { seed: 0, bound, stopped_by: "told again" };
    told(before, after, posted, chart, at, &how)
}

/// How a chart of the rest came about.
pub(super) struct How {
    pub seed: u64,
    /// The fewest child-turns moved that was shown to be possible.
    pub bound: Option<u32>,
    pub stopped_by: &'static str,
}

/// A chart of the day after what has happened, with all that is told of it: `day` and `posted` are
/// what it is held against.
pub(super) fn told(
    day: &Day,
    after: Day,
    posted: &Chart,
    chart: Chart,
    at: Minute,
    how: &How,
) -> Repaired {
    let value = moved(&after, posted, &chart, at);
    let mut plan = audit(&after, chart);
    plan.made.seed = Some(how.seed);
    plan.made.stopped_by = Some(how.stopped_by.into());
    plan.made.proof_scope = Some("given the posted blocks, whole groups".into());
    plan.made.parent_digest = Some(chart_digest(posted));
    plan.made.fixed_until = Some(at);
    let open = after.schedule.open;
    // The block that goes on after closing time for who stays is the posted one.
    let kept = |b: &Block| (b.kind, b.span.from, b.span.to.min(open.to));
    let is_among = |b: &Block, blocks: &[Block]| {
        let known = blocks.iter().any(|other| kept(other) == kept(b));
        known || b.span.from >= open.to
    };
    let blocks = plan.chart.blocks.iter().enumerate();
    let new = blocks.filter(|(_, b)| b.span.to > at && !is_among(b, &posted.blocks));
    let new_blocks: Vec<usize> = new.map(|(n, _)| n).collect();
    let (changes, mut unchanged) = changes(&after, posted, &plan.chart, at);
    let is_new = |kind: &BlockKind| new_blocks.iter().any(|&n| plan.chart.blocks[n].kind == *kind);
    let gone = posted.blocks.iter().filter(|b| b.span.to > at && !is_among(b, &plan.chart.blocks));
    unchanged.blocks.retain(|kind| !is_new(kind) && !gone.clone().any(|b| b.kind == *kind));
    Repaired {
        at,
        changes,
        new_blocks,
        unchanged,
        moved: Moved {
            value,
            bound: if value == 0 { Some(0) } else { how.bound.map(|b| b.min(value)) },
        },
        posts_changed: posts_changed(&after, posted, &plan.chart, at),
        posted_problems: rules::audit(day, posted).len(),
        plan,
        day: after,
    }
}

/// What a chart of the rest is worth.
pub(super) fn worth(Broken { day, posted, at }: Broken<'_>, chart: &Chart) -> Score {
    Score::of_rest(day, posted, at, chart)
}

/// Whether what has happened only takes away, and nothing that the chart needs.
fn touches_nobody(day: &Day, after: &Day, posted: &Chart, happenings: &[Happening]) -> bool {
    let takes_away = |what: &Happening| {
        matches!(
            what,
            Happening::Away { .. }
                | Happening::Late { .. }
                | Happening::Leaving { .. }
                | Happening::Closed { .. }
        )
    };
    happenings.iter().all(takes_away) && rules::audit(day, posted) == rules::audit(after, posted)
}

/// Charts with other blocks from the next one on that break no rule any more from the moment on: for
/// less than that nobody lays a running day out anew.
fn other_blocks(
    broken: Broken<'_>,
    base: &Chart,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let mut anew = relaid(broken, base, false, (options.seed, options.effort), watch);
    anew.retain(|chart| !breaks_a_rule(broken, chart));
    anew
}

/// On a day on which the children stay in, the child-turns that are moved whatever else is done: those
/// out of doors that are to come.
fn kept_in(Broken { day, posted, at }: Broken<'_>) -> Option<u32> {
    if !day.indoor.value {
        return None;
    }
    let mut nobody_out = posted.clone();
    for stay in nobody_out.children.iter_mut().flat_map(|c| &mut c.stays) {
        if stay.at == Place::Outdoors && stay.span.from >= at {
            stay.at = Place::Unplaced;
        }
    }
    Some(moved(day, posted, &nobody_out, at)).filter(|forced| *forced > 0)
}

/// Digest of a chart, to tell which one a repair came from, as 64 hex digits.
#[must_use]
pub fn chart_digest(chart: &Chart) -> String {
    super::digest::digest_of(chart)
}
