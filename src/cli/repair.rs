//! Repair: what has happened, by flags or in a file, and the rest of the day.

use super::args::{Format, RepairArgs, clock};
use super::told::told;
use super::{Answer, Wrong, input, output, plan};
use crate::day::HappeningFault;
use crate::page::text::{print_fixes, print_repair};
use crate::planner::{self, Before, FixesSaid, Options};
use crate::say::counted;
use crate::say::counter::grade;
use crate::wire::repair::{Told, ToldFile, read_happenings, write_mended};
use std::path::Path;

pub(super) fn repair(args: &RepairArgs) -> Result<Answer, Wrong> {
    let more = [args.happenings.as_ref(), args.before.as_ref()];
    let inputs = [Some(&args.scenario), Some(&args.chart)].into_iter().chain(more);
    let standard = Path::new("-");
    if inputs.flatten().filter(|p| p.as_path() == standard).count() > 1 {
        let cause = "standard input: only one of the files can be read from it";
        return Err(Wrong::one(format!("{cause}; give files for the others")));
    }
    let read = plan::Posted::read(&args.scenario, &args.chart)?;
    let plan::Posted { scenario, day, chart: posted, edited, .. } = read;
    let look = plan::look(&day, &args.look)?;
    let before = match &args.before {
        Some(path) => Some(plan::Posted::read(&args.scenario, path)?),
        None => None,
    };
    let mut wrong: Vec<String> = Vec::new();
    let mut file_of: Option<input::Input> = None;
    let mut faulty = false;
    let mut told_file = ToldFile { at: None, list: Vec::new() };
    let mut at = None;
    match args.at.as_deref().map(clock) {
        Some(Ok(said)) => at = Some(said),
        Some(Err(mend)) => {
            let said = args.at.as_deref().unwrap_or_default().escape_debug();
            wrong.push(format!("--at: `{said}` is not a clock time; {mend}"));
        }
        None => {}
    }
    if let Some(path) = &args.happenings {
        let happenings = input::read(path)?;
        match read_happenings(&happenings.bytes, &day) {
            Ok(read) => told_file = read,
            Err(found) => {
                faulty = true;
                wrong.extend(input::faults(&happenings, &found).0);
            }
        }
        file_of = Some(happenings);
    }
    let flags = told(args, &day).unwrap_or_else(|found| {
        wrong.extend(found);
        Vec::new()
    });
    let at = at.or(told_file.at);
    // A file with faults may say it.
    if at.is_none() && args.at.is_none() && !faulty {
        wrong.push("--at: it is not said from when on; add --at HH:MM".to_owned());
    }
    let Some(at) = at.filter(|_| wrong.is_empty()) else { return Err(Wrong(wrong)) };
    let happenings: Vec<_> = told_file
        .list
        .iter()
        .map(|t| t.what.clone())
        .chain(flags.iter().map(|(_, what)| what.clone()))
        .collect();
    let options = Options { seed: args.seed, ..Options::default() };
    let before = before.as_ref().map(|b| Before { day: &b.day, chart: &b.chart });
    let line = format!("Repairing {} from {at}", day.site[day.room].label);
    let posts = (&posted, before);
    let repaired = output::watched(&line, |watch| {
        planner::repair_watched(&day, posts, at, &happenings, &options, watch)
    });
    let repaired = repaired.map_err(|faults| {
        let line = |fault: &HappeningFault| {
            let HappeningFault { about, cause, mend } = fault;
            match (told_file.list.get(*about), &file_of) {
                (Some(Told { place, .. }), Some(file)) => {
                    let mut place = place.clone();
                    (place.cause, place.mend) = (cause.clone(), mend.clone());
                    format!("{}: {place}", file.name)
                }
                _ => {
                    let flag = flags.get(about.saturating_sub(told_file.list.len()));
                    let flag = flag.map_or("--at", |(flag, _)| flag.as_str());
                    format!("{flag}: {cause}; {mend}")
                }
            }
        };
        Wrong(faults.iter().map(line).collect())
    })?;
    let mut repaired = repaired;
    repaired.plan.assumed = scenario.assumed_sentences();
    // Who sits at a terminal reads the rest of the day while what would mend it is looked for.
    let first = args.look.out.is_none() && args.look.format == Format::Text && args.fix.is_none();
    let first = first && !repaired.safe_to_run() && output::is_read_at_once();
    if first {
        let said = FixesSaid::awaited();
        output::print(&print_repair(&repaired, &said, &posted.blocks, edited, look))
            .map_err(Wrong::one)?;
    }
    let mended = output::watched("What would mend it", |watch| {
        planner::mended(&day, &posted, repaired, args.fix, &options, watch)
    });
    let mended = mended.map_err(|none| {
        let number = args.fix.unwrap_or_default();
        Wrong::one(format!("--fix {number}: {}; leave it out to see what is", none.cause()))
    })?;
    let text = match args.look.format {
        Format::Text if first => print_fixes(&mended.repaired, &mended.said()),
        Format::Text => {
            print_repair(&mended.repaired, &mended.said(), &posted.blocks, edited, look)
        }
        Format::Json => write_mended(&posted, &mended),
    };
    let exit = u8::from(!mended.repaired.safe_to_run());
    let safe = mended.repaired.plan.nothing_unsafe_ahead();
    let written = Some(match mended.repaired.problems_ahead().count() {
        0 => "safe to run".to_owned(),
        n => format!("{}, {}", grade(safe, false), counted(n, "problem", "problems")),
    });
    Ok(Answer { to: args.look.out.clone(), written, exit, ..Answer::plain(text) })
}
