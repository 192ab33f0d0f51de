//! Children and adults, with what makes their days differ.

use super::chance::Chance;
use super::ground::Ground;
use super::{Age, Plan, Shape, babies, names};
use crate::standards::{Standard, Who};
use chrono::NaiveDate;
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
/// No more in nappies or learning than a care round of one adult holds: the youngest.
const IN_CARE: usize = 16;
/// Months until which a file that says nothing means a child who is learning the toilet, and those
/// from which a child here is said not to.
const LEARN_UNTIL: usize = 48;
const LEARN_USUALLY: usize = 40;

/// Invents everybody; the adults first, because children belong to them.
pub(super) fn people(plan: &Plan, ground: &Ground, chance: &mut Chance) -> People {
    let adult_ids: Vec<String> = (0..plan.of.adults).map(|a| names::id(&names::adult(a))).collect();
    let child_ids: Vec<String> =
        (0..plan.of.children).map(|c| names::id(&names::child(c))).collect();
    let adults = (0..plan.of.adults).map(|a| adult(plan, ground, a, chance)).collect();
    let mut children: Vec<Value> =
        (0..plan.of.children).map(|c| child(plan, ground, c, chance)).collect();
    for room in 0..plan.of.rooms {
        let months = |child: &usize| plan.ages[*child].months;
        let mut in_care: Vec<usize> =
            plan.of.enrolled(room).into_iter().filter(|c| months(c) < LEARN_UNTIL).collect();
        in_care.sort_by_key(months);
        let (held, others) = in_care.split_at(in_care.len().min(IN_CARE));
        let alone = held.iter().filter(|c| months(c) >= LEARN_USUALLY).chain(others);
        alone.for_each(|c| children[*c]["toileting"] = json!("alone"));
    }
    let mut people = People { children, child_ids, adults, adult_ids };
    for room in 0..plan.of.rooms {
        people.company(plan, room, chance);
        people.support(plan, room, chance);
    }
    people
}

fn child(plan: &Plan, ground: &Ground, at: usize, chance: &mut Chance) -> Value {
    let (room, Age { months, born }) = (plan.of.room_of(at), plan.ages[at]);
    let baby = babies::is_baby(months);
    let mut child = json!({ "label": names::child(at), "born": born.to_string() });
    if plan.of.rooms > 1 {
        child["room"] = json!(names::id(&names::room(room)));
    }
    let (opens, closes) = ground.open;
    let times: &[&str] = match plan.day {
        Shape::Half | Shape::Session => &["full-day", "full-day", "09:00-12:00", "08:45-11:55"],
        Shape::DropIn => &["08:30-10:30", "09:00-11:00", "09:15-11:45", "10:00-12:00"],
        _ if baby => &["full-day", "09:00-15:00", "08:30-16:00", "08:15-16:30"],
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
    } else if chance.one_in(12) && plan.day != Shape::DropIn {
        // Comes at different times: the first days long, then short.
        let long = json!(format!("{opens}-{closes}"));
        child["attendance"] = json!({ "mon": long, "tue": long, "thu": "09:00-12:00" });
        child.as_object_mut().map(|c| c.remove("times"));
    }
    if baby {
        child["sleep"] = babies::sleep(plan.day, chance);
    } else if !plan.day.is_half() && months < 30 && chance.one_in(3) {
        child["sleep"] = json!(chance.between(12, 22) * 5);
    }
    if months >= 36 && chance.one_in(5) {
        child["sleep"] = json!("none");
    }
    if chance.one_in(6) {
        child["allergies"] = json!([*chance.one_of(&["wheat", "milk", "egg", "sesame"])]);
    }
    let all = &ground.station_ids[room];
    let mut stations = if baby { all[..babies::STATIONS.len()].to_vec() } else { all.clone() };
    chance.shuffle(&mut stations);
    if chance.one_in(3) {
        child["often_chosen"] = json!(stations[..chance.between(1, 2)]);
    }
    if chance.one_in(12) {
        child["not_for"] = json!([stations[2]]);
    }
    let team = plan.of.team(room);
    if months < 30 && !team.is_empty() {
        child["key_adult"] = json!(names::id(&names::adult(team[at / plan.of.rooms % team.len()])));
    }
    child
}

fn adult(plan: &Plan, ground: &Ground, at: usize, chance: &mut Chance) -> Value {
    let mut adult = json!({ "label": names::adult(at) });
    if plan.of.rooms > 1 {
        if plan.of.floats(at) {
            adult["floater"] = json!(true);
        } else {
            adult["rooms"] = json!([names::id(&names::room(at % plan.of.rooms))]);
        }
    }
    let turn = at / plan.of.rooms;
    let shift = match (plan.day, turn) {
        _ if plan.day.is_half() => *chance.one_of(&["08:15-12:30", "08:00-12:30", "08:30-12:15"]),
        _ if plan.of.adults <= plan.of.rooms => "07:45-17:15",
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
    if let Some(held) = qualification(plan.standard, turn, chance) {
        adult["qualifications"] = json!([held]);
    }
    if turn >= 2 && chance.one_in(4) {
        adult["days"] = json!(["mon", "tue", "wed"]);
    }
    if plan.day == Shape::Full && shift == "07:45-16:00" && plan.of.adults > 1 {
        adult["breaks"] = json!([
            { "minutes": 10, "window": "09:00-11:45", "paid": true },
            { "minutes": 30, "window": "12:30-14:45" },
        ]);
    }
    if chance.one_in(10) {
        adult["posts_not_taken"] = json!([*chance.one_of(&["wet", "movement", "outdoors"])]);
    }
    if plan.day.is_half() && ground.open.0 == "08:30" && chance.one_in(6) {
        adult["breaks"] = json!([{ "minutes": 10, "window": "09:00-11:30", "paid": true }]);
    }
    adult
}

/// What an adult holds, in the words of the standard: the first ones of a room what it asks for or
/// switches its ratio by, of the others every other one any of it.
fn qualification<'s>(standard: &'s Standard, turn: usize, chance: &mut Chance) -> Option<&'s str> {
    let asked = standard.asks_for.iter().filter_map(|asked| match &asked.who {
        Who::Qualification(name) => Some(std::slice::from_ref(name)),
        Who::Lead | Who::FirstAid => None,
    });
    let switched = standard.switches.iter().flat_map(|s| s.adults.iter().map(Vec::as_slice));
    let wanted: Vec<&[String]> = asked.chain(switched).collect();
    let all: Vec<&String> = wanted.iter().copied().flatten().collect();
    match wanted.get(turn) {
        Some(any) => Some(chance.one_of::<String>(any)),
        None if all.is_empty() || chance.one_in(2) => None,
        None => Some(chance.one_of::<&String>(&all)),
    }
}

impl People {
    /// Friends and children to be kept apart, from different pairs; of babies nobody says either.
    fn company(&mut self, plan: &Plan, room: usize, chance: &mut Chance) {
        let mut mates = plan.no_babies(room);
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
        let team = plan.of.team(room);
        let mates = plan.of.enrolled(room);
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
