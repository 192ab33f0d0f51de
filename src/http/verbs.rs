//! The verbs of a day that runs: what has happened is repaired, a block is checked, a group's place explained.

use super::form::Given;
use super::media::Media;
use super::problem::{CONFLICT, FACTS, FaultLine, LONG, Problem};
use super::solver::Ticket;
use super::work::{Order, Outcome, facts_of, open, options, outcome_of, room};
use crate::day::{Day, HappeningFault};
use crate::page::text::{Look, print_check, print_repair, print_why};
use crate::planner::check::{BlockQuestion, QuestionFault, check as ask};
use crate::planner::{self, Mended, Watch, WhyFault};
use crate::site::{Minute, Span, StationIndex};
use crate::wire::chart::read_chart_day;
use crate::wire::check::check_json;
use crate::wire::nearest;
use crate::wire::repair::{Posted, read_happenings, read_posted, read_said, write_mended};
use crate::wire::why::why_json;
use serde_json::{Value, json};

/// Repairs the rest of a day.
pub(super) fn repair(order: &Order, ticket: &Ticket) -> Result<Outcome, Problem> {
    let (scenario, posted) = order.posted()?;
    let Posted { day, chart, edited } = posted;
    let happenings =
        order.given.json("happenings").and_then(|text| serde_json::from_str(&text).ok());
    let happenings: Value = happenings.unwrap_or_else(|| json!([]));
    let told = json!({"format": 1, "at": order.given.text("at"), "happenings": happenings});
    let told = read_happenings(told.to_string().as_bytes(), &day)
        .map_err(|faults| Problem::faults(FACTS, "", &faults))?;
    let at = told.at.unwrap_or(day.schedule.open.from);
    let list: Vec<_> = told.list.into_iter().map(|told| told.what).collect();
    let mut tell = |progress| ticket.tell(progress);
    let mut watch = Watch::by(&mut tell);
    let before = (&chart, None);
    let repaired = planner::repair_watched(&day, before, at, &list, &options(order), &mut watch);
    let mut repaired = repaired.map_err(|faults| {
        let line = |fault: HappeningFault| FaultLine {
            pointer: format!("/happenings/{}", fault.about),
            cause: fault.cause,
            mend: fault.mend,
        };
        Problem { faults: faults.into_iter().map(line).collect(), ..Problem::plain(FACTS) }
    })?;
    repaired.plan.assumed = scenario.assumed_sentences();
    ticket.tell_so_far(|| compact(&write_mended(&chart, &Mended::before_fixes(repaired.clone()))));
    let take = order.given.number("fix").and_then(|n| usize::try_from(n).ok());
    let mended = planner::mended(&day, &chart, repaired, take, &options(order), &mut watch);
    if ticket.is_called_off() {
        return Err(Problem::plain(LONG));
    }
    let mended = mended
        .map_err(|none| one(facts_of("/fix", &none.cause(), "leave it out to see what is")))?;
    let repaired = &mended.repaired;
    let text = || print_repair(repaired, &mended.said(), &chart.blocks, edited, Look::default());
    let json = || compact(&write_mended(&chart, &mended));
    // A chart that is kept is kept as JSON, whatever the answer is.
    let (body, said) = match (order.media, order.chart_at) {
        (Media::Text, Some(_)) => (text(), None),
        (Media::Text, None) => (json(), Some(text())),
        _ => (json(), None),
    };
    let safe_to_run = repaired.safe_to_run();
    Ok(Outcome { said, ..outcome_of(&repaired.day, safe_to_run, body) })
}

/// What a kept repair said when it was made, where it and the chart that it is a repair of can still
/// be read; `None`: the chart is no repair.
pub(super) fn told_again(order: &Order, parent: &str) -> Result<Option<String>, Problem> {
    let (_, posted) = order.posted()?;
    let file: Value =
        serde_json::from_str(order.chart.as_deref().unwrap_or("{}")).unwrap_or_default();
    let at = file["made"]["fixed_until"].as_str().and_then(Minute::parse);
    let (Some(said), Some(at)) = (read_said(&file), at) else { return Ok(None) };
    let before = Order { chart: Some(parent.to_owned()), ..order.clone() };
    let (_, before) = before.posted()?;
    let bound = file["repair"]["moved"]["bound"].as_u64().and_then(|n| u32::try_from(n).ok());
    let was = (&before.day, &before.chart);
    let repaired = planner::retold(was, (posted.day, posted.chart), at, bound);
    let (blocks, edited) = (&before.chart.blocks, before.edited);
    Ok(Some(print_repair(&repaired, &said, blocks, edited, Look::default())))
}

/// The same JSON without its line breaks.
fn compact(text: &str) -> String {
    serde_json::from_str::<Value>(text).map_or_else(|_| text.to_owned(), |value| value.to_string())
}

/// Checks a block, over a chart or over the facts of the day alone.
pub(super) fn check(order: &Order) -> Result<Outcome, Problem> {
    let (day, chart) = match &order.chart {
        Some(_) => {
            let (_, posted) = order.posted()?;
            (posted.day, Some(posted.chart))
        }
        None => {
            let date = order.given.date("date");
            let scenario = order.read_scenario(date)?;
            let room = room(&scenario, order.given.text("room"))?;
            (open(&scenario, room, date.unwrap_or(scenario.date))?, None)
        }
    };
    let question = question(&day, &order.given)?;
    let answer = ask(&day, chart.as_ref(), &question);
    let body = match order.media {
        Media::Text => print_check(&day, &answer),
        _ => check_json(&day, &answer).to_string(),
    };
    Ok(outcome_of(&day, answer.verdict == planner::check::Verdict::Go, body))
}

fn question(day: &Day, given: &Given) -> Result<BlockQuestion, Problem> {
    let minute = |name: &str| given.text(name).and_then(Minute::parse);
    let span = minute("from").zip(minute("to")).and_then(|(from, to)| Span::new(from, to));
    let mut faults = Vec::new();
    if span.is_none() {
        faults.push(facts_of("/to", "this is not after `from`", "give a later time"));
    }
    let mut stations = Vec::new();
    for (at, id) in given.ids("stations").unwrap_or_default().into_iter().enumerate() {
        match station(day, id, &format!("/stations/{at}")) {
            Ok(station) => stations.push(station),
            Err(fault) => faults.push(fault),
        }
    }
    match span {
        Some(span) if faults.is_empty() => {
            let question = BlockQuestion { span, stations };
            let line = |fault: QuestionFault| facts_of("", &fault.cause, &fault.mend);
            let faults: Vec<FaultLine> = question.faults(day).into_iter().map(line).collect();
            if faults.is_empty() {
                return Ok(question);
            }
            Err(Problem { faults, ..Problem::plain(CONFLICT) })
        }
        _ => Err(Problem { faults, ..Problem::plain(FACTS) }),
    }
}

/// Says why a group is where it is.
pub(super) fn why(order: &Order, ticket: &Ticket) -> Result<Outcome, Problem> {
    let (_, Posted { day, chart, .. }) = order.posted()?;
    let given = &order.given;
    let group = given.text("group").unwrap_or_default();
    let at = given.text("at").and_then(Minute::parse).unwrap_or(day.schedule.open.from);
    let not = match given.text("not") {
        Some(id) => Some(station(&day, id, "/not").map_err(one)?),
        None => None,
    };
    let mut tell = |progress| ticket.tell(progress);
    let mut watch = Watch::by(&mut tell);
    let told = planner::why_watched(&day, &chart, (group, at), not, &options(order), &mut watch);
    if ticket.is_called_off() {
        return Err(Problem::plain(LONG));
    }
    let told = told.map_err(|fault| {
        one(match fault {
            WhyFault::NoGroup => {
                let ids: Vec<&str> = chart.groups.iter().map(|g| g.id.as_str()).collect();
                facts_of(
                    "/group",
                    "there is no such small group",
                    &format!("give one of {}", ids.join(", ")),
                )
            }
            WhyFault::NotHere => facts_of(
                "/at",
                "nobody of the group is here then",
                "give a minute at which it has a place",
            ),
        })
    })?;
    let body = match order.media {
        Media::Text => print_why(&day, &chart, &told),
        _ => why_json(&day, &chart, &told).to_string(),
    };
    Ok(outcome_of(&day, true, body))
}

fn one(fault: FaultLine) -> Problem {
    Problem { faults: vec![fault], ..Problem::plain(FACTS) }
}

/// The station of an id that stands at `place` in the body.
fn station(day: &Day, id: &str, place: &str) -> Result<StationIndex, FaultLine> {
    let ids = || day.site.stations.iter().map(|station| station.id.as_str());
    ids().position(|known| known == id).map(StationIndex).ok_or_else(|| {
        let mend = match nearest(id, ids()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "give the id of a station".to_owned(),
        };
        facts_of(place, "there is no such station", &mend)
    })
}

impl Order {
    /// The chart that came along, with the day that it is for: after all that had happened when it
    /// was drawn.
    pub(super) fn posted(&self) -> Result<(crate::wire::scenario::Scenario, Posted), Problem> {
        let bytes = self.chart.as_deref().unwrap_or_default().as_bytes();
        let of = read_chart_day(bytes).map_err(|faults| self.chart_fault(&faults))?;
        let scenario = self.read_scenario(Some(of.date))?;
        let room = room(&scenario, Some(&of.room))?;
        let day = open(&scenario, room, of.date)?;
        let posted = read_posted(bytes, &day).map_err(|faults| self.chart_fault(&faults))?;
        Ok((scenario, posted))
    }
}
