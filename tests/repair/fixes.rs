//! What holds of every fix that is offered, on invented rooms and happenings by chance: it mends, it
//! breaks nothing else, nothing of it can be left out, and no help can be shorter.

use super::chance::happenings;
use super::many::{count, invented, past, quickly};
use crate::recount::disagreements;
use fairturn::chart::Chart;
use fairturn::day::{Day, ExtraAdult};
use fairturn::planner::{
    Edit, Fix, MOST_FIXES, Options, Repaired, Watch, fixes, make, repair, with_changes,
};
use fairturn::rules;
use fairturn::site::{Minute, Span};
use fairturn::solve::repair::{Broken, kept, repairs};

/// Of so many mornings on which a rule is broken one is asked what would mend it.
const ONE_IN: usize = 10;

/// Person-minutes by rule from a moment on.
fn ahead(day: &Day, chart: &Chart, at: Minute) -> Vec<u64> {
    let mut problems = rules::audit(day, chart);
    problems.retain(|p| p.span.to > at);
    rules::shortfall(&problems)
}

fn within(shortfall: &[u64], most: &[u64]) -> bool {
    shortfall.iter().zip(most).all(|(now, most)| now <= most)
}

/// A morning on which something has happened.
struct Morning<'a> {
    day: &'a Day,
    posted: &'a Chart,
    repaired: &'a Repaired,
    options: Options,
}

impl Morning<'_> {
    /// Whether a repair with these changes comes down to what is to be left at most.
    fn mends(&self, steps: &[Edit], most: &[u64]) -> bool {
        let at = self.repaired.at;
        let Some((day, posted)) = with_changes(self.day, self.posted, self.repaired, steps) else {
            return false;
        };
        let broken = Broken { day: &day, posted: &posted, at };
        let mut charts = vec![kept(broken, self.options.seed)];
        let found = repairs(broken, self.options.seed, self.options.effort, &mut Watch::nobody());
        charts.extend(found.charts.into_iter().map(|c| c.0));
        charts.iter().any(|chart| within(&ahead(&day, chart, at), most))
    }

    fn judge(&self, fix: &Fix, left: &[u64]) {
        let (at, done) = (self.repaired.at, &fix.repaired);
        let whose = format!("{:?} at {at}: {:?}", self.repaired.day.happened, fix.edits);
        let chart = &done.plan.chart;
        assert_eq!(done.plan.problems, rules::audit(&done.day, chart), "{whose}");
        let lines = disagreements(&done.day, chart, &done.plan.problems);
        assert!(lines.is_empty(), "{whose}: {lines:#?}");
        let (old, new) = (past(self.posted, at), past(chart, at));
        assert!(old.children == new.children && old.adults == new.adults, "{whose}");
        let after = ahead(&done.day, chart, at);
        assert!(within(&after, left), "{whose}");
        let short = |day: &Day, chart: &Chart| {
            rules::Shortfall::of(day, chart, &rules::audit(day, chart), at)
        };
        let without = short(&self.repaired.day, &self.repaired.plan.chart);
        let with = short(&done.day, chart);
        // What an adult is owed may be kept less, but nothing that guards a child.
        assert!(with < without && with.is_as_safe_as(&without), "{whose}");
        let n = self.repaired.day.happened.len();
        assert_eq!(done.day.happened[..n], self.repaired.day.happened, "{whose}");
        // Facts alone: then a plain repair that is told of them does as well.
        let facts = |s: &Edit| {
            matches!(s, Edit::MoveBreak { .. } | Edit::AdultOfTheTeam { .. } | Edit::ExtraAdult(_))
        };
        if fix.edits.iter().all(facts) && self.repaired.new_blocks.is_empty() {
            let told = &done.day.happened[self.day.happened.len()..];
            let told: Vec<_> = told.iter().map(|h| h.what.clone()).collect();
            let plain = repair(self.day, self.posted, at, &told, &self.options);
            let plain = plain.unwrap_or_else(|faults| panic!("{whose}: {faults:?}"));
            assert!(ahead(&plain.day, &plain.plan.chart, at) <= after, "{whose}");
        }
        for some in 1..(1_u32 << fix.edits.len()) - 1 {
            let part = fix.edits.iter().enumerate().filter(|(i, _)| some & (1 << i) != 0);
            let part: Vec<Edit> = part.map(|(_, s)| s.clone()).collect();
            assert!(!self.mends(&part, left), "{whose}: {part:?} is enough");
        }
        for (i, step) in fix.edits.iter().enumerate() {
            for less in less_help(&self.repaired.day, step) {
                let mut steps = fix.edits.clone();
                steps[i] = less.clone();
                assert!(!self.mends(&steps, left), "{whose}: {less:?} is enough");
            }
        }
    }
}

/// The same help five minutes shorter at either end, or asking for one thing less.
fn less_help(day: &Day, step: &Edit) -> Vec<Edit> {
    let shorter = |span: Span| {
        let (up, down) = ((span.from.0 / 5 + 1) * 5, (span.to.0 - 1) / 5 * 5);
        [Span::new(Minute(up), span.to), Span::new(span.from, Minute(down))]
    };
    match step {
        Edit::AdultOfTheTeam { adult, span } => {
            let here = day.adult_here(*adult);
            let fixed =
                [here.iter().any(|h| h.to == span.from), here.iter().any(|h| h.from == span.to)];
            let ends = shorter(*span).into_iter().zip(fixed).filter(|(_, fixed)| !fixed);
            let steps = ends.filter_map(|(span, _)| span);
            steps.map(|span| Edit::AdultOfTheTeam { adult: *adult, span }).collect()
        }
        Edit::ExtraAdult(extra) => {
            let spans = shorter(extra.span.expect("fixes say from when to when"));
            let spans = spans.into_iter().flatten();
            let mut less: Vec<ExtraAdult> =
                spans.map(|s| ExtraAdult { span: Some(s), ..extra.clone() }).collect();
            less.push(ExtraAdult { counts: false, ..extra.clone() });
            less.push(ExtraAdult { may_be_alone: false, ..extra.clone() });
            less.push(ExtraAdult { lead: false, ..extra.clone() });
            less.push(ExtraAdult { first_aid: false, ..extra.clone() });
            less.retain(|l| l != extra);
            less.into_iter().map(Edit::ExtraAdult).collect()
        }
        _ => Vec::new(),
    }
}

#[test]
fn every_fix_mends_and_nothing_of_it_can_be_left_out() {
    let (mut broken, mut offered, mut whole) = (0, 0, 0);
    for seed in 0..count() {
        let day = invented(seed);
        let options = quickly(seed);
        let posted = make(&day, &options).chart;
        let (at, happenings) = happenings(&day, &posted, seed);
        let repaired = repair(&day, &posted, at, &happenings, &options).expect("it can be");
        let base = ahead(&repaired.day, &repaired.plan.chart, at);
        if base.iter().all(|s| *s == 0) {
            continue;
        }
        broken += 1;
        if broken % ONE_IN != 1 {
            continue;
        }
        let found = fixes(&day, &posted, &repaired, &options);
        assert!(found.fixes.len() <= MOST_FIXES && found.tried > 0, "{seed}");
        let left = rules::shortfall(&found.left);
        assert_eq!(found.left.is_empty(), found.why.is_empty(), "{seed}");
        assert!(!found.fixes.is_empty() || left == base, "{seed}: nothing helps, all is left");
        let morning = Morning { day: &day, posted: &posted, repaired: &repaired, options };
        for fix in &found.fixes {
            morning.judge(fix, &left);
        }
        offered += found.fixes.len();
        whole += usize::from(!found.fixes.is_empty() && found.left.is_empty());
    }
    println!(
        "{broken} mornings with a problem; of one in {ONE_IN}: {offered} fixes, {whole} mended"
    );
    assert!(offered > 0 && whole > 0, "some mornings can be mended");
}
