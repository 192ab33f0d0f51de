//! How well the chart serves the aims, how many more could join, what was assumed.

use super::lines::{Page, list, pad, width};
use crate::day::Day;
use crate::planner::{AGE_RANGES, AgeRange, AimValue, Plan, ROOM_FOR_MOST, RoomFor, tightest};
use crate::say::clock;
use crate::site::SpaceIndex;

/// All of it.
pub(super) fn all(day: &Day, plan: &Plan, page: &mut Page) {
    aims(plan, page);
    room_for(day, plan, page);
    assumed(plan, page);
    made(plan, page);
}

/// The aims that are not wholly met, with what the chart has and whether it could be better, and
/// those that are.
fn aims(plan: &Plan, page: &mut Page) {
    if plan.aims.is_empty() {
        return;
    }
    page.heading("How well it serves the wishes, most wanted first (0 is best)");
    let name = |aim: &AimValue| aim.slug.replace('-', " ");
    let (met, short): (Vec<&AimValue>, Vec<&AimValue>) =
        plan.aims.iter().partition(|aim| aim.value == 0);
    let names = short.iter().map(|aim| width(aim.slug)).max().unwrap_or(0) + 2;
    let digits = short.iter().map(|aim| aim.value.to_string().len()).max().unwrap_or(0);
    for aim in short {
        let best = match aim.bound {
            Some(bound) if bound >= aim.value => {
                " (no better with these blocks and whole groups)".into()
            }
            Some(bound) => format!(" (so at best {bound})"),
            None => String::new(),
        };
        let unit = if aim.value == 1 { aim.unit_of_one } else { aim.unit };
        let start = format!("  {}{:>digits$}  ", pad(&name(aim), names), aim.value);
        page.wrapped(&start, &format!("{unit}{best}"));
    }
    if !met.is_empty() {
        let met: Vec<String> = met.into_iter().map(name).collect();
        page.wrapped("  Wholly met: ", &format!("{}.", met.join(", ")));
    }
    if let Some(shown) = shown(plan) {
        page.wrapped("  ", &shown);
    }
}

/// How far the bounds reach: down to the first wish that could be better, as far as anybody knows.
fn shown(plan: &Plan) -> Option<String> {
    if plan.aims.iter().all(|aim| aim.bound.is_none() || aim.value == 0) {
        return None;
    }
    let name = |aim: &AimValue| format!("\u{201c}{}\u{201d}", aim.slug.replace('-', " "));
    let scope = "with these blocks and whole groups";
    let open = plan.aims.iter().position(|aim| aim.bound.is_none_or(|bound| bound < aim.value));
    let Some(open) = open else {
        return Some(format!("Proven {scope}: no chart serves them better. {TRIED}"));
    };
    let aim = &plan.aims[open];
    let then = match aim.bound {
        Some(bound) => format!("{} may be up to {} better", name(aim), aim.value - bound),
        None => format!("nothing is shown of {}", name(aim)),
    };
    Some(match open.checked_sub(1) {
        Some(last) => {
            let last = name(&plan.aims[last]);
            format!("As far as {last} they are proven best {scope}; {then}. {TRIED}")
        }
        None => format!("Not proven best {scope}: {then}."),
    })
}

/// What no claim covers, though a teacher can do it by hand.
const TRIED: &str = "One child beside another group, or other blocks, may serve them better still.";

/// How many more could join: what holds all day, and by the clock where more is asked for.
fn room_for(day: &Day, plan: &Plan, page: &mut Page) {
    let mut spaces: Vec<SpaceIndex> = plan.room_for.iter().map(|r| r.space).collect();
    spaces.dedup();
    if spaces.is_empty() {
        return;
    }
    page.heading("Could I take one more? So many of one age before another adult must come");
    let mut rows: Vec<(String, Vec<(AgeRange, u32)>)> = Vec::new();
    for space in spaces {
        let label = &day.site[space].label;
        let here = || plan.room_for.iter().filter(|r| r.space == space);
        let all_day = if here().count() == 1 { "" } else { ", all day" };
        rows.push((format!("{label}{all_day}"), tightest(&plan.room_for, space)));
        if here().count() > 1 {
            let by_clock = |r: &RoomFor| (format!("  {}", clock(r.span)), r.more.clone());
            rows.extend(here().map(by_clock));
        }
    }
    if rows.iter().all(|(_, more)| more.iter().all(|(_, n)| *n == 0)) {
        page.line("  No, of any age, at any time.");
        return;
    }
    let names = rows.iter().map(|(name, _)| width(name)).max().unwrap_or(0) + 2;
    let head: Vec<String> = AGE_RANGES.iter().map(|r| pad(&super::check::age(*r), 10)).collect();
    page.line(&format!("  {}{}", " ".repeat(names), head.join("  ")));
    for (name, more) in rows {
        let cells: Vec<String> = more.iter().map(|(_, n)| pad(&so_many(*n), 10)).collect();
        page.line(&format!("  {}{}", pad(&name, names), cells.join("  ")));
    }
}

fn so_many(more: u32) -> String {
    match more {
        0 => "none".to_owned(),
        ROOM_FOR_MOST => format!("{more}+"),
        more => more.to_string(),
    }
}

/// What stood in for facts that nobody gave.
fn assumed(plan: &Plan, page: &mut Page) {
    if !plan.assumed.is_empty() {
        page.heading("Assumed, where nothing was said");
        plan.assumed.iter().for_each(|sentence| page.wrapped("  ", sentence));
    }
}

/// How the chart came about.
fn made(plan: &Plan, page: &mut Page) {
    let made = &plan.made;
    page.heading("How it was made");
    let standards = made.standards.iter().map(|s| format!("{} ({})", s.id, s.edition));
    let standards: Vec<String> = standards.collect();
    let mut said = vec![format!("fairturn {}", made.version)];
    said.extend(made.seed.map(|seed| format!("seed {seed}")));
    said.extend(made.solver.clone());
    said.extend(made.stopped_by.as_ref().map(|why| format!("stopped by {why}")));
    said.extend(made.proof_scope.as_ref().map(|scope| format!("shown for {scope}")));
    said.push(format!("judged by {}", list(&standards)));
    said.push(format!("facts {}", made.facts_digest.get(..12).unwrap_or(&made.facts_digest)));
    page.wrapped("  ", &said.join("; "));
}
