//! The first lines: safe or not, and what is wrong.

use super::lines::{Page, counted};
use crate::chart::Chart;
use crate::day::Day;
use crate::planner::{Plan, Repaired};
use crate::rules::{self, Problem};

pub(super) fn first_lines(day: &Day, plan: &Plan, page: &mut Page) {
    let room = title(day, plan);
    if plan.safe_to_run() {
        page.line(&format!("Safe to run: {room}."));
    } else {
        not_safe(day, &plan.problems.iter().collect::<Vec<_>>(), &room, page);
    }
    sky(day, page);
    heads(plan.chart.children.len(), plan.chart.adults.len(), page);
}

/// The same of the rest of a day; what is past is said and is no problem any more.
pub(super) fn first_lines_of_rest(repaired: &Repaired, rest: &Chart, page: &mut Page) {
    let (day, at) = (&repaired.day, repaired.at);
    let room = title(day, &repaired.plan);
    let past: Vec<&Problem> = repaired.problems_past().collect();
    let ahead: Vec<&Problem> = repaired.problems_ahead().collect();
    if !ahead.is_empty() {
        not_safe(day, &ahead, &room, page);
    } else if past.is_empty() {
        page.line(&format!("Safe to run: {room}."));
    } else {
        page.line(&format!("Safe to run from {at}: {room}."));
    }
    if !past.is_empty() {
        let said: Vec<String> = past.iter().map(|problem| words(day, problem)).collect();
        page.wrapped("", &format!("Before {at}, and past: {}.", said.join("; ")));
    }
    sky(day, page);
    heads(rest.children.len(), rest.adults.len(), page);
}

fn title(day: &Day, plan: &Plan) -> String {
    let date = plan.chart.date.format("%A %-d %B %Y");
    format!("{}, {date}", day.site[day.room].label)
}

fn words(day: &Day, problem: &Problem) -> String {
    rules::rule(problem.rule)
        .map_or_else(|| problem.rule.to_owned(), |rule| (rule.words)(day, problem))
}

fn not_safe(day: &Day, problems: &[&Problem], room: &str, page: &mut Page) {
    let count = counted(problems.len(), "problem", "problems");
    page.line(&format!("NOT SAFE TO RUN: {room}: {count}."));
    page.gap();
    for problem in problems {
        page.wrapped("  ! ", &words(day, problem));
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
