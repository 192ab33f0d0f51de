//! The first lines: safe or not, and what is wrong.

use super::lines::{Page, counted, list};
use crate::chart::{Chart, ChildDay};
use crate::day::Day;
use crate::planner::{Plan, Repaired, is_of_adults, unattended};
use crate::rules::{self, Mend, Problem};
use crate::site::Span;

/// Where an adult is missing before anybody who is called can be there.
const HELP: &str =
    "Call for help now and keep the children together with you: do not wait for this chart.";

/// Where no adult is with the children of one space: too few adults are better than none.
const TAKE_THEM: &str = "nobody is with the children there, take them to where an adult is";

pub(super) fn first_lines(day: &Day, plan: &Plan, page: &mut Page) {
    verdict(day, plan, &plan.chart, false, page);
    past(day, plan, page);
    sky(day, page);
    heads(plan.chart.children.len(), plan.chart.adults.len(), page);
}

/// The same of the rest of a day. `unmended`: no fix mends all of it.
pub(super) fn first_lines_of_rest(
    repaired: &Repaired,
    rest: &Chart,
    unmended: bool,
    page: &mut Page,
) {
    let (day, at) = (&repaired.day, repaired.at);
    verdict(day, &repaired.plan, rest, unmended, page);
    let called = repaired.called_back();
    if !called.is_empty() {
        let names: Vec<&str> = called.iter().map(|a| day.site[*a].label.as_str()).collect();
        let who = list(&names);
        let said = format!(
            "Call {who} back from the staff break before anything else: the chart counts on them \
             from {at}."
        );
        page.wrapped("", &said);
    }
    past(day, &repaired.plan, page);
    sky(day, page);
    heads(rest.children.len(), rest.adults.len(), page);
}

/// Whether the day is safe from its moment on (from its start where nothing has happened yet), and what
/// is wrong with it then; `rest` is the part of its chart that is to come.
fn verdict(day: &Day, plan: &Plan, rest: &Chart, unmended: bool, page: &mut Page) {
    let (at, room) = (plan.at(), title(day, plan));
    let ahead: Vec<&Problem> = plan.problems_ahead().collect();
    if !ahead.is_empty() {
        let (alone, others) = match plan.made.fixed_until {
            Some(at) => unattended(day, rest, ahead.iter().copied(), at),
            None => (Vec::new(), ahead.clone()),
        };
        let lines: Vec<String> = alone.iter().map(|span| no_adult(rest, *span)).collect();
        let others = others.into_iter().map(|problem| {
            let nobody = rules::rule_of(problem).is_mended_by(Mend::CountedAdults)
                && problem.present == 0
                && problem.space.is_some();
            match nobody && plan.made.fixed_until.is_some() {
                true => format!("{}: {TAKE_THEM}", words(day, problem)),
                false => words(day, problem),
            }
        });
        let soon = at.later(day.site.settings.minutes_to_come_in);
        let at_once = unmended && ahead.iter().any(|p| is_of_adults(p) && p.span.from < soon);
        let problems: Vec<String> = lines.into_iter().chain(others).collect();
        not_safe(&problems, &room, at_once.then_some(HELP), page);
    } else if plan.problems_past().next().is_none() {
        page.line(&format!("Safe to run: {room}."));
    } else {
        page.line(&format!("Safe to run from {at}: {room}."));
    }
}

/// What was wrong before the moment of a day that runs: that is said and is no problem any more.
fn past(day: &Day, plan: &Plan, page: &mut Page) {
    let said: Vec<String> = plan.problems_past().map(|problem| words(day, problem)).collect();
    if !said.is_empty() {
        page.wrapped("", &format!("Before {}, and past: {}.", plan.at(), said.join("; ")));
    }
}

fn title(day: &Day, plan: &Plan) -> String {
    let date = plan.chart.date.format("%A %-d %B %Y");
    format!("{}, {date}", day.site[day.room].label)
}

fn words(day: &Day, problem: &Problem) -> String {
    rules::rule(problem.rule)
        .map_or_else(|| problem.rule.to_owned(), |rule| (rule.words)(day, problem))
}

/// One line for all that follows from nobody being there.
fn no_adult(rest: &Chart, span: Span) -> String {
    let here = |c: &&ChildDay| c.stays.iter().any(|s| s.span.meets(span));
    let here = rest.children.iter().filter(here).count();
    format!("{span}: no adult is with the {}", counted(here, "child", "children"))
}

fn not_safe(problems: &[String], room: &str, first: Option<&str>, page: &mut Page) {
    let count = counted(problems.len(), "problem", "problems");
    page.line(&format!("NOT SAFE TO RUN: {room}: {count}."));
    if let Some(first) = first {
        page.wrapped("", first);
    }
    page.gap();
    for problem in problems {
        page.wrapped("  ! ", problem);
    }
    page.gap();
}

fn sky(day: &Day, page: &mut Page) {
    let indoor = match (day.indoor.value, day.indoor.shorten) {
        (true, _) => "Indoor day. ",
        (false, true) => "Outdoors, but for a shorter time. ",
        (false, false) => "",
    };
    page.wrapped("", &format!("{indoor}{}", day.indoor.why));
}

fn heads(children: usize, adults: usize, page: &mut Page) {
    let children = counted(children, "child", "children");
    let adults = match adults {
        0 => "no adult".to_owned(),
        n => counted(n, "adult", "adults"),
    };
    page.line(&format!("{children}, {adults}."));
}
