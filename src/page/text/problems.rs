//! The first lines: safe or not, and what is wrong.

use super::lines::{Page, counted};
use crate::day::Day;
use crate::planner::Plan;
use crate::rules;

pub(super) fn first_lines(day: &Day, plan: &Plan, page: &mut Page) {
    let room = &day.site[day.room].label;
    let date = plan.chart.date.format("%A %-d %B %Y");
    if plan.safe_to_run() {
        page.line(&format!("Safe to run: {room}, {date}."));
    } else {
        let problems = counted(plan.problems.len(), "problem", "problems");
        page.line(&format!("NOT SAFE TO RUN: {room}, {date}: {problems}."));
        page.gap();
        for problem in &plan.problems {
            let words = rules::rule(problem.rule)
                .map_or_else(|| problem.rule.to_owned(), |rule| (rule.words)(day, problem));
            page.wrapped("  ! ", &words);
        }
        page.gap();
    }
    let indoor = match (day.indoor.value, day.indoor.shorten) {
        (true, _) => "Indoor day. ",
        (false, true) => "Outdoors, but for a shorter time. ",
        (false, false) => "",
    };
    page.wrapped("", &format!("{indoor}{}", day.indoor.why));
    let children = counted(plan.chart.children.len(), "child", "children");
    let adults = counted(plan.chart.adults.len(), "adult", "adults");
    page.line(&format!("{children}, {adults}."));
}
