//! What a standard's methods, rest rules and times with fewer adults are called.

use super::lines::list;
use crate::standards::method::{CountRow, Mixed};
use crate::standards::rest::{ReducedStaff, RestKind, RestRule};
use crate::standards::{Force, Scope, Session, Standard};

pub(super) fn force(force: Force) -> &'static str {
    match force {
        Force::Law => "law where it applies",
        Force::Recommendation => "a recommendation",
        Force::Local => "a site's own limits",
    }
}

/// Edition or year, and how its figures were read.
pub(super) fn edition(standard: &Standard) -> String {
    match standard.as_read.as_str() {
        "" => standard.edition_words(),
        read => format!("{}; {read}", standard.edition_words()),
    }
}

/// Who stays no longer than one session.
pub(super) fn for_whom(session: &Session) -> String {
    let who = match session.length.words() {
        Some(words) => format!("for children who stay {words}"),
        None => "for children who stay for one session alone; session length not known here".into(),
    };
    match &session.longer {
        Some(id) => format!("{who}; `{id}` has the figures of longer days"),
        None => who,
    }
}

pub(super) fn scope(standard: &Standard) -> &'static str {
    match standard.scope {
        Scope::Room => "judged in each space by itself",
        Scope::Site => "judged over all spaces of the site together",
    }
}

pub(super) fn label(standard: &Standard, band: &str) -> String {
    let found = standard.bands.iter().find(|b| b.id == band);
    found.map_or_else(|| band.to_owned(), |b| b.label.clone())
}

fn protected(below: Option<u32>) -> String {
    below.map_or_else(String::new, |m| format!("; with a child below {m} months the youngest's"))
}

pub(super) fn mixed(method: &Mixed) -> String {
    match method {
        Mixed::Youngest { .. } => "the youngest child's ratio holds for all".into(),
        Mixed::YoungestButOne { from_months, .. } => format!(
            "the youngest child's ratio holds for all, but for a single child of {from_months} months or \
             over among children who are all of the next age: then theirs"
        ),
        Mixed::YoungestAndEach { .. } => {
            "the youngest child's ratio for all, or each age rounded up by itself, whichever asks for \
             more"
                .into()
        }
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
        Mixed::FractionSum { mixed_size, .. } => {
            let size = mixed_size.map_or_else(String::new, |size| {
                format!(
                    "; from {} months on a group of several ages is at most what {} adults can have",
                    size.from_months, size.adults
                )
            });
            format!(
                "each age brings its exact fraction of an adult; the sum is rounded up once{size}"
            )
        }
        Mixed::CountTable { children_per_adult, .. } => {
            let rows: Vec<String> = children_per_adult
                .iter()
                .enumerate()
                .map(|(i, each)| format!("1:{each} with {}", i + 1))
                .collect();
            format!(
                "by how many of the young are among older children: {}; else the youngest's",
                rows.join(", ")
            )
        }
        Mixed::MajorityByCount { children_per_adult, .. } => {
            let row = |(at, row): (usize, &Vec<u32>)| {
                let each: Vec<String> = row.iter().map(|each| format!("1:{each}")).collect();
                format!("with {} of the young among them {}", at + 1, list(&each))
            };
            let rows: Vec<String> = children_per_adult.iter().enumerate().map(row).collect();
            format!(
                "the ratio of the age of most of the older children holds for all; {} in the order of \
                 the older ages; with more of the young, or most of them young, the youngest's",
                rows.join(", ")
            )
        }
        Mixed::CountSteps { rows, .. } => {
            let row = |row: &CountRow| {
                let steps = row.steps.iter().map(|(most, adults)| format!("{adults} up to {most}"));
                format!("with {} of them {}", row.young_up_to, list(&steps.collect::<Vec<_>>()))
            };
            let rows: Vec<String> = rows.iter().map(row).collect();
            format!(
                "by how many of the young are among older children, adults up to so many in all: {}; with \
                 more of them no group; never fewer than either need by themselves",
                rows.join("; ")
            )
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
        Mixed::SpanLookup { gaps, .. } => {
            let gaps = if *gaps { "; ages that no row spans may not be in one group" } else { "" };
            format!("a table by the youngest and the oldest age there{gaps}")
        }
    }
}

pub(super) fn rest_rule(standard: &Standard, rest: &RestRule) -> String {
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
        words += &format!(", from {} months on and beside no younger child", rest.from_months);
    }
    if rest.indoors_only {
        words += ", indoors only";
    }
    if rest.others_in_building {
        words += ", while the other adults stay in the building";
    }
    if rest.class_size_waived {
        words += "; no class size while all of a space sleep";
    }
    words
}

pub(super) fn reduced_staff(reduced: &ReducedStaff) -> String {
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
