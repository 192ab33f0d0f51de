//! Every rule in every verb, driven by the table: the chart of its broken pair is found out by each,
//! and made better where the verb can.

use crate::broken::pair;
use fairturn::chart::Chart;
use fairturn::day::Day;
use fairturn::planner::{BlockQuestion, Options, check, fixes, make, repair};
use fairturn::rules::{self, Mend, RULES, Reads, Rule, Score};
use fairturn::site::{Span, StationIndex};
use fairturn::solve::Effort;

fn quickly() -> Options {
    Options { seed: 1, effort: Effort { nodes: 0, ..Effort::default() } }
}

/// Each rule with the day and the chart that break it.
fn each() -> impl Iterator<Item = (&'static Rule, Day, Chart)> {
    RULES.iter().map(|rule| {
        let (day, chart) = pair(rule.slug);
        (*rule, day, chart)
    })
}

fn breaks(rule: &Rule, day: &Day, chart: &Chart) -> bool {
    rules::audit(day, chart).iter().any(|p| p.rule == rule.slug)
}

#[test]
fn make_does_no_worse_and_says_what_it_breaks() {
    for (rule, day, chart) in each() {
        let plan = make(&day, &quickly());
        assert_eq!(plan.problems, rules::audit(&day, &plan.chart), "{}", rule.slug);
        let (made, posted) = (Score::of(&day, &plan.chart), Score::of(&day, &chart));
        assert!(made.broken <= posted.broken, "{}: {:#?}", rule.slug, plan.problems);
    }
}

#[test]
fn a_repair_finds_it_and_what_would_mend_it_is_tried() {
    for (rule, day, posted) in each() {
        let at = day.schedule.open.from;
        let repaired = repair(&day, &posted, at, &[], &quickly()).expect("nothing has happened");
        let rest = |chart: &Chart| Score::of_rest(&repaired.day, &posted, at, chart).broken;
        assert!(rest(&repaired.plan.chart) <= rest(&posted), "{}", rule.slug);
        let found = repaired.problems_ahead().any(|p| p.rule == rule.slug);
        assert_eq!(found, breaks(rule, &repaired.day, &repaired.plan.chart), "{}", rule.slug);
        // It mends what it can by itself: who has no place gets one.
        if !found {
            continue;
        }
        let offered = fixes(&day, &posted, &repaired, &quickly());
        for fix in &offered.fixes {
            let left = &fix.repaired;
            let (before, after) = (
                Score::of_rest(&left.day, &posted, at, &posted).broken,
                Score::of_rest(&left.day, &posted, at, &left.plan.chart).broken,
            );
            assert!(after < before, "{}: {} makes nothing better", rule.slug, fix.words);
        }
        let mends =
            offered.fixes.iter().any(|f| !breaks(rule, &f.repaired.day, &f.repaired.plan.chart));
        if rule.is_of_adults() || rule.is_mended_by(Mend::StaffBreak) {
            assert!(mends, "{}: {:?}", rule.slug, offered.why);
        }
        assert!(
            mends || !offered.why.is_empty(),
            "{}: nothing is offered, nothing said",
            rule.slug
        );
    }
}

/// What of a day a block by itself cannot break: the check holds the day with it against the day
/// without, so what the posted chart breaks already is no reason against a block.
fn is_of_the_chart(rule: &Rule) -> bool {
    rule.reads == Reads::Day || rule.slug == "rest"
}

#[test]
fn a_block_that_breaks_it_is_no_go() {
    for (rule, day, chart) in each() {
        let told: Vec<Vec<&str>> = blocks(rule, &day, &chart)
            .into_iter()
            .map(|question| check(&day, Some(&chart), &question))
            .map(|answer| answer.reasons.iter().map(|r| r.rule).collect())
            .collect();
        let found = told.iter().any(|reasons| reasons.contains(&rule.slug));
        assert_eq!(found, !is_of_the_chart(rule), "{}: {told:?}", rule.slug);
    }
}

/// Blocks of each station while the rule is broken.
fn blocks(rule: &Rule, day: &Day, chart: &Chart) -> Vec<BlockQuestion> {
    let problems = rules::audit(day, chart);
    let spans = problems.iter().filter(|p| p.rule == rule.slug).map(|p| p.span);
    let on_the_grid = spans.filter_map(|span| {
        let from = span.from.0 / 5 * 5;
        let to = span.to.0.div_ceil(5) * 5;
        let open = day.schedule.open;
        Span::new(fairturn::site::Minute(from), fairturn::site::Minute(to))?.meet(open)
    });
    let stations = 0..day.stations.len();
    let all = on_the_grid.flat_map(|span| {
        stations.clone().map(move |s| BlockQuestion { span, stations: vec![StationIndex(s)] })
    });
    all.collect()
}

#[test]
fn every_list_of_rules_has_it() {
    let printed = fairturn::page::text::print_rules();
    for rule in RULES {
        assert!(printed.contains(rule.slug), "{}", rule.slug);
        assert!(fairturn::wire::lists::rules().contains(rule.slug), "{}", rule.slug);
    }
}
