//! Who may be put down as asleep, and what may be heard beside the cots.

use super::Broken;
use super::scene::{Scene, holds};
use fairturn::chart::{BlockKind, Place, State};
use fairturn::site::{ChildIndex, Noise, Sleep};

pub fn asleep(scene: &Scene, broken: &mut Broken) {
    for (child, stay) in &scene.children {
        if stay.state != State::Asleep {
            continue;
        }
        let lies_since = lying_since(scene, *child);
        let rest = &scene.day.schedule.rest;
        let settling = rest.as_ref().map_or(0, |r| r.settling_minutes);
        let lain = scene.minute - lies_since;
        let may = match &scene.day.site.children[child.0].sleep {
            Sleep::None => false,
            Sleep::InRest { minutes } => rest.is_some() && settling <= lain && lain < *minutes,
            Sleep::At(times) => times.iter().any(|time| {
                let settled = lies_since.max(time.from.0) + settling <= scene.minute;
                holds(*time, scene.minute) && settled
            }),
        };
        if !may || stay.at != Place::Rest {
            broken.insert((scene.minute, format!("child {} is not asleep", child.0)));
        }
    }
}

/// Children who are not quiet while others lie beside them and the room rests.
pub fn loud(scene: &Scene, broken: &mut Broken) {
    for block in &scene.chart.blocks {
        if block.kind != BlockKind::Rest || !holds(block.span, scene.minute) {
            continue;
        }
        for (child, stay) in &scene.children {
            let mut loud = stay.at == Place::Movement;
            for station in scene.stations_of(stay) {
                loud = loud || scene.day.stations[station.0].noise != Noise::Quiet;
            }
            let beside = scene.children_in(stay.space);
            if loud && beside.iter().any(|(_, s)| s.at == Place::Rest) {
                broken.insert((scene.minute, format!("child {} is loud", child.0)));
            }
        }
    }
}

/// The minute from which the child has been at rest without a gap.
fn lying_since(scene: &Scene, child: ChildIndex) -> u16 {
    let mut lying = [false; 1441];
    for drawn in &scene.chart.children {
        for stay in &drawn.stays {
            for minute in stay.span.from.0..stay.span.to.0 {
                if drawn.child == child && stay.at == Place::Rest && stay.state != State::Awake {
                    lying[usize::from(minute)] = true;
                }
            }
        }
    }
    let mut since = scene.minute;
    while since > 0 && lying[usize::from(since - 1)] {
        since -= 1;
    }
    since
}
