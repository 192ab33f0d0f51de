//! Who may be put down as asleep, and what may be heard beside the cots.

use super::Broken;
use super::scene::{Scene, any_holds, holds};
use fairturn::chart::{BlockKind, Chart, Place, State, Stay};
use fairturn::day::Day;
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

/// Children who are not quiet while others lie beside them and the room rests, or who are at something
/// loud while somebody beside them sleeps.
pub fn loud(scene: &Scene, broken: &mut Broken) {
    let mut rests = false;
    for block in &scene.chart.blocks {
        rests = rests || block.kind == BlockKind::Rest && holds(block.span, scene.minute);
    }
    for (child, stay) in &scene.children {
        let (mut audible, mut loud) = (stay.at == Place::Movement, false);
        for station in scene.stations_of(stay) {
            let noise = scene.day.stations[station.0].noise;
            audible = audible || noise != Noise::Quiet;
            loud = loud || noise == Noise::Loud;
        }
        let (mut lies, mut sleeps) = (false, false);
        for (_, beside) in scene.children_in(stay.space) {
            lies = lies || beside.at == Place::Rest;
            sleeps = sleeps || beside.state == State::Asleep;
        }
        if rests && audible && lies || !rests && loud && sleeps {
            broken.insert((scene.minute, format!("child {} is loud", child.0)));
        }
    }
}

/// Whether a child lies down in a stay: on the cot, or changed in the settling minutes of a rest.
pub fn lies_down(day: &Day, chart: &Chart, child: ChildIndex, stay: &Stay) -> bool {
    if stay.at != Place::Care {
        return stay.at == Place::Rest && stay.state != State::Awake;
    }
    let settling = day.schedule.rest.as_ref().map_or(0, |r| r.settling_minutes);
    let mut starts = Vec::new();
    for block in &chart.blocks {
        if block.kind == BlockKind::Rest {
            starts.push(block.span.from.0);
        }
    }
    if let Sleep::At(times) = &day.site.children[child.0].sleep {
        starts.extend(times.iter().map(|time| time.from.0));
    }
    // Coming into a rest, or into the own sleep, begins it.
    let mut rests = Vec::new();
    for block in &chart.blocks {
        if block.kind == BlockKind::Rest {
            rests.push(block.span);
        }
    }
    if let Sleep::At(times) = &day.site.children[child.0].sleep {
        rests.extend(times.iter().copied());
    }
    for (other, spans) in &day.children {
        for here in spans {
            if *other == child && any_holds(&rests, here.from.0) {
                starts.push(here.from.0);
            }
        }
    }
    starts.iter().any(|from| *from <= stay.span.from.0 && stay.span.to.0 <= from + settling)
}

/// The minute from which the child has been at rest without a gap.
fn lying_since(scene: &Scene, child: ChildIndex) -> u16 {
    let mut lying = [false; 1441];
    for drawn in &scene.chart.children {
        for stay in &drawn.stays {
            for minute in stay.span.from.0..stay.span.to.0 {
                if drawn.child == child && lies_down(scene.day, scene.chart, child, stay) {
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
