//! Happenings from flags: `--away mara:10:15-12:00`.

use super::args::RepairArgs;
use super::input;
use crate::day::{Day, ExtraAdult, Happening, Who};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, StationIndex};
use crate::wire::nearest;
use crate::wire::scenario::slug;
use std::collections::BTreeSet;

/// A flag as it was written, and what it says.
pub(super) type Flags = Vec<(String, Happening)>;

/// What comes of one flag: a happening, or what is wrong and what to do.
type Told = Result<Happening, String>;

/// What the flags say, kind by kind.
///
/// # Errors
/// A line for every flag that cannot be read.
pub(super) fn told(args: &RepairArgs, day: &Day) -> Result<Flags, Vec<String>> {
    let mut told: Flags = Vec::new();
    let mut wrong: Vec<String> = Vec::new();
    let mut each = |flag: &str, given: &[String], read: &dyn Fn(&str, Option<&str>) -> Told| {
        for text in given {
            let (id, rest) =
                text.split_once(':').map_or((text.as_str(), None), |(a, b)| (a, Some(b)));
            // `child:pip` and `adult:mara` say which of two people with the same id is meant.
            let (id, rest) = match (id, rest) {
                ("child" | "adult", Some(rest))
                    if !rest.starts_with(|c: char| c.is_ascii_digit()) =>
                {
                    let cut = rest.find(':').unwrap_or(rest.len());
                    let whole = &text[..id.len() + 1 + cut];
                    (whole, rest.get(cut + 1..))
                }
                plain => plain,
            };
            match read(id, rest) {
                Ok(what) => told.push((format!("{flag} {text}"), what)),
                Err(said) => wrong.push(format!("{flag} {}: {said}", text.escape_debug())),
            }
        }
    };
    each("--away", &args.away, &|id, rest| {
        let who = who(day, id)?;
        if let Some(from) = rest.filter(|text| input::minute(text).is_some()) {
            let stretch = format!("until when is not said; write it as {id}:{from}-HH:MM");
            return Err(format!("{stretch}, or, not to come back, --leaving {id}:{from}"));
        }
        Ok(Happening::Away { who, span: maybe_span(rest)? })
    });
    each("--late", &args.late, &|id, rest| {
        Ok(Happening::Late { who: who(day, id)?, at: time(rest)? })
    });
    each("--leaving", &args.leaving, &|id, rest| {
        let who = who(day, id)?;
        match rest {
            Some(_) => Ok(Happening::Leaving { who, at: time(rest)? }),
            None => Ok(Happening::Away { who, span: None }),
        }
    });
    each("--staying", &args.staying, &|id, rest| {
        Ok(Happening::Staying { who: who(day, id)?, until: time(rest)? })
    });
    each("--back", &args.back, &|id, rest| {
        let who = who(day, id)?;
        let span = rest.and_then(span);
        let at = match (rest, span) {
            (None, _) => None,
            (_, Some(span)) => Some(span.from),
            (Some(_), None) => Some(time(rest)?),
        };
        Ok(Happening::Back { who, at, until: span.map(|s| s.to) })
    });
    each("--held-up", &args.held_up, &|id, rest| {
        let span = maybe_span(rest)?.ok_or("from when to when is not said; add :HH:MM-HH:MM")?;
        Ok(Happening::HeldUp { adult: adult(day, id)?, span })
    });
    each("--extra-adult", &args.extra_adult, &|label, rest| extra(day, label, rest));
    each("--close", &args.close, &|id, rest| {
        // Who closes the garden wants the children in.
        let stays_in = |said| format!("{said}; to keep the children in, say --indoors");
        let station = station(day, id).map_err(stays_in)?;
        Ok(Happening::Closed { station, span: maybe_span(rest)? })
    });
    each("--open", &args.open, &|id, rest| {
        Ok(Happening::Open { station: station(day, id)?, span: maybe_span(rest)? })
    });
    each("--missed-break", &args.missed_break, &|id, rest| {
        Ok(Happening::MissedBreak { adult: adult(day, id)?, due: due(rest)? })
    });
    each("--break-at", &args.break_at, &|id, rest| {
        // A clock time has a colon of its own.
        let cut = rest.and_then(|text| text.match_indices(':').nth(1)).map(|(at, _)| at);
        let (when, number) = match (rest, cut) {
            (Some(text), Some(cut)) => (text.get(..cut), text.get(cut + 1..)),
            _ => (rest, None),
        };
        Ok(Happening::BreakAt { adult: adult(day, id)?, due: due(number)?, from: time(when)? })
    });
    if args.indoors {
        told.push(("--indoors".into(), Happening::Indoors));
    }
    if args.outdoors {
        told.push(("--outdoors".into(), Happening::Outdoors));
    }
    if wrong.is_empty() { Ok(told) } else { Err(wrong) }
}

/// Which of the staff breaks due, counted from 1.
fn due(number: Option<&str>) -> Result<Option<usize>, String> {
    let Some(text) = number else { return Ok(None) };
    let number: Option<usize> = text.parse().ok().filter(|n| (1..=50).contains(n));
    Ok(Some(number.ok_or("count the staff breaks due from 1, like mara:2")? - 1))
}

/// `10:15-12:00`; the end may be `24:00`.
fn span(text: &str) -> Option<Span> {
    let (from, to) = text.split_once('-')?;
    Span::new(input::minute(from)?, input::minute(to)?)
}

fn maybe_span(rest: Option<&str>) -> Result<Option<Span>, String> {
    let Some(text) = rest else { return Ok(None) };
    let said = text.escape_debug();
    span(text).map(Some).ok_or_else(|| match text.split_once('-') {
        Some((from, to)) if input::minute(from).is_some() && input::minute(to).is_some() => {
            format!("`{said}`: {to} is not after {from}; give a time after {from}")
        }
        _ => {
            format!("`{said}` is no stretch of the day; write it as HH:MM-HH:MM, like 10:15-12:00")
        }
    })
}

fn time(rest: Option<&str>) -> Result<Minute, String> {
    let Some(text) = rest else { return Err("no time is given; add :HH:MM".into()) };
    let wrong = format!("`{}` is not a clock time", text.escape_debug());
    input::minute(text).ok_or(wrong + "; write it as HH:MM, like 09:30")
}

/// A child or an adult; `child:ID` or `adult:ID` where both have the id.
fn who(day: &Day, id: &str) -> Result<Who, String> {
    if let Some(id) = id.strip_prefix("child:") {
        return child(day, id).ok_or_else(|| unknown(day, "child", id));
    }
    if id.starts_with("adult:") {
        return adult(day, id).map(Who::Adult);
    }
    let adult = input::named(id, input::adults(&day.site)).map(|a| Who::Adult(AdultIndex(a)));
    match (child(day, id), adult) {
        (Some(_), Some(_)) => {
            Err(format!("a child and an adult are called so; write child:{id} or adult:{id}"))
        }
        (found, other) => found.or(other).ok_or_else(|| unknown(day, "child or adult", id)),
    }
}

fn child(day: &Day, id: &str) -> Option<Who> {
    let children = day.site.children.iter().map(|c| (c.id.as_str(), c.label.as_str()));
    input::named(id, children).map(|c| Who::Child(ChildIndex(c)))
}

fn adult(day: &Day, id: &str) -> Result<AdultIndex, String> {
    let id = id.strip_prefix("adult:").unwrap_or(id);
    let found = input::named(id, input::adults(&day.site)).map(AdultIndex);
    found.ok_or_else(|| unknown(day, "adult", id))
}

fn station(day: &Day, id: &str) -> Result<StationIndex, String> {
    let found = input::named(id, input::stations(&day.site)).map(StationIndex);
    found.ok_or_else(|| unknown(day, "station", id))
}

fn unknown(day: &Day, kind: &str, id: &str) -> String {
    let adults = day.site.adults.iter().map(|a| a.id.as_str());
    let children = day.site.children.iter().map(|c| c.id.as_str());
    let known: Vec<&str> = match kind {
        "station" => day.site.stations.iter().map(|s| s.id.as_str()).collect(),
        "adult" => adults.collect(),
        "child" => children.collect(),
        _ => children.chain(adults).collect(),
    };
    let mend = match nearest(id, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.len() <= 40 => format!("give one of {}", known.join(", ")),
        None => format!("give one of the {} known ones", known.len()),
    };
    format!("there is no {kind} `{}`; {mend}", id.escape_debug())
}

/// What may be said of an adult who comes in, besides a qualification.
const EXTRA: [&str; 4] = ["not-counted", "may-be-alone", "lead", "first-aid"];

/// `LABEL[:FROM-TO][,not-counted][,may-be-alone][,lead][,first-aid][,QUALIFICATION]`.
fn extra(day: &Day, label: &str, rest: Option<&str>) -> Told {
    let mut words = label.split(',').map(str::trim);
    let label = words.next().unwrap_or_default().to_owned();
    let mut extra = ExtraAdult {
        id: slug(&label),
        label,
        span: None,
        counts: true,
        may_be_alone: false,
        lead: false,
        first_aid: false,
        qualifications: Vec::new(),
    };
    if extra.id.is_empty() || extra.label.chars().count() > 120 {
        return Err("no label is given; write it as LABEL:FROM-TO, like Ruth:10:30-12:00".into());
    }
    let more = rest.into_iter().flat_map(|rest| rest.split(',')).map(str::trim);
    for (at, word) in words.chain(more).enumerate() {
        match word {
            "not-counted" => extra.counts = false,
            "may-be-alone" => extra.may_be_alone = true,
            "lead" => extra.lead = true,
            "first-aid" => extra.first_aid = true,
            time if time.starts_with(|c: char| c.is_ascii_digit()) && at == 0 => {
                extra.span = maybe_span(Some(time))?;
            }
            "" => return Err("a word is missing between two commas; remove one of them".into()),
            other => extra.qualifications.push(qualification(day, other)?),
        }
    }
    Ok(Happening::ExtraAdult(extra))
}

/// A qualification that the standards of the day speak of or somebody of the team holds: any other
/// word is a slip, and who "does not count" by a word of the caller's own would be counted.
fn qualification(day: &Day, word: &str) -> Result<String, String> {
    let team = day.site.adults.iter().flat_map(|a| a.qualifications.iter().map(String::as_str));
    let known: BTreeSet<&str> =
        day.standards.iter().flat_map(|s| s.qualifications()).chain(team).collect();
    let said = word.to_lowercase();
    if known.contains(said.as_str()) {
        return Ok(said);
    }
    let known: Vec<&str> = EXTRA.into_iter().chain(known).collect();
    let mend = match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("give any of {}", known.join(", ")),
    };
    Err(format!("`{}` says nothing of an adult who comes in; {mend}", word.escape_debug()))
}
