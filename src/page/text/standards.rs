//! The published rule sets as a list, and all of one, each figure beside its source.

use super::lines::{Page, capital, counted, list, pad, width};
use super::standard_words::{
    edition, for_whom, force, label, mixed, reduced_staff, rest_rule, scope,
};
use crate::standards::breaks::{self, BreakRule};
use crate::standards::method::Mixed;
use crate::standards::{
    Edge, LeftOut, Outing, Source, Standard, Who, Within, all_left_out, left_out, library,
};
use std::sync::Arc;

/// Every standard that is built in, one line or two each.
#[must_use]
pub fn print_standards() -> String {
    let mut page = Page::default();
    page.line("Standards that are built in; `fairturn standards ID` prints all of one.");
    page.gap();
    lines(library(), &mut page);
    page.heading("Not built in although some of its figures were at hand");
    for LeftOut { place, why, .. } in all_left_out() {
        page.wrapped("  ", &format!("{place}: {why}."));
    }
    page.gap();
    page.wrapped("", REMINDER);
    page.into_text()
}

/// The standards that words have found, one line or two each; where there is none, what to do.
#[must_use]
pub fn print_found(words: &str, found: &[Arc<Standard>]) -> String {
    let mut page = Page::default();
    if found.is_empty() {
        page.wrapped("", &format!("{}.", capital(&none_found(words))));
        return page.into_text();
    }
    let sets = counted(found.len(), "standard fits", "standards fit");
    page.line(&format!("{sets} `{words}`; `fairturn standards ID` prints all of one."));
    page.gap();
    lines(found, &mut page);
    page.gap();
    page.wrapped("", REMINDER);
    page.into_text()
}

/// What to do where no standard fits the words that were asked for, as a clause without its full stop.
#[must_use]
pub fn none_found(words: &str) -> String {
    let what = match left_out(words) {
        Some(LeftOut { place, why, .. }) => {
            format!("no standard of {place} is built in, because {why}")
        }
        None => format!("no standard that is built in fits `{}`", words.escape_debug()),
    };
    format!(
        "{what}; `fairturn standards` lists all, and `fairturn standards --template` prints local limits to \
         fill in, with the nearest of them"
    )
}

fn lines(standards: &[Arc<Standard>], page: &mut Page) {
    let ids = standards.iter().map(|s| width(&s.id)).max().unwrap_or(0) + 2;
    for standard in standards {
        let text = format!("{}; {} ({})", standard.label, edition(standard), force(standard.force));
        let replaced = if standard.replaced_by.is_empty() { "" } else { ", since replaced" };
        page.wrapped(&format!("  {}", pad(&standard.id, ids)), &format!("{text}{replaced}"));
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

const REMINDER: &str = "Figures change. Compare them with the text that is in force where you are, \
    and write local limits into the site's file where they are stricter.";

/// All of one standard.
#[must_use]
pub fn print_standard(standard: &Standard) -> String {
    let mut page = Page::default();
    page.line(&format!("{} ({})", standard.label, standard.id));
    let edition = capital(&edition(standard));
    let text = format!("{edition} ({}); {}.", force(standard.force), scope(standard));
    page.wrapped("", &text);
    if !standard.replaced_by.is_empty() {
        page.wrapped("", &format!("In its place stands {}.", standard.replaced_by));
    }
    bands(standard, &mut page);
    let mut said = Said { standard, page: &mut page };
    said.rule("Mixed ages", &mixed(&standard.mixed), standard.mixed.source());
    table(standard, said.page);
    for cap in &standard.young_together {
        let (most, who) = (cap.at_most, standard.young_words(cap));
        let words = format!("at most {most} {who} in one group, however many adults there are");
        said.rule("Young children together", &words, &cap.source);
    }
    for apart in &standard.kept_apart {
        said.rule("Kept apart", &standard.apart_words(apart), &apart.source);
    }
    if let Some(session) = &standard.session {
        said.rule("For whom", &for_whom(session), &session.source);
    }
    if let Some(rest) = &standard.rest {
        said.rule("Rest", &rest_rule(standard, rest), &rest.source);
    }
    more(standard, &mut said);
    if !standard.notes.is_empty() {
        page.heading("How it is read here");
        for note in &standard.notes {
            page.wrapped("  ", note);
        }
    }
    sources(standard, &mut page);
    page.gap();
    page.wrapped("", REMINDER);
    page.into_text()
}

/// A page on which every sentence names where it comes from.
struct Said<'a> {
    standard: &'a Standard,
    page: &'a mut Page,
}

impl Said<'_> {
    fn rule(&mut self, heading: &str, words: &str, source: &str) {
        self.page.heading(heading);
        self.page.wrapped("  ", &format!("{words}. {}", cite(self.standard, source)));
    }
}

fn cite(standard: &Standard, key: &str) -> String {
    match standard.source(key) {
        Some(Source { tag, .. }) => format!("[{key}, {tag}]"),
        None => format!("[{key}]"),
    }
}

fn bands(standard: &Standard, page: &mut Page) {
    page.heading("Adults to children, by age");
    let labels = standard.bands.iter().map(|b| width(&b.label)).max().unwrap_or(0) + 2;
    for band in &standard.bands {
        let mut text = band.ratio.to_string();
        if let Some(ratio) = &band.ratio_outdoors {
            text += &format!(", out of doors {ratio}");
        }
        if let Some(size) = band.class_size {
            if band.class_size_source.is_some() {
                text += &format!(" {}", cite(standard, &band.source));
            }
            text += &format!(", at most {size} together");
            if band.class_size_waived_outdoors {
                text += " indoors";
            }
        }
        let name = |month: u32| *MONTHS.get(month.saturating_sub(1) as usize).unwrap_or(&"");
        match band.until {
            Some(Edge::CutDate { birthday, month, day }) => {
                text += &format!(", until the {day} {} after birthday {birthday}", name(month));
            }
            Some(Edge::DayOfYear { years, month, day }) => {
                let name = name(month);
                text += &format!(", until the {day} {name} of the year of birthday {years}");
            }
            Some(Edge::Months(_) | Edge::MonthsAndTheDay(_)) | None => {}
        }
        text += &format!(
            " {}",
            cite(standard, band.class_size_source.as_ref().unwrap_or(&band.source))
        );
        page.wrapped(&format!("  {}", pad(&band.label, labels)), &text);
    }
}

/// The rows of a table by the youngest and the oldest age, or the caps of one ratio for all.
fn table(standard: &Standard, page: &mut Page) {
    match &standard.mixed {
        Mixed::SpanLookup { rows, .. } => {
            for row in rows {
                let (from, to) = (label(standard, &row.from), label(standard, &row.to));
                let ages = if from == to { from } else { format!("{from} to {to}") };
                let young = standard.bands.first().map_or("youngest", |b| b.label.as_str());
                let columns: Vec<String> = row
                    .columns
                    .iter()
                    .map(|c| {
                        let adults = counted(c.adults as usize, "adult", "adults");
                        let cap = c.youngest_at_most;
                        let cap =
                            cap.map_or_else(String::new, |n| format!(" (at most {n} {young})"));
                        format!("{adults} up to {}{cap}", c.children)
                    })
                    .collect();
                let more = if row.any_number { ", and so on" } else { "" };
                page.wrapped("    ", &format!("{ages}: {}{more}", columns.join(", ")));
            }
        }
        Mixed::Subcaps { caps, .. } => {
            for cap in caps {
                let of = label(standard, &cap.band);
                let text = format!("at most {} of {of} or younger", cap.at_most);
                page.wrapped("    ", &text);
            }
        }
        _ => {}
    }
}

fn more(standard: &Standard, said: &mut Said) {
    for switch in &standard.switches {
        let who: Vec<String> = switch.adults.iter().map(|any| any.join(" or ")).collect();
        let band = label(standard, &switch.band);
        let words = format!("{band}: {} while {} are there", switch.ratio, list(&who));
        said.rule("With qualified adults", &words, &switch.source);
    }
    for least in &standard.least_adults {
        let adults = counted(least.adults as usize, "adult", "adults");
        let from = counted(least.from_children as usize, "child", "children");
        let words = format!("from {from} on, {adults} on the premises");
        said.rule("Fewest adults", &words, &least.source);
    }
    if let Some(backup) = &standard.backup {
        let words = match backup.minutes_away {
            0 => "another adult is on the premises when one works alone".to_owned(),
            far => format!("another adult can be there within {far} minutes"),
        };
        said.rule("Who can be called", &words, &backup.source);
    }
    for asked in standard.asks_for() {
        let who = match &asked.who {
            Who::Lead => "an adult who may lead".to_owned(),
            Who::FirstAid => "an adult with first aid".to_owned(),
            Who::Qualification(what) => format!("an adult with {what}"),
        };
        let place = match asked.within {
            Within::Room => "in the room",
            Within::Premises => "on the premises",
        };
        said.rule(
            "Who must be there",
            &format!("{who} is {place} whenever children are"),
            &asked.source,
        );
    }
    if let Some(meals) = &standard.meals {
        let words = format!("{} to {} minutes between two starts", meals.least, meals.most);
        said.rule("Meals", &words, &meals.source);
    }
    if let Some(floor) = &standard.floor {
        let area = |what, tenths: Option<u32>| {
            let dm = tenths?;
            Some(format!("{}.{:02} square metres a child {what}", dm / 100, dm % 100))
        };
        let said_of = [area("indoors", floor.indoors), area("outdoors", floor.outdoors)];
        let words: Vec<String> = said_of.into_iter().flatten().collect();
        said.rule("Floor", &list(&words), &floor.source);
    }
    for activity in &standard.activities {
        let ratios: Vec<String> = activity
            .ratios
            .iter()
            .map(|r| match r.below_months {
                Some(months) => format!("1:{} below {months} months", r.children_per_adult),
                None => format!("1:{} above", r.children_per_adult),
            })
            .collect();
        let heading = match (activity.what, activity.water_table) {
            (Outing::Water, true) => "Water play, the water table included",
            (Outing::Water, false) => "Water play",
            (Outing::Trip, _) => "Trips",
        };
        said.rule(heading, &ratios.join(", "), &activity.source);
    }
    if let Some(brief) = &standard.brief_absence {
        let adults = counted(brief.adults as usize, "adult", "adults");
        let words =
            format!("up to {} minutes with {adults} is excused; never planned with", brief.minutes);
        said.rule("A short absence", &words, &brief.source);
    }
    for reduced in &standard.reduced {
        let words = format!("{}; never planned with", reduced_staff(reduced));
        said.rule("Fewer adults may do", &words, &reduced.source);
    }
    if let Some(rule) = standard.breaks.as_deref().and_then(breaks::find) {
        said.page.heading(&format!("Staff breaks ({})", rule.label));
        staff_breaks(rule, said.page);
    }
    for (at, more) in standard.not_judged.iter().enumerate() {
        // What bears on two ages is told once.
        if standard.not_judged[..at].iter().any(|told| told.words == more.words) {
            continue;
        }
        said.rule(
            "Not judged here, and noted in every chart that it bears on",
            &more.words,
            &more.source,
        );
    }
    let remembered = standard.from_memory();
    if !remembered.is_empty() {
        said.page.heading("From memory, not compared with the text");
        said.page.wrapped("  ", &list(&remembered));
    }
}

fn staff_breaks(rule: &BreakRule, page: &mut Page) {
    for meal in &rule.meals {
        let waived = meal
            .waivable_up_to
            .map_or_else(String::new, |most| format!(", waivable by consent up to {most} minutes"));
        let words = format!(
            "{} minutes in a shift of more than {} minutes{waived} ({})",
            meal.minutes, meal.over, meal.source
        );
        page.wrapped("  ", &words);
    }
    if let Some(rest) = &rule.rests {
        let major = if rest.major_fraction { " or the greater part of it" } else { "" };
        let longest = rest.longest_without.map_or_else(String::new, |most| {
            format!(", never {most} minutes in a row without one")
        });
        let words = format!(
            "{} minutes for each {} minutes{major}, none in a shift under {}{longest} ({})",
            rest.minutes, rest.every, rest.none_under, rest.source
        );
        page.wrapped("  ", &words);
    }
}

fn sources(standard: &Standard, page: &mut Page) {
    page.heading("Sources");
    let keys = standard.sources.keys().map(|k| width(k)).max().unwrap_or(0) + 2;
    for (key, source) in &standard.sources {
        page.wrapped(&format!("  {}", pad(key, keys)), &source.to_string());
    }
}
