//! The model behind a chart, for other solvers.

use super::args::ModelArgs;
use super::{Answer, Wrong, input, output};
use crate::day::Day;
use crate::planner::{Options, Passes, passes};
use crate::wire::passes::write_passes;
use std::path::{Path, PathBuf};

pub(super) fn model(args: &ModelArgs) -> Result<Answer, Wrong> {
    let (_, day) = input::day(&args.of)?;
    let all = args.aim.as_deref() == Some("all");
    if all && args.out.as_deref().and_then(Path::file_stem).is_none() {
        let mend = "add --out and a name like day.mps";
        return Err(Wrong::one(format!("--aim all: this writes several files; {mend}")));
    }
    if let Some(aim) = args.aim.as_deref().filter(|_| !all) {
        position(aim)?;
    }
    let options = Options { seed: args.of.seed, ..Options::default() };
    let line = format!("Planning {}, {}", day.site[day.room].label, day.date);
    let passes = output::watched(&line, |watch| passes(&day, &options, watch));
    if let (true, Some(out)) = (all, &args.out) {
        return Ok(every(&day, &passes, out));
    }
    let at = match &args.aim {
        Some(aim) => position(aim)?,
        None => passes.open().next_back().unwrap_or(passes.passes.len() - 1),
    };
    Ok(Answer { to: args.out.clone(), ..Answer::plain(passes.mps(at)) })
}

/// The passes that take solving, and then what is claimed of all of them: whoever finds that file
/// finds all the others.
fn every(day: &Day, passes: &Passes, out: &Path) -> Answer {
    let name = |slug: &str| {
        let mut name = out.file_stem().unwrap_or_default().to_owned();
        name.push(format!("-{slug}.mps"));
        name
    };
    let beside = |slug: &str| out.with_file_name(name(slug));
    let file = |at: usize| (beside(passes.passes[at].slug), passes.mps(at));
    let before: Vec<(PathBuf, String)> = passes.open().map(file).collect();
    let text = write_passes(day, passes, |slug| name(slug).to_string_lossy().into_owned());
    Answer { before, to: Some(out.with_extension("json")), ..Answer::plain(text) }
}

/// The pass that a slug or a number names.
fn position(aim: &str) -> Result<usize, Wrong> {
    let slugs = crate::planner::pass_slugs();
    let number = aim.parse().ok().filter(|n| (1..=slugs.len()).contains(n));
    let named = slugs.iter().position(|slug| *slug == aim);
    let found = named.or(number.map(|n| n - 1));
    found.ok_or_else(|| input::unknown("--aim", "rule or aim", aim, slugs.iter().copied()))
}
