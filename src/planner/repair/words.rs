//! What has happened and what is changed, in words.

use super::{Change, ChangedPlace};
use crate::chart::{BlockKind, Place as At};
use crate::day::{Day, Happened, Happening, Who};
use crate::planner::list;
use crate::site::{Minute, Span};

/// What somebody is called on paper.
#[must_use]
pub fn who_words(day: &Day, who: Who) -> String {
    match who {
        Who::Child(child) => day.site[child].label.clone(),
        Who::Adult(adult) => day.site[adult].label.clone(),
    }
}

/// A happening as a sentence without its full stop.
#[must_use]
pub fn happening_words(day: &Day, what: &Happening) -> String {
    let name = |who: &Who| who_words(day, *who);
    let when = |span: &Option<Span>| span.map_or(String::new(), |s| format!(" from {s}"));
    let rest = |span: &Option<Span>| match span {
        Some(span) => format!("from {span}"),
        None => "for the rest of the day".to_owned(),
    };
    match what {
        Happening::Away { who, span } => format!("{} is away {}", name(who), rest(span)),
        Happening::Late { who, at } => {
            let reach = day.minutes_to_reach(*who);
            let there = at.later(reach);
            let there =
                if reach > 0 { format!(", with the children at {there}") } else { "".into() };
            format!("{} comes only at {at}{there}", name(who))
        }
        Happening::Leaving { who, at } => format!("{} leaves at {at}", name(who)),
        Happening::Staying { who, until } => format!("{} stays until {until}", name(who)),
        Happening::Back { who, at, until } => {
            let from = at.map_or(String::new(), |at| format!(" from {at} on"));
            let until = until.map_or(String::new(), |until| format!(", until {until}"));
            let gone = |h: &Happened| match h.what {
                Happening::Away { who: gone, .. }
                | Happening::Late { who: gone, .. }
                | Happening::Leaving { who: gone, .. } => gone == *who,
                Happening::HeldUp { adult, .. } => Who::Adult(adult) == *who,
                _ => false,
            };
            let back = if day.happened.iter().any(gone) { "is back" } else { "is here" };
            format!("{} {back}{from}{until}", name(who))
        }
        Happening::HeldUp { adult, span } => {
            format!("{} is held up from {span}", day.site[*adult].label)
        }
        Happening::ExtraAdult(extra) => {
            let each = [
                (!extra.counts, "does not count in ratio"),
                (!extra.may_be_alone, "never alone with children"),
                (extra.lead, "may lead the room"),
                (extra.first_aid, "holds a first-aid certificate"),
            ];
            let each = each.into_iter().filter(|(so, _)| *so).map(|(_, words)| words.to_owned());
            let qualified = extra.qualifications.iter().map(|q| format!("is qualified ({q})"));
            let said: Vec<String> = each.chain(qualified).collect();
            let said =
                if said.is_empty() { String::new() } else { format!(" ({})", said.join(", ")) };
            format!("{} comes in{}{said}", extra.label, when(&extra.span))
        }
        Happening::Closed { station, span } => {
            format!("Closed {}: {}", rest(span), day.station(*station).label)
        }
        Happening::Open { station, span } => {
            format!("Open again {}: {}", rest(span), day.station(*station).label)
        }
        Happening::Indoors => "The children stay in for the rest of the day".into(),
        Happening::Outdoors => "The children go out after all".into(),
        Happening::MissedBreak { adult, due } => {
            let facts = due.and_then(|due| day.site[*adult].breaks.get(due));
            let minutes = facts.map_or(String::new(), |b| format!(" of {} minutes", b.minutes));
            format!("{} missed the staff break{minutes}", day.site[*adult].label)
        }
        Happening::BreakAt { adult, from, .. } => {
            format!("{} takes the staff break at {from}", day.site[*adult].label)
        }
    }
}

/// Where somebody is, as it stands in a sentence.
#[must_use]
pub fn place_words(day: &Day, who: Who, place: &ChangedPlace) -> String {
    let site = &day.site;
    let mut words = match place.at {
        // An adult does not rest with the children.
        At::Rest if matches!(who, Who::Adult(_)) => "sitting by the cots".into(),
        At::Station(s) => day.station(s).label.clone(),
        At::Table(t) => site[t].label.clone(),
        At::Zone(z) => format!("watching {}", site[z].label),
        At::Choice(_) if (1..=3).contains(&place.open.len()) => {
            let open = place.open.iter().map(|&s| day.station(s).label.as_str());
            format!("choice of {}", list(&open.collect::<Vec<_>>()))
        }
        At::Choice(_) => "choice".into(),
        At::WholeGroup => "circle".into(),
        At::Movement => BlockKind::Movement.word().into(),
        At::Outdoors => "outdoors".into(),
        At::Rest => BlockKind::Rest.word().into(),
        At::Transition => "on the move".into(),
        At::Care => "changing and toilet".into(),
        At::Door => "at the door".into(),
        At::Task(t) => {
            let held = day.held_up().iter().any(|h| h.1 == t);
            let label = day.schedule.tasks.get(t).map_or("task", |t| t.label.as_str());
            if held { "held up".into() } else { label.to_owned() }
        }
        At::StaffBreak(_) => "staff break".into(),
        At::Unplaced => "NO PLACE FOUND".into(),
    };
    if place.space != site[day.room].home && place.at != At::Outdoors {
        words += &format!(" ({})", site[place.space].label);
    }
    match place.for_child {
        Some(child) => format!("beside {}: {words}", site[child].label),
        None => words,
    }
}

/// What is changed for whoever it is, and when: `snack table instead of art, 10:20 to 10:45`.
#[must_use]
pub fn what_words(day: &Day, change: &Change) -> String {
    let span = change.span;
    let until = if span.to == Minute::END_OF_DAY {
        format!("from {}", span.from)
    } else {
        span.to_string()
    };
    let words = |place| place_words(day, change.who, place);
    match (&change.was, &change.now) {
        (Some(was), Some(now)) => format!("{} instead of {}, {until}", words(now), words(was)),
        (None, Some(now)) => format!("{}, {until}", words(now)),
        (_, None) => format!("not here, {until}"),
    }
}

/// One change in words: `Mara: snack table instead of art, 10:20 to 10:45`.
#[must_use]
pub fn change_words(day: &Day, change: &Change) -> String {
    format!("{}: {}", who_words(day, change.who), what_words(day, change))
}
