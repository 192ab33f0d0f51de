//! Why a group is where it is in a turn, and not at another station.
//!
//! Each other place is tried: the group is held there, layout and groups stay, and the rest of the
//! day is solved anew. The first rule, then the first aim, in which that chart differs from the best
//! that is found with the group where it is, is the answer: what could be better all the same is said
//! once, and is no reason for another place. A place that is never offered to the group is drawn into the chart as it is, and
//! the rules say what is wrong with it.

use super::Options;
use crate::chart::{BlockKind, Chart, Place, Stay};
use crate::day::Day;
use crate::model::Target;
use crate::rules::{self, Difference, Problem, Score, rule_of};
use crate::site::{Minute, Span, StationIndex};
use crate::solve::proof::{Told, Watch};
use crate::solve::repair::{Broken, OpenTurn, elsewhere, open_turn};

/// Why a group is where it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Why {
    /// Position of the group in the chart.
    pub group: usize,
    /// The turn or block that is asked about.
    pub span: Span,
    /// The kind of block.
    pub block: BlockKind,
    /// Where the group is.
    pub here: Place,
    /// What the rest of the day could do better with the group where it is; else
    /// [`Against::Nothing`].
    pub all_the_same: Against,
    /// Every other place that was asked about, the best first; empty outside turns, where the whole
    /// room does the same.
    pub others: Vec<Other>,
}

/// Another place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Other {
    /// Its stations: one, or the few that are open around the group's own adult.
    pub stations: Vec<StationIndex>,
    /// What speaks against it.
    pub against: Against,
}

/// What speaks against another place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Against {
    /// Nothing: the day would be as good.
    Nothing,
    /// It would be better, by so much of an aim or a rule: an edited chart, or a search that stopped
    /// early.
    Better {
        /// Slug of the rule or aim.
        of: &'static str,
        /// In person-minutes of a rule, or in the aim's unit.
        by: u64,
    },
    /// An aim that would be served worse, all before it being equal.
    Aim {
        /// Slug of the aim.
        of: &'static str,
        /// In the aim's unit.
        by: u64,
    },
    /// A rule that would be broken with the group there, however the rest of the day is arranged.
    Rule {
        /// The first of its problems.
        problem: Box<Problem>,
    },
    /// It is never offered to this group at this time, because of this.
    Barred {
        /// The first problem that putting the group there would bring.
        problem: Box<Problem>,
    },
    /// It has fewer seats than the group has children; not all of them are there all the time, or the
    /// rules would say so.
    Seats {
        /// Of the station.
        seats: u32,
        /// Of the group.
        children: u32,
    },
    /// The group has children who are too young to be sent to one station.
    Young,
}

/// What is wrong with the question.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WhyFault {
    /// The chart has no group of that id.
    NoGroup,
    /// Nobody of the group is here at that minute.
    NotHere,
}

/// Why a group of a chart is where it is at a minute; with `not`, only that station is looked at,
/// else every other place.
///
/// # Errors
/// When the chart has no such group, or none of it is here then.
pub fn why(
    day: &Day,
    chart: &Chart,
    group: &str,
    minute: Minute,
    not: Option<StationIndex>,
    options: &Options,
) -> Result<Why, WhyFault> {
    why_watched(day, chart, (group, minute), not, options, &mut Watch::nobody())
}

/// [`why`], telling somebody how far it is; when told to stop, the places not yet tried are left out.
///
/// # Errors
/// As [`why`].
pub fn why_watched(
    day: &Day,
    chart: &Chart,
    (group, minute): (&str, Minute),
    not: Option<StationIndex>,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Why, WhyFault> {
    let at = chart.groups.iter().position(|g| g.id == group).ok_or(WhyFault::NoGroup)?;
    let cells = &chart.groups[at].cells;
    let cell = cells.iter().find(|c| c.span.contains(minute)).ok_or(WhyFault::NotHere)?;
    let block = chart.blocks.get(cell.block).map_or(BlockKind::Choice, |b| b.kind);
    let mut answer = Why {
        group: at,
        span: cell.span,
        block,
        here: cell.at,
        all_the_same: Against::Nothing,
        others: Vec::new(),
    };
    let broken = Broken { day, posted: chart, at: Minute(0) };
    let Some(turn) = open_turn(broken, group, minute, options.seed) else { return Ok(answer) };
    let (seed, effort) = (options.seed, options.effort);
    let mut asked = Asked { day, chart, at, minute, judged: Judged::of(day, chart) };
    let posted = Judged::of(day, chart);
    let best_here = turn.here.as_ref().and_then(|here| {
        elsewhere(broken, &turn, here, seed, effort, watch).map(|other| Judged::of(day, &other))
    });
    if let Some(better) = best_here.filter(|best| best.worth < posted.worth) {
        answer.all_the_same = asked.weigh(&better);
        asked.judged = better;
    }
    let mut found: Vec<(Score, Other)> = Vec::new();
    for (at, place) in turn.places.iter().enumerate() {
        if turn.here.as_ref() == Some(place) {
            continue;
        }
        let stations = stations(place);
        if not.is_some_and(|s| !stations.contains(&s)) {
            continue;
        }
        if watch.part(Told::Searching, at + 1, turn.places.len()) {
            break;
        }
        let other = elsewhere(broken, &turn, place, seed, effort, watch);
        let Some(other) = other else { continue };
        let judged = Judged::of(day, &other);
        let against = asked.weigh(&judged);
        found.push((judged.worth, Other { stations, against }));
    }
    found.sort_by(|a, b| (&a.0, &a.1.stations).cmp(&(&b.0, &b.1.stations)));
    answer.others = found.into_iter().map(|(_, other)| other).collect();
    asked.judged = posted;
    answer.others.extend(asked.never_offered(&turn, not));
    Ok(answer)
}

/// A chart's problems, and what it is worth by what a place is chosen for: what the adults' posts decide
/// is no reason to be here or there.
struct Judged {
    problems: Vec<Problem>,
    worth: Score,
}

impl Judged {
    fn of(day: &Day, chart: &Chart) -> Judged {
        let problems = rules::audit(day, chart);
        let worth = Score::judged(day, chart, &problems).of_options();
        Judged { problems, worth }
    }
}

fn stations(target: &Target) -> Vec<StationIndex> {
    match target {
        Target::Station(s) => vec![*s],
        Target::Nest { open, .. } => open.clone(),
        Target::Unplaced => Vec::new(),
    }
}

struct Asked<'a> {
    day: &'a Day,
    chart: &'a Chart,
    at: usize,
    minute: Minute,
    /// What others are held against.
    judged: Judged,
}

impl Asked<'_> {
    /// What speaks against another chart.
    fn weigh(&self, other: &Judged) -> Against {
        let worse = |of: Option<&'static str>| {
            let mut new = self.new_problems(&other.problems);
            new.find(|p| of.is_none_or(|of| p.rule == of)).cloned()
        };
        let rule = |problem: Problem| Against::Rule { problem: Box::new(problem) };
        match self.judged.worth.difference(&other.worth) {
            None | Some(Difference::Moved) => Against::Nothing,
            Some(Difference::Alone) => worse(None).map_or(Against::Nothing, rule),
            Some(Difference::Rule(of, more)) if more > 0 => {
                worse(Some(of)).map_or(Against::Nothing, rule)
            }
            Some(Difference::Aim(of, more)) if more > 0 => {
                Against::Aim { of, by: more.unsigned_abs() }
            }
            Some(Difference::Rule(of, less) | Difference::Aim(of, less)) => {
                Against::Better { of, by: less.unsigned_abs() }
            }
        }
    }

    /// Those of another chart's problems that this one has not.
    fn new_problems<'p>(&'p self, others: &'p [Problem]) -> impl Iterator<Item = &'p Problem> {
        others.iter().filter(|p| !self.judged.problems.contains(p))
    }

    /// Stations of the site that the turn does not offer, with what forbids them.
    fn never_offered(&self, turn: &OpenTurn, not: Option<StationIndex>) -> Vec<Other> {
        let offered: Vec<StationIndex> =
            turn.places.iter().chain(&turn.here).flat_map(stations).collect();
        let spaces = &self.day.site[self.day.room].spaces;
        let all = (0..self.day.site.stations.len()).map(StationIndex);
        let asked = all.filter(|s| match not {
            Some(not) => *s == not,
            None => spaces.contains(&self.day.station(*s).space),
        });
        asked
            .filter(|s| !offered.contains(s))
            .filter_map(|s| Some(Other { stations: vec![s], against: self.drawn(s)? }))
            .collect()
    }

    /// What the rules say when the group is simply drawn at a station.
    fn drawn(&self, station: StationIndex) -> Option<Against> {
        let mut other = self.chart.clone();
        let group = &mut other.groups[self.at];
        let members = group.children.clone();
        let cell = group.cells.iter_mut().find(|c| c.span.contains(self.minute))?;
        let (span, before) = (cell.span, cell.at);
        (cell.at, cell.space) = (Place::Station(station), self.day.station(station).space);
        let with_group = |s: &&mut Stay| s.apart.is_none() && s.at == before && span.meets(s.span);
        let moved = other.children.iter_mut().filter(|c| members.contains(&c.child));
        for stay in moved.flat_map(|c| &mut c.stays).filter(with_group) {
            (stay.at, stay.space) = (Place::Station(station), self.day.station(station).space);
        }
        let young = self.day.any_young(&members);
        let problems = rules::audit(self.day, &other);
        match self.new_problems(&problems).next() {
            Some(problem) if !young || rule_of(problem).is_built_in() => {
                Some(Against::Barred { problem: Box::new(problem.clone()) })
            }
            _ if young => Some(Against::Young),
            _ => {
                let seats = self.day.station(station).seats;
                let children = u32::try_from(members.len()).unwrap_or(u32::MAX);
                (seats < children).then_some(Against::Seats { seats, children })
            }
        }
    }
}
