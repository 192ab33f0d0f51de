//! Rooms, their spaces, zones, tables and stations, and the day that they share.

use super::chance::Chance;
use super::{Plan, Shape, babies, names};
use serde_json::{Value, json};

/// Everything that stands on the floor.
pub(super) struct Ground {
    pub rooms: Vec<Value>,
    pub spaces: Vec<Value>,
    pub zones: Vec<Value>,
    pub tables: Vec<Value>,
    pub stations: Vec<Value>,
    pub schedule: Value,
    /// Ids of the stations indoors, by room.
    pub station_ids: Vec<Vec<String>>,
    /// Opening hours.
    pub open: (&'static str, &'static str),
}

/// Presets that every room has, with what they are called here: enough seats that nobody needs to
/// be staffed for.
const ALWAYS: [(&str, &str); 5] = [
    ("blocks", "Quay blocks"),
    ("books", "Book boat"),
    ("dramatic-play", "Fish shop"),
    ("puzzles", "Puzzles"),
    ("art", "Painting"),
];
const OTHERS: [(&str, &str); 15] = [
    ("trains", "Dock railway"),
    ("writing", "Harbour office"),
    ("dough", "Rope dough"),
    ("light-table", "Lighthouse table"),
    ("music", "Bells and drums"),
    ("sand-table", "Little beach"),
    ("water-table", "Tide pool"),
    ("listening", "Listening shell"),
    ("cosy-corner", "Cabin"),
    ("small-building", "Small building"),
    ("collage", "Nets and paper"),
    ("discovery", "Finds from the beach"),
    ("beads", "Beads and lacing"),
    ("climbing", "Rigging"),
    ("woodwork", "Boat workshop"),
];

/// The ground for every room of the plan.
pub(super) fn ground(plan: &Plan, chance: &mut Chance) -> Ground {
    let late = chance.one_in(2);
    let (schedule, open) = schedule(plan.day, late);
    let mut ground = Ground {
        rooms: Vec::new(),
        spaces: Vec::new(),
        zones: Vec::new(),
        tables: Vec::new(),
        stations: Vec::new(),
        schedule,
        station_ids: Vec::new(),
        open,
    };
    let hall = chance.one_in(3);
    let out_of_sight = chance.one_in(4);
    for room in 0..plan.of.rooms {
        ground.room(plan, room, hall, out_of_sight, chance);
    }
    ground.spaces.push(json!({ "id": "yard", "label": "Yard", "outdoors": true, "shared": true }));
    if hall {
        let hall = json!({ "id": "net-loft", "label": "Net loft", "shared": true,
                           "room_to_move": true, "sinks": 0 });
        ground.spaces.push(hall);
    }
    for preset in ["sand-pit", "wheels", "mud-kitchen"] {
        ground.stations.push(json!({ "preset": preset }));
    }
    ground
}

fn schedule(day: Shape, late: bool) -> (Value, (&'static str, &'static str)) {
    let closes = if late { "17:00" } else { "16:30" };
    if day.is_half() {
        // A session is three and a half hours long, as Irish law has it at most (from memory).
        let closes = if day == Shape::Half { "12:15" } else { "12:00" };
        let (outdoors, home) =
            if day == Shape::Half { ("10:45", "11:45") } else { ("10:40", "11:35") };
        let times = json!({ "opens": "08:30", "circle": "09:00", "snack": "10:00",
                            "outdoors": outdoors, "going_home": home, "closes": closes });
        let schedule = json!({ "id": "weekday", "preset": "half-day", "times": times });
        return (schedule, ("08:30", closes));
    }
    let preset = if day == Shape::Family { "family-home" } else { "full-day" };
    // Two sittings of lunch and the walk between them fit; two hours lie between snack and lunch.
    let times = json!({ "opens": "08:00", "snack": "09:40", "outdoors": "10:30",
                        "lunch": "11:40", "rest": "12:45", "closes": closes });
    (json!({ "id": "weekday", "preset": preset, "times": times }), ("08:00", closes))
}

impl Ground {
    fn room(
        &mut self,
        plan: &Plan,
        room: usize,
        hall: bool,
        out_of_sight: bool,
        chance: &mut Chance,
    ) {
        let (label, enrolled) = (names::room(room), plan.of.enrolled(room).len());
        let id = names::id(&label);
        let least = chance.between(2, 3);
        let mut facts = json!({
            "id": id,
            "label": label,
            "home": id,
            "group_size": { "least": least, "most": least + chance.between(1, 2) },
            "group_ages": *chance.one_of(&["alike", "alike", "mixed"]),
            "schedule": "weekday",
        });
        if let Some(months) = plan.governing[room] {
            facts["governing_age_months"] = json!(months);
        }
        self.rooms.push(facts);

        let zones: Vec<String> = ["deck", "rug", "cabin", "window"][..chance.between(2, 4)]
            .iter()
            .map(|zone| format!("{id}-{zone}"))
            .collect();
        let seen = if out_of_sight { vec![] } else { vec![zones[0].clone()] };
        let mut space = json!({
            "id": id,
            "label": label,
            "room_to_move": !hall || chance.one_in(2),
            "sinks": chance.between(1, 3),
            "floor_square_metres": enrolled * 7 / 2 + chance.between(8, 20),
            "care_place": { "seen_from": seen },
        });
        if chance.one_in(2) {
            space["class_size"] = json!((enrolled + chance.between(0, 4)).max(1));
        }
        self.spaces.push(space);
        for zone in &zones {
            let label = zone.rsplit('-').next().unwrap_or(zone);
            self.zones.push(json!({ "id": zone, "label": label, "space": id }));
        }

        // One room in three has seats for only a part of its children: they eat in two sittings.
        // Not where a standard says how long two meals are apart: the snack after the rest would come
        // too late for the first sitting.
        let few = chance.one_in(3) && enrolled > 4 && plan.standard.meal_interval().is_none();
        let seats = if few { enrolled.div_ceil(2).max(4) } else { enrolled.max(4) };
        let tables: Vec<String> =
            (0..seats.div_ceil(6)).map(|table| format!("{id}-table-{}", table + 1)).collect();
        for (at, table) in tables.iter().enumerate() {
            let each = seats.div_ceil(tables.len());
            let facts = json!({ "id": table, "label": format!("Table {}", at + 1),
                                "zone": zones[at % zones.len()], "seats": each });
            self.tables.push(facts);
        }
        self.stations_of(plan, room, &id, &zones, &tables, chance);
    }

    fn stations_of(
        &mut self,
        plan: &Plan,
        room: usize,
        id: &str,
        zones: &[String],
        tables: &[String],
        chance: &mut Chance,
    ) {
        let babies = plan.has_babies(room);
        let oldest = plan.of.enrolled(room).iter().map(|c| plan.ages[*c].months).max();
        let mut others = OTHERS.to_vec();
        if babies && oldest < Some(36) {
            others.retain(|(preset, _)| !babies::FOR_OLDER.contains(preset));
        }
        chance.shuffle(&mut others);
        others.truncate(2 + plan.of.enrolled(room).len() / 2);
        // Those of the babies come first.
        let mut wanted: Vec<(Option<&str>, &str)> = Vec::new();
        wanted.extend(babies::STATIONS.iter().filter(|_| babies));
        for (preset, label) in ALWAYS.into_iter().chain(others) {
            if wanted.iter().all(|(other, _)| *other != Some(preset)) {
                wanted.push((Some(preset), label));
            }
        }
        let mut ids = Vec::new();
        for (at, (preset, label)) in wanted.into_iter().enumerate() {
            let name = preset.map_or_else(|| names::id(label), str::to_owned);
            let station = if plan.of.rooms == 1 { name } else { format!("{id}-{name}") };
            let zone = match preset {
                Some("art" | "dough") => &zones[0],
                _ => &zones[at % zones.len()],
            };
            let mut facts = json!({ "id": station, "label": label, "zone": zone });
            match preset {
                Some(preset) => facts["preset"] = json!(preset),
                None => facts["below_months"] = json!(babies::THINGS_BELOW),
            }
            match preset {
                // The first table stands in the first zone.
                Some("art" | "dough") if chance.one_in(2) => facts["stands_on"] = json!(tables[0]),
                Some("blocks") if chance.one_in(2) => facts["under_cots"] = json!(true),
                Some("small-building" | "beads") => {
                    facts["out_of_reach"] = json!(babies || chance.one_in(2));
                }
                Some("climbing") if chance.one_in(2) => facts["open"] = json!("08:30-11:30"),
                _ => {}
            }
            self.stations.push(facts);
            ids.push(station);
        }
        self.station_ids.push(ids);
    }
}
