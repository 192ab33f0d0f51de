//! Children, with what follows from their age where the file says nothing.

use super::attendance::attendance;
use super::reader::{Reader, check_id, label_or, words};
use super::station::listed;
use crate::site::{
    AdultIndex, Child, ChildIndex, Minute, OneToOne, Room, RoomIndex, SettlingIn, Sleep, Span,
    Toileting, Weekly, age_in_months,
};
use crate::standards::foods::is_none;
use crate::wire::limits::{self, Limit};
use crate::wire::{At, Object, tree::Value};
use chrono::{Months, NaiveDate};

const CHILD: [&str; 19] = [
    "id",
    "label",
    "born",
    "room",
    "days",
    "times",
    "attendance",
    "breakfast_here",
    "toileting",
    "sleep",
    "quiet_rest_minutes",
    "one_to_one",
    "settling_in",
    "allergies",
    "not_for",
    "often_chosen",
    "keep_with",
    "keep_apart",
    "key_adult",
];

/// Reads the children, once rooms and stations are known; wishes for company become mutual.
pub(super) fn children(reader: &mut Reader<'_>) {
    let items = reader.children.items().to_vec();
    if items.is_empty() {
        reader.needs_one("children", "child", "`label` and `born` are enough");
    }
    for (i, item) in items.iter().enumerate() {
        let id = reader.children.id(i);
        let room = reader.room_of[i].unwrap_or(RoomIndex(0));
        let born = reader.on.checked_sub_months(Months::new(48)).unwrap_or(reader.on);
        let blank = blank(id, born, room);
        let read = match item.object(&CHILD) {
            Some(object) => child(reader, &object, ChildIndex(i), blank),
            None => blank,
        };
        reader.site.children.push(read);
    }
    make_mutual(&mut reader.site.children, |child| &mut child.keep_with);
    make_mutual(&mut reader.site.children, |child| &mut child.keep_apart);
    for (i, item) in items.iter().enumerate() {
        let child = &reader.site.children[i];
        if let Some(both) = child.keep_with.iter().find(|c| child.keep_apart.contains(c)) {
            let other = &reader.site[*both].label;
            let cause = format!("{} is to be kept both with and apart from {other}", child.label);
            item.fault(cause, "keep one of the two");
        }
    }
}

fn blank(id: String, born: NaiveDate, room: RoomIndex) -> Child {
    Child {
        label: id.clone(),
        id,
        born,
        room,
        attendance: Weekly::default(),
        breakfast_here: false,
        toileting: Toileting::Alone,
        sleep: Sleep::None,
        quiet_rest_minutes: QUIET_REST,
        one_to_one: None,
        settling_in: None,
        allergies: Vec::new(),
        not_for: Vec::new(),
        often_chosen: Vec::new(),
        keep_with: Vec::new(),
        keep_apart: Vec::new(),
        key_adult: None,
    }
}

/// Minutes of lying quietly (common practice; no longer than the half hour of New Jersey
/// 3A:52-6.4, verified, after which a child who is awake gets something quiet to do).
const QUIET_REST: u16 = 30;

fn child(reader: &Reader<'_>, object: &Object<'_>, me: ChildIndex, blank: Child) -> Child {
    check_id(object);
    object.need("label");
    let born = object.need("born").and_then(|at| at.date());
    let born_or = born.unwrap_or(blank.born);
    let months = age_in_months(born_or, reader.on).unwrap_or(0);
    let room = &reader.site[blank.room];
    let attendance = attendance(reader, object, room, reader.room_of[me.0].is_some());
    let adult = |object: &Object<'_>, name: &str| reader.adults.field(object, name).map(AdultIndex);
    let only = only_adult(reader);
    let mut assumed = Vec::new();
    let child = Child {
        label: label_or(object, &blank.id),
        born: born_or,
        attendance,
        breakfast_here: object.or("breakfast_here", false, At::truth),
        toileting: object
            .get("toileting")
            .and_then(|at| at.one_of(&TOILETING))
            .unwrap_or_else(|| toileting_by_age(months, &mut assumed)),
        sleep: match object.get("sleep") {
            Some(at) => sleep(&at, room).unwrap_or(Sleep::None),
            None => sleep_by_age(months, room, &mut assumed),
        },
        quiet_rest_minutes: object.or("quiet_rest_minutes", QUIET_REST, |at| at.whole(0, 120)),
        one_to_one: object.get("one_to_one").and_then(|at| {
            let object = at.object(&["adult", "stand_ins"])?;
            object.need("adult")?;
            let own = adult(&object, "adult")?;
            let stand_ins = reader.adults.list(&object, &limits::STAND_INS);
            let stand_ins: Vec<_> = stand_ins.into_iter().map(AdultIndex).collect();
            if stand_ins.contains(&own) {
                at.fault("the own adult is named as a stand-in too", "name somebody else");
            }
            Some(OneToOne { adult: own, stand_ins })
        }),
        settling_in: object.get("settling_in").and_then(|at| {
            let object = at.object(&["until", "with"])?;
            object.need("with");
            let until = object.need("until").and_then(|at| at.date());
            Some(SettlingIn { with: adult(&object, "with")?, until: until? })
        }),
        allergies: words(object, &limits::ALLERGIES)
            .into_iter()
            .filter(|word| !is_none(word))
            .collect(),
        not_for: listed(reader, object, &limits::NOT_FOR),
        often_chosen: listed(reader, object, &limits::OFTEN_CHOSEN),
        keep_with: others(reader, object, &limits::KEEP_WITH, me),
        keep_apart: others(reader, object, &limits::KEEP_APART, me),
        key_adult: adult(object, "key_adult").or(only),
        ..blank
    };
    if let Some(station) = child.often_chosen.iter().find(|s| child.not_for.contains(s)) {
        let station = &reader.site[*station].label;
        object.at.fault(format!("{station} is both often chosen and not for"), "keep one");
    }
    if born.is_some() && !assumed.is_empty() {
        let words = format!("{}, at {months} months: {}", child.label, assumed.join(", "));
        reader.assume(&object.at, words);
    }
    child
}

fn toileting_by_age(months: u32, assumed: &mut Vec<String>) -> Toileting {
    let (toileting, word) = match months {
        0..30 => (Toileting::Nappies, "nappies"),
        30..48 => (Toileting::Learning, "learning the toilet"),
        _ => return Toileting::Alone,
    };
    assumed.push(word.into());
    toileting
}

/// Usual sleep by age (common practice): infants by an own clock, then a long sleep in the rest,
/// a shorter one, and from 48 months none.
fn sleep_by_age(months: u32, room: &Room, assumed: &mut Vec<String>) -> Sleep {
    let longest = longest_rest(room);
    let minutes = match months {
        0..12 => {
            let hours = [(9, 0, 10, 0), (12, 30, 14, 30)];
            let span =
                |(h, m, to_h, to_m)| Span { from: Minute::hm(h, m), to: Minute::hm(to_h, to_m) };
            assumed.push("sleeps 09:00 to 10:00 and 12:30 to 14:30".into());
            return Sleep::At(hours.map(span).to_vec());
        }
        12..30 => 120,
        30..48 => 75,
        _ => return Sleep::None,
    };
    let Some(longest) = longest else { return Sleep::None };
    let minutes = minutes.min(longest);
    assumed.push(format!("sleeps {minutes} minutes in the rest"));
    Sleep::InRest { minutes }
}

/// Minutes of the longest rest among a room's days.
fn longest_rest(room: &Room) -> Option<u16> {
    room.schedules.iter().filter_map(|s| s.rest.as_ref()).map(|rest| rest.minutes).max()
}

fn sleep(at: &At<'_>, room: &Room) -> Option<Sleep> {
    match at.value() {
        Value::Text(word) if word == "none" => Some(Sleep::None),
        Value::Text(_) | Value::List(_) => Some(Sleep::At(at.spans()?)),
        Value::Whole(_) => {
            let minutes = at.whole(10, 240)?;
            match longest_rest(room) {
                Some(longest) if longest < minutes => at.fault(
                    format!("{minutes} minutes of sleep do not fit a rest of {longest}"),
                    "shorten the sleep or lengthen the rest",
                ),
                None if !room.schedules.is_empty() => {
                    at.fault(
                        "the room has no rest to sleep in",
                        "give the times: [\"09:30-11:00\"]",
                    );
                }
                _ => {}
            }
            Some(Sleep::InRest { minutes })
        }
        _ => at.wrong_kind("\"none\", minutes in the rest, or times like [\"09:30-11:00\"]"),
    }
}

/// With one adult in all, every child is that adult's.
fn only_adult(reader: &Reader<'_>) -> Option<AdultIndex> {
    (reader.adults.len() == 1).then_some(AdultIndex(0))
}

fn others(
    reader: &Reader<'_>,
    object: &Object<'_>,
    limit: &Limit,
    me: ChildIndex,
) -> Vec<ChildIndex> {
    let listed: Vec<_> = reader.children.list(object, limit).into_iter().map(ChildIndex).collect();
    if let Some(at) = object.get(limit.field)
        && listed.contains(&me)
    {
        at.fault("the child is named with itself", "name other children");
    }
    listed.into_iter().filter(|child| *child != me).collect()
}

fn make_mutual(children: &mut [Child], of: impl Fn(&mut Child) -> &mut Vec<ChildIndex>) {
    for i in 0..children.len() {
        for other in of(&mut children[i]).clone() {
            let back = of(&mut children[other.0]);
            if !back.contains(&ChildIndex(i)) {
                back.push(ChildIndex(i));
            }
        }
    }
    children.iter_mut().for_each(|child| of(child).sort_unstable());
}

const TOILETING: [(&str, Toileting); 3] = [
    ("nappies", Toileting::Nappies),
    ("learning", Toileting::Learning),
    ("alone", Toileting::Alone),
];
