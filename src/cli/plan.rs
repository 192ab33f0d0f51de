//! Make and audit.

use super::args::{AuditArgs, Format, LookArgs, MakeArgs};
use super::{Answer, Wrong, input, output};
use crate::chart::Chart;
use crate::day::Day;
use crate::page::text::{Look, print_audit, print_plan};
use crate::planner::{self, Options, Plan};
use crate::site::AdultIndex;
use crate::wire::chart::{read_chart_day, write_chart};
use crate::wire::repair::read_posted;
use crate::wire::scenario::Scenario;
use std::path::Path;

pub(super) fn make(args: &MakeArgs) -> Result<Answer, Wrong> {
    let (scenario, day) = input::day(&args.of)?;
    let look = look(&day, &args.look)?;
    let options = Options { seed: args.of.seed, ..Options::default() };
    let line = format!("Planning {}, {}", day.site[day.room].label, day.date);
    let mut plan = output::watched(&line, |watch| planner::make_watched(&day, &options, watch));
    plan.assumed = scenario.assumed_sentences();
    Ok(answer(&day, &plan, &args.look, |plan| print_plan(&day, plan, look)))
}

pub(super) fn audit(args: &AuditArgs) -> Result<Answer, Wrong> {
    let posted = Posted::read(&args.of.scenario, &args.of.chart)?;
    let look = look(&posted.day, &args.look)?;
    let mut plan = planner::audit(&posted.day, posted.chart);
    plan.assumed = posted.scenario.assumed_sentences();
    Ok(answer(&posted.day, &plan, &args.look, |plan| print_audit(&posted.day, plan, look)))
}

/// A chart that somebody brings, with the day that it is of.
pub(super) struct Posted {
    pub scenario: Scenario,
    pub day: Day,
    pub chart: Chart,
    /// It is not as it was made: somebody edited it.
    pub edited: bool,
    /// What the chart's file is called in messages.
    pub name: String,
}

impl Posted {
    /// Reads a scenario and a chart of one of its days; the faults of both at once.
    pub(super) fn read(scenario: &Path, chart: &Path) -> Result<Posted, Wrong> {
        let standard = Path::new("-");
        if scenario == standard && chart == standard {
            let cause = "standard input: scenario and chart cannot both be read from it";
            return Err(Wrong::one(format!("{cause}; give a file for one of them")));
        }
        let (file, chart) = (input::read(scenario)?, input::read(chart)?);
        let of = input::chart_day(&chart);
        // Without the chart's date the scenario is read for its own first day, to tell its faults too.
        let scenario = input::scenario(&file, of.as_ref().ok().map(|of| of.date));
        let (of, scenario) = match (of, scenario) {
            (Ok(of), Ok(scenario)) => (of, scenario),
            (_, Err(_)) if read_chart_day(&file.bytes).is_ok() => {
                let cause = "this is a chart, and the scenario comes first";
                let mend = "give the scenario, then the chart";
                return Err(Wrong::one(format!("{}: {cause}; {mend}", file.name)));
            }
            (of, scenario) => {
                let mut lines = scenario.err().map_or_else(Vec::new, |Wrong(lines)| lines);
                lines.extend(of.err().map_or_else(Vec::new, |Wrong(lines)| lines));
                return Err(Wrong(lines));
            }
        };
        let room = input::room_of(&chart, &of, &scenario)?;
        let day = input::open(&file, &scenario, room, of.date)?;
        let read = read_posted(&chart.bytes, &day);
        let read = read.map_err(|found| input::faults(&chart, &found))?;
        let (day, edited) = (read.day, read.edited);
        Ok(Posted { scenario, day, chart: read.chart, edited, name: chart.name })
    }
}

fn answer(day: &Day, plan: &Plan, look: &LookArgs, print: impl Fn(&Plan) -> String) -> Answer {
    let text = match look.format {
        Format::Text => print(plan),
        Format::Json => write_chart(day, plan),
    };
    Answer { to: look.out.clone(), exit: u8::from(!plan.safe_to_run()), ..Answer::plain(text) }
}

pub(super) fn look(day: &Day, args: &LookArgs) -> Result<Look, Wrong> {
    let adult = match &args.adult {
        None => None,
        Some(id) => {
            let ids = day.site.adults.iter().map(|a| a.id.as_str());
            let found = input::named(id, input::adults(&day.site));
            Some(AdultIndex(found.ok_or_else(|| input::unknown("--adult", "adult", id, ids))?))
        }
    };
    Ok(Look { verbose: args.verbose, adult })
}
