//! One wet day and what was done on the days before.

use super::chance::Chance;
use super::ground::Ground;
use super::people::{People, today};
use super::{Plan, Shape};
use serde_json::{Map, Value, json};

/// What is said about the date, and the visit record.
pub(super) fn date(
    plan: &Plan,
    ground: &Ground,
    people: &People,
    seed: u64,
    chance: &mut Chance,
) -> (Value, Vec<Value>) {
    let mut day = json!({ "date": today().to_string() });
    match chance.between(0, 3) {
        0 => day["indoor"] = json!(true),
        1 => {
            day["weather"] = json!({
                "celsius": chance.between(4, 14),
                "wind_kilometres_per_hour": chance.between(10, 60),
                "humidity_percent": chance.between(60, 95),
            });
        }
        _ => day["indoor"] = json!(false),
    }
    let mut children = Map::new();
    for (at, id) in people.child_ids.iter().enumerate() {
        let other = match (chance.between(0, 13), plan.day) {
            (0, _) => json!("away"),
            (_, Shape::DropIn) => continue,
            (1, _) if plan.day.is_half() => json!("09:20-12:00"),
            (1, _) => json!("10:20-15:00"),
            // An appointment in the middle of the morning.
            (2, _) if plan.day.is_half() => json!(["08:45-09:40", "10:30-12:00"]),
            (2, _) => json!(["08:30-10:10", "11:15-15:30"]),
            _ => continue,
        };
        if at > 0 {
            children.insert(id.clone(), other);
        }
    }
    if !children.is_empty() {
        day["children"] = Value::Object(children);
    }
    // Every third site is short-staffed.
    if seed.is_multiple_of(3) && plan.of.adults > 1 {
        let missing = chance.one_of(&people.adult_ids).clone();
        let how = if chance.one_in(2) { json!("away") } else { json!("10:00-15:00") };
        let how = if plan.day.is_half() { json!("away") } else { how };
        day["adults"] = json!({ missing: how });
    }
    let stations: Vec<&String> = ground.station_ids.iter().flatten().collect();
    if chance.one_in(3) {
        let station = *chance.one_of(&stations);
        day["closed"] = match chance.one_in(2) {
            true => json!([station]),
            false => json!([{ "station": station, "when": "08:30-10:00" }]),
        };
    }
    day["offers"] = offers(ground, chance);
    (day, visits(plan, ground, people, chance))
}

/// In each room one thing for everyone and one on offer.
fn offers(ground: &Ground, chance: &mut Chance) -> Value {
    let mut offers = Vec::new();
    for ids in &ground.station_ids {
        let painting = ids.iter().find(|id| id.ends_with("art"));
        if let Some(station) = painting {
            offers.push(json!({ "station": station, "activity": "Painted paper boats",
                                "must_do": "everyone" }));
        }
        let other = chance.one_of(ids);
        if Some(other) != painting {
            let activity = *chance.one_of(&["Counting shells", "Harbour sounds", "Knots"]);
            offers.push(json!({ "station": other, "activity": activity }));
        }
    }
    Value::Array(offers)
}

fn visits(plan: &Plan, ground: &Ground, people: &People, chance: &mut Chance) -> Vec<Value> {
    let mut visits = Vec::new();
    for date in ["2026-04-10", "2026-04-13"] {
        for (room, ids) in ground.station_ids.iter().enumerate() {
            for _ in 0..chance.between(1, 3) {
                let of_room = plan.of.enrolled(room).into_iter();
                let mut who: Vec<&String> = of_room.map(|c| &people.child_ids[c]).collect();
                chance.shuffle(&mut who);
                who.truncate(4);
                if who.is_empty() {
                    continue;
                }
                visits
                    .push(json!({ "date": date, "station": chance.one_of(ids), "children": who }));
            }
        }
    }
    visits
}
