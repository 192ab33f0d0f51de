//! What a comparison says, as text: the same bytes for the same results.

use super::judge::{Comparison, Difference, Named, Outcome, Pair};
use std::fmt::Write;

/// Problems of a room that are shown before the rest is only counted.
const SHOWN: usize = 12;

/// Everything that differs; `each`: with the rules, aims and problems of every room that differs.
///
/// `words` says what a room is.
pub fn comparison(
    of: &Comparison<'_>,
    named: &Named,
    each: bool,
    words: &dyn Fn(&str) -> String,
) -> String {
    let safe = |of_pair: fn(&Pair<'_>) -> bool| of.pairs.iter().filter(|p| of_pair(p)).count();
    let (before, now) = (safe(|p| p.before.safe), safe(|p| p.now.safe));
    let mut out = format!("{}: {before} safe before, {now} now.\n", rooms(of.pairs.len()));
    if of.is_same() {
        out += "Nothing differs.\n";
    } else {
        tables_differ(&mut out, of);
        for safe in [false, true] {
            turned(&mut out, of, named, safe, words);
        }
        for by_rule in [true, false] {
            for worse in [true, false] {
                firsts(&mut out, of, by_rule, worse);
            }
        }
        other_problems(&mut out, of);
        if each {
            for pair in &of.pairs {
                let _ = writeln!(out, "\n{} {}", pair.now.room, words(&pair.now.room));
                differences(&mut out, of, *pair, usize::MAX);
            }
        }
        table(&mut out, of);
    }
    idle(&mut out, of, named);
    out
}

fn rooms(count: usize) -> String {
    if count == 1 { "1 room".into() } else { format!("{count} rooms") }
}

fn turned_so(safe: bool) -> &'static str {
    if safe { "safe" } else { "unsafe" }
}

/// Rules and aims that only one of the two tables has.
fn tables_differ(out: &mut String, of: &Comparison<'_>) {
    for slug in &of.new {
        let broken = of.pairs.iter().filter(|p| p.now.of_rule(slug) > 0).count();
        let all: i64 = of.pairs.iter().map(|p| p.now.of_rule(slug) + p.now.of_aim(slug)).sum();
        let _ = writeln!(
            out,
            "New: {slug}, {all} in all, broken in {}; it is worse or better once results with it \
             are kept.",
            rooms(broken)
        );
    }
    for slug in &of.gone {
        let _ = writeln!(out, "Gone: {slug}.");
    }
}

/// The rooms that turned safe or unsafe, with what differs and the reason that is named.
fn turned(
    out: &mut String,
    of: &Comparison<'_>,
    named: &Named,
    safe: bool,
    words: &dyn Fn(&str) -> String,
) {
    let turned = of.turned(safe);
    let _ = writeln!(out, "\nTurned {}: {}.", turned_so(safe), rooms(turned.len()));
    for pair in turned {
        let room = &pair.now.room;
        let _ = writeln!(out, "  {room} {}", words(room));
        let _ = match named.reason(safe, room) {
            Some(reason) => writeln!(out, "    named: {reason}"),
            None => writeln!(out, "    not named in tests/compare/named.json"),
        };
        differences(out, of, pair, SHOWN);
    }
}

/// Rules, aims and problems that differ in one room.
fn differences(out: &mut String, of: &Comparison<'_>, pair: Pair<'_>, shown: usize) {
    for difference in of.table.differences(pair.before, pair.now) {
        let _ = writeln!(out, "    {}", told(&difference));
    }
    let gone = pair.before.problems_not_in(pair.now);
    let come = pair.now.problems_not_in(pair.before);
    for (sign, problems) in [("-", gone), ("+", come)] {
        for problem in problems.iter().take(shown) {
            let _ = writeln!(out, "    {sign} {problem}");
        }
        if problems.len() > shown {
            let _ = writeln!(out, "    {sign} {} more", problems.len() - shown);
        }
    }
}

fn told(of: &Difference<'_>) -> String {
    format!("{} {} to {}", of.slug, of.before, of.now)
}

/// The rooms whose first difference is a rule, or an aim, that is worse or better.
fn firsts(out: &mut String, of: &Comparison<'_>, by_rule: bool, worse: bool) {
    let first = |pair: &Pair<'_>| Some((pair.now.room.clone(), of.first(*pair)?));
    let such = |(_, first): &(String, Difference<'_>)| {
        first.by_rule == by_rule && first.is_worse() == worse
    };
    let all: Vec<_> = of.pairs.iter().filter_map(first).filter(such).collect();
    let (how, by) =
        (if worse { "Worse" } else { "Better" }, if by_rule { "a rule" } else { "an aim" });
    let _ = writeln!(out, "\n{how} by {by}: {}.", rooms(all.len()));
    for (room, first) in all {
        let _ = writeln!(out, "  {room} {}", told(&first));
    }
}

/// Rooms of which only the problems read otherwise.
fn other_problems(out: &mut String, of: &Comparison<'_>) {
    let even = of.pairs.iter().filter(|p| of.first(**p).is_none());
    let other: Vec<&str> =
        even.filter(|p| p.before.problems != p.now.problems).map(|p| p.now.room.as_str()).collect();
    if !other.is_empty() {
        let _ = writeln!(out, "\nAs good, with other problems: {}.", other.join(", "));
    }
}

/// How often each rule and each aim is the first that differs, and differs at all; and its sums.
fn table(out: &mut String, of: &Comparison<'_>) {
    let firsts: Vec<Difference<'_>> = of.pairs.iter().filter_map(|p| of.first(*p)).collect();
    let all: Vec<Difference<'_>> =
        of.pairs.iter().flat_map(|p| of.table.differences(p.before, p.now)).collect();
    let row = |out: &mut String, slug: &str, value: &dyn Fn(&Outcome) -> i64| {
        let count = |of: &[Difference<'_>], worse: bool| {
            of.iter().filter(|d| d.slug == slug && d.is_worse() == worse).count()
        };
        let before: i64 = of.pairs.iter().map(|p| value(p.before)).sum();
        let now: i64 = of.pairs.iter().map(|p| value(p.now)).sum();
        let _ = writeln!(
            out,
            "{slug:<16}{:>7}{:>8}{:>7}{:>8}{before:>11}{now:>9}",
            count(&firsts, true),
            count(&firsts, false),
            count(&all, true),
            count(&all, false),
        );
    };
    for (heading, slugs, by_rule) in
        [("rule", &of.table.rules, true), ("aim", &of.table.aims, false)]
    {
        let unit = if by_rule { "person-minutes" } else { "sum of values" };
        let _ = writeln!(out, "\n{:<16}{:>15}{:>15}{unit:>20}", "", "first to differ", "at all");
        let _ = writeln!(
            out,
            "{heading:<16}{:>7}{:>8}{:>7}{:>8}{:>11}{:>9}",
            "worse", "better", "worse", "better", "before", "now"
        );
        for slug in slugs {
            row(out, slug, &|outcome| {
                if by_rule { outcome.of_rule(slug) } else { outcome.of_aim(slug) }
            });
        }
    }
}

fn idle(out: &mut String, of: &Comparison<'_>, named: &Named) {
    for (safe, room) in named.idle(of) {
        let _ = writeln!(
            out,
            "Named without need: {room} has not turned {}; take it out of tests/compare/named.json.",
            turned_so(safe)
        );
    }
}

/// Both outcomes of one room, in full.
pub fn both(of: &Comparison<'_>, words: &dyn Fn(&str) -> String) -> String {
    let mut out = String::new();
    for pair in &of.pairs {
        let _ = writeln!(out, "{} {}", pair.now.room, words(&pair.now.room));
        for (when, outcome) in [("before", pair.before), ("now", pair.now)] {
            let _ = writeln!(out, "\n{when}: {}", turned_so(outcome.safe));
            for slug in &of.table.rules {
                if outcome.of_rule(slug) > 0 {
                    let _ = writeln!(out, "  {slug} {}", outcome.of_rule(slug));
                }
            }
            let aim = |slug: &String| format!("{slug} {}", outcome.of_aim(slug));
            let aims: Vec<String> = of.table.aims.iter().map(aim).collect();
            let _ = writeln!(out, "  {}", aims.join(", "));
            for problem in &outcome.problems {
                let _ = writeln!(out, "  {problem}");
            }
        }
    }
    out
}
