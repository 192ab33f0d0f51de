//! The published rule sets as a list, and all of one, each figure beside its source.

use super::lines::{Page, counted, list, pad, width};
use crate::standards::method::Mixed;
use crate::standards::rest::{ReducedStaff, RestKind, RestRule};
use crate::standards::{
    Edge, Force, Outing, Scope, Source, Standard, Who, Within, breaks, library,
};

/// Every standard that is built in, one line or two each.
#[must_use]
pub fn print_standards() -> String {
    let mut page = Page::default();
    page.line("Standards that are built in; `fairturn standards ID` prints all of one.");
    page.gap();
    let ids = library().iter().map(|s| width(&s.id)).max().unwrap_or(0) + 2;
    for standard in library() {
        let text = format!("{}; {} ({})", standard.label, standard.edition, force(standard.force));
        page.wrapped(&format!("  {}", pad(&standard.id, ids)), &text);
    }
    page.gap();
    page.wrapped("", REMINDER);
    page.into_text()
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
    let text = format!("{} ({}); {}.", standard.edition, force(standard.force), scope(standard));
    page.wrapped("", &text);
    bands(standard, &mut page);
    let mut said = Said { standard, page: &mut page };
    said.rule("Mixed ages", &mixed(&standard.mixed), standard.mixed.source());
    table(standard, said.page);
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
        if let Some(size) = band.class_size {
            text += &format!(", at most {size} together");
            if band.class_size_waived_outdoors {
                text += " indoors";
            }
        }
        if let Some(Edge::CutDate { birthday, month, day }) = band.until {
            let name = MONTHS.get(month.saturating_sub(1) as usize).unwrap_or(&"");
            text += &format!(", until the {day} {name} after birthday {birthday}");
        }
        text += &format!(" {}", cite(standard, &band.source));
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
                page.wrapped("    ", &format!("{ages}: {}", columns.join(", ")));
            }
        }
        Mixed::Subcaps { caps, .. } => {
            for cap in caps {
                let text = format!("at most {} below {} months", cap.at_most, cap.below_months);
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
        let words = format!("from {} children on, {adults} on the premises", least.from_children);
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
        said.page.heading("Staff breaks");
        for meal in &rule.meals {
            let words = format!(
                "{} minutes in a shift of more than {} minutes ({})",
                meal.minutes, meal.over, meal.source
            );
            said.page.wrapped("  ", &words);
        }
    }
}

fn sources(standard: &Standard, page: &mut Page) {
    page.heading("Sources");
    let keys = standard.sources.keys().map(|k| width(k)).max().unwrap_or(0) + 2;
    for (key, source) in &standard.sources {
        page.wrapped(&format!("  {}", pad(key, keys)), &source.to_string());
    }
}

fn force(force: Force) -> &'static str {
    match force {
        Force::Law => "law where it applies",
        Force::Recommendation => "a recommendation",
        Force::Local => "a site's own limits",
    }
}

fn scope(standard: &Standard) -> &'static str {
    match standard.scope {
        Scope::Room => "judged in each space by itself",
        Scope::Site => "judged over all spaces of the site together",
    }
}

fn label(standard: &Standard, band: &str) -> String {
    let found = standard.bands.iter().find(|b| b.id == band);
    found.map_or_else(|| band.to_owned(), |b| b.label.clone())
}

fn protected(below: Option<u32>) -> String {
    below.map_or_else(String::new, |m| format!("; with a child below {m} months the youngest's"))
}

fn mixed(method: &Mixed) -> String {
    match method {
        Mixed::Youngest { .. } => "the youngest child's ratio holds for all".into(),
        Mixed::Plurality { protect_below_months, .. } => {
            let protected = protected(*protect_below_months);
            format!("the ratio of the age with the most children holds for all{protected}")
        }
        Mixed::Majority { protect_below_months, .. } => {
            let protected = protected(*protect_below_months);
            format!(
                "the ratio of the age of more than half of the children holds for all{protected}"
            )
        }
        Mixed::MajorityFixedAtStart { .. } => {
            "the ratio of the majority's age, fixed for the year, holds for all".into()
        }
        Mixed::TwoTier { below_months, .. } => format!(
            "with a child below {below_months} months the youngest's ratio holds, else that of the \
             age with the most children"
        ),
        Mixed::Cascade { .. } => {
            "adults are filled one after another, youngest children first, each at the ratio of \
             its youngest"
                .into()
        }
        Mixed::FractionSum { .. } => {
            "each age brings its exact fraction of an adult; the sum is rounded up once".into()
        }
        Mixed::PerBandSum { .. } => "each age is rounded up by itself, then summed".into(),
        Mixed::SpareCapacity { least_children, .. } => format!(
            "from {least_children} children on, free places of the younger take older children"
        ),
        Mixed::CountThreshold { band, at_most, .. } => {
            format!("up to {at_most} of {band} count with the older ones")
        }
        Mixed::PercentThreshold { shares, .. } => {
            let shares: Vec<String> =
                shares.iter().map(|s| format!("{} % in {}", s.percent, s.band)).collect();
            format!(
                "up to a share of the next younger age counts at the room's own ratio ({}); above \
                 it the youngest's holds",
                shares.join(", ")
            )
        }
        Mixed::Subcaps { children_per_adult, .. } => {
            format!("1:{children_per_adult} for all, of whom only so many may be young")
        }
        Mixed::SpanLookup { .. } => "a table by the youngest and the oldest age there".into(),
    }
}

fn rest_rule(standard: &Standard, rest: &RestRule) -> String {
    let mut words = match &rest.kind {
        RestKind::OneAdult => "one adult is enough with the sleepers".to_owned(),
        RestKind::Sleepers(ratio) => format!("{ratio} with the sleepers"),
        RestKind::ByBand(bands) => {
            let bands: Vec<String> = bands
                .iter()
                .map(|b| format!("{} for {}", b.ratio, label(standard, &b.band)))
                .collect();
            format!("with the sleepers {}", list(&bands))
        }
        RestKind::PartOfAdults { over, under } => {
            format!("{over}/{under} of the adults are enough while children sleep")
        }
    };
    if rest.from_months > 0 {
        words += &format!(", from {} months on", rest.from_months);
    }
    if rest.indoors_only {
        words += ", indoors only";
    }
    if rest.others_in_building {
        words += ", while the other adults stay in the building";
    }
    words
}

fn reduced_staff(reduced: &ReducedStaff) -> String {
    let (over, under) = reduced.part;
    let mut words = format!("{}: {over}/{under} of the adults", reduced.label);
    for (minutes, when) in
        [(reduced.after_opening, "after opening"), (reduced.before_closing, "before closing")]
    {
        if let Some(minutes) = minutes {
            words += &format!(", {minutes} minutes {when}");
        }
    }
    if let Some(most) = reduced.daily_most {
        words += &format!(", at most {most} minutes a day");
    }
    words
}
