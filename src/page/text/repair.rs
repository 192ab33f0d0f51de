//! A repaired day: whether it is safe, what changes and what does not, then the rest of the day.

use super::lines::Page;
use super::{Look, aims, counter, fixes, more};
use crate::chart::Block;
use crate::planner::{CAUTION, FixesSaid, Repaired};
use crate::say::{clock, repair as said};
use crate::sheet::{ChangeSheet, help};

/// The whole answer, with what would mend the day and the blocks of the chart on the wall;
/// `edited`: it is not as it was made.
#[must_use]
pub fn print_repair(
    repaired: &Repaired,
    fixes: &FixesSaid,
    posted_blocks: &[Block],
    edited: bool,
    look: Look,
) -> String {
    let (day, plan) = (&repaired.day, &repaired.plan);
    let how = (edited, fixes.left, look.verbose);
    let sheet = ChangeSheet::of(repaired, posted_blocks, how, look.adult);
    let mut page = Page::default();
    counter::verdict(&sheet.first, &mut page);
    fixes::fixes(fixes, &mut page);
    counter::under(&sheet.first, &mut page);
    sheet.posted.iter().for_each(|line| page.wrapped("", line));
    page.heading(said::HAPPENED);
    for (at, list) in &sheet.happened {
        page.wrapped(&format!("  {at}  "), &format!("{}.", list.join(". ")));
    }
    if sheet.happened.is_empty() {
        page.wrapped("  ", said::NOTHING_HAPPENED);
    }
    let changes = &sheet.changes;
    page.heading(&changes.heading);
    changes.soon.iter().for_each(|line| page.wrapped("  ", line));
    if !changes.soon.is_empty() && !changes.later.is_empty() {
        page.wrapped("  ", said::LATER);
    }
    changes.later.iter().for_each(|line| page.wrapped("  ", line));
    for (span, words) in &changes.blocks {
        page.wrapped(&format!("  {}  ", clock(*span)), words);
    }
    changes.sum.iter().for_each(|line| page.wrapped("  ", line));
    if let Some(unchanged) = &sheet.unchanged {
        page.heading(said::UNCHANGED);
        page.wrapped("  ", unchanged);
    }
    page.heading(&said::the_rest(repaired.at));
    if let Some(adult) = look.adult {
        counter::one(day, &sheet.chart, adult, &mut page);
    } else {
        counter::counter(&sheet.rest, &mut page);
        if look.verbose {
            more::day(day, &sheet.chart, &mut page);
            aims::all(day, plan, &mut page);
        }
    }
    page.wrapped("", CAUTION);
    page.into_text()
}

/// What would mend a repaired day that was told before that was known.
#[must_use]
pub fn print_fixes(repaired: &Repaired, fixes: &FixesSaid) -> String {
    let mut page = Page::default();
    if let Some(help) = help(&repaired.day, &repaired.plan, fixes.left) {
        page.line("");
        page.wrapped("", help);
    }
    fixes::fixes(fixes, &mut page);
    page.into_text()
}
