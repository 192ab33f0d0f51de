//! Qualified: a lead, first aid and what the binding standards ask for are there.

use super::reading::{Reading, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place, Post};
use crate::day::Day;
use crate::site::{Adult, AdultIndex, Span};
use crate::standards::{Asked, Who, Within};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "While children are there, an adult who may lead is in the room's spaces, one with first \
           aid is on the premises, and whoever else a binding standard asks for is where it says; \
           an adult on a staff break is not with the children, and only on the premises if not \
           free to leave.",
    audit,
    words,
    rows: Some(rows::people::qualified),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::Qualified],
};
const SLUG: &str = "qualified";

/// One kind of adult who must be there.
struct Wanted<'a> {
    who: &'a Who,
    within: Within,
    standard: Option<&'a str>,
}

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let mut wanted = vec![
        Wanted { who: &Who::Lead, within: Within::Room, standard: None },
        Wanted { who: &Who::FirstAid, within: Within::Premises, standard: None },
    ];
    for standard in &day.standards {
        for Asked { who, within, .. } in standard.asks_for() {
            // What the rule asks for anyway is not told twice.
            let told =
                wanted.iter().any(|w| w.standard.is_none() && (w.who, w.within) == (who, *within));
            if !told {
                wanted.push(Wanted { who, within: *within, standard: Some(&standard.id) });
            }
        }
    }
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]).into_iter().filter(|s| !s.children.is_empty()) {
        for wanted in &wanted {
            let there = slice.adults.iter().any(|(adult, post)| {
                is_wanted(wanted.who, &day.site[*adult])
                    && is_within(&reading, wanted.within, *adult, post)
            });
            if !there {
                found.push(problem(day, wanted, slice.span));
            }
        }
    }
    merged(found)
}

fn is_wanted(who: &Who, adult: &Adult) -> bool {
    match who {
        Who::Lead => adult.lead,
        Who::FirstAid => adult.first_aid,
        Who::Qualification(name) => adult.qualifications.contains(name),
    }
}

fn is_within(reading: &Reading, within: Within, adult: AdultIndex, post: &Post) -> bool {
    let day = reading.day;
    match within {
        Within::Room => {
            day.site[day.room].spaces.contains(&post.space)
                && !matches!(post.at, Place::StaffBreak(_))
        }
        Within::Premises => !reading.is_off_the_premises(adult, post),
    }
}

fn problem(day: &Day, wanted: &Wanted, slice: Span) -> Problem {
    let case = match wanted.who {
        Who::Lead => "lead",
        Who::FirstAid => "first-aid",
        Who::Qualification(_) => "qualification",
    };
    Problem {
        standard: wanted.standard.map(str::to_owned),
        space: match wanted.within {
            Within::Room => Some(day.site[day.room].home),
            Within::Premises => None,
        },
        needed: 1,
        ..Problem::of(SLUG, case, slice)
    }
}

fn words(day: &Day, p: &Problem) -> String {
    // With the children, in whichever of the room's spaces they are.
    let room = &day.site[day.room];
    let space = match p.space {
        Some(_) if room.spaces.len() > 1 => room.label.clone(),
        space => phrase::space(day, space).to_string(),
    };
    let span = p.span;
    let asked = phrase::asked_by(day, p.standard.as_deref());
    let who = match p.case {
        "lead" => "nobody who may lead".to_owned(),
        "first-aid" => "nobody with first aid".to_owned(),
        _ => format!("nobody with {}", qualifications(day, p)),
    };
    format!("{span}, {space}: {who} is there{asked}")
}

/// What the standard of a problem asks for there.
fn qualifications(day: &Day, p: &Problem) -> String {
    let within = if p.space.is_some() { Within::Room } else { Within::Premises };
    let standard = day.standards.iter().find(|s| Some(&s.id) == p.standard.as_ref());
    let names: Vec<&str> = standard
        .iter()
        .flat_map(|s| s.asks_for())
        .filter(|asked| asked.within == within)
        .filter_map(|asked| match &asked.who {
            Who::Qualification(name) => Some(name.as_str()),
            _ => None,
        })
        .collect();
    names.join(" or ")
}
