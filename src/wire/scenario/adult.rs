//! The team: shifts, what each may do, staff breaks due.

use super::reader::{Reader, check_id, label_or, words};
use super::week::{by_weekday, days};
use crate::site::{Adult, BreakDue, RoomIndex, Span, Weekly, people::NotTaken};
use crate::wire::limits;
use crate::wire::{At, Object};

const ADULT: [&str; 15] = [
    "id",
    "label",
    "shift",
    "days",
    "shifts",
    "counts",
    "may_be_alone",
    "lead",
    "first_aid",
    "qualifications",
    "rooms",
    "floater",
    "in_rooms",
    "breaks",
    "posts_not_taken",
];

/// Reads the adults, once the rooms are known.
pub(super) fn adults(reader: &mut Reader<'_>) {
    let items = reader.adults.items().to_vec();
    if items.is_empty() {
        reader.needs_one("adults", "adult", "`label` and `shift` are enough");
    }
    let has_lead = items.iter().any(|item| item.peek("lead").is_some());
    for (i, item) in items.iter().enumerate() {
        let id = reader.adults.id(i);
        let read = item.object(&ADULT).map(|object| adult(reader, &object, &id, has_lead));
        reader.site.adults.push(read.unwrap_or_else(|| blank(id)));
    }
}

fn blank(id: String) -> Adult {
    Adult {
        label: id.clone(),
        id,
        shifts: Weekly::default(),
        counts: true,
        may_be_alone: true,
        lead: true,
        first_aid: true,
        qualifications: Vec::new(),
        rooms: vec![RoomIndex(0)],
        floater: false,
        in_rooms: Vec::new(),
        breaks: Vec::new(),
        posts_not_taken: Vec::new(),
    }
}

fn adult(reader: &Reader<'_>, object: &Object<'_>, id: &str, has_lead: bool) -> Adult {
    check_id(object);
    object.need("label");
    let (only, shifts) = (reader.adults.len() == 1, shifts(reader, object));
    let counts = object.or("counts", true, At::truth);
    let lead = object.or("lead", counts && !has_lead, At::truth);
    let mut assumed = Vec::new();
    if object.get("lead").is_none() && !has_lead && lead {
        assumed.push("may lead".to_string());
    }
    if object.get("may_be_alone").is_none() && counts {
        assumed.push("may be alone with children".to_string());
    }
    if object.get("first_aid").is_none() && lead {
        assumed.push("holds a first-aid certificate".to_string());
    }
    let label = label_or(object, id);
    let breaks = match object.get("breaks") {
        Some(_) => {
            object.list(&limits::BREAKS).iter().filter_map(|at| break_due(at, &shifts)).collect()
        }
        None if only => {
            assumed.push("no staff break is due, working alone".to_string());
            Vec::new()
        }
        None => super::breaks::by_rule(reader, reader.break_rule, id, &shifts, &mut assumed),
    };
    let floater = object.or("floater", false, At::truth);
    let rooms: Vec<_> =
        reader.rooms.list(object, &limits::ADULT_ROOMS).into_iter().map(RoomIndex).collect();
    let named = object.get("rooms").is_some();
    if !named && !floater && reader.rooms.len() > 1 {
        object.at.fault("this adult is in no room", "add `rooms`, or `floater`: true");
    }
    let in_rooms = in_rooms(reader, object, &label);
    if !assumed.is_empty() {
        reader.assume(&object.at, format!("{label}: {}", assumed.join(", ")));
    }
    Adult {
        label,
        shifts,
        counts,
        may_be_alone: object.or("may_be_alone", counts, At::truth),
        lead,
        first_aid: object.or("first_aid", lead, At::truth),
        qualifications: words(object, &limits::QUALIFICATIONS),
        rooms: if named { rooms } else { (0..reader.rooms.len()).map(RoomIndex).collect() },
        floater,
        in_rooms,
        breaks,
        posts_not_taken: not_taken(object),
        ..blank(id.to_string())
    }
}

/// When an adult whom several rooms share is in which: an object of rooms with a span or several.
fn in_rooms(reader: &Reader<'_>, object: &Object<'_>, label: &str) -> Vec<(RoomIndex, Vec<Span>)> {
    object.get("in_rooms").map_or_else(Vec::new, |at| rooms_told(reader, &at, label))
}

/// The same of the object of rooms itself.
pub(super) fn rooms_told(
    reader: &Reader<'_>,
    at: &At<'_>,
    label: &str,
) -> Vec<(RoomIndex, Vec<Span>)> {
    let mut told: Vec<(RoomIndex, Vec<Span>)> = Vec::new();
    for (id, at) in at.members(&limits::IN_ROOMS).unwrap_or_default() {
        let (room, spans) = (reader.rooms.named(id, &at), at.spans());
        let (Some(room), Some(spans)) = (room, spans) else { continue };
        let before = told.iter().flat_map(|(room, spans)| spans.iter().map(move |s| (room, s)));
        let twice = before.filter_map(|(room, other)| {
            spans.iter().find_map(|span| span.meet(*other)).map(|span| (*room, span))
        });
        if let Some((other, span)) = twice.min_by_key(|(_, span)| *span) {
            let (other, id) = (reader.rooms.id(other.0), id);
            let cause = format!("{label} is in `{other}` and in `{id}` at once, {span}");
            at.fault(cause, "say for each time which room it is");
        }
        told.push((RoomIndex(room), spans));
    }
    told
}

/// Shifts by weekday, or one on some days.
fn shifts(reader: &Reader<'_>, object: &Object<'_>) -> Weekly<Vec<Span>> {
    if let Some(at) = object.get("shifts") {
        for field in ["days", "shift"] {
            if let Some(other) = object.get(field) {
                other.fault(format!("`{field}` and `shifts` say the same"), "keep one of them");
            }
        }
        return by_weekday(&at, &limits::ADULT_WEEK, Vec::new(), At::spans).unwrap_or_default();
    }
    let spans = object.need("shift").and_then(|at| at.spans()).unwrap_or_default();
    let open = |day: usize| reader.site.rooms.iter().any(|room| room.by_weekday[day].is_some());
    let said = days(object, &limits::ADULT_DAYS);
    let on = |day: usize| said.map_or(open(day), |days| days[day]);
    std::array::from_fn(|day| if on(day) { spans.clone() } else { Vec::new() })
}

fn break_due(at: &At<'_>, shifts: &Weekly<Vec<Span>>) -> Option<BreakDue> {
    let object = at.object(&["minutes", "window", "paid", "may_leave"])?;
    let minutes = object.need("minutes").and_then(|at| at.whole(5, 180));
    let window = object.need("window").and_then(|at| at.span());
    let paid = object.or("paid", false, At::truth);
    let (minutes, window): (u16, Span) = (minutes?, window?);
    if let Some(at) = object.get("window") {
        if window.minutes() < minutes {
            at.fault(
                format!("{minutes} minutes do not fit into {window}"),
                "widen the window or shorten the staff break",
            );
        } else if !shifts.iter().flatten().any(|shift| shift.holds(window)) {
            let mend = "move the window inside a shift, or take the staff break out";
            at.fault(format!("{window} lies in no shift of this adult"), mend);
        }
    }
    Some(BreakDue { minutes, window, paid, may_leave: object.or("may_leave", !paid, At::truth) })
}

fn not_taken(object: &Object<'_>) -> Vec<NotTaken> {
    let words = [
        ("care", NotTaken::Care),
        ("outdoors", NotTaken::Outdoors),
        ("movement", NotTaken::Movement),
        ("wet", NotTaken::Wet),
        ("rest", NotTaken::Rest),
    ];
    let mut posts = Vec::new();
    for at in object.list(&limits::POSTS_NOT_TAKEN) {
        match at.one_of(&words) {
            Some(post) if posts.contains(&post) => at.fault("this is listed twice", "name it once"),
            Some(post) => posts.push(post),
            None => {}
        }
    }
    posts
}
