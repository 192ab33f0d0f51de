//! Local limits to fill in: the text of the file, what stands in it, an example worked with its own figures,
//! and the built-in rule set that is nearest to them.

use super::lines::{Page, counted, list};
use crate::site::{Minute, Span};
use crate::standards::{Edge, Head, Nearest, Situation, Standard, local_limits_example, nearest};
use chrono::{Months, NaiveDate};

/// What to know of each field, in the order of the file.
const FIELDS: [(&str, &str); 9] = [
    ("id, label", "a name of its own in small letters and hyphens, and as people say it"),
    ("edition", "the date on which you wrote the figures down"),
    ("scope", "`room`: in each space by itself; `site`: over all spaces together"),
    (
        "sources",
        "for each figure the text that it is from, and `tag`: verified, secondary, memory, derived or common_practice",
    ),
    (
        "bands",
        "the ages, youngest first; `until` is where the next one begins, in months, and the last one has none",
    ),
    ("ratio", "`{ \"per_adult\": 4 }`, or `{ \"pair\": { \"adults\": 3, \"children\": 10 } }`"),
    ("class_size", "most children together; leave it out where there is none"),
    (
        "mixed",
        "`youngest`: the youngest child's ratio for all; `per_band_sum`: each age rounded up by itself; `fraction_sum`: exact fractions, rounded up once. In doubt `youngest`",
    ),
    (
        "least_adults",
        "from so many children on so many adults on the premises; leave it out where nothing is said",
    ),
];

/// The template with its explanation, or a site's own limits (`own`) in its place.
#[must_use]
pub fn print_template(own: Option<&Standard>) -> String {
    let mut page = Page::default();
    let example = Standard::from_json(local_limits_example()).ok();
    if own.is_none() {
        page.wrapped(
            "",
            "Local limits to fill in: put this object under `site` in the scenario, as `local_limits`. \
             They hold beside the standards that the site names, or alone where it names none; then \
             nothing else is judged, so write down all that binds you.",
        );
        page.gap();
        local_limits_example().lines().for_each(|line| page.line(line));
        page.heading("What stands in it");
        FIELDS.iter().for_each(|(field, says)| page.wrapped("  ", &format!("{field}: {says}.")));
    }
    if let Some(limits) = own.or(example.as_ref()) {
        worked(limits, &mut page);
        if let Some(nearest) = nearest(limits) {
            near(&nearest, &mut page);
        }
    }
    if own.is_none() {
        page.gap();
        page.wrapped(
            "",
            "`fairturn standards --template FILE` does the same with limits that are filled in, and says \
             what cannot be read in them.",
        );
    }
    page.into_text()
}

/// As many children of the youngest and of the oldest age as one adult may have, together.
fn worked(limits: &Standard, page: &mut Page) {
    let date = NaiveDate::from_ymd_opt(2026, 4, 14).unwrap_or_default();
    let mut children: Vec<Head> = Vec::new();
    let mut begins = 0;
    let last = limits.bands.len().saturating_sub(1);
    for (at, band) in limits.bands.iter().enumerate() {
        if at == 0 || at == last {
            let born = date.checked_sub_months(Months::new(begins)).unwrap_or(date);
            // Some days past the edge, so that the age is that of the band whatever the edge includes.
            let born = born.checked_sub_days(chrono::Days::new(3)).unwrap_or(born);
            let head = Head { months: begins, born, asleep: false };
            let many = band.ratio.with_one_adult().clamp(1, 30) as usize;
            children.extend(std::iter::repeat_n(head, many));
        }
        begins = band.until.map_or(begins, Edge::about_months);
    }
    let at = Situation {
        date,
        adults: &[],
        governing_age: None,
        minute: Minute::hm(10, 0),
        open: Span { from: Minute::hm(8, 0), to: Minute::hm(17, 0) },
        outdoors: false,
    };
    page.heading("A worked example with these figures");
    page.wrapped("  ", &limits.sentence(&children, &at));
}

fn near(nearest: &Nearest, page: &mut Page) {
    let Nearest { standard, differs } = nearest;
    page.heading("The built-in rule set that is nearest by figures");
    let differs: Vec<String> = differs
        .iter()
        .map(|(from, below, own, its)| format!("{from} to {} months {own} there {its}", below - 1))
        .collect();
    let where_ = match differs.len() {
        0 => "it has the same ratio at every age under 6 years".to_owned(),
        n => format!("{} of ages differ: {}", counted(n, "stretch", "stretches"), list(&differs)),
    };
    page.wrapped("  ", &format!("`{}`, {}: {where_}.", standard.id, standard.label));
    page.wrapped(
        "  ",
        "Nearest is by how many adults 2,520 children of one age ask for, added up over each month of age \
         from birth to six years; group sizes and mixed ages are not compared. It is not your law: \
         compare with the text that binds you.",
    );
}
