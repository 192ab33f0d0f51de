//! Rooms, with their days and the small groups that stand for the theme.

use super::ids::own_id;
use super::reader::{Reader, check_id, label_or};
use super::schedule::{ground, schedule};
use super::week::{WEEKDAYS, by_weekday, days};
use crate::site::{
    ChildIndex, GroupAges, Room, RoomIndex, Schedule, SpaceIndex, StandingGroup, Weekly,
    age_in_months,
};
use crate::standards::Standard;
use crate::wire::limits;
use crate::wire::{At, Object, tree::Value};
use std::sync::Arc;

const ROOM: [&str; 11] = [
    "id",
    "label",
    "home",
    "spaces",
    "group_size",
    "group_ages",
    "groups",
    "governing_age_months",
    "schedule",
    "days",
    "by_weekday",
];

/// Finds the room of each child, which the rooms' days and tables need before children are read.
pub(super) fn children_to_rooms(reader: &mut Reader<'_>) {
    let one = reader.rooms.len() == 1;
    let room_of = |item: &At<'_>| match item.peek("room") {
        Some(at) => reader.rooms.find(&at).map(RoomIndex),
        None if one => Some(RoomIndex(0)),
        None => {
            item.fault("this child is in no room", "add `room` with the id of the home room");
            None
        }
    };
    reader.room_of = reader.children.items().iter().map(room_of).collect();
}

/// Reads the rooms and, for each of them, every schedule that is not another room's.
pub(super) fn rooms(reader: &mut Reader<'_>, homes: &[SpaceIndex]) {
    if reader.schedules.items().is_empty() {
        reader.needs_one("schedules", "schedule", "a `preset` is enough");
    }
    for (room, home) in homes.iter().copied().enumerate() {
        let object = reader.rooms.item(room).and_then(|item| item.object(&ROOM));
        let mut broken = reader.schedules.len() == 0;
        let read = read(reader, RoomIndex(room), home, object.as_ref(), &mut broken);
        reader.site.rooms.push(read);
        reader.schedules_broken |= broken;
    }
}

/// Asks every room for the age that governs it, where a binding standard fixes that for the year.
pub(super) fn governing_ages(reader: &Reader<'_>, root: &At<'_>, standards: &[Arc<Standard>]) {
    let Some(asking) = standards.iter().find(|s| s.mixed.asks_governing_age()) else { return };
    let cause = format!("`{}` fixes for a year which age governs a room", asking.id);
    let mend = "add `governing_age_months`: the age in months of most of its children, like 40";
    for room in 0..reader.rooms.len() {
        match reader.rooms.item(room) {
            Some(item) if item.peek("governing_age_months").is_some() => {}
            Some(item) => item.fault(cause.clone(), mend),
            None => root.fault(cause.clone(), format!("write down the room in `rooms`; {mend}")),
        }
    }
}

fn read(
    reader: &Reader<'_>,
    room: RoomIndex,
    home: SpaceIndex,
    object: Option<&Object<'_>>,
    broken: &mut bool,
) -> Room {
    let id = reader.rooms.id(room.0);
    let spaces = spaces(reader, home, object);
    let ground = ground(reader, room, home, spaces, in_care(reader, room));
    let mut schedules: Vec<Schedule> = Vec::new();
    let mut position: Vec<Option<usize>> = Vec::new();
    for (i, item) in reader.schedules.items().iter().enumerate() {
        let owner = item.peek("room").and_then(|at| reader.rooms.find(&at));
        let mine = owner.is_none_or(|owner| owner == room.0);
        let read = schedule(reader, item, &reader.schedules.id(i), &ground);
        *broken |= read.is_none();
        let read = read.filter(|_| mine);
        position.push(read.as_ref().map(|_| schedules.len()));
        schedules.extend(read);
    }
    let by_weekday = week(reader, room, object, &position);
    let size = object.and_then(|o| o.get("group_size")).and_then(|at| group_size(&at));
    let ages = [("alike", GroupAges::Alike), ("mixed", GroupAges::Mixed)];
    Room {
        label: object.map_or_else(|| "Our room".into(), |o| label_or(o, &id)),
        id,
        home,
        spaces: ground.spaces,
        group_size: size.unwrap_or((2, 5)),
        group_ages: object.map_or(GroupAges::Alike, |o| {
            o.or("group_ages", GroupAges::Alike, |a| a.one_of(&ages))
        }),
        groups: object.map_or_else(Vec::new, |o| groups(reader, o, room)),
        governing_age: object
            .and_then(|o| o.get("governing_age_months"))
            .and_then(|at| at.whole(0, 216)),
        schedules,
        by_weekday,
    }
}

/// Every space of an only room; else its home and the shared ones, unless the room names its own.
fn spaces(reader: &Reader<'_>, home: SpaceIndex, object: Option<&Object<'_>>) -> Vec<SpaceIndex> {
    if let Some(object) = object {
        check_id(object);
        reader.spaces.field(object, "home");
        if object.get("home").is_none() && reader.rooms.len() > 1 {
            object.at.fault("this room has no home", "add `home` with the id of its space");
        }
        if object.get("spaces").is_some() {
            let named =
                reader.spaces.list(object, &limits::ROOM_SPACES).into_iter().map(SpaceIndex);
            let mut spaces: Vec<_> =
                [home].into_iter().chain(named.filter(|s| *s != home)).collect();
            spaces.dedup();
            return spaces;
        }
    }
    let only = reader.rooms.len() == 1;
    let all = (0..reader.site.spaces.len()).map(SpaceIndex);
    let others = all.filter(|s| *s != home && (only || reader.site[*s].shared));
    [home].into_iter().chain(others).collect()
}

/// Children of a room who are changed or taken to the toilet, by what is said or by age.
fn in_care(reader: &Reader<'_>, room: RoomIndex) -> usize {
    let needs_care = |item: &At<'_>| match item.peek("toileting").map(|at| at.value().clone()) {
        Some(Value::Text(word)) => word != "alone",
        _ => {
            let born = item.peek("born").and_then(|at| at.peek_date());
            born.and_then(|born| age_in_months(born, reader.on)).is_some_and(|months| months < 48)
        }
    };
    let children = reader.children.items().iter().zip(&reader.room_of);
    children.filter(|(item, of)| **of == Some(room) && needs_care(item)).count()
}

fn week(
    reader: &Reader<'_>,
    room: RoomIndex,
    object: Option<&Object<'_>>,
    position: &[Option<usize>],
) -> Weekly<Option<usize>> {
    let local = |at: &At<'_>| {
        let found = reader.schedules.find(at)?;
        let owner = reader.schedules.items()[found].peek("room");
        if owner.and_then(|at| reader.rooms.find(&at)).is_some_and(|owner| owner != room.0) {
            at.fault("that schedule is another room's", "name one of this room's");
        }
        position[found]
    };
    if let Some(at) = object.and_then(|o| o.get("by_weekday")) {
        for field in ["schedule", "days"] {
            if let Some(other) = object.and_then(|o| o.get(field)) {
                other.fault(format!("`{field}` and `by_weekday` say the same"), "keep one of them");
            }
        }
        return by_weekday(&at, &limits::ROOM_WEEK, None, |at| local(at).map(Some))
            .unwrap_or_default();
    }
    let said = object.and_then(|o| days(o, &limits::ROOM_DAYS));
    let days = said.unwrap_or([true, true, true, true, true, false, false]);
    let named = object.and_then(|o| o.get("schedule"));
    let one = match &named {
        Some(at) => local(at),
        None => {
            let mine: Vec<usize> = position.iter().copied().flatten().collect();
            if mine.len() > 1
                && let Some(object) = object
            {
                let mend = format!("add `schedule`, or `by_weekday` with {}", WEEKDAYS.join(", "));
                object.at.fault("it is not said which schedule holds on which weekday", mend);
            } else if mine.len() > 1 {
                let mend = "add the room to `rooms`, with `by_weekday`";
                reader.root.at.fault("it is not said which schedule holds on which weekday", mend);
            }
            mine.first().copied()
        }
    };
    if said.is_none() {
        let pointer = object.map_or("/rooms", |o| o.at.pointer());
        reader.assume_at(pointer, "open from Monday to Friday".into());
    }
    days.map(|on| one.filter(|_| on))
}

fn group_size(at: &At<'_>) -> Option<(usize, usize)> {
    let object = at.object(&["least", "most"])?;
    let least = object.or("least", 2, |at| at.whole(1, 30));
    let most = object.or("most", 5.max(least), |at| at.whole(1, 30));
    if least > most {
        at.fault(format!("no group has at least {least} and at most {most}"), "raise `most`");
        return None;
    }
    Some((least, most))
}

fn groups(reader: &Reader<'_>, object: &Object<'_>, room: RoomIndex) -> Vec<StandingGroup> {
    let mut groups: Vec<StandingGroup> = Vec::new();
    for item in object.list(&limits::STANDING_GROUPS) {
        let Some(group) = item.object(&["id", "label", "picture", "children"]) else { continue };
        let label = group.need("label").and_then(|at| at.label()).unwrap_or_default().to_string();
        let id = own_id(&group, &label);
        if groups.iter().any(|other| other.id == id) {
            group.at.fault(format!("a group has the id `{id}` already"), "give it another `id`");
        }
        let mut children = Vec::new();
        for at in group.list(&limits::GROUP_CHILDREN) {
            let Some(child) = reader.children.find(&at) else { continue };
            if reader.room_of[child].is_some_and(|of| of != room) {
                at.fault("this child is in another room", "name children of this room");
            } else if children.contains(&ChildIndex(child))
                || groups.iter().any(|other| other.children.contains(&ChildIndex(child)))
            {
                at.fault("this child is in a group already", "leave the child in one group");
            } else {
                children.push(ChildIndex(child));
            }
        }
        let picture = group.or("picture", id.clone(), |at| at.label().map(str::to_string));
        groups.push(StandingGroup { id, label, picture, children });
    }
    groups
}
