//! Why a group is where it is.

use super::args::{Format, WhyArgs};
use super::plan::Posted;
use super::{Answer, Wrong, input, output};
use crate::page::text::print_why;
use crate::planner::{self, Options, WhyFault};
use crate::site::StationIndex;
use crate::wire::why::write_why;

pub(super) fn why(args: &WhyArgs) -> Result<Answer, Wrong> {
    let posted = Posted::read(&args.of.scenario, &args.of.chart)?;
    let (day, chart) = (&posted.day, &posted.chart);
    let ids = chart.groups.iter().map(|g| g.id.as_str());
    let mut wrong: Vec<String> = Vec::new();
    let groups = chart.groups.iter().map(|g| (g.id.as_str(), g.label.as_str()));
    let group = input::named(&args.group, groups);
    if group.is_none() {
        wrong.extend(input::unknown("--group", "small group", &args.group, ids).0);
    }
    let stations = day.site.stations.iter().map(|s| s.id.as_str());
    let not = args.not.as_ref().map(|id| (id, input::named(id, input::stations(&day.site))));
    if let Some((id, None)) = not {
        wrong.extend(input::unknown("--not", "station", id, stations).0);
    }
    if !wrong.is_empty() {
        return Err(Wrong(wrong));
    }
    let not = not.and_then(|(_, at)| at).map(StationIndex);
    let options = Options { seed: args.seed, ..Options::default() };
    let group = group.map_or("", |at| chart.groups[at].id.as_str());
    let asked = (group, args.at);
    let why = output::watched(&format!("Asking about {}", args.group), |watch| {
        planner::why_watched(day, chart, asked, not, &options, watch)
    });
    let why = why.map_err(|fault| {
        Wrong::one(match fault {
            WhyFault::NoGroup => format!("{}: there is no such small group", posted.name),
            WhyFault::NotHere => format!(
                "--at: nobody of `{}` is here at {}; give a minute at which the group has a place",
                args.group, args.at
            ),
        })
    })?;
    let text = match args.answer.format {
        Format::Text => print_why(day, chart, &why),
        Format::Json => write_why(day, chart, &why),
    };
    Ok(Answer { to: args.answer.out.clone(), ..Answer::plain(text) })
}
