//! Staff breaks: each one that is due, whole and in its window.

use super::pieces::post_pieces;
use super::reading::Reading;
use super::{About, Kept, Mend, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, Place};
use crate::day::{Day, Happening, Who};
use crate::site::{AdultIndex, BreakDue, Span};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "Every adult has each staff break that is due, whole, in one piece and in its window; \
           one whose window leaves no room for it in the shift is not due.",
    audit,
    words,
    rows: Some(rows::people::staff_break),
    kept: Kept::Always,
    about: About::Day,
    reads: Reads::Day,
    mended_by: &[Mend::StaffBreak],
};
const SLUG: &str = "staff-break";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let chart = &*reading.chart;
    let mut found = Vec::new();
    for (adult, shift) in &day.adults {
        for (index, due) in day.site[*adult].breaks.iter().enumerate() {
            let room: Vec<Span> = shift.iter().filter_map(|s| due.window.meet(*s)).collect();
            if let (Some(first), Some(last)) = (shift.first(), shift.last())
                && room.iter().any(|r| r.minutes() >= due.minutes)
            {
                // Who is away in between is still owed it afterwards; who goes home early, until it
                // could not be whole any more.
                let begins = last.to.earlier(due.minutes).max(room[0].from.later(1));
                let to = if goes_home(day, *adult) { begins } else { last.to };
                let owed = due.window.meet(Span { from: first.from, to });
                found.extend(owed.and_then(|owed| short(chart, *adult, index, due, owed)));
            }
        }
    }
    found.sort_by_key(|p| (p.span, p.adults.clone()));
    found
}

/// Whether an adult was said to leave, or to be away, before the shift ends.
fn goes_home(day: &Day, adult: AdultIndex) -> bool {
    day.happened.iter().any(|h| match h.what {
        Happening::Leaving { who, .. } | Happening::Away { who, .. } => who == Who::Adult(adult),
        _ => false,
    })
}

fn short(
    chart: &Chart,
    adult: AdultIndex,
    index: usize,
    due: &BreakDue,
    room: Span,
) -> Option<Problem> {
    let at = Place::StaffBreak(index);
    let posts = chart.adult(adult).map_or(&[][..], |d| &d.posts);
    let taken = post_pieces(posts, |p| (p.at == at).then_some(()));
    let inside = taken.iter().filter_map(|(_, span)| span.meet(due.window));
    let longest = inside.map(Span::minutes).max().unwrap_or(0);
    let case = match (taken.is_empty(), longest) {
        (true, _) => "missed",
        (false, 0) => "outside",
        (false, _) => "short",
    };
    (longest < due.minutes).then(|| Problem {
        adults: vec![adult],
        at: Some(at),
        needed: u32::from(due.minutes),
        present: u32::from(longest),
        by: u32::from(due.minutes - longest),
        unit: Unit::Minutes,
        ..Problem::of(SLUG, case, room)
    })
}

fn words(day: &Day, p: &Problem) -> String {
    let who = phrase::adults(day, &p.adults);
    let minutes = phrase::count(p.needed, "minute");
    let (Some(adult), Some(Place::StaffBreak(index))) = (p.adults.first(), p.at) else {
        return who;
    };
    let window = day.site[*adult].breaks.get(index).map_or(p.span, |due| due.window);
    match p.case {
        "missed" => {
            format!("{who} has no staff break of {minutes}: {window} is the time for it")
        }
        "outside" => {
            format!(
                "{who} has the staff break of {minutes} at another time: {window} is its window"
            )
        }
        _ => format!(
            "{who} has only {} of the staff break of {minutes} in one piece between {} and {}",
            p.present, window.from, window.to
        ),
    }
}
