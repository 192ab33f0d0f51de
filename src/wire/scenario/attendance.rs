//! When a child is here on each weekday.

use super::reader::Reader;
use super::week::{WEEKDAYS, by_weekday, days, weekday_name};
use crate::site::{MealKind, Minute, Room, Schedule, Span, Weekly};
use crate::wire::limits;
use crate::wire::{At, Object, tree::Value};

/// When the child is here: by weekday, or on some days at one of the usual times.
pub(super) fn attendance(
    reader: &Reader<'_>,
    object: &Object<'_>,
    room: &Room,
    room_known: bool,
) -> Weekly<Vec<Span>> {
    let check = room_known && !reader.schedules_broken;
    let on = |day: usize| room.by_weekday[day].and_then(|s| room.schedules.get(s));
    if let Some(at) = object.get("attendance") {
        for field in ["days", "times"] {
            if let Some(other) = object.get(field) {
                other.fault(format!("`{field}` and `attendance` say the same"), "keep one of them");
            }
        }
        let week = by_weekday(&at, &limits::CHILD_WEEK, Vec::new(), |at| {
            usual(reader, at, on(day_of(at))).or_else(|| at.spans())
        });
        let week = week.unwrap_or_default();
        for day in (0..7).filter(|d| check && !week[*d].is_empty()) {
            if let Some(at) = at.peek(WEEKDAYS[day]) {
                within(&at, day, on(day), &week[day], room);
            }
        }
        return week;
    }
    let said = days(object, &limits::CHILD_DAYS);
    let mut week: Weekly<Vec<Span>> = Weekly::default();
    let mut reported = false;
    for day in (0..7).filter(|d| said.map_or(on(*d).is_some(), |days| days[*d])) {
        let times = object.get("times");
        let spans = match &times {
            Some(at) => usual(reader, at, on(day)).or_else(|| at.spans()),
            None => on(day).map(|schedule| vec![schedule.open]),
        };
        week[day] = spans.unwrap_or_default();
        let at = times.or_else(|| object.get("days"));
        if let Some(at) = at.filter(|_| check && !reported) {
            reported = within(&at, day, on(day), &week[day], room);
        }
    }
    week
}

/// The weekday that a member of an object by weekday stands for.
fn day_of(at: &At<'_>) -> usize {
    let name = at.pointer().rsplit('/').next().unwrap_or_default();
    WEEKDAYS.iter().position(|day| *day == name).unwrap_or(0)
}

/// One of the usual times: the whole of the room's day, its half with or after lunch, or one that
/// the site names.
fn usual(reader: &Reader<'_>, at: &At<'_>, schedule: Option<&Schedule>) -> Option<Vec<Span>> {
    let Value::Text(word) = at.value() else { return None };
    let named = reader.usual_times().and_then(|times| times.peek(word));
    if let Some(times) = named {
        return Some(times.spans().unwrap_or_default());
    }
    let open = schedule.map(|s| s.open);
    let noon = schedule.map(|s| {
        let lunch = s.meal(MealKind::Lunch);
        lunch.map_or(Minute::hm(12, 0), |m| m.window.to)
    });
    let half = |first: bool| {
        let (open, noon) = (open?, noon?);
        let span = if first { Span::new(open.from, noon) } else { Span::new(noon, open.to) };
        Some(span.unwrap_or(open))
    };
    match word.as_str() {
        "full-day" => Some(open.into_iter().collect()),
        "morning" => Some(half(true).into_iter().collect()),
        "afternoon" => Some(half(false).into_iter().collect()),
        other if !other.contains(':') => {
            let site = reader
                .usual_times()
                .and_then(|times| times.members(&limits::USUAL_TIMES))
                .unwrap_or_default();
            let named = site.iter().map(|(name, _)| *name);
            at.unknown(other, ["full-day", "morning", "afternoon"].into_iter().chain(named));
            Some(Vec::new())
        }
        _ => None,
    }
}

/// Reports attendance on a closed weekday or outside the opening hours, and whether it did.
fn within(at: &At<'_>, day: usize, open: Option<&Schedule>, spans: &[Span], room: &Room) -> bool {
    let Some(schedule) = open else {
        let cause = format!("{} is closed on {}", room.label, weekday_name(day));
        at.fault(cause, "leave the day out, or give the room a schedule on it");
        return true;
    };
    let out = spans.iter().find(|span| !schedule.open.holds(**span));
    if let Some(span) = out {
        let cause = format!("{span} is not within {}, when {} is open", schedule.open, room.label);
        at.fault(cause, "change the times, or open the room longer");
    }
    out.is_some()
}
