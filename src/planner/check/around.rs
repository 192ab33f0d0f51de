//! What lies around a block: a care round in it, its materials, who could join or must not leave,
//! and until when it holds.

use super::allergic;
use super::block::Otherwise;
use super::judge::{Trial, clipped};
use super::pieces::Piece;
use super::plan::Base;
use super::slices::{asked, heads};
use super::{BlockQuestion, Care, Holds, Leaver, Material, Matter, busy, words};
use crate::chart::{Chart, Place, Post, State};
use crate::day::Day;
use crate::day::materials::allergy_to;
use crate::planner::AgeRange;
use crate::planner::room::{RoomFor, room_for, tightest};
use crate::rules::{self, named};
use crate::site::people::NotTaken;
use crate::site::{AdultIndex, ChildIndex, Hazard, Minute, PartKind, SpaceIndex, Span, Toileting};
use crate::standards::Scope;
use crate::standards::foods::Meeting;
use crate::standards::hazards::caution;

/// Whether one adult can be spared for a care round, in which stretches, and what forgives it.
pub(super) fn care(trial: &Trial) -> Option<Care> {
    let day = &trial.day;
    let spaces = trial.spaces();
    let pieces = trial.pieces();
    let needs = |child: ChildIndex| day.site[child].toileting != Toileting::Alone;
    let mut children: Vec<ChildIndex> = pieces
        .iter()
        .flat_map(|p| &p.children)
        .filter(|(c, s)| needs(*c) && s.state != State::Asleep && spaces.contains(&s.space))
        .map(|(c, _)| *c)
        .collect();
    children.sort_unstable();
    children.dedup();
    if children.is_empty() {
        return None;
    }
    let mut holds: Vec<Span> = Vec::new();
    let mut by_chart: Vec<(AdultIndex, Span)> = Vec::new();
    let mut breaks = None;
    for piece in &pieces {
        let at_care = piece.adults.iter().filter(|(_, p)| p.at == Place::Care);
        let at_care: Vec<AdultIndex> = at_care.map(|(a, _)| *a).collect();
        if !at_care.is_empty() {
            // The round is on: it takes nobody besides.
            for adult in at_care {
                let goes_on =
                    |(a, s): &&mut (AdultIndex, Span)| *a == adult && s.to == piece.span.from;
                match by_chart.iter_mut().find(goes_on) {
                    Some((_, span)) => span.to = piece.span.to,
                    None => by_chart.push((adult, piece.span)),
                }
            }
            continue;
        }
        // Where somebody is missing already, nobody can be spared besides.
        let missing = trial.reasons.iter().find(|r| r.is_of_adults() && r.span.meets(piece.span));
        let can_be = match missing {
            Some(reason) => Err(Some(reason.words.clone())),
            None => spared(trial, piece, &children),
        };
        match can_be {
            Ok(()) => match holds.last_mut() {
                Some(last) if last.to == piece.span.from => last.to = piece.span.to,
                _ => holds.push(piece.span),
            },
            Err(words) => breaks = breaks.or(words),
        }
    }
    let minutes_each = day.site.settings.care_minutes;
    // A change takes its minutes in one piece.
    holds.retain(|span| span.minutes() >= minutes_each);
    let forgiven = |s: &std::sync::Arc<crate::standards::Standard>| {
        s.brief_absence.as_ref().map(|b| b.minutes)
    };
    let every: Option<Vec<u16>> = day.standards.iter().map(forgiven).collect();
    let round = children.len() as u32 * u32::from(minutes_each);
    Some(Care {
        children,
        minutes_each,
        minutes: u16::try_from(round).unwrap_or(u16::MAX),
        holds,
        by_chart,
        breaks,
        forgiven: every.and_then(|all| all.into_iter().min()),
    })
}

/// Whether an adult can change a child in a piece; else what the least harmful choice breaks.
fn spared(trial: &Trial, piece: &Piece, children: &[ChildIndex]) -> Result<(), Option<String>> {
    let day = &trial.day;
    let awake = |c: &&ChildIndex| {
        piece.children.iter().any(|(who, s)| who == *c && s.state != State::Asleep)
    };
    let Some(child) = children.iter().find(awake) else { return Ok(()) };
    let room = &day.site[day.room];
    let place = room.spaces.iter().copied().find(|s| day.site[*s].care_place.is_some());
    let before = broken(trial, &clipped(&trial.chart, piece.span));
    let mut best: Option<Vec<String>> = None;
    let mut tied: Vec<(AdultIndex, Place)> = Vec::new();
    for (adult, post) in &piece.adults {
        // Without a chart nobody is tied but by what the audits say.
        let by_chart = matches!(post.at, Place::Station(_)) && trial.bare;
        if busy::ties(post) && !by_chart {
            tied.push((*adult, post.at));
            continue;
        }
        if day.site[*adult].posts_not_taken.contains(&NotTaken::Care) {
            continue;
        }
        let mut chart = clipped(&trial.chart, piece.span);
        let space = place.unwrap_or(post.space);
        for stay in
            chart.children.iter_mut().filter(|c| c.child == *child).flat_map(|c| &mut c.stays)
        {
            (stay.space, stay.at, stay.zone) = (space, Place::Care, None);
        }
        for post in chart.adults.iter_mut().filter(|a| a.adult == *adult).flat_map(|a| &mut a.posts)
        {
            *post = Post { space, at: Place::Care, zone: None, covers: None, ..*post };
        }
        let mut new = broken(trial, &chart);
        new.retain(|words| !before.contains(words));
        if new.is_empty() {
            return Ok(());
        }
        if best.as_ref().is_none_or(|b| new.len() < b.len()) {
            best = Some(new);
        }
    }
    let all_tied = (!tied.is_empty()).then(|| {
        let told = busy::told(day, &tied);
        format!("{}, nobody is free for it: {told}", piece.span)
    });
    Err(best.and_then(|words| words.into_iter().next()).or(all_tied))
}

fn broken(trial: &Trial, chart: &Chart) -> Vec<String> {
    let rules = rules::RULES.iter().filter(|r| r.is_of_adults());
    rules
        .flat_map(|r| (r.audit)(&trial.day, chart).into_iter().map(|p| (r.words)(&trial.day, &p)))
        .collect()
}

/// The materials of the stations, with the children of the block whom they are not for.
pub(super) fn materials(trial: &Trial) -> Vec<Material> {
    let day = &trial.day;
    let mut found = Vec::new();
    for at in &trial.question.stations {
        let station = day.station(*at);
        let here = present(trial, station.space, |_| true);
        let awake = present(trial, station.space, |state| state != State::Asleep);
        for hazard in &station.hazards {
            let told = caution(*hazard);
            let under = |most: Option<u32>, who: &[ChildIndex]| -> Vec<ChildIndex> {
                let young = |c: &&ChildIndex| most.is_some_and(|m| day.months(**c) < m);
                who.iter().filter(young).copied().collect()
            };
            let closed = told.closed_while_awake_under.filter(|_| !station.out_of_reach);
            found.push(Material {
                station: *at,
                what: Matter::Hazard(*hazard),
                not_for: under(told.barred_under_months, &here),
                ask_for: Vec::new(),
                closed_for: under(closed, &awake),
            });
        }
        for word in &station.allergens {
            let to = |c: &ChildIndex| allergy_to(word, &day.site[*c]);
            let (met, others): (Vec<ChildIndex>, Vec<ChildIndex>) =
                here.iter().copied().partition(|c| to(c) == Meeting::Yes);
            found.push(Material {
                station: *at,
                what: Matter::Allergen(word.clone()),
                not_for: met,
                ask_for: others.into_iter().filter(|c| to(c) != Meeting::No).collect(),
                closed_for: Vec::new(),
            });
        }
    }
    found
}

/// Children who are in a space at some time of the block, in order.
pub(super) fn present(
    trial: &Trial,
    space: SpaceIndex,
    which: impl Fn(State) -> bool,
) -> Vec<ChildIndex> {
    let pieces = trial.pieces();
    let there = pieces.iter().flat_map(|p| p.children_in(space));
    let mut who: Vec<ChildIndex> = there.filter(|(_, s)| which(s.state)).map(|(c, _)| *c).collect();
    who.sort_unstable();
    who.dedup();
    who
}

/// How many more could join and stay all the block; nobody too young for what lies within reach.
pub(super) fn more(trial: &Trial) -> Vec<(SpaceIndex, Vec<(AgeRange, u32)>)> {
    let day = &trial.day;
    let inside = clipped(&trial.chart, trial.question.span);
    let rooms: Vec<RoomFor> = room_for(day, &inside);
    let closed_under = |space: SpaceIndex| {
        let there = trial.question.stations.iter().map(|s| day.station(*s));
        let within_reach = there.filter(|s| s.space == space && !s.out_of_reach);
        let of = |h: &Hazard| caution(*h).closed_while_awake_under;
        within_reach.flat_map(|s| &s.hazards).filter_map(of).max().unwrap_or(0)
    };
    let of = |space: SpaceIndex| {
        let mut more = tightest(&rooms, space);
        for (range, n) in &mut more {
            if range.from_months < closed_under(space) {
                *n = 0;
            }
        }
        (space, more)
    };
    let rooms = trial.spaces().into_iter().map(of);
    rooms.filter(|(_, more)| !more.is_empty()).collect()
}

/// Children without whom a standard would ask for more adults than are there.
pub(super) fn leavers(trial: &Trial) -> Vec<Leaver> {
    let day = &trial.day;
    let mut found: Vec<Leaver> = Vec::new();
    for piece in trial.pieces() {
        for space in trial.spaces() {
            for standard in &day.standards {
                let at = (standard.scope == Scope::Room).then_some(space);
                let adults = piece.counted(day, at);
                let present = adults.len() as u32;
                let with = heads(day, &piece, at);
                let minute = piece.span.from;
                if with.is_empty() || asked(day, standard, &with, &adults, at, minute).0 > present {
                    continue;
                }
                for (child, _) in piece.children_in(space) {
                    let mut without = piece.clone();
                    without.children.retain(|(c, _)| c != child);
                    let heads = heads(day, &without, at);
                    let (needed, _) = asked(day, standard, &heads, &adults, at, minute);
                    if needed > present {
                        let (child, standard) = (*child, standard.id.clone());
                        let span = piece.span;
                        add(&mut found, Leaver { child, span, standard, needed, present });
                    }
                }
            }
        }
    }
    found.sort_by_key(|l| (l.span.from, l.child));
    found
}

fn add(found: &mut Vec<Leaver>, new: Leaver) {
    let goes_on = |l: &&mut Leaver| {
        l.span.to == new.span.from && *l == &mut Leaver { span: l.span, ..new.clone() }
    };
    if found.contains(&new) {
        return;
    }
    match found.iter_mut().find(goes_on) {
        Some(before) => before.span.to = new.span.to,
        None => found.push(new),
    }
}

/// The first minute at which the block stops holding, looking on to the end of the day; `None` when
/// it does not hold as it stands.
pub(super) fn holds_until(base: &Base, trial: &Trial) -> Option<Holds> {
    if !trial.reasons.is_empty() {
        return None;
    }
    let block = trial.question.span;
    let close = trial.day.schedule.open.to;
    let Some(span) = Span::new(block.from, close).filter(|s| s.to > block.to) else {
        return Some(Holds { until: block.to, why: Some("The room closes.".to_owned()) });
    };
    let stations = &trial.question.stations;
    let question = BlockQuestion { span, stations: stations.clone() };
    // Those who are at the stations go on; nobody else is called to them, and what holds within the
    // block is not judged again.
    let how = Otherwise { decided: Some(trial.how.decided.unwrap_or(block)), ..trial.how.clone() };
    let longer = Trial::run(base, &question, how)?;
    let rest = Span { from: block.to, to: close };
    let reasons = longer.judged(rest);
    // A meal that the longer block leaves no time for is told by its last start, below.
    let later = reasons.iter().filter(|r| r.rule != named::MEALS.slug && r.span.to > block.to);
    let first = later.min_by_key(|r| r.span.from.max(block.to));
    let used = |p: &&Piece| stations.iter().any(|s| !p.at_station(&longer.chart, *s).is_empty());
    let last = longer.pieces().iter().filter(used).map(|p| p.span.to).max().unwrap_or(block.to);
    let holds = match first {
        Some(reason) => {
            let until = reason.span.from.max(block.to);
            Holds { until, why: Some(format!("{}.", reason.words)) }
        }
        None if last >= close => Holds { until: close, why: Some("The room closes.".into()) },
        None => Holds { until: last.max(block.to), why: Some("Nobody is free for it.".into()) },
    };
    let next = base.bare.then(|| next_part(&base.day, block)).flatten();
    let allergic = allergic::first_to_come(trial, &longer, rest);
    Some(match next.into_iter().chain(allergic).min_by_key(|(from, _)| *from) {
        Some((from, why)) if from < holds.until => Holds { until: from, why: Some(why) },
        _ => holds,
    })
}

/// Without a chart: the next fixed part after the block, or the last minute at which a meal can
/// start.
fn next_part(day: &Day, block: Span) -> Option<(Minute, String)> {
    let parts = day.schedule.parts.iter().filter(|p| p.kind != PartKind::Arrival);
    let parts = parts.map(|p| (p.span.from, format!("{} starts.", words::part(p.kind))));
    let meals = day.schedule.meals.iter().map(|m| {
        (m.window.to.earlier(m.minutes), format!("{} has to start.", words::meal(m.kind)))
    });
    let ready = words::ready_to_go_out(day).filter(|ready| ready.to > block.to).map(|ready| {
        (ready.from.max(block.to), "Getting dressed to go out has to start.".to_owned())
    });
    parts
        .chain(meals)
        .chain(ready)
        .filter(|(from, _)| *from >= block.to)
        .min_by_key(|(from, _)| *from)
}
