//! What stands under the tables: transitions with head counts, open stations, care rounds, rest,
//! and who is apart from the group and why.

use super::lines::{Page, counted, list};
use super::words;
use crate::chart::{Apart, BlockKind, Chart, ChildDay, OpenChoice, Place, Post, State, Stay};
use crate::day::Day;
use crate::day::materials::allergy_to;
use crate::planner::head_counts;
use crate::rules::LongWait;
use crate::site::{AdultIndex, ChildIndex, MealKind, SpaceIndex, Span, StationIndex};
use crate::standards::foods::Meeting;

/// All of it; `waits` are the waits for a change that are too long, whole, also where the chart is cut.
pub(super) fn notes(day: &Day, chart: &Chart, waits: &[LongWait], page: &mut Page) {
    activities(day, chart, page);
    moves(day, chart, page);
    open_stations(day, chart, page);
    care(day, chart, waits, page);
    rest(day, chart, page);
    apart(day, chart, page);
}

/// What stands at the stations of the room at which somebody has a turn, or which are open for
/// choice.
fn activities(day: &Day, chart: &Chart, page: &mut Page) {
    let spaces = &day.site[day.room].spaces;
    let stays = || chart.children.iter().flat_map(|c| &c.stays);
    let used = |s: &StationIndex| {
        stays().any(|stay| match stay.at {
            Place::Choice(k) => chart.choices.get(k.0).is_some_and(|c| c.open.contains(s)),
            at => at == Place::Station(*s),
        })
    };
    let texts: Vec<String> = (0..day.stations.len())
        .map(StationIndex)
        .filter(|s| spaces.contains(&day.station(*s).space))
        .filter(|s| day.activities.get(s.0).is_some_and(Option::is_some) && used(s))
        .map(|s| words::with_activity(day, s))
        .collect();
    if !texts.is_empty() {
        page.heading("On offer today");
        page.wrapped("  ", &format!("{}.", texts.join(", ")));
    }
}

/// When children are on the move, and how many heads to count.
fn moves(day: &Day, chart: &Chart, page: &mut Page) {
    let counts = head_counts(day, chart);
    if counts.is_empty() {
        return;
    }
    let out = chart.blocks.iter().any(|b| b.kind == BlockKind::Outdoors);
    let dress = if out { "dress, " } else { "" };
    page.heading(&format!("On the move (tidy up, wash hands, {dress}walk): heads to count"));
    // Who watches may change on the way; the heads are the same.
    let mut heads: Vec<(Span, SpaceIndex, &[ChildIndex])> = Vec::new();
    for count in &counts {
        let same = |(_, space, children): &&mut (Span, SpaceIndex, &[ChildIndex])| {
            *space == count.space && *children == count.children
        };
        match heads.iter_mut().rev().find(same) {
            Some((span, _, _)) if span.to == count.span.from => span.to = count.span.to,
            _ => heads.push((count.span, count.space, &count.children)),
        }
    }
    let home = day.site[day.room].home;
    let texts: Vec<String> = heads
        .iter()
        .map(|(span, space, children)| {
            let place =
                if *space == home { String::new() } else { format!(" {}", day.site[*space].label) };
            format!("{}{place}: {}", words::clock(*span), children.len())
        })
        .collect();
    page.items(&texts);
}

/// What is open for choice, and when; stretches with the same stations stand together.
fn open_stations(day: &Day, chart: &Chart, page: &mut Page) {
    if chart.choices.is_empty() {
        return;
    }
    page.heading("Open for choice");
    let mut choices: Vec<&OpenChoice> = chart.choices.iter().collect();
    choices.sort_by_key(|c| (c.span, c.space));
    let mut told: Vec<(&OpenChoice, Vec<Span>)> = Vec::new();
    for choice in choices {
        let same = |c: &OpenChoice| (c.space, &c.open) == (choice.space, &choice.open);
        let Some((_, spans)) = told.iter_mut().find(|(c, _)| same(c)) else {
            told.push((choice, vec![choice.span]));
            continue;
        };
        match spans.last_mut() {
            Some(before) if choice.span.from <= before.to => {
                before.to = before.to.max(choice.span.to);
            }
            _ => spans.push(choice.span),
        }
    }
    for (choice, spans) in told {
        let open: Vec<String> = choice.open.iter().map(|s| words::station(day, *s)).collect();
        let seats = day.seats(&choice.open);
        let clocks: Vec<String> = spans.iter().map(|s| words::clock(*s)).collect();
        let place = &day.site[choice.space].label;
        let open = list(&open);
        page.wrapped("  ", &format!("{}: {open}; {seats} seats, {place}", clocks.join(", ")));
    }
}

/// Changing and toilet, with whom; children who are taken one after another stand in one line, in
/// that order; and who waits too long for it.
fn care(day: &Day, chart: &Chart, waits: &[LongWait], page: &mut Page) {
    let mut turns: Vec<(Span, Vec<AdultIndex>, ChildIndex)> = Vec::new();
    for child in &chart.children {
        let stays = child.stays.iter().filter(|s| s.at == Place::Care);
        turns.extend(stays.map(|s| (s.span, with_at_care(chart, s), child.child)));
    }
    if turns.is_empty() && waits.is_empty() {
        return;
    }
    turns.sort();
    let mut rounds: Vec<(Span, Vec<AdultIndex>, Vec<ChildIndex>)> = Vec::new();
    for (span, with, child) in turns {
        let open = rounds.iter_mut().rev().find(|(_, adults, _)| *adults == with);
        match open {
            Some((until, _, children)) if span.from <= until.to => {
                until.to = until.to.max(span.to);
                children.push(child);
            }
            _ => rounds.push((span, with, vec![child])),
        }
    }
    page.heading("Care rounds (changing and toilet, in this order)");
    for (span, with, children) in rounds {
        let with: Vec<&str> = with.iter().map(|a| day.site[*a].label.as_str()).collect();
        let with = if with.is_empty() { String::new() } else { format!(", with {}", list(&with)) };
        let start = format!("  {}  ", words::clock(span));
        page.wrapped(&start, &format!("{}{with}", words::children(day, &children)));
    }
    let waits: Vec<String> = waits
        .iter()
        .map(|wait| format!("{} {} ({})", day.site[wait.child].label, wait.span, wait.awake))
        .collect();
    if !waits.is_empty() {
        let interval = day.site.settings.care_interval;
        let heading = format!("Awake for more than {interval} minutes without a change: ");
        page.wrapped("  ", &format!("{heading}{}.", waits.join(", ")));
    }
}

fn with_at_care(chart: &Chart, stay: &Stay) -> Vec<AdultIndex> {
    let beside = |p: &Post| p.at == Place::Care && p.space == stay.space && p.span.meets(stay.span);
    let adults = chart.adults.iter().filter(|a| a.posts.iter().any(beside));
    adults.map(|a| a.adult).collect()
}

/// Who sleeps from when to when, and what the others do, children with the same rest together.
fn rest(day: &Day, chart: &Chart, page: &mut Page) {
    let Some(block) = chart.blocks.iter().find(|b| b.kind == BlockKind::Rest) else { return };
    let mut told: Vec<(String, Vec<ChildIndex>)> = Vec::new();
    for child in &chart.children {
        let text = rest_of(day, chart, child, block.span);
        if text.is_empty() {
            continue;
        }
        match told.iter_mut().find(|(t, _)| *t == text) {
            Some((_, who)) => who.push(child.child),
            None => told.push((text, vec![child.child])),
        }
    }
    page.heading(&format!("Rest, {}", block.span));
    for (text, who) in told {
        page.wrapped("  ", &format!("{}: {text}.", words::children(day, &who)));
    }
}

fn rest_of(day: &Day, chart: &Chart, child: &ChildDay, block: Span) -> String {
    let mut parts: Vec<(Span, String)> = Vec::new();
    // Who is changed on the way to the cot, or from it, rests all the same.
    let on_cot = |s: &Stay| s.at == Place::Rest;
    let beside = |s: &Stay| {
        let touches = |o: &&Stay| o.span.to == s.span.from || s.span.to == o.span.from;
        child.stays.iter().filter(|o| on_cot(o)).any(|o| touches(&o))
    };
    for stay in child.stays.iter().filter(|s| s.span.meets(block)) {
        let what = match (stay.state, stay.at) {
            (_, Place::Transition) => continue,
            (_, Place::Care) if !beside(stay) => continue,
            (State::Asleep, _) => "asleep".to_owned(),
            (_, Place::Rest | Place::Care) => "rest".to_owned(),
            (_, at) => words::place(day, chart, at, stay.space),
        };
        match parts.last_mut() {
            Some((span, before)) if *before == what && span.to == stay.span.from => {
                span.to = stay.span.to;
            }
            _ => parts.push((stay.span, what)),
        }
    }
    let parts: Vec<String> =
        parts.iter().map(|(span, what)| format!("{} {what}", words::clock(*span))).collect();
    let mut text = parts.join(", ");
    let end = child.stays.iter().filter(|s| s.span.from < block.to).map(|s| s.span.to).max();
    if let Some(end) = end.filter(|end| *end < block.to && !text.is_empty()) {
        text += &format!(", home at {end}");
    }
    text
}

/// Children who are not where their group is, outside rest and care rounds.
fn apart(day: &Day, chart: &Chart, page: &mut Page) {
    let rest = chart.blocks.iter().find(|b| b.kind == BlockKind::Rest).map(|b| b.span);
    let mut lines: Vec<(Span, String, ChildIndex)> = Vec::new();
    for child in &chart.children {
        for stay in &child.stays {
            let Some(why) = stay.apart.filter(|why| *why != Apart::Care) else { continue };
            let resting = why == Apart::Sleep && rest.is_some_and(|r| r.meets(stay.span));
            if resting || stay.at == Place::Transition {
                continue;
            }
            lines.push((stay.span, reason(day, chart, child.child, stay, why), child.child));
        }
    }
    if lines.is_empty() {
        return;
    }
    lines.sort();
    page.heading("Apart from the group");
    for same in lines.chunk_by(|a, b| (a.0, &a.1) == (b.0, &b.1)) {
        let who: Vec<ChildIndex> = same.iter().map(|(_, _, child)| *child).collect();
        let (span, text, _) = &same[0];
        let start = format!("  {}  ", words::clock(*span));
        page.wrapped(&start, &format!("{}: {text}", words::children(day, &who)));
    }
}

fn reason(day: &Day, chart: &Chart, child: ChildIndex, stay: &Stay, why: Apart) -> String {
    let place = match (stay.state, stay.meal) {
        (State::Asleep, _) => "asleep".to_owned(),
        (_, Some(meal)) => {
            let at = words::place(day, chart, stay.at, stay.space);
            format!("{}, {at}", words::meal(meal))
        }
        _ => words::place(day, chart, stay.at, stay.space),
    };
    let because = match why {
        Apart::Barred => barred(day, chart, child, stay.span),
        Apart::Sleep => "own sleep time".into(),
        Apart::Care => "being changed".into(),
        Apart::Food if stay.meal == Some(MealKind::Breakfast) => "breakfasts here".into(),
        Apart::Food => "eats at another time than the group".into(),
        Apart::Kept => "as you asked".into(),
        Apart::OwnAdult => "with the own adult".into(),
    };
    format!("{place} ({because})")
}

/// Why the group's station is not for this child, as the facts say.
fn barred(day: &Day, chart: &Chart, child: ChildIndex, span: Span) -> String {
    let group = chart.group_of(child);
    let cell = group.and_then(|g| g.cells.iter().find(|c| c.span.meets(span)));
    let Some(Place::Station(at)) = cell.map(|c| c.at) else {
        return "what the group does is not for this child".into();
    };
    let name = words::station(day, at);
    let why = not_for(day, child, at).unwrap_or_else(|| "is not for this child".into());
    format!("the group is at {name}, which {why}")
}

fn not_for(day: &Day, child: ChildIndex, at: StationIndex) -> Option<String> {
    let (facts, station) = (&day.site[child], day.station(at));
    let that = |means: fn(Meeting) -> bool| -> Vec<&str> {
        let words = station.allergens.iter().filter(|word| means(allergy_to(word, facts)));
        words.map(String::as_str).collect()
    };
    let met = that(|meeting| meeting == Meeting::Yes);
    let open = that(|meeting| matches!(meeting, Meeting::MayBe | Meeting::Unknown));
    let months = day.months(child);
    if !met.is_empty() {
        Some(format!("has {} in it", list(&met)))
    } else if !open.is_empty() {
        Some(format!("has {} in it: ask first what that is", list(&open)))
    } else if months < station.from_months {
        Some(format!(
            "is for children from {}",
            counted(station.from_months as usize, "month", "months")
        ))
    } else if station.below_months.is_some_and(|below| months >= below) {
        Some("is for younger children".into())
    } else {
        None
    }
}
