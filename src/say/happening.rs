//! What has happened to a running day.

use crate::day::{Day, Happened, Happening, Who};
use crate::site::Span;

/// A happening as a sentence without its full stop.
pub fn sentence(day: &Day, what: &Happening) -> String {
    let name = |who: &Who| super::who(day, *who);
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
            format!("{} is busy, not with the children, from {span}", day.site[*adult].label)
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
