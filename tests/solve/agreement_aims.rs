//! Rows of the aims against what the audits measure, over assignments of tiny days: a bound of
//! the rows is a bound of the aim only where they never say more.

use super::optimum::days;
use super::tiny::{Tiny, assignments};
use fairturn::rules::{self, AIMS, RULES};
use std::collections::{BTreeMap, BTreeSet};

/// Aims whose rows measure what the audit measures.
const EXACT: &[&str] = &["must-do", "care-in-time", "no-repeat", "fair-shares", "often-chosen"];

/// Aims whose rows may measure less.
const AT_MOST: &[&str] =
    &["balance", "clean-after-sleep", "long-work", "middle-breaks", "settling"];

#[test]
fn rows_of_the_aims_say_what_the_audit_says_or_less() {
    let mut seen: BTreeMap<&str, BTreeSet<i64>> = BTreeMap::new();
    for (name, build) in days() {
        let day = build.day();
        let tiny = Tiny::new(&day);
        for (taken, levels) in assignments(&tiny.model).step_by(29) {
            let measured = rules::measure(&day, &tiny.chart(&taken).0);
            for (at, aim) in AIMS.iter().enumerate() {
                let (rows, audit) = (levels[RULES.len() + at], measured[at]);
                let told = || format!("{name} {taken:?}: {} rows {rows}, audit {audit}", aim.slug);
                if EXACT.contains(&aim.slug) {
                    assert_eq!(rows, audit, "{}", told());
                    seen.entry(aim.slug).or_default().insert(audit);
                } else if AT_MOST.contains(&aim.slug) {
                    assert!(rows <= audit, "{}", told());
                }
            }
        }
    }
    for slug in EXACT {
        assert!(seen[slug].len() > 1, "{slug} is {:?} whatever is decided", seen[slug]);
    }
}
