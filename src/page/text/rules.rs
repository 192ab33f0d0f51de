//! The table of rules and aims as a list.

use super::lines::Page;
use crate::rules::{AIMS, RULES};

/// Every rule, worst first, and every aim, most wanted first.
#[must_use]
pub fn print_rules() -> String {
    let mut page = Page::default();
    page.line("Rules: a chart that breaks one says so first, and is not safe to run. Worst first.");
    page.gap();
    for rule in RULES {
        page.wrapped(&format!("  {:<14}", rule.slug), rule.says);
    }
    page.heading(
        "Aims: weighed after the rules; a later one never costs an earlier one. 0 is best.",
    );
    page.gap();
    for aim in AIMS {
        page.wrapped(&format!("  {:<14}", aim.slug), &format!("{} ({})", aim.says, aim.unit));
    }
    page.into_text()
}
