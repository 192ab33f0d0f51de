//! What would mend a day that is not safe, under its problems.

use super::lines::{Page, counted};
use crate::planner::{Fix, Mended};

pub(super) fn fixes(mended: &Mended, page: &mut Page) {
    let fixes = &mended.fixes;
    if let Some((number, words)) = &mended.taken {
        page.wrapped("", &format!("Fix {number} is taken: {words}"));
        if !fixes.left.is_empty() {
            why(mended, "Why the rest stays broken", page);
        }
        return;
    }
    if fixes.fixes.is_empty() {
        if !fixes.left.is_empty() {
            why(mended, "Why nothing mends it", page);
            let tried = counted(fixes.tried, "change", "changes and pairs of changes");
            let one = if fixes.tried == 1 { "it does not help" } else { "none of them helps" };
            page.wrapped("  ", &format!("{tried} tried, each by a repair of its own: {one}."));
        }
        return;
    }
    let whole = fixes.left.is_empty();
    page.heading(if whole { "What would mend it" } else { "What would mend a part of it" });
    for (n, fix) in fixes.fixes.iter().enumerate() {
        page.wrapped(&format!("  {}  ", n + 1), &format!("{} {}", fix.words, disturbs(fix)));
    }
    let each = match (fixes.fixes.len(), whole) {
        (1, true) => "With it no rule is broken any more",
        (_, true) => "Any one of them is enough: no rule is broken any more",
        (1, false) => "Without it more is broken",
        (_, false) => "Any one of them leaves as little broken as can be",
    };
    page.wrapped(
        "  ",
        &format!("{each}. Say the same again with --fix and its number to take it."),
    );
    if !whole {
        why(mended, "Why the rest stays broken", page);
    }
}

fn why(mended: &Mended, heading: &str, page: &mut Page) {
    page.heading(heading);
    for sentence in &mended.fixes.why {
        page.wrapped("  - ", sentence);
    }
}

/// How much a fix moves.
fn disturbs(fix: &Fix) -> String {
    let turns = match fix.repaired.moved.value {
        0 => "No child is moved".to_owned(),
        n => format!("{} moved", counted(n as usize, "child-turn", "child-turns")),
    };
    let posts = counted(fix.repaired.posts_changed as usize, "post of an adult", "posts of adults");
    format!("({turns}; {posts} changed.)")
}
