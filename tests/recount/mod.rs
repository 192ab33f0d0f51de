//! A third reader of charts, beside the solving and the audit: minute by minute, in plain loops,
//! from the sentences of the rules alone.

mod arithmetic;
mod asleep;
mod checks;
mod hand_drawn;
mod long;
mod meals;
mod minutely;
pub mod mutants;
mod places;
mod scene;

use fairturn::chart::{Chart, Place};
use fairturn::day::Day;
use fairturn::rules::{Problem, Unit};
use scene::Scene;
use std::collections::{BTreeMap, BTreeSet};

/// Minutes in which something is broken, and what; what only shows over the day is at minute 0.
pub type Broken = BTreeSet<(u16, String)>;

/// What one minute of a chart breaks.
type OfOneMinute = fn(&Scene, &mut Broken);
/// What a whole day breaks.
type OfTheDay = fn(&Day, &Chart, &mut Broken);

const OF_ONE_MINUTE: [(&str, OfOneMinute); 15] = [
    ("barred", places::barred),
    ("present", places::present),
    ("open", places::open),
    ("seats", places::seats),
    ("keep-apart", places::keep_apart),
    ("kept", places::kept),
    ("ratio", minutely::ratio),
    ("least-adults", minutely::least_adults),
    ("never-alone", minutely::never_alone),
    ("one-to-one", minutely::one_to_one),
    ("staffed", minutely::staffed),
    ("sight", minutely::sight),
    ("class-size", minutely::class_size),
    ("rest", asleep::asleep),
    ("rest", asleep::loud),
];

const OF_THE_DAY: [(&str, OfTheDay); 5] = [
    ("meals", meals::meals),
    ("rest", long::rest),
    ("movement", long::movement),
    ("staff-break", long::staff_break),
    ("walking", long::walking),
];

/// Everything that a chart breaks, by rule.
pub fn recount(day: &Day, chart: &Chart) -> BTreeMap<&'static str, Broken> {
    let mut all = BTreeMap::new();
    for minute in 0..1440 {
        let scene = Scene::of(day, chart, minute);
        for (rule, broken_in) in OF_ONE_MINUTE {
            broken_in(&scene, all.entry(rule).or_default());
        }
    }
    for (rule, broken_in) in OF_THE_DAY {
        broken_in(day, chart, all.entry(rule).or_default());
    }
    all
}

/// Where the audit's problems and the recount differ, a line each; rules that only one of them
/// reads are left out.
pub fn disagreements(day: &Day, chart: &Chart, problems: &[Problem]) -> Vec<String> {
    let mut lines = Vec::new();
    for (rule, recounted) in recount(day, chart) {
        if fairturn::rules::rule(rule).is_none() {
            continue;
        }
        let mut audited = Broken::new();
        for problem in problems {
            if problem.rule == rule {
                audited.extend(broken_by(problem));
            }
        }
        difference(rule, "only in the audit", &audited, &recounted, &mut lines);
        difference(rule, "only in the recount", &recounted, &audited, &mut lines);
    }
    lines
}

fn difference(rule: &str, whose: &str, a: &Broken, b: &Broken, lines: &mut Vec<String>) {
    let mut by_what: BTreeMap<&str, Vec<u16>> = BTreeMap::new();
    for (minute, what) in a.difference(b) {
        by_what.entry(what).or_default().push(*minute);
    }
    for (what, minutes) in by_what {
        lines.push(format!("{rule}, {whose}: {what},{}", long::spans_in_words(&minutes)));
    }
}

/// A problem of the audit in the words of the recount.
fn broken_by(problem: &Problem) -> Broken {
    let mut whats: Vec<String> = Vec::new();
    let mut whole_day = false;
    let place = match problem.at {
        Some(Place::Station(at)) => format!("station {}", at.0),
        Some(Place::Table(at)) => format!("table {}", at.0),
        Some(Place::Choice(at)) => format!("choice {}", at.0),
        Some(Place::StaffBreak(at)) => format!("break {at}"),
        Some(Place::Unplaced) => "unplaced".into(),
        Some(Place::Care) => "care".into(),
        Some(Place::Transition) => "on the move".into(),
        _ => String::new(),
    };
    let space = match problem.space {
        Some(space) => format!("space {}", space.0),
        None => "premises".into(),
    };
    let standard = problem.standard.clone().unwrap_or_default();
    let each_child = |words: &str| -> Vec<String> {
        problem.children.iter().map(|c| format!("child {}{words}", c.0)).collect()
    };
    match problem.rule {
        "ratio" => whats.push(format!("{space} {standard} by {}", problem.by)),
        "least-adults" => whats.push(format!("{standard} by {}", problem.by)),
        "never-alone" | "class-size" => whats.push(space),
        "staffed" | "open" | "seats" => whats.push(place),
        "sight" => whats.push(match (problem.zone, problem.at) {
            (_, Some(Place::Care | Place::Transition)) => format!("{place} in {space}"),
            (Some(zone), _) => format!("zone {}", zone.0),
            (None, _) => format!("nowhere in {space}"),
        }),
        "barred" | "kept" => {
            whats.extend(each_child("").iter().map(|child| format!("{place} {child}")));
        }
        "present" => {
            whats.extend(each_child(""));
            whats.extend(problem.adults.iter().map(|a| format!("adult {}", a.0)));
        }
        "keep-apart" => {
            let how = if place.is_empty() { "in one group" } else { "at one place" };
            let pair: Vec<String> = problem.children.iter().map(|c| c.0.to_string()).collect();
            whats.push(format!("children {} {how}", pair.join(" ")));
        }
        "one-to-one" => whats.extend(each_child("")),
        "staff-break" => {
            whole_day = true;
            whats.extend(problem.adults.iter().map(|a| format!("adult {} {place}", a.0)));
        }
        "meals" => {
            whole_day = problem.unit != Unit::Adults;
            whats.extend(match problem.case {
                "no-adult" => vec![format!("{place} without an adult")],
                "too-soon" | "too-late" => each_child(" between meals"),
                case if case.ends_with("-twice") => each_child(" has a meal twice"),
                case if case.starts_with("short-") => each_child(" has a meal cut short"),
                _ => each_child(" misses a meal"),
            });
        }
        "rest" => match problem.case {
            "loud" => whats.extend(each_child(" is loud")),
            "no-rest" | "short-rest" | "nothing-quiet" => {
                whole_day = true;
                whats.extend(each_child(""));
            }
            _ => whats.extend(each_child(" is not asleep")),
        },
        "walking" => {
            whole_day = true;
            let (from, by) = (problem.span.from, problem.needed - problem.present);
            whats.extend(each_child(&format!(" at {from} by {by}")));
            let adults = problem.adults.iter();
            whats.extend(adults.map(|a| format!("adult {} at {from} by {by}", a.0)));
        }
        "movement" => {
            whole_day = true;
            let words =
                if problem.unit == Unit::Minutes { " sits too long" } else { " moves too seldom" };
            whats.extend(each_child(words));
        }
        other => panic!("the recount does not know {other}"),
    }
    let mut broken = Broken::new();
    for what in whats {
        if whole_day {
            broken.insert((0, what));
            continue;
        }
        for minute in problem.span.from.0..problem.span.to.0 {
            broken.insert((minute, what.clone()));
        }
    }
    broken
}
