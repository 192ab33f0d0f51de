//! The verbs as the service carries them out: facts and a request in, an answer out. No store here.

use super::form::Given;
use super::forms;
use super::media::Media;
use super::problem::{CONFLICT, FACTS, FaultLine, LONG, Problem};
use super::solver::Ticket;
use super::verbs;
use crate::day::{Day, DayFault};
use crate::page::text::{Look, print_audit, print_plan};
use crate::planner::{self, Options, Plan, Watch};
use crate::site::RoomIndex;
use crate::wire::chart::chart_json;
use crate::wire::scenario::{Scenario, read_for};
use crate::wire::{Fault, nearest};
use chrono::NaiveDate;
use serde_json::Value;

/// What is to be done.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verb {
    /// A day's chart.
    Chart,
    /// A chart judged, which was brought along.
    Audit,
    /// The rest of a running day, after something has happened.
    Repair,
    /// A block, before it starts.
    Check,
    /// Why a group is where it is.
    Why,
}

impl Verb {
    /// Every verb.
    pub const ALL: [Verb; 5] = [Verb::Chart, Verb::Audit, Verb::Repair, Verb::Check, Verb::Why];

    /// Its word, by which jobs are kept.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verb::Chart => "chart",
            Verb::Audit => "audit",
            Verb::Repair => "repair",
            Verb::Check => "check",
            Verb::Why => "why",
        }
    }

    /// The verb of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Verb> {
        Verb::ALL.into_iter().find(|verb| verb.word() == word)
    }

    /// How a revision that it leads to came about.
    #[must_use]
    pub fn of_revision(self) -> &'static str {
        match self {
            Verb::Chart => "made",
            Verb::Audit => "brought",
            Verb::Repair => "repaired",
            Verb::Check | Verb::Why => "asked",
        }
    }
}

/// A piece of work with everything that it needs.
#[derive(Clone, Debug)]
pub struct Order {
    /// What is to be done.
    pub verb: Verb,
    /// The scenario, as JSON text.
    pub scenario: String,
    /// Where the scenario stands in the request's body; `None` when it is the stored site.
    pub scenario_at: Option<&'static str>,
    /// The chart to start from, as JSON text.
    pub chart: Option<String>,
    /// Where the chart stands in the request's body; `None` when it is a stored one.
    pub chart_at: Option<&'static str>,
    /// The request.
    pub given: Given,
    /// The form of the answer.
    pub media: Media,
    /// Only this adult, in a calendar.
    pub adult: Option<String>,
    /// How far the search goes, in percent of the usual steps.
    pub search_percent: u64,
}

/// What came of it.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The answer, in the form that was asked for.
    pub body: String,
    /// The room's id.
    pub room: String,
    /// The date.
    pub date: String,
    /// Whether no rule is broken.
    pub safe_to_run: bool,
    /// The answer for people, where `body` is a chart that is kept.
    pub said: Option<String>,
}

/// Carries an order out. What was called off on the way has no outcome.
///
/// # Errors
/// When the facts cannot be used; every fault with its pointer.
pub fn carry_out(order: &Order, ticket: &Ticket) -> Result<Outcome, Problem> {
    if ticket.is_called_off() {
        return Err(Problem::plain(LONG));
    }
    match order.verb {
        Verb::Chart => make(order, ticket),
        Verb::Audit => audit(order),
        Verb::Repair => verbs::repair(order, ticket),
        Verb::Check => verbs::check(order),
        Verb::Why => verbs::why(order, ticket),
    }
}

/// Reads what an order brings, so that a job with faults is refused before it is promised.
///
/// # Errors
/// Every fault that carrying it out would find in the facts.
pub fn readable(order: &Order) -> Result<(), Problem> {
    if order.chart.is_some() {
        return judged(order).map(|_| ());
    }
    let date = order.given.date("date");
    let scenario = order.read_scenario(date)?;
    let room = room(&scenario, order.given.text("room"))?;
    open(&scenario, room, date.unwrap_or(scenario.date)).map(|_| ())
}

fn make(order: &Order, ticket: &Ticket) -> Result<Outcome, Problem> {
    let date = order.given.date("date");
    let scenario = order.read_scenario(date)?;
    let room = room(&scenario, order.given.text("room"))?;
    let day = open(&scenario, room, date.unwrap_or(scenario.date))?;
    let mut tell = |progress| ticket.tell(progress);
    let mut plan = planner::make_watched(&day, &options(order), &mut Watch::by(&mut tell));
    if ticket.is_called_off() {
        return Err(Problem::plain(LONG));
    }
    plan.assumed = scenario.assumed_sentences();
    Ok(outcome(order, &scenario, &day, &plan, true))
}

fn audit(order: &Order) -> Result<Outcome, Problem> {
    let (scenario, day, plan) = judged(order)?;
    Ok(outcome(order, &scenario, &day, &plan, false))
}

/// The chart that came along, judged on its day.
fn judged(order: &Order) -> Result<(Scenario, Day, Plan), Problem> {
    let (scenario, posted) = order.posted()?;
    let mut plan = planner::audit(&posted.day, posted.chart);
    plan.assumed = scenario.assumed_sentences();
    Ok((scenario, posted.day, plan))
}

impl Order {
    pub(super) fn read_scenario(&self, date: Option<NaiveDate>) -> Result<Scenario, Problem> {
        read_for(self.scenario.as_bytes(), date).map_err(|faults| match self.scenario_at {
            Some(at) => Problem::faults(FACTS, at, &faults),
            None => Problem::faults(CONFLICT, "", &faults),
        })
    }

    pub(super) fn chart_fault(&self, faults: &[Fault]) -> Problem {
        match self.chart_at {
            Some(at) => Problem::faults(FACTS, at, faults),
            None => Problem {
                detail: "The facts of the site have changed so that this chart cannot be read with them."
                    .into(),
                ..Problem::faults(CONFLICT, "", faults)
            },
        }
    }
}

pub(super) fn options(order: &Order) -> Options {
    let mut options = Options::default();
    if let Some(seed) = order.given.number("seed") {
        options.seed = seed;
    }
    let part = |steps: u64| (steps * order.search_percent).div_ceil(100);
    let steps = |steps: u32| u32::try_from(part(steps.into())).unwrap_or(steps);
    options.effort.short = steps(options.effort.short);
    options.effort.long = steps(options.effort.long);
    options.effort.nodes = part(options.effort.nodes);
    options
}

fn outcome(order: &Order, scenario: &Scenario, day: &Day, plan: &Plan, whole: bool) -> Outcome {
    let json = || chart_json(day, plan);
    let body = match order.media {
        Media::Text if whole => print_plan(day, plan, Look::default()),
        Media::Text => print_audit(day, plan, Look::default()),
        Media::Csv => forms::csv::chart(&json()),
        Media::Calendar => {
            forms::calendar::calendar(&json(), &scenario.site.time_zone.to_string(), None)
        }
        _ => json().to_string(),
    };
    outcome_of(day, plan.safe_to_run(), body)
}

/// What came of it, with the answer that goes out.
pub(super) fn outcome_of(day: &Day, safe_to_run: bool, body: String) -> Outcome {
    let (room, date) = (day.site[day.room].id.clone(), day.date.to_string());
    Outcome { body, room, date, safe_to_run, said: None }
}

/// The room of an id, or the only one.
pub(super) fn room(scenario: &Scenario, id: Option<&str>) -> Result<RoomIndex, Problem> {
    let rooms = &scenario.site.rooms;
    let found = match id {
        None if rooms.len() == 1 => Some(RoomIndex(0)),
        None => None,
        Some(id) => scenario.room(id),
    };
    found.ok_or_else(|| {
        let ids = || rooms.iter().map(|room| room.id.as_str());
        let near = id.and_then(|id| nearest(id, ids()));
        let cause = if id.is_none() { "there are several rooms" } else { "there is no such room" };
        let mend = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("give one of {}", ids().take(24).collect::<Vec<_>>().join(", ")),
        };
        Problem { faults: vec![facts_of("/room", cause, &mend)], ..Problem::plain(FACTS) }
    })
}

/// A fault of the facts.
pub(super) fn facts_of(pointer: &str, cause: &str, mend: &str) -> FaultLine {
    FaultLine { pointer: pointer.into(), cause: cause.into(), mend: mend.into() }
}

pub(super) fn open(scenario: &Scenario, room: RoomIndex, date: NaiveDate) -> Result<Day, Problem> {
    scenario.open(room, date).map_err(|faults| {
        let line = |fault: &DayFault| FaultLine {
            pointer: "/date".into(),
            cause: fault.cause.clone(),
            mend: fault.mend.clone(),
        };
        Problem { faults: faults.iter().map(line).collect(), ..Problem::plain(CONFLICT) }
    })
}

/// A stored chart in a form for people or for other programs; `parent`: the one that it came from.
///
/// # Errors
/// When the facts of the site have changed so that the chart cannot be read with them.
pub fn shown(order: &Order, parent: Option<&str>) -> Result<String, Problem> {
    let chart: Value =
        serde_json::from_str(order.chart.as_deref().unwrap_or("{}")).unwrap_or_default();
    match order.media {
        Media::Csv => Ok(forms::csv::chart(&chart)),
        Media::Text => {
            if let Some(parent) = parent.filter(|_| chart["repair"].is_object())
                && let Some(said) = verbs::told_again(order, parent)?
            {
                return Ok(said);
            }
            let (_, day, plan) = judged(order)?;
            Ok(print_plan(&day, &plan, Look::default()))
        }
        Media::Calendar => {
            let date = chart.get("date").and_then(Value::as_str).and_then(|date| date.parse().ok());
            let scenario = order.read_scenario(date)?;
            let zone = scenario.site.time_zone.to_string();
            Ok(forms::calendar::calendar(&chart, &zone, order.adult.as_deref()))
        }
        _ => Ok(chart.to_string()),
    }
}
