//! Children and adults, with what makes their days differ.

use super::chance::Chance;
use super::ground::Ground;
use super::{Plan, Shape, names};
use chrono::{Months, NaiveDate};
use serde_json::{Value, json};

/// The people of the site and their ids, by position.
pub(super) struct People {
    pub children: Vec<Value>,
    pub child_ids: Vec<String>,
    pub adults: Vec<Value>,
    pub adult_ids: Vec<String>,
}

/// The date for which the ages are made.
pub(super) fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday in April")
}

const DAYS: [&str; 5] = ["mon", "tue", "wed", "thu", "fri"];
/// No more in nappies or learning than a care round of one adult holds.
const IN_CARE: usize = 16;

/// Invents everybody; the adults first, because children belong to them.
pub(super) fn people(plan: &Plan, ground: &Ground, chance: &mut Chance) -> People {
    let adult_ids: Vec<String> = (0..plan.adults).map(|a| names::id(&names::adult(a))).collect();
    let child_ids: Vec<String> = (0..plan.children).map(|c| names::id(&names::child(c))).collect();
    let adults = (0..plan.adults).map(|a| adult(plan, ground, a, chance)).collect();
    let mut children: Vec<Value> = Vec::new();
    let mut in_care = vec![0; plan.rooms];
    for at in 0..plan.children {
        let months = age(plan, plan.room_of(at), chance);
        let mut facts = child(plan, ground, at, months, chance);
        if months < 48 {
            let cared_for = &mut in_care[plan.room_of(at)];
            if *cared_for >= IN_CARE || months >= 40 {
                facts["toileting"] = json!("alone");
            } else {
                *cared_for += 1;
            }
        }
        children.push(facts);
    }
    let mut people = People { children, child_ids, adults, adult_ids };
    for room in 0..plan.rooms {
        people.company(plan, room, chance);
        people.support(plan, room, chance);
    }
    people
}

/// Months of age: rooms of toddlers, of preschoolers and mixed ones take turns, and no room with
/// few adults is full of toddlers.
fn age(plan: &Plan, room: usize, chance: &mut Chance) -> usize {
    let many = plan.enrolled(room) > 6 * plan.team(room).len().max(1);
    let (youngest, oldest) = match (plan.day, (room + plan.first_ages) % 4) {
        (Shape::Family, _) => (10, 62),
        (_, 3) if !many => (15, 35),
        (_, 1) => (36, 64),
        _ if many => (30, 64),
        _ => (18, 62),
    };
    chance.between(youngest, oldest)
}

fn child(plan: &Plan, ground: &Ground, at: usize, months: usize, chance: &mut Chance) -> Value {
    let room = plan.room_of(at);
    let before = today().checked_sub_months(Months::new(months as u32)).unwrap_or(today());
    let born = before - chrono::Days::new(chance.between(0, 27) as u64);
    let mut child = json!({ "label": names::child(at), "born": born.to_string() });
    if plan.rooms > 1 {
        child["room"] = json!(names::id(&names::room(room)));
    }
    let (opens, closes) = ground.open;
    let times: &[&str] = match plan.day {
        Shape::Half => &["full-day", "full-day", "09:00-12:00", "08:45-12:05"],
        _ => {
            &["full-day", "09:00-15:00", "08:30-16:00", "till-lunch", "08:15-16:30", "09:10-15:25"]
        }
    };
    let times = *chance.one_of(times);
    child["times"] = json!(times);
    if chance.one_in(4) {
        let mut days = DAYS;
        chance.shuffle(&mut days);
        let some = chance.between(2, 4);
        let kept: Vec<&str> = DAYS.into_iter().filter(|d| days[..some].contains(d)).collect();
        child["days"] = json!(kept);
    } else if chance.one_in(12) {
        // Comes at different times: the first days long, then short.
        let long = json!(format!("{opens}-{closes}"));
        child["attendance"] = json!({ "mon": long, "tue": long, "thu": "09:00-12:00" });
        child.as_object_mut().map(|c| c.remove("times"));
    }
    if plan.day != Shape::Half && (14..30).contains(&months) && chance.one_in(3) {
        child["sleep"] = json!(chance.between(12, 22) * 5);
    }
    if months >= 36 && chance.one_in(5) {
        child["sleep"] = json!("none");
    }
    if chance.one_in(6) {
        child["allergies"] = json!([*chance.one_of(&["wheat", "milk", "egg", "sesame"])]);
    }
    let mut stations = ground.station_ids[room].clone();
    chance.shuffle(&mut stations);
    if chance.one_in(3) {
        child["often_chosen"] = json!(stations[..chance.between(1, 2)]);
    }
    if chance.one_in(12) {
        child["not_for"] = json!([stations[2]]);
    }
    let team = plan.team(room);
    if months < 30 && !team.is_empty() {
        child["key_adult"] = json!(names::id(&names::adult(team[at / plan.rooms % team.len()])));
    }
    child
}

fn adult(plan: &Plan, ground: &Ground, at: usize, chance: &mut Chance) -> Value {
    let mut adult = json!({ "label": names::adult(at) });
    if plan.rooms > 1 {
        if plan.floats(at) {
            adult["floater"] = json!(true);
        } else {
            adult["rooms"] = json!([names::id(&names::room(at % plan.rooms))]);
        }
    }
    let turn = at / plan.rooms;
    let shift = match (plan.day, turn) {
        (Shape::Half, _) => *chance.one_of(&["08:15-12:30", "08:00-12:30", "08:30-12:15"]),
        _ if plan.adults <= plan.rooms => "07:45-17:15",
        (_, 0) => "07:45-16:00",
        (_, 1) => "08:45-17:15",
        _ => *chance.one_of(&["08:00-16:15", "08:30-16:45", "09:00-17:00", "09:00-13:00"]),
    };
    adult["shift"] = json!(shift);
    if turn < 2 {
        adult["lead"] = json!(true);
        adult["first_aid"] = json!(true);
    }
    // A student does not count and is never alone with children.
    if turn >= 3 && chance.one_in(5) {
        adult["counts"] = json!(false);
    } else if turn >= 2 && chance.one_in(4) {
        adult["may_be_alone"] = json!(false);
    }
    if plan.standard == "england-eyfs" {
        let levels = ["level-6", "level-3", "level-3", "level-2"];
        adult["qualifications"] = json!([levels[turn.min(3)]]);
    }
    if turn >= 2 && chance.one_in(4) {
        adult["days"] = json!(["mon", "tue", "wed"]);
    }
    if plan.day == Shape::Full && shift == "07:45-16:00" && plan.adults > 1 {
        adult["breaks"] = json!([
            { "minutes": 10, "window": "09:00-11:45", "paid": true },
            { "minutes": 30, "window": "12:30-14:45" },
        ]);
    }
    if chance.one_in(10) {
        adult["posts_not_taken"] = json!([*chance.one_of(&["wet", "movement", "outdoors"])]);
    }
    if plan.day == Shape::Half && ground.open.0 == "08:30" && chance.one_in(6) {
        adult["breaks"] = json!([{ "minutes": 10, "window": "09:00-11:30", "paid": true }]);
    }
    adult
}

impl People {
    /// Friends and children to be kept apart, from different pairs.
    fn company(&mut self, plan: &Plan, room: usize, chance: &mut Chance) {
        let mut mates: Vec<usize> =
            (0..plan.children).filter(|c| plan.room_of(*c) == room).collect();
        chance.shuffle(&mut mates);
        for (at, pair) in mates.chunks_exact(2).enumerate() {
            let wish = match at % 4 {
                0 if mates.len() > 4 => "keep_apart",
                1 => "keep_with",
                _ => continue,
            };
            self.children[pair[0]][wish] = json!([self.child_ids[pair[1]]]);
        }
    }

    /// One child in a dozen has an adult of its own; a new one is still settling in.
    fn support(&mut self, plan: &Plan, room: usize, chance: &mut Chance) {
        let team = plan.team(room);
        let mates: Vec<usize> = (0..plan.children).filter(|c| plan.room_of(*c) == room).collect();
        if mates.is_empty() || team.is_empty() {
            return;
        }
        if team.len() >= 4 && mates.len() >= 6 && chance.one_in(3) {
            // The first two of the team are there at the two ends of the day.
            let id = |at: usize| &self.adult_ids[team[at]];
            let support = json!({ "adult": id(team.len() - 1), "stand_ins": [id(0), id(1)] });
            let child = *chance.one_of(&mates);
            self.children[child]["one_to_one"] = support;
        }
        if chance.one_in(4) {
            let with = &self.adult_ids[*chance.one_of(&team)];
            let child = *chance.one_of(&mates);
            self.children[child]["settling_in"] = json!({ "until": "2026-04-24", "with": with });
        }
    }
}
