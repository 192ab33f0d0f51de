//! The table of rules and aims as a list.

use super::lines::{Page, pad, width};
use crate::rules::{AIMS, RULES};

/// Every rule, worst first, and every aim, most wanted first.
#[must_use]
pub fn print_rules() -> String {
    let mut page = Page::default();
    page.line("Rules: a chart that breaks one says so first, and is not safe to run. Worst first.");
    page.gap();
    let slugs = RULES.iter().map(|r| r.slug).chain(AIMS.iter().map(|a| a.slug));
    let slugs = slugs.map(width).max().unwrap_or(0) + 2;
    for rule in RULES {
        page.wrapped(&format!("  {}", pad(rule.slug, slugs)), rule.says);
    }
    page.heading(
        "Aims: weighed after the rules; a later one never costs an earlier one. 0 is best.",
    );
    page.gap();
    for aim in AIMS {
        let text = format!("{} Unit: {}.", aim.says, aim.unit);
        page.wrapped(&format!("  {}", pad(aim.slug, slugs)), &text);
    }
    page.into_text()
}
