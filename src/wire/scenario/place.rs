//! Spaces, zones and tables, with the ones that stand in where the file names none.

use super::reader::{Reader, check_id, label_or};
use crate::site::{CarePlace, RoomIndex, Space, SpaceIndex, Table, Zone, ZoneIndex};
use crate::wire::limits;
use crate::wire::{At, Object, tree::Value};

const SPACE: [&str; 10] = [
    "id",
    "label",
    "shared",
    "outdoors",
    "room_to_move",
    "class_size",
    "floor_square_metres",
    "sinks",
    "care_place",
    "walking",
];

/// Reads the spaces; where there are none, a classroom and a yard stand in.
pub(super) fn spaces(reader: &mut Reader<'_>) {
    if reader.spaces.items().is_empty() {
        for (id, label, outdoors) in [("classroom", "Classroom", false), ("yard", "Yard", true)] {
            let id_at = reader.spaces.push(id);
            let id = reader.spaces.id(id_at);
            let space = Space { room_to_move: true, outdoors, ..plain(id, label.to_string()) };
            reader.site.spaces.push(Space { sinks: u32::from(!outdoors), ..space });
        }
        let words = "a classroom with one sink and room to move, and a yard, stand in".to_string();
        reader.assume_at("/spaces", words);
        return;
    }
    for (i, item) in reader.spaces.items().to_vec().iter().enumerate() {
        let id = reader.spaces.id(i);
        let space = item.object(&SPACE).map_or_else(
            || plain(id.clone(), id.clone()),
            |object| space(reader, &object, id.clone()),
        );
        reader.site.spaces.push(space);
    }
}

fn plain(id: String, label: String) -> Space {
    Space {
        id,
        label,
        shared: false,
        outdoors: false,
        room_to_move: false,
        class_size: None,
        floor_area: None,
        sinks: 0,
        care_place: None,
        walking: Vec::new(),
    }
}

fn space(reader: &Reader<'_>, object: &Object<'_>, id: String) -> Space {
    check_id(object);
    let outdoors = object.or("outdoors", false, At::truth);
    let floor = object.get("floor_square_metres").and_then(|at| at.number(1.0, 100_000.0));
    let mut walking = Vec::new();
    for (name, at) in
        object.get("walking").and_then(|at| at.members(&limits::WALKING)).unwrap_or_default()
    {
        let (other, minutes) = (reader.spaces.named(name, &at), at.whole(0, 60));
        walking.extend(other.zip(minutes).map(|(other, minutes)| (SpaceIndex(other), minutes)));
    }
    // The order of an object's members tells nothing.
    walking.sort_unstable();
    Space {
        label: label_or(object, &id),
        shared: object.or("shared", false, At::truth),
        outdoors,
        room_to_move: object.or("room_to_move", outdoors, At::truth),
        class_size: object.get("class_size").and_then(|at| at.whole(1, 1000)),
        floor_area: floor.map(|metres| (metres * 100.0).round() as u32),
        sinks: object.or("sinks", u32::from(!outdoors), |at| at.whole(0, 100)),
        walking,
        care_place: None,
        id,
    }
}

/// The home of each room: what it says, else the first space under a roof.
pub(super) fn homes(reader: &Reader<'_>) -> Vec<SpaceIndex> {
    let roofed = reader.site.spaces.iter().position(|s| !s.outdoors).unwrap_or(0);
    let said = |room: usize| {
        let home = reader.rooms.item(room)?.peek("home")?;
        let Value::Text(id) = home.value() else { return None };
        (0..reader.spaces.len()).find(|s| reader.spaces.id(*s) == *id)
    };
    (0..reader.rooms.len()).map(|r| SpaceIndex(said(r).unwrap_or(roofed))).collect()
}

/// Reads the zones; a space without one is a zone by itself.
pub(super) fn zones(reader: &mut Reader<'_>, homes: &[SpaceIndex]) {
    let home = homes.first().copied().unwrap_or(SpaceIndex(0));
    for (i, item) in reader.zones.items().to_vec().iter().enumerate() {
        let id = reader.zones.id(i);
        let object = item.object(&["id", "label", "space"]);
        let space = object.as_ref().and_then(|o| reader.spaces.field(o, "space"));
        object.iter().for_each(check_id);
        let label = object.as_ref().map_or(id.clone(), |o| label_or(o, &id));
        reader.site.zones.push(Zone { id, label, space: space.map_or(home, SpaceIndex) });
    }
    for space in (0..reader.site.spaces.len()).map(SpaceIndex) {
        if reader.site.zones_of(space).next().is_none() {
            let Space { id, label, .. } = reader.site[space].clone();
            let zone = reader.zones.push(&id);
            let id = reader.zones.id(zone);
            reader.site.zones.push(Zone { id, label, space });
        }
    }
}

/// Reads where children are changed, once the zones are known.
pub(super) fn care_places(reader: &mut Reader<'_>, homes: &[SpaceIndex]) {
    let said = reader.spaces.items().iter().any(|item| item.peek("care_place").is_some());
    for space in (0..reader.site.spaces.len()).map(SpaceIndex) {
        let place = reader.spaces.item(space.0).and_then(|item| item.peek("care_place"));
        let place = match place {
            Some(at) => care_place(reader, &at),
            None if !said && homes.contains(&space) => {
                let zone = reader.first_zone(space);
                let (inside, seen) = (&reader.site[space].label, &reader.site[zone].label);
                let words = format!("children are changed in {inside}, in sight of {seen}");
                reader.assume_at(&format!("/spaces/{}", space.0), words);
                Some(CarePlace { seen_from: vec![zone] })
            }
            None => None,
        };
        reader.site.spaces[space.0].care_place = place;
    }
}

fn care_place(reader: &Reader<'_>, at: &At<'_>) -> Option<CarePlace> {
    let object = at.object(&["seen_from"])?;
    object.need("seen_from")?;
    let zones = reader.zones.list(&object, &limits::SEEN_FROM);
    Some(CarePlace { seen_from: zones.into_iter().map(ZoneIndex).collect() })
}

/// Reads the tables; a room whose home has none gets one with a seat for each child.
pub(super) fn tables(reader: &mut Reader<'_>, homes: &[SpaceIndex]) {
    for (i, item) in reader.tables.items().to_vec().iter().enumerate() {
        let id = reader.tables.id(i);
        let table = item.object(&["id", "label", "space", "zone", "seats"]).map(|object| {
            check_id(&object);
            let (space, zone) = stand(reader, &object, homes);
            let seats = object.need("seats").and_then(|at| at.whole(1, 200)).unwrap_or(200);
            Table { id: id.clone(), label: label_or(&object, &id), space, zone, seats }
        });
        reader.site.tables.push(table.unwrap_or_else(|| {
            let space = homes.first().copied().unwrap_or(SpaceIndex(0));
            Table { label: id.clone(), id, space, zone: reader.first_zone(space), seats: 200 }
        }));
    }
    for (room, home) in homes.iter().copied().enumerate() {
        if reader.site.tables.iter().any(|t| t.space == home) {
            continue;
        }
        let seats = u32::try_from(reader.enrolled(RoomIndex(room)).max(1)).unwrap_or(u32::MAX);
        let label = "Table".to_string();
        let words = format!("one table in {} with {seats} seats", reader.site[home].label);
        reader.assume_at("/tables", words);
        let id =
            if room == 0 { "table".into() } else { format!("table-{}", reader.rooms.id(room)) };
        let at = reader.tables.push(&id);
        let (id, zone) = (reader.tables.id(at), reader.first_zone(home));
        reader.site.tables.push(Table { id, label, space: home, zone, seats });
    }
}

/// Where a table or station stands: by its zone, by its space, or in the first room's home.
pub(super) fn stand(
    reader: &Reader<'_>,
    object: &Object<'_>,
    homes: &[SpaceIndex],
) -> (SpaceIndex, ZoneIndex) {
    let space = reader.spaces.field(object, "space").map(SpaceIndex);
    let zone = reader.zones.field(object, "zone").map(ZoneIndex);
    let Some(zone) = zone else {
        let space = space.unwrap_or_else(|| homes.first().copied().unwrap_or(SpaceIndex(0)));
        return (space, reader.first_zone(space));
    };
    let of_zone = reader.site[zone].space;
    if let (Some(space), Some(at)) = (space, object.get("zone"))
        && space != of_zone
    {
        let (zone, there) = (&reader.site[zone].label, &reader.site[of_zone].label);
        let cause = format!("{zone} is in {there}, not in {}", reader.site[space].label);
        at.fault(cause, "name a zone of the space, or leave the space out");
    }
    (of_zone, zone)
}
