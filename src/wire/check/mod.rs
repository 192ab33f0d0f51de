//! A block check as JSON: one shape for every verdict.
#![doc = ""]
#![doc = include_str!("format.md")]

use super::pretty::pretty;
use crate::chart::Place;
use crate::day::Day;
use crate::planner::check::{
    BlockCheck, Care, Change, Elsewhere, Holds, Leaver, Left, Material, Matter, NEWCOMER, Offer,
    Reason, SliceCheck, StandardNeed, Tied, Verdict, Washing,
};
use crate::planner::{AgeRange, CAUTION, ChangedPlace};
use crate::site::{AdultIndex, ChildIndex, Span};
use crate::standards::Source;
use crate::standards::foods::{groups_in, lists_of};
use crate::standards::hazards::{caution, slug};
use serde_json::{Map, Value, json};

/// The number of this shape.
pub const FORMAT: u32 = 1;

/// A block check as the text of a file.
#[must_use]
pub fn write_check(day: &Day, check: &BlockCheck) -> String {
    pretty(&check_json(day, check))
}

/// A block check as JSON.
#[must_use]
pub fn check_json(day: &Day, check: &BlockCheck) -> Value {
    let question = &check.question;
    let verdict = match check.verdict {
        Verdict::Go => "go",
        Verdict::GoWithChanges => "go_with_changes",
        Verdict::NoGo => "no_go",
    };
    let more = check
        .more
        .iter()
        .map(|(space, more)| json!({ "space": day.site[*space].id, "more": bands(more) }));
    json!({
        "format": FORMAT,
        "site": day.site.id,
        "room": day.site[day.room].id,
        "date": day.date.to_string(),
        "caution": CAUTION,
        "verdict": verdict,
        "from": question.span.from.to_string(),
        "to": question.span.to.to_string(),
        "stations": question.stations.iter().map(|s| json!({
            "id": day.site[*s].id,
            "activity": day.activities.get(s.0).cloned().flatten(),
        })).collect::<Vec<Value>>(),
        "with_chart": check.with_chart,
        "reasons": check.reasons.iter().map(|r| reason(day, r)).collect::<Vec<Value>>(),
        "offers": check.offers.iter().map(|o| offer(day, o)).collect::<Vec<Value>>(),
        "with_first_offer": check.with_first_offer,
        "slices": check.slices.iter().map(|s| slice(day, s)).collect::<Vec<Value>>(),
        "washing": check.washing.iter().map(|w| washing(day, w)).collect::<Vec<Value>>(),
        "care": check.care.as_ref().map(|c| care(day, c)),
        "materials": check.materials.iter().map(|m| material(day, m)).collect::<Vec<Value>>(),
        "room_for": more.collect::<Vec<Value>>(),
        "leavers": check.leavers.iter().map(|l| leaver(day, l)).collect::<Vec<Value>>(),
        "holds_until": check.holds_until.as_ref().map(|Holds { until, why }| json!({
            "at": until.to_string(),
            "why": why,
        })),
        "mind": check.mind,
        "assumed": check.assumed,
    })
}

fn children(day: &Day, who: &[ChildIndex]) -> Vec<String> {
    who.iter().map(|c| day.site[*c].id.clone()).collect()
}

fn adults(day: &Day, who: &[AdultIndex]) -> Vec<String> {
    let id = |a: &AdultIndex| day.site.adults.get(a.0).map_or(NEWCOMER, |who| who.id.as_str());
    who.iter().map(|a| id(a).to_owned()).collect()
}

fn bands(ranges: &[(AgeRange, u32)]) -> Vec<Value> {
    let band = |(range, n): &(AgeRange, u32)| {
        json!({
            "from_months": range.from_months,
            "below_months": range.below_months,
            "children": n,
        })
    };
    ranges.iter().map(band).collect()
}

/// `from` and `to`, then the other fields.
fn timed(span: Span, fields: Value) -> Value {
    let mut all = Map::new();
    all.insert("from".into(), span.from.to_string().into());
    all.insert("to".into(), span.to.to_string().into());
    if let Value::Object(fields) = fields {
        all.extend(fields);
    }
    Value::Object(all)
}

fn reason(day: &Day, reason: &Reason) -> Value {
    let fields = json!({
        "rule": reason.rule,
        "standard": reason.standard,
        "children": children(day, &reason.children),
        "needed": reason.needed,
        "present": reason.present,
        "words": reason.words,
    });
    timed(reason.span, fields)
}

fn offer(day: &Day, offer: &Offer) -> Value {
    let changes: Vec<Value> = offer.changes.iter().map(|c| change(day, c)).collect();
    json!({ "words": offer.words, "changes": changes })
}

fn change(day: &Day, change: &Change) -> Value {
    let station = |s: &crate::site::StationIndex| day.site[*s].id.clone();
    match change {
        Change::Move { adult, to, instead, beside, span } => {
            let fields = json!({
                "kind": "move",
                "adult": day.site[*adult].id,
                "at": place(day, *to),
                "instead": place(day, *instead),
                "beside": beside.map(|c| &day.site[c].id),
            });
            timed(*span, fields)
        }
        Change::Elsewhere { children: who, to, instead, span } => {
            let fields = json!({
                "kind": "elsewhere",
                "children": children(day, who),
                "at": child_place(day, to),
                "instead": child_place(day, instead),
            });
            timed(*span, fields)
        }
        Change::Pause { station: s, span } => {
            timed(*span, json!({ "kind": "pause", "station": station(s) }))
        }
        Change::Fewer { station: s, children } => {
            json!({ "kind": "fewer", "station": station(s), "children": children })
        }
        Change::Older { station: s, from_months } => {
            json!({ "kind": "older", "station": station(s), "from_months": from_months })
        }
        Change::OutOfReach { station: s } => {
            json!({ "kind": "out_of_reach", "station": station(s) })
        }
        Change::LeaveOut { station: s } => json!({ "kind": "leave_out", "station": station(s) }),
        Change::Shorter { span } => timed(*span, json!({ "kind": "shorter" })),
        Change::AnotherTime { span, asleep } => {
            timed(*span, json!({ "kind": "another_time", "asleep": children(day, asleep) }))
        }
        Change::Bring { station: s, children: who, from } => json!({
            "kind": "bring",
            "station": station(s),
            "children": children(day, who),
            "spaces": from.iter().map(|s| day.site[*s].id.clone()).collect::<Vec<String>>(),
        }),
        Change::KeepFrom { station: s, children: who } => {
            json!({ "kind": "keep_from", "station": station(s), "children": children(day, who) })
        }
        Change::Ask { station: s, words, children: who } => json!({
            "kind": "ask",
            "station": station(s),
            "about": words,
            "children": children(day, who),
        }),
        Change::MoreAdults { adults, span, leads } => {
            timed(*span, json!({ "kind": "more_adults", "adults": adults, "leads": leads }))
        }
    }
}

/// Where children are: as for an adult, and in a choice the stations that are open.
fn child_place(day: &Day, place: &ChangedPlace) -> Value {
    let open = place.open.iter().map(|s| day.site[*s].id.clone()).collect::<Vec<String>>();
    match place.at {
        Place::Choice(_) => json!({ "kind": "choice", "open": open }),
        Place::Unplaced => json!({ "kind": "unplaced" }),
        at => self::place(day, at),
    }
}

fn place(day: &Day, at: Place) -> Value {
    let (kind, id) = match at {
        Place::Station(s) => ("station", Some(&day.site[s].id)),
        Place::Zone(z) => ("zone", Some(&day.site[z].id)),
        Place::Table(t) => ("table", Some(&day.site[t].id)),
        Place::Movement => ("movement", None),
        Place::Outdoors => ("outdoors", None),
        Place::Transition => ("transition", None),
        Place::Rest => ("rest", None),
        Place::Care => ("care", None),
        Place::Door => ("door", None),
        Place::Preparation => ("preparation", None),
        Place::Task(_) => ("task", None),
        Place::StaffBreak(_) => ("staff_break", None),
        _ => ("whole_group", None),
    };
    match id {
        Some(id) => json!({ "kind": kind, "id": id }),
        None => json!({ "kind": kind }),
    }
}

fn slice(day: &Day, slice: &SliceCheck) -> Value {
    let need = |n: &StandardNeed| {
        json!({
            "standard": n.standard,
            "premises": n.premises,
            "needed": n.needed,
            "present": n.present,
            "words": n.words,
        })
    };
    let tied = |t: &Tied| {
        json!({
            "station": day.site[t.station].id,
            "at_the_sinks": t.at_the_sinks,
            "children": children(day, &t.children),
            "needed": t.needed,
            "adults": adults(day, &t.adults),
        })
    };
    let elsewhere = |e: &Elsewhere| {
        json!({
            "adult": adults(day, &[e.adult])[0],
            "at": place(day, e.at),
            "children": children(day, &e.children),
            "words": e.words,
        })
    };
    let Left { children: left, adults: with, sight, alone_needed } = &slice.left;
    let fields = json!({
        "space": day.site[slice.space].id,
        "by_band": bands(&slice.by_range),
        "asleep": slice.asleep,
        "needs": slice.needs.iter().map(need).collect::<Vec<Value>>(),
        "adults": adults(day, &slice.adults),
        "counted": adults(day, &slice.counted),
        "stations": slice.tied.iter().map(tied).collect::<Vec<Value>>(),
        "elsewhere": slice.elsewhere.iter().map(elsewhere).collect::<Vec<Value>>(),
        "left": {
            "children": children(day, left),
            "adults": adults(day, with),
            "in_sight": sight,
            "needed_alone": alone_needed,
        },
    });
    timed(slice.span, fields)
}

fn washing(day: &Day, wash: &Washing) -> Value {
    json!({
        "station": day.site[wash.station].id,
        "children": wash.children,
        "helped": wash.helped,
        "space": day.site[wash.space].id,
        "sinks": wash.sinks,
        "minutes": wash.minutes,
        "start_by": wash.from.to_string(),
    })
}

fn care(day: &Day, care: &Care) -> Value {
    let holds: Vec<Value> = care.holds.iter().map(|s| timed(*s, json!({}))).collect();
    let at_it = |(adult, span): &(AdultIndex, Span)| {
        timed(*span, json!({ "adult": adults(day, &[*adult]).first() }))
    };
    let by_chart: Vec<Value> = care.by_chart.iter().map(at_it).collect();
    json!({
        "children": children(day, &care.children),
        "minutes_each": care.minutes_each,
        "minutes": care.minutes,
        "one_adult_can_be_spared": holds,
        "by_chart": by_chart,
        "breaks": care.breaks,
        "absence_forgiven_minutes": care.forgiven,
    })
}

fn material(day: &Day, material: &Material) -> Value {
    let (hazard, word, told) = match &material.what {
        Matter::Hazard(hazard) => (Some(slug(*hazard)), None, Some(caution(*hazard))),
        Matter::Allergen(word) => (None, Some(word), None),
    };
    let stands_for =
        word.map(|word| groups_in(word).into_iter().map(|g| &g.name).collect::<Vec<&String>>());
    let lists = word.map(|word| lists_of(word).into_iter().map(Source::to_string));
    let lists = lists.map(|lists| lists.collect::<Vec<String>>().join("; "));
    let source = told.map(|c| c.source.to_string()).or(lists.filter(|lists| !lists.is_empty()));
    json!({
        "station": day.site[material.station].id,
        "hazard": hazard,
        "allergen": word,
        "stands_for": stands_for,
        "not_for": children(day, &material.not_for),
        "ask_for": children(day, &material.ask_for),
        "closed_for": children(day, &material.closed_for),
        "caution": told.map(|c| &c.words),
        "source": source,
    })
}

fn leaver(day: &Day, leaver: &Leaver) -> Value {
    let fields = json!({
        "child": day.site[leaver.child].id,
        "standard": leaver.standard,
        "needed": leaver.needed,
        "present": leaver.present,
    });
    timed(leaver.span, fields)
}
