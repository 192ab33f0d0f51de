//! People in spaces, one minute: ratio, least adults, never alone, class size, staffed, sight,
//! one-to-one.

use super::Broken;
use super::arithmetic::by_hand;
use super::scene::Scene;
use fairturn::chart::{Place, Post, State, Stay};
use fairturn::site::{
    AdultIndex, ChildIndex, Hazard, Minute, StationIndex, Supervision, ZoneIndex,
};
use fairturn::standards::{Head, Outing, Scope, Situation, Standard};

fn heads(scene: &Scene, children: &[(ChildIndex, &fairturn::chart::Stay)]) -> Vec<Head> {
    let mut heads = Vec::new();
    for (child, stay) in children {
        heads.push(Head {
            months: scene.day.months(*child),
            born: scene.day.site.children[child.0].born,
            asleep: stay.state == State::Asleep,
        });
    }
    heads
}

/// Adults and class size, by hand for the seven, by the standard itself for a site's own limits.
fn need(
    scene: &Scene,
    standard: &Standard,
    heads: &[Head],
    counted: &[AdultIndex],
    outdoors: bool,
) -> (u32, Option<u32>) {
    let mut adults: Vec<&[String]> = Vec::new();
    for adult in counted {
        adults.push(&scene.day.site.adults[adult.0].qualifications);
    }
    let at = Situation {
        date: scene.day.date,
        adults: &adults,
        governing_age: scene.day.site.rooms[scene.day.room.0].governing_age,
        minute: Minute(scene.minute),
        open: scene.day.schedule.open,
        outdoors,
    };
    by_hand(&standard.id, heads, &at).unwrap_or_else(|| {
        let need = standard.need(heads, &at);
        (need.adults, need.class_size)
    })
}

pub fn ratio(scene: &Scene, broken: &mut Broken) {
    for standard in &scene.day.standards {
        being_changed(scene, standard, broken);
        if standard.scope == Scope::Site {
            let mut counted = Vec::new();
            for &(adult, post) in &scene.adults {
                if scene.counts(adult, post) {
                    counted.push(adult);
                }
            }
            let heads = heads(scene, &in_view(scene, &scene.children));
            let (needed, _) = need(scene, standard, &heads, &counted, false);
            let there = counted.len() as u32;
            if there < needed {
                let what = format!("premises {} by {}", standard.id, needed - there);
                broken.insert((scene.minute, what));
            }
            continue;
        }
        at_hand_in_the_building(scene, standard, broken);
        for space in scene.spaces() {
            let mut counted = Vec::new();
            for &(adult, post) in &scene.adults {
                if post.space == space && scene.counts(adult, post) {
                    counted.push(adult);
                }
            }
            let heads = heads(scene, &in_view(scene, &scene.children_in(space)));
            let outdoors = scene.day.site.spaces[space.0].outdoors;
            let (needed, _) = need(scene, standard, &heads, &counted, outdoors);
            let there = counted.len() as u32;
            if there < needed {
                let what = format!("space {} {} by {}", space.0, standard.id, needed - there);
                broken.insert((scene.minute, what));
            }
        }
    }
}

type Children<'a> = Vec<(ChildIndex, &'a Stay)>;

/// Without those who are changed out of sight.
fn in_view<'a>(scene: &Scene<'a>, children: &[(ChildIndex, &'a Stay)]) -> Children<'a> {
    let mut found = Vec::new();
    for (child, stay) in children {
        if !scene.is_by_itself(stay.space, stay.at) {
            found.push((*child, *stay));
        }
    }
    found
}

/// Who is changed out of sight has somebody there who counts, or its own adult.
fn being_changed(scene: &Scene, standard: &Standard, broken: &mut Broken) {
    for space in scene.spaces() {
        let (mut changed, mut counted) = (Vec::new(), Vec::new());
        for &(child, stay) in &scene.children_in(space) {
            let mut own = false;
            for (_, post) in &scene.adults {
                let there = post.space == space && post.at == Place::Care;
                own = own || there && post.for_child == Some(child);
            }
            if scene.is_by_itself(space, stay.at) && !own {
                changed.push((child, stay));
            }
        }
        for &(adult, post) in &scene.adults {
            let counts = scene.day.site.adults[adult.0].counts && post.for_child.is_none();
            if counts && post.space == space && post.at == Place::Care {
                counted.push(adult);
            }
        }
        let heads = heads(scene, &changed);
        if changed.is_empty() || !counted.is_empty() {
            continue;
        }
        if need(scene, standard, &heads, &counted, false).0 > 0 {
            broken.insert((scene.minute, format!("space {} {} by 1", space.0, standard.id)));
        }
    }
}

/// Sets under which fewer adults may be with sleepers only while those for whom the full ratio asks
/// are at hand: Caring for Our Children 1.1.1.2, and the others by their rules for naps.
const AT_HAND: [&str; 6] =
    ["california", "cfoc-centre", "cfoc-large-home", "pennsylvania", "virginia", "wisconsin"];

/// While fewer adults are with children who sleep, those for whom the full ratio asks stay on the
/// floor, though not all of them in the space.
fn at_hand_in_the_building(scene: &Scene, standard: &Standard, broken: &mut Broken) {
    if !AT_HAND.contains(&standard.id.as_str()) {
        return;
    }
    let (mut needed, mut relaxed) = (0, false);
    for space in scene.spaces() {
        let asleep = heads(scene, &scene.children_in(space));
        let mut awake = asleep.clone();
        for head in &mut awake {
            head.asleep = false;
        }
        let outdoors = scene.day.site.spaces[space.0].outdoors;
        let (in_full, _) = need(scene, standard, &awake, &[], outdoors);
        relaxed = relaxed || need(scene, standard, &asleep, &[], outdoors).0 < in_full;
        needed += in_full;
    }
    let mut there = 0;
    for (adult, post) in &scene.adults {
        let facts = &scene.day.site.adults[adult.0];
        if facts.counts && !scene.has_left(*adult, post) && post.for_child.is_none() {
            there += 1;
        }
    }
    if relaxed && there < needed {
        broken.insert((scene.minute, format!("premises {} by {}", standard.id, needed - there)));
    }
}

pub fn least_adults(scene: &Scene, broken: &mut Broken) {
    let mut there = 0;
    for (adult, post) in &scene.adults {
        if !scene.has_left(*adult, post) {
            there += 1;
        }
    }
    for standard in &scene.day.standards {
        let least = standard.least_adults(scene.children.len() as u32);
        if !scene.children.is_empty() && there < least {
            broken.insert((scene.minute, format!("{} by {}", standard.id, least - there)));
        }
    }
}

pub fn never_alone(scene: &Scene, broken: &mut Broken) {
    for space in scene.spaces() {
        // The space, and then its changing place if that is out of sight.
        for changing in [false, true] {
            let (mut children, mut anybody, mut somebody) = (false, false, false);
            for (_, stay) in &scene.children_in(space) {
                children = children || scene.is_by_itself(space, stay.at) == changing;
            }
            for (adult, post) in &scene.adults {
                let here = post.space == space && scene.is_by_itself(space, post.at) == changing;
                if here && !scene.is_off(post) {
                    anybody = true;
                    somebody = somebody || scene.day.site.adults[adult.0].may_be_alone;
                }
            }
            if children && anybody && !somebody {
                broken.insert((scene.minute, format!("space {}", space.0)));
            }
        }
    }
}

pub fn class_size(scene: &Scene, broken: &mut Broken) {
    for space in scene.spaces() {
        let children = scene.children_in(space);
        let here = children.len() as u32;
        let facts = &scene.day.site.spaces[space.0];
        let mut most = facts.class_size;
        for standard in &scene.day.standards {
            let heads = heads(scene, &children);
            let (_, class) = need(scene, standard, &heads, &[], facts.outdoors);
            let each = standard.floor_per_child(facts.outdoors);
            let floor = match (facts.floor_area, each) {
                (Some(area), Some(each)) if each > 0 => Some(area / each),
                _ => None,
            };
            for limit in [class, floor].into_iter().flatten() {
                most = Some(most.unwrap_or(limit).min(limit));
            }
        }
        if most.is_some_and(|most| here > most) {
            broken.insert((scene.minute, format!("space {}", space.0)));
        }
    }
}

pub fn staffed(scene: &Scene, broken: &mut Broken) {
    for (at, station) in scene.day.stations.iter().enumerate() {
        let here = Place::Station(StationIndex(at));
        let mut own = 0;
        for &(adult, post) in &scene.adults {
            if post.at == here && scene.counts(adult, post) {
                own += 1;
            }
        }
        let directly = scene.at(here).len() as u32;
        // In a choice as many may come as there are seats left.
        let mut choosing = 0;
        let mut all_at_it = true;
        for (_, stay) in &scene.children {
            let open = scene.stations_of(stay);
            let may_come = open.contains(&StationIndex(at));
            choosing += u32::from(may_come && stay.at != here);
            let tied = open.iter().all(|s| s.0 == at) && may_come;
            let up = stay.state != State::Asleep && stay.space == station.space;
            all_at_it = all_at_it && (tied || !up);
        }
        let there = directly.max((directly + choosing).min(station.seats));
        let mut needed = match station.supervision {
            Supervision::Staffed { .. } => station.supervision.adults_for(there),
            _ => 0,
        };
        if all_at_it && needed > 1 {
            needed = 1;
        }
        needed = needed.max(at_water(scene, StationIndex(at), there));
        if own < needed {
            broken.insert((scene.minute, format!("station {at}")));
        }
    }
}

/// Adults at water: the youngest of those who may come, as many as sit there, each standard for itself.
fn at_water(scene: &Scene, at: StationIndex, there: u32) -> u32 {
    if !scene.day.stations[at.0].hazards.contains(&Hazard::Water) {
        return 0;
    }
    let mut who = Vec::new();
    for &(child, stay) in &scene.children {
        if scene.stations_of(stay).contains(&at) {
            let chooses = stay.at != Place::Station(at);
            who.push((chooses, scene.day.months(child), child));
        }
    }
    who.sort();
    let mut heads = Vec::new();
    for (_, _, child) in who.iter().take(there as usize) {
        heads.push(scene.day.head(*child, false));
    }
    let mut most = 0;
    for standard in &scene.day.standards {
        most = most.max(standard.activity_adults(Outing::Water, &heads, true).unwrap_or(0));
    }
    most
}

pub fn sight(scene: &Scene, broken: &mut Broken) {
    for (child, stay) in &scene.children {
        let beside = scene.adults.iter().any(|(_, post)| is_beside(scene, post, *child, stay));
        if beside || stay.at == Place::Unplaced {
            continue;
        }
        let mut seen: Vec<ZoneIndex> = Vec::new();
        for (_, post) in &scene.adults {
            if post.for_child.is_none() {
                seen.extend(scene.seen_by(post));
            }
        }
        let zones = scene.zones_of(stay);
        let beside_it = |(_, post): &(AdultIndex, &Post)| {
            post.for_child.is_none() && post.at == stay.at && post.space == stay.space
        };
        let on_the_way = stay.at == Place::Transition || stay.at == Place::Care;
        if zones.is_empty() && !on_the_way && !scene.adults.iter().any(beside_it) {
            broken.insert((scene.minute, format!("nowhere in space {}", stay.space.0)));
        }
        for zone in zones {
            if !seen.contains(&zone) {
                broken.insert((scene.minute, format!("zone {}", zone.0)));
            }
        }
        let watched = |on_the_move: bool| {
            scene.adults.iter().any(|(_, post)| {
                let watches = match post.at {
                    Place::Care => !on_the_move,
                    Place::Transition
                    | Place::WholeGroup
                    | Place::Movement
                    | Place::Outdoors
                    | Place::Rest
                    | Place::Zone(_) => on_the_move,
                    _ => false,
                };
                watches && post.space == stay.space && post.for_child.is_none()
            })
        };
        if stay.at == Place::Transition && !watched(true) {
            broken.insert((scene.minute, format!("on the move in space {}", stay.space.0)));
        }
        if stay.at == Place::Care && !watched(false) {
            broken.insert((scene.minute, format!("care in space {}", stay.space.0)));
        }
    }
}

/// At the side of a child, for that child alone.
fn is_beside(scene: &Scene, post: &Post, child: ChildIndex, stay: &Stay) -> bool {
    let elsewhere = post.at == Place::Door || (post.at == Place::Care && stay.at != Place::Care);
    let there = post.space == stay.space && post.for_child == Some(child);
    there && !elsewhere && !scene.is_off(post)
}

pub fn one_to_one(scene: &Scene, broken: &mut Broken) {
    for (child, stay) in &scene.children {
        let Some(agreed) = &scene.day.site.children[child.0].one_to_one else { continue };
        let mut beside = false;
        for (adult, post) in &scene.adults {
            let may = *adult == agreed.adult || agreed.stand_ins.contains(adult);
            beside = beside || (may && is_beside(scene, post, *child, stay));
        }
        if !beside {
            broken.insert((scene.minute, format!("child {}", child.0)));
        }
    }
}
