//! The rest of a day whose chart hangs on the wall already, after something has happened.
//!
//! The past is the posted chart's. From the moment on its blocks, groups and settled stays stand;
//! open are the groups' turns, staff breaks, tasks and care rounds that are still to come, each with
//! what is posted among its options. Rules come first, then two levels of their own: the fewest
//! child-turns moved, then the fewest staff breaks, tasks and care rounds moved; then the aims.
//! Adults are posted anew from the moment on and keep to their posts as far as the rules allow.
//!
//! Map: `groups` who goes round together now, `ways` the groups' way through the rest, `children`
//! each child's, `open` what may go where, `duty` staff breaks and tasks, `care` care rounds,
//! `choices` what is open for choice, `decode` the options taken made into a chart, `relay` another layout where the posted one cannot stand, `cuts` from when on, `stitch`
//! it behind the past, `stood` the posts as they are, `trial` whether other facts would mend it,
//! `anew` charts that keep all but the adults, or one staff break, `elsewhere` one group in another place, for the question why it is where it is.

mod anew;
mod care;
mod children;
mod choices;
mod cuts;
mod decode;
mod duty;
mod elsewhere;
mod groups;
mod open;
mod relay;
mod stitch;
mod stood;
mod trial;
mod ways;

pub use anew::{had_later, posted_anew};
pub use elsewhere::{OpenTurn, elsewhere, open_turn};
pub use trial::trial;

use super::Effort;
use super::posts::{Standing, post_rest};
use super::proof::{Budget, Proof, Told, Watch, prove};
use super::search::{Steps, search};
use crate::chart::{Chart, Place, State};
use crate::day::Day;
use crate::model::{Frame, Model, Target, Unknowns, unknowns::VISIT_MINUTES};
use crate::rules::{self, RULES, Shortfall, moved, rows};
use crate::site::{ChildIndex, Minute, Span};
use stood::stood;

/// The level of child-turns moved in the model of a repair.
pub const STAY_PUT: &str = "stay-put";
/// The level of staff breaks, tasks and care rounds moved.
pub const AS_POSTED: &str = "as-posted";

/// What is repaired.
#[derive(Clone, Copy, Debug)]
pub struct Broken<'a> {
    /// The day after what has happened.
    pub day: &'a Day,
    /// The chart on the wall.
    pub posted: &'a Chart,
    /// Before it nothing changes.
    pub at: Minute,
}

/// Whole charts of the repaired day, and how they were found.
#[derive(Clone, Debug, Default)]
pub struct Repairs {
    /// In the order in which ties are decided, each with the fewest child-turns moved that were
    /// shown to be possible with the posted blocks and groups and the rules no worse; never empty.
    pub charts: Vec<(Chart, Option<u32>)>,
    /// Every pass of the solver ended within its budget.
    pub finished: bool,
}

/// The frame of the rest of a day, with what the posted chart takes in it.
struct Rest<'d> {
    frame: Frame<'d>,
    /// What is posted in each cell; nothing where the group was not to be there.
    cells: Vec<PostedCell>,
    /// What is posted of breaks, tasks and rounds, as option numbers; none: not offered any more.
    breaks: Vec<Option<usize>>,
    tasks: Vec<Option<usize>>,
    rounds: Vec<Option<usize>>,
    /// When the breaks began that go on over the moment and cannot be had to their end any more, as
    /// `breaks` are numbered.
    cut_short: Vec<Option<Minute>>,
    /// Staff breaks and tasks that lie before the moment or go on over it.
    done: super::demand::Duties,
}

/// What the posted chart has in an open cell.
#[derive(Clone, Debug, Default)]
struct PostedCell {
    /// Where the group is posted, and what its choice is if it is one.
    at: Option<(Target, Option<crate::chart::ChoiceIndex>)>,
    /// The group is there already: who goes elsewhere has to tidy up first.
    under_way: bool,
    /// Children posted to be here at this time, each with the station it is at instead, if so.
    children: Vec<(ChildIndex, Option<crate::site::StationIndex>)>,
}

/// The charts that come into question; the first one keeps everything that can be kept.
#[must_use]
pub fn repairs(broken: Broken<'_>, seed: u64, effort: Effort, watch: &mut Watch<'_>) -> Repairs {
    repairs_of_use(broken, seed, effort, &|_| true, watch)
}

/// [`repairs`] without those of which the rows show that they are of no use; `of_use` says of a
/// shortfall by rule whether a chart with no less than that can be of use. There may be none.
#[must_use]
pub fn repairs_of_use(
    broken: Broken<'_>,
    seed: u64,
    effort: Effort,
    of_use: &dyn Fn(&Shortfall) -> bool,
    watch: &mut Watch<'_>,
) -> Repairs {
    let planning = without_visits_made(broken);
    let rows_tell = trial::on_grid(broken);
    let mut found = Repairs { charts: Vec::new(), finished: true };
    let mut choices = None;
    for (at, fewer_zones) in [false, true].into_iter().enumerate() {
        let stop = watch.part(Told::Improving, at + 1, 2);
        if stop && at > 0 {
            found.finished = false;
            break;
        }
        let with = Broken { day: &planning, ..broken };
        let rest = ways::rest(with, seed, fewer_zones);
        let kept = Taken::posted(&rest);
        if choices.as_ref().is_some_and(|before| *before == rest.frame.choices) {
            break;
        }
        choices = Some(rest.frame.choices.clone());
        let of_use =
            |options: &[usize]| !rows_tell || of_use(&rest.shown(&kept.model.value(options)));
        let since = found.charts.len();
        let (chart, duties) = decode::decode(&rest, with, &kept.options);
        let forced = moved(broken.day, broken.posted, &chart, broken.at);
        if of_use(&kept.options) {
            if let Some(adults) = stood(broken, &chart, &duties) {
                found.charts.push((Chart { adults, ..chart.clone() }, None));
            }
            let posted = posted_each(broken, &rest, &kept.options, (chart, duties));
            found.charts.extend(posted.map(|chart| (chart, None)));
        }
        let long = if stop { 0 } else { effort.long };
        let steps = Steps { annealing: long / 2, descent: long / 4 };
        let mut taken = search(&rest.frame, &kept.model, Some(kept.options.clone()), steps, seed);
        let mut bound = None;
        if effort.nodes > 0 {
            let proof = prove(&kept.model, taken, Budget::nodes(effort.nodes), watch);
            found.finished &= proof.whole() && !kept.model.is_full();
            bound = kept.fewest(&proof, forced);
            taken = proof.taken;
            found.charts[since..].iter_mut().for_each(|posted| posted.1 = bound);
        }
        let drawn =
            |taken: &[usize]| posted_each(broken, &rest, taken, decode::decode(&rest, with, taken));
        if taken != kept.options && of_use(&taken) {
            found.charts.extend(drawn(&taken).map(|chart| (chart, bound)));
        }
        if !stop && found.charts[since..].iter().all(|c| breaks_a_rule(broken, &c.0)) {
            let others = by_the_rules_alone(&rest, &kept, &taken, steps, seed);
            let others = others.into_iter().filter(|taken| of_use(taken));
            found.charts.extend(others.flat_map(|taken| drawn(&taken)).map(|chart| (chart, None)));
        }
    }
    found
}

/// What a search finds that minds the rules and nothing else, and then what moves fewer; nothing where
/// that is worse by the rules than what has been `taken` already, or the same.
fn by_the_rules_alone(
    rest: &Rest<'_>,
    kept: &Taken,
    taken: &[usize],
    steps: Steps,
    seed: u64,
) -> Vec<Vec<usize>> {
    let (model, _) = rows::model_of_rules(&rest.frame);
    let found = search(&rest.frame, &model, Some(kept.options.clone()), steps, seed);
    let by_rules = |options: &[usize]| model.value(options)[..RULES.len()].to_vec();
    if found == taken || by_rules(&found) > by_rules(taken) {
        return Vec::new();
    }
    let descent = Steps { annealing: 0, descent: steps.descent };
    let settled = search(&rest.frame, &kept.model, Some(found.clone()), descent, seed);
    let differs = settled != found;
    [found].into_iter().chain(differs.then_some(settled)).collect()
}

/// Whether a chart breaks a rule in the rest of the day.
#[must_use]
pub fn breaks_a_rule(broken: Broken<'_>, chart: &Chart) -> bool {
    let ahead = |p: &rules::Problem| p.lies_ahead(broken.at) && !p.is_a_question();
    rules::audit(broken.day, chart).iter().any(ahead)
}

/// Whether the posted blocks can be followed at all.
#[must_use]
pub fn stands(broken: Broken<'_>) -> bool {
    relay::stands(broken)
}

/// Charts of the day with other blocks for its rest, behind `base`, which keeps all that it can;
/// `at_any_rate`: also such as break a rule.
#[must_use]
pub fn relaid(
    broken: Broken<'_>,
    base: &Chart,
    at_any_rate: bool,
    (seed, effort): (u64, Effort),
    watch: &mut Watch<'_>,
) -> Vec<Chart> {
    let planning = without_visits_made(broken);
    let broken = Broken { day: &planning, ..broken };
    relay::relaid(broken, base, at_any_rate, (seed, effort), watch)
}

/// Only the chart that keeps everything that can be kept: nobody is moved who need not be, whatever
/// rule that breaks. Enough where it breaks none.
#[must_use]
pub fn kept(broken: Broken<'_>, seed: u64) -> Chart {
    let planning = without_visits_made(broken);
    let with = Broken { day: &planning, ..broken };
    let rest = ways::rest(with, seed, false);
    let taken = Taken::posted(&rest);
    let (chart, duties) = decode::decode(&rest, with, &taken.options);
    match stood(broken, &chart, &duties) {
        Some(adults) => Chart { adults, ..chart },
        None => posted(broken, chart, &duties),
    }
}

/// The model of the rest and the options that the posted chart takes.
struct Taken {
    model: Model,
    options: Vec<usize>,
}

impl Taken {
    fn posted(rest: &Rest<'_>) -> Taken {
        let (mut model, unknowns) = rows::model(&rest.frame);
        model.level_behind(RULES.len(), AS_POSTED);
        model.level_behind(RULES.len(), STAY_PUT);
        rest.stay_put(&unknowns, &mut model);
        let options = rest.posted_options(&unknowns);
        Taken { model, options }
    }

    /// The fewest child-turns moved that were shown to be possible with the rules no worse; `forced`
    /// are moved with the posted options already.
    fn fewest(&self, proof: &Proof, forced: u32) -> Option<u32> {
        let level = self.model.levels.iter().position(|l| l.slug == STAY_PUT)?;
        let shown = proof.bounds.get(level)?;
        // What is moved whatever is taken is on top of what the options move.
        let constant = i64::from(forced) - self.model.value(&self.options)[level];
        u32::try_from(shown.bound + constant).ok()
    }
}

impl Rest<'_> {
    /// The options that the posted chart takes; the first, or none at all, where it has nothing.
    fn posted_options(&self, unknowns: &Unknowns) -> Vec<usize> {
        let cells = (0..self.cells.len()).map(|c| self.posted_option(c).unwrap_or(0));
        let last = |given: &[Option<usize>], vars: &[Vec<crate::model::Var>]| -> Vec<usize> {
            given.iter().zip(vars).map(|(g, vars)| g.unwrap_or(vars.len() - 1)).collect()
        };
        let mut options: Vec<usize> = cells.collect();
        options.extend(last(&self.breaks, &unknowns.breaks));
        options.extend(last(&self.tasks, &unknowns.tasks));
        options.extend(self.rounds.iter().map(|r| r.unwrap_or(0)));
        options
    }

    /// The position of what is posted among a cell's options.
    fn posted_option(&self, cell: usize) -> Option<usize> {
        let (target, _) = self.cells[cell].at.as_ref()?;
        let options = &self.frame.cells[cell].options;
        let moved = |o: &usize| self.moves(cell, *o);
        let same = (0..options.len()).filter(|o| options[*o].target == *target);
        same.min_by_key(moved)
    }

    /// How many children an option of a cell takes from where they are posted.
    fn moves(&self, cell: usize, option: usize) -> i64 {
        let children = self.cells[cell].children.iter();
        children.filter(|(child, _)| self.moves_child(cell, option, *child)).count() as i64
    }

    /// Whether an option of a cell takes a child from where it is posted.
    fn moves_child(&self, cell: usize, option: usize, child: ChildIndex) -> bool {
        let (posted, option) = (&self.cells[cell], &self.frame.cells[cell].options[option]);
        let known = posted.children.iter().find(|(c, _)| *c == child);
        let (Some((target, _)), Some((_, instead))) = (&posted.at, known) else { return false };
        let stays = match (target, &option.target) {
            // As long as something that was open to them still is.
            (Target::Nest { open: before, .. }, Target::Nest { open: now, .. }) => {
                before.iter().any(|s| now.contains(s))
            }
            (before, now) => before == now,
        };
        let now = option.instead.iter().find(|i| i.0 == child).map(|i| i.1);
        *instead != now || !(stays || instead.is_some())
    }

    /// Adds what moving costs.
    fn stay_put(&self, unknowns: &Unknowns, model: &mut Model) {
        for (c, vars) in unknowns.cells.iter().enumerate() {
            let posted = self.posted_option(c);
            for (o, &var) in vars.iter().enumerate() {
                model.cost(STAY_PUT, var, self.moves(c, o));
                model.cost(AS_POSTED, var, i64::from(posted.is_some_and(|p| p != o)));
            }
        }
        let of = [(&self.breaks, &unknowns.breaks), (&self.tasks, &unknowns.tasks)];
        for (posted, vars) in of.into_iter().flat_map(|(p, v)| p.iter().zip(v)) {
            for (o, &var) in vars.iter().enumerate() {
                model.cost(AS_POSTED, var, i64::from(*posted != Some(o) && posted.is_some()));
            }
        }
        for (r, vars) in unknowns.rounds.iter().enumerate() {
            let ways = &self.frame.rounds[r];
            let Some(posted) = self.rounds[r] else { continue };
            for (o, &var) in vars.iter().enumerate() {
                let stays = ways[posted].children.iter().filter(|c| !ways[o].children.contains(c));
                model.cost(STAY_PUT, var, stays.count() as i64);
                model.cost(AS_POSTED, var, i64::from(o != posted));
            }
        }
    }
}

/// Charts with the adults posted from the moment on: staff breaks that cannot be had to their end any
/// more are broken off, and where there are such, in a second chart they last until somebody is called
/// from them.
fn posted_each<'a>(
    broken: Broken<'a>,
    rest: &Rest<'_>,
    taken: &[usize],
    (chart, duties): (Chart, super::demand::Duties),
) -> impl Iterator<Item = Chart> + use<'a> {
    let breaks = rest.frame.breaks.iter().zip(&rest.cut_short).zip(&taken[rest.cells.len()..]);
    let missed = breaks.filter(|((b, _), taken)| **taken == b.starts.len());
    let mut until_called = duties.clone();
    until_called
        .breaks
        .extend(missed.filter_map(|((b, start), _)| Some((b.adult, b.due, (*start)?))));
    let mut each = vec![duties];
    each.extend(Some(until_called).filter(|more| *more != each[0]));
    each.into_iter().map(move |duties| posted(broken, chart.clone(), &duties))
}

/// Posts the adults from the moment on.
fn posted(broken: Broken<'_>, mut chart: Chart, duties: &super::demand::Duties) -> Chart {
    let standing = Standing { at: broken.at, posts: &broken.posted.adults };
    post_rest(broken.day, &mut chart, duties, &standing);
    chart
}

/// The day with the visits that were made before the moment no longer owed.
fn without_visits_made(broken: Broken<'_>) -> Day {
    let mut day = broken.day.clone();
    let past = Span::new(Minute(0), broken.at);
    day.must_do.retain(|&(child, station)| {
        let stays = broken.posted.child(child).map_or(&[][..], |c| &c.stays);
        !stays.iter().any(|s| {
            let minutes = past.and_then(|p| p.meet(s.span)).map_or(0, Span::minutes);
            s.at == Place::Station(station) && s.state == State::Awake && minutes >= VISIT_MINUTES
        })
    });
    day
}
