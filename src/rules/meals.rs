//! Meals: offered in the window, seated, with an adult, neither too soon nor too late.

use super::pieces::{for_each_child, shared_minutes, stay_pieces};
use super::reading::{Reading, is_awake, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Apart, Chart, ChildDay, Place, Post, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Meal, MealKind, Minute, Sleep, Span, slices};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Everyone who is here and up for a whole sitting of a meal's window has that sitting (who \
           is fetched from it, half of it at least), seated, with an adult at each table; between the starts of two meals eaten here lie at \
           least and at most the minutes of the standards, else of the settings (sleep does not \
           count towards the most, food offered to a late child not against the least).",
    audit,
    words,
    rows: Some(rows::people::tables),
    kept: Kept::Cases(&[
        "short-breakfast",
        "short-morning-snack",
        "short-lunch",
        "short-afternoon-snack",
    ]),
    about: About::Day,
    reads: Reads::Day,
    mended_by: &[Mend::Meal],
};
const SLUG: &str = "meals";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let chart = &*reading.chart;
    let mut found = Vec::new();
    for meal in &day.schedule.meals {
        for (child, here) in &day.children {
            if is_due(day, meal, *child, here) {
                found.extend(eaten(meal, (*child, here), chart.child(*child)));
            }
        }
    }
    for child in &chart.children {
        found.extend(intervals(day, child));
    }
    found.extend(tables_alone(&reading));
    for_each_child(found)
}

/// Here and not in an own sleep for the whole of a sitting, somewhere inside the window.
fn is_due(day: &Day, meal: &Meal, child: ChildIndex, here: &[Span]) -> bool {
    let facts = &day.site[child];
    if meal.kind == MealKind::Breakfast && !facts.breakfast_here {
        return false;
    }
    let asleep: &[Span] = if let Sleep::At(own) = &facts.sleep { own } else { &[] };
    let mut edges: Vec<Minute> = vec![meal.window.from, meal.window.to];
    edges.extend(here.iter().chain(asleep).flat_map(|s| [s.from, s.to]));
    let mut up_for = 0;
    for slice in slices(edges).into_iter().filter(|s| meal.window.holds(*s)) {
        let up = here.iter().any(|h| h.holds(slice)) && !asleep.iter().any(|a| a.meets(slice));
        up_for = if up { up_for + slice.minutes() } else { 0 };
        if up_for >= meal.minutes {
            return true;
        }
    }
    false
}

/// What a child who is due a meal is short of it.
fn eaten(
    meal: &Meal,
    (child, here): (ChildIndex, &[Span]),
    day: Option<&ChildDay>,
) -> Option<Problem> {
    let stays = day.map_or(&[][..], |d| &d.stays);
    let at_table = stay_pieces(stays, |s| {
        (matches!(s.at, Place::Table(_)) && s.meal == Some(meal.kind)).then_some(())
    });
    let spans: Vec<Span> = at_table.into_iter().map(|(_, span)| span).collect();
    let minutes = shared_minutes(meal.window, &spans);
    let fetched = spans.last().is_some_and(|eats| here.iter().any(|h| h.to == eats.to));
    let enough = if fetched { meal.minutes.div_ceil(2) } else { meal.minutes };
    let (none, short) = cases(meal.kind);
    let problem = Problem { children: vec![child], ..Problem::of(SLUG, none, meal.window) };
    match minutes {
        0 => Some(Problem { needed: 1, unit: Unit::Times, ..problem }),
        m if m < enough => Some(Problem {
            case: short,
            needed: u32::from(meal.minutes),
            present: u32::from(m),
            by: u32::from(meal.minutes - m),
            unit: Unit::Minutes,
            ..problem
        }),
        _ => None,
    }
}

fn cases(kind: MealKind) -> (&'static str, &'static str) {
    match kind {
        MealKind::Breakfast => ("no-breakfast", "short-breakfast"),
        MealKind::MorningSnack => ("no-morning-snack", "short-morning-snack"),
        MealKind::Lunch => ("no-lunch", "short-lunch"),
        MealKind::AfternoonSnack => ("no-afternoon-snack", "short-afternoon-snack"),
    }
}

/// One sitting of a child, however often the child was fetched from it to be changed.
struct Sitting {
    span: Span,
    kind: MealKind,
    offered: bool,
}

fn sittings(child: &ChildDay) -> Vec<Sitting> {
    let mut stays: Vec<_> = child.stays.iter().collect();
    stays.sort_by_key(|s| s.span);
    let mut sittings: Vec<Sitting> = Vec::new();
    let mut open = false;
    for stay in stays {
        match (stay.at, stay.meal) {
            (Place::Table(_), Some(kind)) => {
                match sittings.last_mut() {
                    Some(last) if open && last.kind == kind => last.span.to = stay.span.to,
                    _ => sittings.push(Sitting {
                        span: stay.span,
                        kind,
                        offered: stay.apart == Some(Apart::Food),
                    }),
                }
                open = true;
            }
            (Place::Care | Place::Transition, _) => {}
            _ => open = false,
        }
    }
    sittings
}

/// Starts of two meals too near or too far, by every standard that says so, else by the settings.
fn intervals(day: &Day, child: &ChildDay) -> Vec<Problem> {
    let mut limits: Vec<(Option<String>, (u16, u16))> = day
        .standards
        .iter()
        .filter_map(|s| s.meal_interval().map(|limit| (Some(s.id.clone()), limit)))
        .collect();
    if limits.is_empty() {
        limits.push((None, day.site.settings.meal_interval));
    }
    let sittings = sittings(child);
    let asleep: Vec<Span> = stay_pieces(&child.stays, |s| (!is_awake(s)).then_some(()))
        .into_iter()
        .map(|(_, span)| span)
        .collect();
    let mut found = Vec::new();
    for pair in sittings.windows(2) {
        let Some(between) = Span::new(pair[0].span.from, pair[1].span.from) else { continue };
        let stayed = day.child_here(child.child).iter().any(|here| here.holds(between));
        let apart = u32::from(between.minutes());
        let awake = apart - u32::from(shared_minutes(between, &asleep));
        for (standard, (least, most)) in &limits {
            let (least, most) = (u32::from(*least), u32::from(*most));
            let problem = |case, needed, present: u32| Problem {
                standard: standard.clone(),
                children: vec![child.child],
                needed,
                present,
                by: needed.abs_diff(present),
                unit: Unit::Minutes,
                ..Problem::of(SLUG, case, between)
            };
            if apart < least && !pair.iter().any(|s| s.offered) {
                found.push(problem("too-soon", least, apart));
            }
            if awake > most && stayed {
                found.push(problem("too-late", most, awake));
            }
        }
    }
    found
}

/// Tables at which children eat and no adult sits with them.
fn tables_alone(reading: &Reading) -> Vec<Problem> {
    let mut found: Vec<Problem> = Vec::new();
    for slice in reading.slices([]) {
        let eats = |s: &Stay| matches!(s.at, Place::Table(_)) && s.meal.is_some();
        let mut alone: Vec<(Place, ChildIndex, &Stay)> = slice
            .children
            .iter()
            .filter(|(child, stay)| {
                let with = |post: &Post| {
                    post.at == stay.at && post.for_child.is_none_or(|own| own == *child)
                };
                eats(stay) && !slice.adults.iter().any(|(_, post)| with(post))
            })
            .map(|(child, stay)| (stay.at, *child, *stay))
            .collect();
        alone.sort_unstable_by_key(|(at, child, _)| (*at, *child));
        for table in alone.chunk_by(|a, b| a.0 == b.0) {
            found.push(Problem {
                children: table.iter().map(|(_, child, _)| *child).collect(),
                space: Some(table[0].2.space),
                at: Some(table[0].0),
                needed: 1,
                ..Problem::of(SLUG, "no-adult", slice.span)
            });
        }
    }
    merged(found)
}

fn words(day: &Day, p: &Problem) -> String {
    let who = phrase::children(day, &p.children);
    let many = p.children.len();
    let (has, span) = (phrase::verb(many, "has", "have"), p.span);
    let asked = phrase::asked_by(day, p.standard.as_deref());
    let kinds =
        [MealKind::Breakfast, MealKind::MorningSnack, MealKind::Lunch, MealKind::AfternoonSnack];
    for kind in kinds {
        let (none, short) = cases(kind);
        let meal = phrase::meal(kind);
        if p.case == none {
            return format!("{who} {has} had no {meal}: {span} is the window");
        }
        if p.case == short {
            return format!(
                "{who} {has} only {} of the {} of {meal} between {} and {}",
                p.present,
                phrase::count(p.needed, "minute"),
                span.from,
                span.to
            );
        }
    }
    match p.case {
        "too-soon" => format!(
            "{who} {} at {} and again at {}: {} apart, at least {} asked{asked}",
            phrase::verb(many, "eats", "eat"),
            span.from,
            span.to,
            phrase::count(p.present, "minute"),
            p.needed
        ),
        "too-late" => format!(
            "{who} {} at {} and then not before {}: {} awake between, at most {} asked{asked}",
            phrase::verb(many, "eats", "eat"),
            span.from,
            span.to,
            phrase::count(p.present, "minute"),
            p.needed
        ),
        _ => format!(
            "{span}, {}: {who} {} without an adult at the table",
            p.at.map_or_else(String::new, |at| phrase::place(day, at)),
            phrase::verb(many, "eats", "eat"),
        ),
    }
}
