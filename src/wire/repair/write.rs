//! A repaired day as a chart file with what was changed.

use super::shape;
use crate::chart::{Chart, Place};
use crate::day::{Day, Happened, Happening, Who};
use crate::planner::{Change, ChangedPlace, Mended, change_words};
use crate::site::Span;
use crate::wire::chart::{block_word, chart_json, place_json};
use crate::wire::pretty::pretty;
use serde_json::{Map, Value, json};

/// A repaired day as the text of a chart file, with what would mend it.
#[must_use]
pub fn write_mended(posted: &Chart, mended: &Mended) -> String {
    let repaired = &mended.repaired;
    let (day, chart) = (&repaired.day, &repaired.plan.chart);
    let Value::Object(file) = chart_json(day, &repaired.plan) else { return String::new() };
    let mut out = Map::new();
    for (name, value) in file {
        // What is past cannot be mended: it stands among the problems and says nothing of the rest.
        let value = if name == "safe_to_run" { repaired.safe_to_run().into() } else { value };
        out.insert(name.clone(), value);
        if name == "indoor_day" {
            let unchanged = json!({
                "groups": repaired.unchanged.groups.iter().map(|&g| &chart.groups[g].id).collect::<Vec<_>>(),
                "blocks": repaired.unchanged.blocks.iter().map(|&b| block_word(b)).collect::<Vec<_>>(),
                "adults": repaired.unchanged.adults.iter().map(|&a| &day.site[a].id).collect::<Vec<_>>(),
            });
            let mut moved = json!({ "value": repaired.moved.value });
            if let Some(bound) = repaired.moved.bound {
                moved["bound"] = bound.into();
            }
            let mut repair = json!({
                "moved": moved,
                "posts_changed": repaired.posts_changed,
                "unchanged": unchanged,
            });
            if let Some((number, words)) = &mended.taken {
                repair["fix_taken"] = json!({ "number": number, "words": words });
            }
            out.insert("repair".into(), repair);
            let line = |c: &Change| change(day, posted, chart, c);
            out.insert("changes".into(), repaired.changes.iter().map(line).collect());
            if let Some(fixes) = shape::fixes(posted, mended) {
                out.insert("fixes".into(), fixes);
            }
        }
    }
    pretty(&Value::Object(out))
}

fn change(day: &Day, posted: &Chart, now: &Chart, change: &Change) -> Value {
    let mut line = Map::new();
    put_who(day, change.who, &mut line);
    put_span(change.span, &mut line);
    let place = |chart: &Chart, place: &ChangedPlace| {
        let mut is = json!({
            "space": day.site[place.space].id,
            "at": place_json(day, chart, place.at),
        });
        if let Some(zone) = place.zone {
            is["zone"] = day.site[zone].id.clone().into();
        }
        if let Some(child) = place.for_child {
            is["for_child"] = day.site[child].id.clone().into();
        }
        if let Place::Choice(_) = place.at {
            is["open"] = place.open.iter().map(|&s| day.site[s].id.clone()).collect();
        }
        is
    };
    if let Some(was) = &change.was {
        line.insert("was".into(), place(posted, was));
    }
    if let Some(is) = &change.now {
        line.insert("now".into(), place(now, is));
    }
    line.insert("words".into(), change_words(day, change).into());
    Value::Object(line)
}

fn put_who(day: &Day, who: Who, line: &mut Map<String, Value>) {
    match who {
        Who::Child(child) => line.insert("child".into(), day.site[child].id.clone().into()),
        Who::Adult(adult) => line.insert("adult".into(), day.site[adult].id.clone().into()),
    };
}

fn put_span(span: Span, line: &mut Map<String, Value>) {
    line.insert("from".into(), span.from.to_string().into());
    line.insert("to".into(), span.to.to_string().into());
}

/// What has happened on a day, as it is read again.
pub(in crate::wire) fn happened(day: &Day) -> Vec<Value> {
    day.happened.iter().map(|h| one(day, h)).collect()
}

fn one(day: &Day, happened: &Happened) -> Value {
    let mut line = Map::new();
    line.insert("told_at".into(), happened.at.to_string().into());
    let what = |line: &mut Map<String, Value>, word: &str| {
        line.insert("what".into(), word.into());
    };
    let span = |line: &mut Map<String, Value>, span: &Option<Span>| {
        if let Some(span) = span {
            put_span(*span, line);
        }
    };
    let time = |line: &mut Map<String, Value>, name: &str, minute: &crate::site::Minute| {
        line.insert(name.into(), minute.to_string().into());
    };
    match &happened.what {
        Happening::Away { who, span: when } => {
            what(&mut line, "away");
            put_who(day, *who, &mut line);
            span(&mut line, when);
        }
        Happening::Late { who, at } => {
            what(&mut line, "late");
            put_who(day, *who, &mut line);
            time(&mut line, "at", at);
        }
        Happening::Leaving { who, at } => {
            what(&mut line, "leaving");
            put_who(day, *who, &mut line);
            time(&mut line, "at", at);
        }
        Happening::Staying { who, until } => {
            what(&mut line, "staying");
            put_who(day, *who, &mut line);
            time(&mut line, "until", until);
        }
        Happening::Back { who, at, until } => {
            what(&mut line, "back");
            put_who(day, *who, &mut line);
            at.iter().for_each(|m| time(&mut line, "at", m));
            until.iter().for_each(|m| time(&mut line, "until", m));
        }
        Happening::HeldUp { adult, span: when } => {
            what(&mut line, "held_up");
            put_who(day, Who::Adult(*adult), &mut line);
            put_span(*when, &mut line);
        }
        Happening::ExtraAdult(extra) => {
            what(&mut line, "extra_adult");
            line.insert("id".into(), extra.id.clone().into());
            line.insert("label".into(), extra.label.clone().into());
            span(&mut line, &extra.span);
            line.insert("counts".into(), extra.counts.into());
            line.insert("may_be_alone".into(), extra.may_be_alone.into());
            line.insert("lead".into(), extra.lead.into());
            line.insert("first_aid".into(), extra.first_aid.into());
            line.insert("qualifications".into(), extra.qualifications.clone().into());
        }
        Happening::Closed { station, span: when } | Happening::Open { station, span: when } => {
            let closes = matches!(happened.what, Happening::Closed { .. });
            what(&mut line, if closes { "closed" } else { "open" });
            line.insert("station".into(), day.site[*station].id.clone().into());
            span(&mut line, when);
        }
        Happening::Indoors => what(&mut line, "indoors"),
        Happening::Outdoors => what(&mut line, "outdoors"),
        Happening::MissedBreak { adult, due } => {
            what(&mut line, "missed_break");
            put_who(day, Who::Adult(*adult), &mut line);
            if let Some(due) = due {
                line.insert("break".into(), (due + 1).into());
            }
        }
        Happening::BreakAt { adult, due, from } => {
            what(&mut line, "break_at");
            put_who(day, Who::Adult(*adult), &mut line);
            time(&mut line, "at", from);
            if let Some(due) = due {
                line.insert("break".into(), (due + 1).into());
            }
        }
    }
    Value::Object(line)
}
