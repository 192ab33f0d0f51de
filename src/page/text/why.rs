//! Why a group is where it is, in sentences.

use super::lines::Page;
use crate::chart::{BlockKind, Chart, Place};
use crate::day::Day;
use crate::planner::{Against, CAUTION, Other, Why};
use crate::rules::{self, AIMS};
use crate::say;

/// The answer to "why here, and not there?".
#[must_use]
pub fn print_why(day: &Day, chart: &Chart, why: &Why) -> String {
    let mut page = Page::default();
    let group = &chart.groups[why.group];
    let space = group.cells.iter().find(|c| c.span == why.span).map(|c| c.space);
    let open = match why.here {
        Place::Choice(k) => chart.choices.get(k.0).map_or(&[][..], |c| &c.open),
        _ => &[],
    };
    let space = space.unwrap_or(day.site[day.room].home);
    let place = say::place::of_children(day, why.here, space, open);
    page.line(&format!("{}, {}: {place}.", group.label, say::clock(why.span)));
    page.gap();
    if why.others.is_empty() {
        page.wrapped("", &block_words(day, why));
    } else {
        page.wrapped("", summary(day, why));
        if let Against::Better { of, by } = why.all_the_same
            && day.happened.is_empty()
        {
            let better = amount(of, by, "fewer");
            page.wrapped(
                "",
                &format!("With the group where it is, another seed may find {better}."),
            );
        }
        // One line for all the places that the same thing speaks against.
        let mut lines: Vec<(Vec<String>, String)> = Vec::new();
        for other in &why.others {
            let words = against(day, other);
            let names: Vec<String> =
                other.stations.iter().map(|s| day.station(*s).label.clone()).collect();
            match lines.iter_mut().find(|line| line.1 == words) {
                Some(line) => line.0.push(names.join(", ")),
                None => lines.push((vec![names.join(", ")], words)),
            }
        }
        for (places, words) in lines {
            let several = places.iter().any(|p| p.contains(", "));
            page.wrapped(
                "  ",
                &format!("{}: {words}", places.join(if several { "; " } else { ", " })),
            );
        }
    }
    page.gap();
    page.wrapped("", CAUTION);
    page.into_text()
}

fn summary(day: &Day, why: &Why) -> &'static str {
    let better = |o: &Other| matches!(o.against, Against::Better { .. });
    let equal = |o: &Other| o.against == Against::Nothing;
    if why.others.iter().any(better) && !day.happened.is_empty() {
        "The rest of this day was repaired with as few children moved as can be: that comes before \
         all wishes, so a place marked below may serve the rest of the day better."
    } else if why.others.iter().any(better) {
        "A place marked below would serve the day better. Where the chart was edited by hand, make \
         it anew; else try another seed."
    } else if why.others.iter().any(equal) {
        "Some places would do as well, with the rest of the day arranged around them; the others \
         break a rule or cost more."
    } else {
        "Every other place breaks a rule or costs more, however the rest of the day is arranged \
         around it (same blocks, same small groups)."
    }
}

fn block_words(day: &Day, why: &Why) -> String {
    let window = |kind| day.schedule.meal(kind).map(|m| m.window);
    let because = match why.block {
        BlockKind::Turn => return "No other place was found to ask about.".into(),
        BlockKind::Meal(kind) => window(kind).map(|w| {
            format!("; {} is to be eaten between {} and {}", say::block::meal(kind), w.from, w.to)
        }),
        BlockKind::Rest => {
            day.schedule.rest.as_ref().map(|r| {
                format!("; the rest is to lie between {} and {}", r.window.from, r.window.to)
            })
        }
        _ => None,
    };
    format!(
        "This is not a turn: the blocks of the room's day decide it, for everybody in it{}.",
        because.unwrap_or_default()
    )
}

fn against(day: &Day, other: &Other) -> String {
    match &other.against {
        Against::Nothing => "as good.".into(),
        Against::Better { of, by } => format!("BETTER: {}.", amount(of, *by, "fewer")),
        Against::Aim { of, by } => format!("costs {}.", amount(of, *by, "more")),
        Against::Rule { problem } | Against::Barred { problem } => rules::rule(problem.rule)
            .map_or_else(|| problem.rule.to_owned(), |rule| (rule.words)(day, problem)),
        Against::Seats { seats, children } => {
            format!("has {seats} seats, and the group has {children} children.")
        }
        Against::Young => "children this young are not sent to one station: a few are open around \
                           their own adult."
            .into(),
    }
}

/// So much more or fewer of what an aim counts, or of the minutes of a rule.
fn amount(of: &str, by: u64, how: &str) -> String {
    let one = by == 1;
    match AIMS.iter().find(|a| a.slug == of) {
        Some(aim) => {
            let unit = if one { aim.unit_of_one } else { aim.unit };
            format!("{by} {how} {unit} ({})", of.replace('-', " "))
        }
        None => format!("{by} {how} {} ({of})", if one { "minute" } else { "minutes" }),
    }
}
