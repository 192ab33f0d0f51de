//! What would mend a day that is not safe, under its problems.

use super::changes::posts;
use super::lines::{Page, counted};
use crate::planner::{FixSaid, FixesSaid};

pub(super) fn fixes(fixes: &FixesSaid, page: &mut Page) {
    if let Some((number, words)) = &fixes.taken {
        page.wrapped("", &format!("Fix {number} is taken: {words}"));
        if fixes.left {
            why(fixes, "Why the rest stays broken", page);
        }
        return;
    }
    if fixes.offered.is_empty() {
        if fixes.left && fixes.tried == 0 {
            why(fixes, "Why nothing mends it", page);
        } else if fixes.left {
            why(fixes, "Why nothing that was tried mends it", page);
            let tried = counted(fixes.tried, "change", "changes and sets of changes");
            let one = if fixes.tried == 1 { "it does not help" } else { "none of them helps" };
            page.wrapped("  ", &format!("{tried} tried, each by a repair of its own: {one}."));
            cut_short(fixes, page);
        }
        return;
    }
    let whole = !fixes.left;
    page.heading(if whole { "What would mend it" } else { "What would mend a part of it" });
    for (n, fix) in fixes.offered.iter().enumerate() {
        page.wrapped(&format!("  {}  ", n + 1), &format!("{} {}", fix.words, disturbs(fix)));
    }
    let each = match (fixes.offered.len(), whole) {
        (1, true) => "With it no rule is broken any more",
        (_, true) => "Any one of them is enough: no rule is broken any more",
        (1, false) => "It mends as much as any that was tried",
        (_, false) => "Any one of them leaves as little broken as any that was tried",
    };
    page.wrapped(
        "  ",
        &format!("{each}. Say the same again with --fix and its number to take it."),
    );
    if !whole {
        why(fixes, "Why the rest stays broken, with fix 1 taken", page);
        page.wrapped("  ", "No more than three changes were tried together.");
    }
    cut_short(fixes, page);
}

/// Says that not everything was tried.
fn cut_short(fixes: &FixesSaid, page: &mut Page) {
    if fixes.cut_short {
        let words = "Not everything was tried: in so large a room that would take too long. There may be another way.";
        page.wrapped("  ", words);
    } else if fixes.untried > 0 {
        let sets = counted(fixes.untried, "more set of changes was", "more sets of changes were");
        let words = "passed over because there are so many: there may be another way.";
        page.wrapped("  ", &format!("{sets} {words}"));
    }
}

fn why(fixes: &FixesSaid, heading: &str, page: &mut Page) {
    page.heading(heading);
    for sentence in &fixes.why {
        page.wrapped("  - ", sentence);
    }
}

/// How much a fix moves.
fn disturbs(fix: &FixSaid) -> String {
    let turns = match fix.moved {
        0 => "No child is moved".to_owned(),
        n => format!("{} moved", counted(n as usize, "child-turn", "child-turns")),
    };
    format!("({turns}; {}.)", posts(fix.posts_changed))
}
