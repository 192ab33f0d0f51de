//! The places of one space that need an adult in one slice.

use super::{Class, Duties, Wanted, staffed_in};
use crate::chart::{Chart, Place, Stay};
use crate::day::Day;
use crate::site::{ChildIndex, Minute, SpaceIndex, ZoneIndex};

/// Adds the places of a space: children with their own adult, staffed stations, tables, the
/// changing place, and what of the zones and the transition none of those sees.
pub(super) fn wanted_in(
    day: &Day,
    chart: &Chart,
    duties: &Duties,
    minute: Minute,
    space: SpaceIndex,
    here: &[(ChildIndex, &Stay)],
    posts: &mut Vec<Wanted>,
) {
    let first = posts.len();
    let inside = || here.iter().filter(|(_, stay)| stay.space == space);
    let want = |at, zone, adults, class| Wanted {
        space,
        at,
        zone,
        adults,
        class,
        for_child: None,
        counted: true,
    };
    for &(child, stay) in inside() {
        if day.site[child].one_to_one.is_some() {
            let beside = beside(day, chart, stay).first().copied();
            let (at, zone) = beside.unwrap_or((stay.at, None));
            let own = want(at, zone, 1, Class::OneToOne);
            posts.push(Wanted { for_child: Some(child), counted: false, ..own });
        }
    }
    for (station, adults) in staffed_in(day, chart, space, here) {
        let zone = Some(day.station(station).zone);
        posts.push(want(Place::Station(station), zone, adults, Class::Staffed));
    }
    let mut tables: Vec<_> = inside()
        .filter_map(|(_, stay)| if let Place::Table(t) = stay.at { Some(t) } else { None })
        .collect();
    tables.sort_unstable();
    tables.dedup();
    for table in tables {
        let zone = Some(day.site[table].zone);
        posts.push(want(Place::Table(table), zone, 1, Class::Table));
    }
    let mut seen: Vec<ZoneIndex> =
        posts[first..].iter().filter(|w| w.for_child.is_none()).filter_map(|w| w.zone).collect();
    if care_in(day, duties, minute, space, here) {
        let sees = day.seen_from_care(space);
        seen.extend(sees);
        let care = want(Place::Care, None, 1, Class::Sight);
        posts.push(Wanted { counted: !sees.is_empty(), ..care });
    }
    // An adult who watches from a task sees one zone of the space that nobody else does.
    let mut from_tasks = (0..duties.tasks.len())
        .filter(|&i| duties.task_span(day, i).is_some_and(|s| s.contains(minute)))
        .filter(|&i| {
            let task = &day.schedule.tasks[duties.tasks[i].0];
            task.watching && task.space == space
        })
        .count();
    let mut watched = false;
    for (at, zone) in watching_places(day, chart, here, space) {
        if seen.contains(&zone) {
            continue;
        }
        seen.push(zone);
        if from_tasks > 0 {
            from_tasks -= 1;
            continue;
        }
        watched |= Day::watches_moves(at);
        posts.push(want(at, Some(zone), 1, Class::Sight));
    }
    if !watched && inside().any(|(_, stay)| stay.at == Place::Transition) {
        posts.push(want(Place::Transition, None, 1, Class::Sight));
    }
}

/// Adds the door and the tasks.
pub(super) fn wanted_by_duties(
    day: &Day,
    duties: &Duties,
    minute: Minute,
    posts: &mut Vec<Wanted>,
) {
    let want = |space, at, counted| Wanted {
        space,
        at,
        zone: None,
        adults: 1,
        class: Class::Duty,
        for_child: None,
        counted,
    };
    for &(space, _) in duties.door.iter().filter(|d| d.1.contains(minute)) {
        posts.push(want(space, Place::Door, true));
    }
    for (i, &(task, _)) in duties.tasks.iter().enumerate() {
        if duties.task_span(day, i).is_some_and(|s| s.contains(minute)) {
            let facts = &day.schedule.tasks[task];
            posts.push(want(facts.space, Place::Task(task), facts.watching));
        }
    }
}

/// Whether somebody has to be at the changing place: a care round, or a child there whose own
/// adult is not with it anyway.
pub(in crate::solve) fn care_in(
    day: &Day,
    duties: &Duties,
    minute: Minute,
    space: SpaceIndex,
    here: &[(ChildIndex, &Stay)],
) -> bool {
    duties.care.iter().any(|c| c.0 == space && c.1.contains(minute))
        || here.iter().any(|(child, stay)| {
            stay.space == space && stay.at == Place::Care && day.site[*child].one_to_one.is_none()
        })
}

/// Where an adult can stand who is beside the child of a stay, and the zone seen from there: one
/// place, or one for each zone that the child may choose. Never empty.
pub(in crate::solve) fn beside(
    day: &Day,
    chart: &Chart,
    stay: &Stay,
) -> Vec<(Place, Option<ZoneIndex>)> {
    let zones = day.zones_of(&chart.choices, stay);
    if !matches!(stay.at, Place::Choice(_) | Place::Unplaced) {
        return vec![(stay.at, zones.first().copied())];
    }
    let first = day.site.zones_of(stay.space).next();
    let zones = if zones.is_empty() { Vec::from_iter(first) } else { zones };
    let places: Vec<_> = zones.iter().map(|&z| (Place::Zone(z), Some(z))).collect();
    if places.is_empty() { vec![(Place::Transition, None)] } else { places }
}

/// For each zone of a space in use, in order: the place from which an adult watches it. Children
/// sitting in a circle, moving, outdoors or resting are joined; the others are watched.
pub(in crate::solve) fn watching_places(
    day: &Day,
    chart: &Chart,
    here: &[(ChildIndex, &Stay)],
    space: SpaceIndex,
) -> Vec<(Place, ZoneIndex)> {
    let mut found: Vec<(Place, ZoneIndex)> = Vec::new();
    for (_, stay) in here.iter().filter(|(_, stay)| stay.space == space) {
        for zone in day.zones_of(&chart.choices, stay) {
            let at = match stay.at {
                Place::WholeGroup | Place::Movement | Place::Outdoors | Place::Rest => stay.at,
                _ => Place::Zone(zone),
            };
            match found.iter_mut().find(|f| f.1 == zone) {
                // Two kinds of things in one zone: somebody just watches it.
                Some(known) if known.0 != at => known.0 = Place::Zone(zone),
                Some(_) => {}
                None => found.push((at, zone)),
            }
        }
    }
    found.sort_unstable_by_key(|f| f.1);
    found
}
