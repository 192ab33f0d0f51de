//! What makes an invented site as awkward as the worst real ones: laid over a site that is whole.

use super::chance::Chance;
use super::ground::Ground;
use super::people::People;
use super::{Plan, Shape};
use serde_json::{Map, Value, json};

/// Few sinks, tight breaks, part-timers, one-to-one support, appointments, allergies, children who
/// are to be kept apart; where a site is short-staffed, somebody also leaves early.
pub(super) fn lay_over(
    plan: &Plan,
    ground: &mut Ground,
    people: &mut People,
    day: &mut Value,
    short_staffed: bool,
    chance: &mut Chance,
) {
    for space in ground.spaces.iter_mut().filter(|s| s.get("care_place").is_some()) {
        space["sinks"] = json!(1);
        if chance.one_in(3) {
            space["care_place"] = json!({ "seen_from": [] });
        }
    }
    for adult in 0..plan.of.adults {
        hours(plan, adult, &mut people.adults[adult], chance);
    }
    for room in 0..plan.of.rooms {
        support(plan, people, room, chance);
        apart(plan, people, room, chance);
    }
    for child in &mut people.children {
        if chance.one_in(4) && child.get("allergies").is_none() {
            child["allergies"] = json!(["wheat", *chance.one_of(&["milk", "egg", "sesame"])]);
        }
    }
    appointments(plan, people, day, chance);
    if short_staffed && plan.of.adults > 3 {
        let id = people.adult_ids[chance.between(0, plan.of.adults - 1)].clone();
        let early = if plan.day.is_half() { "08:30-11:00" } else { "08:45-13:10" };
        let adults = day_facts(day, "adults");
        adults.entry(id).or_insert(json!(early));
    }
}

/// Whoever comes third or later works half a day as often as not; the first two, whose shifts are
/// long, have their breaks in windows that are hardly longer.
fn hours(plan: &Plan, at: usize, adult: &mut Value, chance: &mut Chance) {
    if plan.day != Shape::Full || plan.of.adults < 2 {
        return;
    }
    let turn = at / plan.of.rooms;
    if turn < 2 {
        let within = *chance.one_of(&["12:30-13:15", "12:45-13:30", "13:00-13:40", "11:45-12:30"]);
        adult["breaks"] = json!([{ "minutes": 30, "window": within }]);
    } else if chance.one_in(2) {
        adult["shift"] = json!(*chance.one_of(&["08:30-12:30", "09:00-13:00", "11:30-16:30"]));
    }
}

/// One room in two has a child with an adult of its own, wherever two others are left.
fn support(plan: &Plan, people: &mut People, room: usize, chance: &mut Chance) {
    let (team, mates) = (plan.of.team(room), plan.of.enrolled(room));
    let supported = mates.iter().any(|&c| people.children[c].get("one_to_one").is_some());
    if supported || team.len() < 3 || mates.len() < 4 || !chance.one_in(2) {
        return;
    }
    let id = |at: usize| &people.adult_ids[team[at]];
    let support = json!({ "adult": id(team.len() - 1), "stand_ins": [id(0), id(1)] });
    people.children[*chance.one_of(&mates)]["one_to_one"] = support;
}

/// A few more pairs who are to be kept apart, none of whom has a wish already.
fn apart(plan: &Plan, people: &mut People, room: usize, chance: &mut Chance) {
    let named: Vec<String> = people
        .children
        .iter()
        .filter_map(|child| child.get("keep_with").or(child.get("keep_apart")))
        .flat_map(|others| others.as_array().into_iter().flatten())
        .filter_map(|id| id.as_str().map(str::to_owned))
        .collect();
    let free = |child: &usize| {
        let facts = &people.children[*child];
        facts.get("keep_with").is_none()
            && facts.get("keep_apart").is_none()
            && !named.contains(&people.child_ids[*child])
    };
    let mut free: Vec<usize> = plan.no_babies(room).into_iter().filter(free).collect();
    chance.shuffle(&mut free);
    for pair in free.chunks_exact(2).take(2) {
        people.children[pair[0]]["keep_apart"] = json!([people.child_ids[pair[1]]]);
    }
}

/// One child in eight is away for a while in the middle of the morning; not where children are there
/// for a part of it anyhow.
fn appointments(plan: &Plan, people: &People, day: &mut Value, chance: &mut Chance) {
    let times = match plan.day {
        Shape::DropIn => return,
        Shape::Half | Shape::Session => json!(["08:45-09:35", "10:25-12:00"]),
        Shape::Full | Shape::Family => json!(["08:20-09:25", "10:50-15:40"]),
    };
    for id in people.child_ids.iter().skip(1) {
        if chance.one_in(8) {
            day_facts(day, "children").entry(id.clone()).or_insert(times.clone());
        }
    }
}

/// What the day says of its children or adults.
fn day_facts<'d>(day: &'d mut Value, whose: &str) -> &'d mut Map<String, Value> {
    if !day[whose].is_object() {
        day[whose] = json!({});
    }
    day[whose].as_object_mut().expect("an object was put there")
}
