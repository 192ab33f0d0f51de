//! Nobody where age, a hazard, an allergy or "not for" forbids it.

use super::reading::{Reading, Slice, is_awake, merged};
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase};
use crate::chart::{Chart, Place};
use crate::day::Day;
use crate::day::materials::{questions, with_groups};
use crate::site::{Child, ChildIndex, Station, StationIndex};
use crate::standards::foods::{Meeting, meeting};
use crate::standards::hazards::caution;

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No child is where age, a hazard, an allergy or \"not for\" forbids it, nor in a choice \
           in which such a station is open, nor where it has to be asked first whether something \
           there is what the child is allergic to; small parts stay closed while a child too young \
           for them is awake in the same space, unless they are out of reach; and a station with \
           something in it that is not known here is not used beside a child with an allergy, nor \
           one with any food or material named beside a child whose allergy is not known here, \
           before that is asked.",
    audit,
    words,
    rows: None,
    kept: Kept::Asked(&[UNKNOWN_WORD]),
    about: About::Stations,
    reads: Reads::Minute,
    mended_by: &[Mend::OutOfReach],
};
const SLUG: &str = "barred";

/// A child is at something of which it has to be asked first whether it meets an allergy.
const ASK: &str = "ask";
/// Something is in use of which nobody can say whether it meets an allergy of a child who is awake in
/// the same space, not at it.
const UNKNOWN_WORD: &str = "unknown-word";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for (index, there) in slice.stations_in_use(&reading) {
            let station = day.station(index);
            for (case, forbids) in BARS {
                let who = there.iter().copied().filter(|c| forbids(day, index, *c)).collect();
                found.extend(problem(day, &slice, index, case, who));
            }
            if !station.out_of_reach {
                let who = small_ones_awake(day, &slice, station);
                found.extend(problem(day, &slice, index, "awake", who));
            }
            let who = beside_the_unknown(day, &slice, index, &there);
            found.extend(problem(day, &slice, index, UNKNOWN_WORD, who));
        }
    }
    merged(found)
}

/// Whether something keeps a child from a station.
type Bar = fn(&Day, StationIndex, ChildIndex) -> bool;

const BARS: [(&str, Bar); 6] = [
    ("too-young", |day, s, child| day.months(child) < day.station(s).from_months),
    ("too-old", |day, s, child| {
        day.station(s).below_months.is_some_and(|m| day.months(child) >= m)
    }),
    ("hazard", |day, s, child| {
        let barred = |h| caution(h).barred_under_months;
        day.station(s).hazards.iter().any(|h| barred(*h).is_some_and(|m| day.months(child) < m))
    }),
    ("allergy", |day, s, child| worst(day, s, child) == Meeting::Yes),
    (ASK, |day, s, child| matches!(worst(day, s, child), Meeting::MayBe | Meeting::Unknown)),
    ("not-for", |day, s, child| day.site[child].not_for.contains(&s)),
];

/// What a word for a material means to a child: the worst of its allergies.
fn means(day: &Day, word: &str, child: ChildIndex) -> Meeting {
    let allergies = day.site[child].allergies.iter();
    allergies.map(|allergy| meeting(word, allergy)).fold(Meeting::No, Meeting::max)
}

/// What the materials of a station mean to a child: the worst of their words.
fn worst(day: &Day, station: StationIndex, child: ChildIndex) -> Meeting {
    let words = day.station(station).allergens.iter();
    words.map(|word| means(day, word, child)).fold(Meeting::No, Meeting::max)
}

/// Children awake in the station's space, not at it, with an allergy of which nobody can say whether
/// something there is what it is to.
fn beside_the_unknown(
    day: &Day,
    slice: &Slice,
    index: StationIndex,
    there: &[ChildIndex],
) -> Vec<ChildIndex> {
    let station = day.station(index);
    let awake = slice.children_in(station.space).into_iter().filter(|(_, stay)| is_awake(stay));
    let unknown = |child: &ChildIndex| {
        station.allergens.iter().any(|word| means(day, word, *child) == Meeting::Unknown)
    };
    awake.map(|(child, _)| child).filter(|c| !there.contains(c)).filter(unknown).collect()
}

/// Children awake in the station's space who are too young for what lies there within reach.
fn small_ones_awake(day: &Day, slice: &Slice, station: &Station) -> Vec<ChildIndex> {
    let closed_under = |h| caution(h).closed_while_awake_under;
    let under = station.hazards.iter().filter_map(|h| closed_under(*h)).max().unwrap_or(0);
    let awake = slice.children_in(station.space).into_iter().filter(|(_, stay)| is_awake(stay));
    awake.map(|(child, _)| child).filter(|c| day.months(*c) < under).collect()
}

fn problem(
    day: &Day,
    slice: &Slice,
    station: StationIndex,
    case: &'static str,
    mut who: Vec<ChildIndex>,
) -> Option<Problem> {
    who.sort_unstable();
    let number = u32::try_from(who.len()).unwrap_or(u32::MAX);
    (number > 0).then(|| Problem {
        children: who,
        space: Some(day.station(station).space),
        zone: Some(day.station(station).zone),
        at: Some(Place::Station(station)),
        present: number,
        by: number,
        unit: Unit::Children,
        ..Problem::of(SLUG, case, slice.span)
    })
}

fn words(day: &Day, problem: &Problem) -> String {
    let who = phrase::children(day, &problem.children);
    let is = phrase::verb(problem.children.len(), "is", "are");
    let place = problem.at.map_or_else(|| "a station".to_owned(), |at| phrase::place(day, at));
    let head = format!("{}, {place}", problem.span);
    let station = match problem.at {
        Some(Place::Station(s)) => day.stations.get(s.0),
        _ => None,
    };
    match problem.case {
        "too-young" => {
            let from = station.map_or(0, |s| s.from_months);
            format!("{head}: {who} {is} too young, it is for {from} months and older")
        }
        "too-old" => {
            let below = station.and_then(|s| s.below_months).unwrap_or(0);
            format!("{head}: {who} {is} too old, it is for children under {below} months")
        }
        "hazard" => format!("{head}: {who} {is} too young for what is used there"),
        "allergy" => {
            let what = station.map_or_else(Vec::new, |s| met(day, problem, s)).join("; ");
            format!("{head}: {who} {is} allergic to something there ({what})")
        }
        "not-for" => format!("{head}: it is not for {who}"),
        ASK | UNKNOWN_WORD => {
            let asked = station.map_or_else(String::new, |s| question(day, problem, s));
            format!("{head}: {asked}")
        }
        _ => {
            let space = phrase::space(day, problem.space);
            format!("{head}: it stays closed while {who} {is} awake in {space}, too young for it")
        }
    }
}

/// The words of a station that meet an allergy of one of a problem's children, with what they stand
/// for.
fn met(day: &Day, problem: &Problem, station: &Station) -> Vec<String> {
    let meets = |word: &&String| {
        problem.children.iter().any(|child| means(day, word, *child) == Meeting::Yes)
    };
    station.allergens.iter().filter(meets).map(|word| with_groups(word)).collect()
}

/// What has to be asked, and for whom.
fn question(day: &Day, problem: &Problem, station: &Station) -> String {
    let children: Vec<&Child> =
        problem.children.iter().filter_map(|c| day.site.children.get(c.0)).collect();
    let asked = questions(station, &children).join("; ");
    let who = phrase::children(day, &problem.children);
    if problem.case == ASK {
        return format!("{asked}; it is not for {who} before that");
    }
    let has = phrase::verb(problem.children.len(), "has an allergy", "have allergies");
    format!("{asked}; {who}, awake in {}, {has}", phrase::space(day, problem.space))
}
