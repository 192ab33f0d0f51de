//! Why something stays broken, in a sentence or two: the people, the minutes, the arithmetic.

use super::candidates::called;
use crate::chart::{Block, BlockKind, Chart, Place, Post};
use crate::day::{Day, Happening, Who};
use crate::planner::{list, ratio_record};
use crate::rules::{Mend, Problem, Unit, rule_of, unattended};
use crate::site::{AdultIndex, Minute, Span};

/// Why problems stay on a chart of a day that is repaired from `at` on: a line each, and what holds
/// of several of them once.
pub(super) fn why(day: &Day, chart: &Chart, problems: &[Problem], at: Minute) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut people = String::new();
    let (alone, others) = unattended(day, chart, problems, at);
    for span in &alone {
        lines.push(format!("From {span} no adult is with the children."));
    }
    for problem in others {
        let mut said = vec![ended((rule_of(problem).words)(day, problem))];
        said.extend(arithmetic(day, chart, problem));
        said.extend(needed_for_ratio(day, chart, problem));
        if problem.is_a_question() {
            said.push("No other chart and no more adults mend that, only an answer.".to_owned());
        }
        if is_of_adults(problem) {
            let now = ended(who_is_where(day, chart, problem, at));
            if now != people {
                said.push(now.clone());
                people = now;
            }
        }
        lines.push(said.join(" "));
    }
    lines.extend(room_to_move(day, chart, problems, at));
    let there = called(day, at);
    let before = |p: &Problem| is_of_adults(p) && p.span.from < there;
    if there > at && problems.iter().any(before) {
        lines.push(format!("Nobody who is called now is with the children before {there}."));
    }
    lines
}

/// Whether more adults, or others, would mend a problem.
#[must_use]
pub fn is_of_adults(problem: &Problem) -> bool {
    rule_of(problem).is_of_adults()
}

fn is_mended(problem: &Problem, by: Mend) -> bool {
    rule_of(problem).is_mended_by(by)
}

pub(super) fn ended(sentence: String) -> String {
    if sentence.ends_with('.') { sentence } else { sentence + "." }
}

/// How the adults needed come about, by the standard that asks for them.
fn arithmetic(day: &Day, chart: &Chart, problem: &Problem) -> Option<String> {
    let standard = problem.standard.as_ref().filter(|_| is_mended(problem, Mend::CountedAdults))?;
    let rows = ratio_record(day, chart);
    let row = rows.into_iter().find(|row| {
        let same = row.standard == *standard && row.span.meets(problem.span);
        same && (row.space == problem.space || row.space.is_none())
    })?;
    let label = day.standards.iter().find(|s| s.id == *standard).map(|s| format!("{}: ", s.label));
    // The standard has been named in the sentence before.
    let words = label.and_then(|l| row.words.strip_prefix(&l).map(crate::say::capital));
    Some(words.unwrap_or(row.words))
}

/// Why nobody of those who count is taken for one child.
fn needed_for_ratio(day: &Day, chart: &Chart, problem: &Problem) -> Option<String> {
    let child = problem.children.first().filter(|_| is_mended(problem, Mend::OwnAdult))?;
    let rows = ratio_record(day, chart).into_iter().filter(|row| row.span.meets(problem.span));
    let row = rows.max_by_key(|row| (row.needed, std::cmp::Reverse(row.span.from)))?;
    let left = row.present.checked_sub(1).filter(|left| *left < row.needed)?;
    let children: u32 = row.by_range.iter().map(|(_, count)| count).sum();
    Some(format!(
        "Who counts is needed for the ratio: {children} children need {}; with one of them beside {} \
            only {left} would count.",
        row.needed, day.site[*child].label
    ))
}

/// How much of the day is left to move in, where breaks of it are missing.
fn room_to_move(day: &Day, chart: &Chart, problems: &[Problem], at: Minute) -> Option<String> {
    let each = day.schedule.movement.minutes;
    let missing = problems.iter().any(|p| is_mended(p, Mend::Movement) && p.unit == Unit::Times);
    let rest = Span::new(at, day.schedule.open.to).filter(|_| missing && each > 0)?;
    let open = |b: &&Block| matches!(b.kind, BlockKind::Turn | BlockKind::Choice);
    let spans = chart.blocks.iter().filter(open).filter_map(|b| b.span.meet(rest));
    let left: u16 = spans.map(Span::minutes).sum();
    let way = day.schedule.transition_minutes;
    let but = match left >= each + way {
        true => {
            "; no day was found that has it between what is fixed, with stretches that are worth it"
        }
        false => "",
    };
    Some(format!(
        "From {at} on {left} minutes of turns and choice are left; a movement break takes {each}, and \
         {way} on the way to it{but}."
    ))
}

/// Who is there, and where everybody else of the team is.
fn who_is_where(day: &Day, chart: &Chart, problem: &Problem, at: Minute) -> String {
    let minute = problem.span.from.max(at);
    let mut here: Vec<&str> = Vec::new();
    let mut others: Vec<String> = Vec::new();
    for adult in day.site.adults_of(day.room) {
        let label = day.site[adult].label.as_str();
        let posts = chart.adult(adult).map_or(&[][..], |a| &a.posts);
        match posts.iter().find(|p| p.span.contains(minute)) {
            Some(post) if day.counts(adult, post) => {
                // Whoever a standard asks for is with the children in any of the room's spaces.
                let in_room = is_mended(problem, Mend::Qualified)
                    && day.site[day.room].spaces.contains(&post.space);
                if in_room || problem.space.is_none_or(|space| space == post.space) {
                    here.push(label);
                } else {
                    others.push(format!("{label} is in {}", day.site[post.space].label));
                }
            }
            Some(post) => others.push(format!("{label} {}", instead(day, adult, post))),
            None => others.extend(absent(day, adult, minute).map(|how| format!("{label} {how}"))),
        }
    }
    let mut said = match here.len() {
        0 => vec!["Nobody who counts is here".to_owned()],
        1 => vec![format!("{} is here", here[0])],
        _ => vec![format!("{} are here", list(&here))],
    };
    said.extend(others);
    said.join("; ")
}

/// What keeps an adult who is in the house from counting.
fn instead(day: &Day, adult: AdultIndex, post: &Post) -> String {
    if let Some(child) = post.for_child {
        return format!("is beside {}", day.site[child].label);
    }
    match post.at {
        Place::StaffBreak(_) => format!("has the staff break until {}", post.span.to),
        Place::Task(task) if day.held_up().iter().any(|h| h.0 == adult && h.1 == task) => {
            format!("is busy until {}", post.span.to)
        }
        Place::Task(_) => format!("has a task until {}", post.span.to),
        Place::Care => format!("changes children out of sight until {}", post.span.to),
        _ => "does not count in ratio".to_owned(),
    }
}

/// Why an adult is not in the house; `None` where nothing is to be said: it is not one of the days.
fn absent(day: &Day, adult: AdultIndex, minute: Minute) -> Option<String> {
    let here = day.adult_here(adult);
    if let Some(next) = here.iter().find(|h| h.from > minute) {
        return Some(format!("comes at {}", next.from));
    }
    let away = day.happened.iter().find_map(|h| match h.what {
        Happening::Away { who, span } if who == Who::Adult(adult) => Some(span.map(|s: Span| s.to)),
        Happening::Leaving { who, .. } if who == Who::Adult(adult) => Some(None),
        _ => None,
    });
    match (away, here.last()) {
        (Some(_), _) => Some("is away".to_owned()),
        (None, Some(last)) => Some(format!("has left at {}", last.to)),
        (None, None) => None,
    }
}
