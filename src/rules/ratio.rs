//! Enough counted adults, by every binding standard, in every space and minute.

use super::reading::{Reading, Slice, merged, sorted};
use super::{About, Kept, Mend, Problem, Reads, Rule, phrase, rows};
use crate::chart::{Chart, Place, Post, State, Stay};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex};
use crate::standards::{Head, Need, Scope, Situation, Standard};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "In every space and minute there are the counted adults that every binding standard \
           asks for, and in the building those whom its rest rule wants at hand. Who is changed \
           where nobody of the space sees it is in no space meanwhile, and has one counted adult \
           there (its own adult will do), who counts for nobody else.",
    audit,
    words,
    rows: Some(rows::people::ratio),
    kept: Kept::Never,
    about: About::Adults,
    reads: Reads::Minute,
    mended_by: &[Mend::CountedAdults],
};
const SLUG: &str = "ratio";

/// Children with their stays.
type Children<'a> = Vec<(ChildIndex, &'a Stay)>;

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        for standard in &day.standards {
            match standard.scope {
                Scope::Room => found.extend(by_space(&reading, &slice, standard)),
                Scope::Site => found.extend(whole_site(&reading, &slice, standard)),
            }
            found.extend(being_changed(&reading, &slice, standard));
        }
    }
    merged(found)
}

fn by_space(reading: &Reading, slice: &Slice, standard: &Standard) -> Vec<Problem> {
    let mut found = Vec::new();
    let (mut in_building, mut in_spaces) = (0, 0);
    for space in slice.spaces() {
        let children = in_view(reading, slice.children_in(space));
        let adults = counted(reading, slice.adults_in(space));
        let outdoors = reading.day.site[space].outdoors;
        let need = need(reading.day, slice, standard, &children, &adults, outdoors);
        in_building += need.in_building.max(need.adults);
        in_spaces += need.adults;
        found.extend(short(slice, standard, Some(space), &children, adults, need.adults));
    }
    if in_building > in_spaces {
        let at_hand = slice.adults.iter().filter(|(adult, post)| {
            reading.day.site[*adult].counts
                && post.for_child.is_none()
                && !reading.is_off_the_premises(*adult, post)
        });
        let adults = sorted(at_hand.map(|(adult, _)| *adult));
        let short = short(slice, standard, None, &slice.children, adults, in_building);
        found.extend(short.map(|problem| Problem { case: "building", ..problem }));
    }
    found
}

fn whole_site(reading: &Reading, slice: &Slice, standard: &Standard) -> Option<Problem> {
    let children = in_view(reading, slice.children.clone());
    if children.is_empty() {
        return None;
    }
    let adults = counted(reading, slice.adults.clone());
    let outdoors = children.iter().all(|(_, stay)| reading.day.site[stay.space].outdoors);
    let need = need(reading.day, slice, standard, &children, &adults, outdoors);
    short(slice, standard, None, &children, adults, need.adults)
}

/// Those who are not being changed out of everybody's sight.
fn in_view<'a>(reading: &Reading, mut children: Children<'a>) -> Children<'a> {
    children.retain(|(_, stay)| !reading.is_by_itself(stay.space, stay.at));
    children
}

/// Children at changing places out of sight without any adult who counts, nor their own.
fn being_changed(reading: &Reading, slice: &Slice, standard: &Standard) -> Vec<Problem> {
    let mut found = Vec::new();
    for space in slice.spaces() {
        let there = |at: Place| at == Place::Care && reading.is_by_itself(space, at);
        let adults: Vec<(AdultIndex, &Post)> =
            slice.adults_in(space).into_iter().filter(|(_, post)| there(post.at)).collect();
        let own = |child: ChildIndex| adults.iter().any(|(_, post)| post.for_child == Some(child));
        let mut children = slice.children_in(space);
        children.retain(|(child, stay)| there(stay.at) && !own(*child));
        if children.is_empty() {
            continue;
        }
        let counts = |(adult, post): &&(AdultIndex, &Post)| {
            reading.day.site[*adult].counts && post.for_child.is_none()
        };
        let adults = sorted(adults.iter().filter(counts).map(|(adult, _)| *adult));
        let need = need(reading.day, slice, standard, &children, &adults, false);
        let short = short(slice, standard, Some(space), &children, adults, need.adults.min(1));
        found.extend(short.map(|p| Problem { case: "changed", at: Some(Place::Care), ..p }));
    }
    found
}

/// The adults who count, in order.
fn counted(reading: &Reading, adults: Vec<(AdultIndex, &Post)>) -> Vec<AdultIndex> {
    sorted(adults.into_iter().filter(|(a, post)| reading.counts(*a, post)).map(|(a, _)| a))
}

fn need(
    day: &Day,
    slice: &Slice,
    standard: &Standard,
    children: &Children,
    adults: &[AdultIndex],
    outdoors: bool,
) -> Need {
    let head = |(child, stay): &(ChildIndex, &Stay)| day.head(*child, stay.state == State::Asleep);
    let heads: Vec<Head> = children.iter().map(head).collect();
    let qualifications: Vec<&[String]> =
        adults.iter().map(|a| day.site[*a].qualifications.as_slice()).collect();
    standard.need(
        &heads,
        &Situation {
            date: day.date,
            adults: &qualifications,
            governing_age: day.site[day.room].governing_age,
            minute: slice.span.from,
            open: day.schedule.open,
            outdoors,
        },
    )
}

fn short(
    slice: &Slice,
    standard: &Standard,
    space: Option<SpaceIndex>,
    children: &Children,
    adults: Vec<AdultIndex>,
    needed: u32,
) -> Option<Problem> {
    let present = u32::try_from(adults.len()).unwrap_or(u32::MAX);
    (needed > present).then(|| Problem {
        standard: Some(standard.id.clone()),
        children: sorted(children.iter().map(|(child, _)| *child)),
        adults,
        space,
        needed,
        present,
        by: needed - present,
        ..Problem::of(SLUG, "short", slice.span)
    })
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, by, .. } = problem;
    let space = phrase::space(day, problem.space);
    let short = if *by == 1 { "one adult".to_owned() } else { format!("{by} adults") };
    let building = if problem.case == "building" { " in the building" } else { "" };
    let space = match problem.case {
        "changed" => format!("changing place ({space})"),
        _ => space.to_owned(),
    };
    let standard = problem.standard.as_deref().unwrap_or_default();
    let label = day.standards.iter().find(|s| s.id == standard).map_or(standard, |s| &s.label);
    format!(
        "{span}, {space}: {short} short, {present} on duty{building}, {needed} needed ({label})"
    )
}
