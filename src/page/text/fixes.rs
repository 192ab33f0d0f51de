//! What would mend a day that is not safe, under its problems.

use super::lines::Page;
use crate::planner::FixesSaid;
use crate::say::repair as said;

pub(super) fn fixes(fixes: &FixesSaid, page: &mut Page) {
    if fixes.awaited {
        page.gap();
        page.wrapped("", said::AWAITED);
        page.gap();
        return;
    }
    let any = fixes.taken.is_some() || fixes.left || !fixes.offered.is_empty();
    if any {
        page.gap();
        told(fixes, page);
        page.gap();
    }
}

fn told(fixes: &FixesSaid, page: &mut Page) {
    if let Some((number, words)) = &fixes.taken {
        page.wrapped("", &said::taken(*number, words));
        if fixes.left {
            why(fixes, said::WHY_LEFT, page);
        }
        return;
    }
    if fixes.offered.is_empty() {
        if fixes.left && fixes.tried == 0 {
            why(fixes, said::WHY_NOTHING, page);
        } else if fixes.left {
            why(fixes, said::WHY_NOTHING_TRIED, page);
            page.wrapped("  ", &said::tried(fixes.tried));
            cut_short(fixes, page);
        }
        return;
    }
    let whole = !fixes.left;
    page.heading(said::mends(whole));
    for (n, fix) in fixes.offered.iter().enumerate() {
        let words = said::fix(&fix.words, fix.moved, fix.posts_changed);
        page.wrapped(&format!("  {}  ", n + 1), &words);
    }
    page.wrapped("  ", &said::each(fixes.offered.len(), whole));
    if !whole {
        why(fixes, said::WHY_LEFT_WITH_FIRST, page);
        page.wrapped("  ", said::AT_MOST_THREE);
    }
    cut_short(fixes, page);
}

/// Says that not everything was tried.
fn cut_short(fixes: &FixesSaid, page: &mut Page) {
    if fixes.cut_short {
        page.wrapped("  ", said::CUT_SHORT);
    } else if fixes.untried > 0 {
        page.wrapped("  ", &said::untried(fixes.untried));
    }
}

fn why(fixes: &FixesSaid, heading: &str, page: &mut Page) {
    page.heading(heading);
    for sentence in &fixes.why {
        page.wrapped("  - ", sentence);
    }
}
