//! The block check.

use super::args::{CheckArgs, Format};
use super::{Answer, Wrong, input};
use crate::chart::Chart;
use crate::day::Day;
use crate::page::text::print_check;
use crate::planner::check::{BlockQuestion, Verdict, check as answer};
use crate::site::{Span, StationIndex};
use crate::wire::chart::ChartDay;
use crate::wire::check::write_check;
use crate::wire::repair::read_posted;
use crate::wire::scenario::Scenario;
use std::path::Path;

pub(super) fn check(args: &CheckArgs) -> Result<Answer, Wrong> {
    let mut wrong: Vec<String> = Vec::new();
    let span = span(args, &mut wrong);
    let chart = match chart(args) {
        Ok(chart) => chart,
        Err(Wrong(lines)) => {
            wrong.extend(lines);
            None
        }
    };
    let (day, posted) = match day(args, chart.as_ref()) {
        Ok(found) => found,
        Err(Wrong(lines)) => {
            wrong.extend(lines);
            return Err(Wrong(wrong));
        }
    };
    let stations = stations(args, &day, &mut wrong);
    if let (Some(span), false) = (span, stations.is_empty()) {
        let faults = BlockQuestion { span, stations: stations.clone() }.faults(&day);
        wrong.extend(faults.iter().map(|f| format!("{}; {}", f.cause, f.mend)));
    }
    let (Some(span), true) = (span, wrong.is_empty()) else { return Err(Wrong(wrong)) };
    let check = answer(&day, posted.as_ref(), &BlockQuestion { span, stations });
    let text = match args.answer.format {
        Format::Text => print_check(&day, &check),
        Format::Json => write_check(&day, &check),
    };
    let exit = match check.verdict {
        Verdict::Go => 0,
        Verdict::NoGo => 1,
        Verdict::GoWithChanges => 3,
    };
    Ok(Answer { to: args.answer.out.clone(), exit, ..Answer::plain(text) })
}

/// From when to when; what is wrong with it goes to `wrong`.
fn span(args: &CheckArgs, wrong: &mut Vec<String>) -> Option<Span> {
    let mut minute = |flag: &str, text: &str| {
        let read = input::minute(text);
        if read.is_none() {
            let text = text.escape_debug();
            wrong.push(format!("{flag}: `{text}` is no clock time; write HH:MM, like 09:30"));
        }
        read
    };
    let (from, to) = (minute("--from", &args.from), minute("--to", &args.to));
    let (from, to) = (from?, to?);
    let span = Span::new(from, to);
    if span.is_none() {
        wrong.push(format!("--to: {to} is not after {from}; give a later time"));
    }
    span
}

/// The posted chart's file with the room and date that it is for.
fn chart(args: &CheckArgs) -> Result<Option<(input::Input, ChartDay)>, Wrong> {
    let Some(path) = &args.chart else { return Ok(None) };
    let standard = Path::new("-");
    if args.scenario == standard && path == standard {
        let cause = "standard input: scenario and chart cannot both be read from it";
        return Err(Wrong::one(format!("{cause}; give a file for one of them")));
    }
    let file = input::read(path)?;
    let of = input::chart_day(&file)?;
    let mut wrong = Vec::new();
    if let Some(date) = args.date.filter(|date| *date != of.date) {
        wrong.push(format!("--date: the chart is for {}, not {date}; leave --date out", of.date));
    }
    if let Some(room) = args.room.as_ref().filter(|room| **room != of.room) {
        let room = room.escape_debug();
        wrong.push(format!(
            "--room: the chart is for `{}`, not `{room}`; leave --room out",
            of.room
        ));
    }
    if wrong.is_empty() { Ok(Some((file, of))) } else { Err(Wrong(wrong)) }
}

fn day(
    args: &CheckArgs,
    chart: Option<&(input::Input, ChartDay)>,
) -> Result<(Day, Option<Chart>), Wrong> {
    let file = input::read(&args.scenario)?;
    let date = chart.map(|(_, of)| of.date).or(args.date);
    let scenario: Scenario = input::scenario(&file, date)?;
    let room = match chart {
        Some((chart, of)) => input::room_of(chart, of, &scenario)?,
        None => input::room(&file, &scenario, args.room.as_deref())?,
    };
    let day = input::open(&file, &scenario, room, date.unwrap_or(scenario.date))?;
    // A repaired chart knows who came in for the morning, who is held up and what was closed.
    let Some((chart, _)) = chart else { return Ok((day, None)) };
    let read = read_posted(&chart.bytes, &day).map_err(|found| input::faults(chart, &found))?;
    Ok((read.day, Some(read.chart)))
}

/// The stations that are named, by id or by what stands there that day.
fn stations(args: &CheckArgs, day: &Day, wrong: &mut Vec<String>) -> Vec<StationIndex> {
    let mut found = Vec::new();
    let ids = day.site.stations.iter().map(|s| s.id.as_str());
    for id in &args.station {
        match input::named(id, input::stations(&day.site)) {
            Some(at) => found.push(StationIndex(at)),
            None => wrong.extend(input::unknown("--station", "station", id, ids.clone()).0),
        }
    }
    let named = day.activities.iter().flatten().map(String::as_str);
    for activity in &args.activity {
        let at = |a: &Option<String>| {
            a.as_ref().is_some_and(|a| a.to_lowercase() == activity.to_lowercase())
        };
        let stand: Vec<usize> =
            (0..day.activities.len()).filter(|s| at(&day.activities[*s])).collect();
        if stand.is_empty() && named.clone().next().is_none() {
            let name = activity.escape_debug();
            wrong.push(format!(
                "--activity: nothing is on offer on {}, so no `{name}`; name the --station",
                day.date
            ));
        } else if stand.is_empty() {
            wrong.extend(input::unknown("--activity", "activity", activity, named.clone()).0);
        }
        found.extend(stand.into_iter().map(StationIndex));
    }
    found
}
