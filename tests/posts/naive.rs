//! What a chart leaves open, read minute by minute from the words of the rules alone.

use fairturn::chart::{Chart, ChoiceIndex, Place, Post, State, Stay, present_at};
use fairturn::day::Day;
use fairturn::site::*;
use fairturn::standards::{Head, Scope, Situation};

/// Person-minutes left open, the worst first: ratio, nobody who may be alone, one-to-one, staffed,
/// sight, tables. Sight is in halves: whom only a child's own adult sees is half seen.
pub type Left = [u32; 6];

/// What is left open over the whole day.
pub fn left_open(day: &Day, chart: &Chart) -> Left {
    let mut left = [0; 6];
    for minute in (0..1440).map(Minute) {
        for (sum, now) in left.iter_mut().zip(left_at(day, chart, minute)) {
            *sum += now;
        }
    }
    left
}

/// What is left open in one minute.
pub fn left_at(day: &Day, chart: &Chart, minute: Minute) -> Left {
    let (children, adults) = present_at(chart, minute);
    let mut left = [0; 6];
    if children.is_empty() {
        return left;
    }
    for space in (0..day.site.spaces.len()).map(SpaceIndex) {
        let here: Vec<(ChildIndex, &Stay)> =
            children.iter().copied().filter(|c| c.1.space == space).collect();
        let team: Vec<(AdultIndex, &Post)> =
            adults.iter().copied().filter(|a| a.1.space == space).collect();
        if !here.is_empty() {
            in_space(day, chart, minute, space, &here, &team, &mut left);
        }
    }
    let counted: Vec<AdultIndex> =
        adults.iter().filter(|a| counts(day, a.0, a.1)).map(|a| a.0).collect();
    left[0] += need(day, Scope::Site, minute, false, &children, &counted)
        .saturating_sub(counted.len() as u32);
    for &(child, stay) in &children {
        if day.site[child].one_to_one.is_some() {
            let beside = |p: &Post| p.for_child == Some(child) && p.space == stay.space;
            left[2] += u32::from(!adults.iter().any(|a| beside(a.1)));
        }
    }
    left
}

fn in_space(
    day: &Day,
    chart: &Chart,
    minute: Minute,
    space: SpaceIndex,
    here: &[(ChildIndex, &Stay)],
    team: &[(AdultIndex, &Post)],
    left: &mut Left,
) {
    let counted: Vec<AdultIndex> =
        team.iter().filter(|a| counts(day, a.0, a.1)).map(|a| a.0).collect();
    let outdoors = day.site[space].outdoors;
    let needed = need(day, Scope::Room, minute, outdoors, here, &counted).max(1);
    left[0] += needed.saturating_sub(counted.len() as u32);
    let with_children = |p: &Post| !away(day, p.at);
    let alone = team.iter().any(|(a, p)| day.site[*a].may_be_alone && with_children(p));
    left[1] += u32::from(!alone);
    let awake = here.iter().filter(|c| c.1.state != State::Asleep).count();
    for station in day.site.stations_of(space) {
        let there = here.iter().filter(|c| c.1.at == Place::Station(station)).count();
        let facts = day.station(station);
        let mut needed = there as u32;
        for (k, choice) in chart.choices.iter().enumerate() {
            if choice.open.contains(&station) {
                let choosing = here.iter().filter(|c| c.1.at == Place::Choice(ChoiceIndex(k)));
                needed = (needed + choosing.count() as u32).min(facts.seats.max(there as u32));
            }
        }
        needed = facts.supervision.adults_for(needed);
        if there == awake {
            needed = needed.min(1);
        }
        let at =
            |a: &&(AdultIndex, &Post)| a.1.at == Place::Station(station) && counts(day, a.0, a.1);
        left[3] += needed.saturating_sub(team.iter().filter(at).count() as u32);
    }
    for zone in day.site.zones_of(space) {
        let used = here.iter().any(|c| in_zones(day, chart, c.1).contains(&zone));
        let seeing = || team.iter().filter(|a| sees(day, a.1).contains(&zone));
        let seen = seeing().any(|a| a.1.for_child.is_none());
        left[4] += u32::from(used && !seen) + u32::from(used && seeing().count() == 0);
    }
    let moving = here.iter().any(|c| c.1.at == Place::Transition);
    let watched = team.iter().any(|a| {
        use Place::{Movement, Outdoors, Rest, Transition, WholeGroup, Zone};
        let watching =
            matches!(a.1.at, Transition | WholeGroup | Movement | Outdoors | Rest | Zone(_));
        watching && a.1.for_child.is_none()
    });
    left[4] += 2 * u32::from(moving && !watched);
    let changed = here.iter().any(|c| c.1.at == Place::Care && day.site[c.0].one_to_one.is_none());
    let changing = team.iter().any(|a| a.1.at == Place::Care && a.1.for_child.is_none());
    left[4] += 2 * u32::from(changed && !changing);
    for table in (0..day.site.tables.len()).map(TableIndex) {
        let eating = here.iter().any(|c| c.1.at == Place::Table(table));
        let sits = |p: &Post| p.at == Place::Table(table) && p.for_child.is_none();
        left[5] += u32::from(eating && !team.iter().any(|a| sits(a.1)));
    }
}

fn away(day: &Day, at: Place) -> bool {
    match at {
        Place::StaffBreak(_) => true,
        Place::Task(t) => !day.schedule.tasks[t].watching,
        _ => false,
    }
}

fn counts(day: &Day, adult: AdultIndex, post: &Post) -> bool {
    let in_sight =
        day.site[post.space].care_place.as_ref().is_some_and(|p| !p.seen_from.is_empty());
    day.site[adult].counts
        && post.for_child.is_none()
        && !away(day, post.at)
        && (post.at != Place::Care || in_sight)
}

fn need(
    day: &Day,
    scope: Scope,
    minute: Minute,
    outdoors: bool,
    children: &[(ChildIndex, &Stay)],
    adults: &[AdultIndex],
) -> u32 {
    let head = |c: &(ChildIndex, &Stay)| Head {
        months: day.months(c.0),
        born: day.site[c.0].born,
        asleep: c.1.state == State::Asleep,
    };
    let heads: Vec<Head> = children.iter().map(head).collect();
    let held: Vec<&[String]> =
        adults.iter().map(|a| day.site[*a].qualifications.as_slice()).collect();
    let situation = Situation {
        date: day.date,
        adults: &held,
        governing_age: day.site[day.room].governing_age,
        minute,
        open: day.schedule.open,
        outdoors,
    };
    let binding = day.standards.iter().filter(|s| s.scope == scope);
    binding.map(|s| s.need(&heads, &situation).adults).max().unwrap_or(0)
}

fn in_zones(day: &Day, chart: &Chart, stay: &Stay) -> Vec<ZoneIndex> {
    match stay.at {
        Place::Station(s) => vec![day.station(s).zone],
        Place::Table(t) => vec![day.site[t].zone],
        Place::Choice(k) => chart.choices[k.0].open.iter().map(|s| day.station(*s).zone).collect(),
        _ => stay.zone.into_iter().collect(),
    }
}

fn sees(day: &Day, post: &Post) -> Vec<ZoneIndex> {
    match post.at {
        Place::Station(s) => vec![day.station(s).zone],
        Place::Table(t) => vec![day.site[t].zone],
        Place::Zone(z) => vec![z],
        Place::Care => {
            day.site[post.space].care_place.as_ref().map_or(Vec::new(), |p| p.seen_from.clone())
        }
        Place::StaffBreak(_) => Vec::new(),
        Place::Task(t) if !day.schedule.tasks[t].watching => Vec::new(),
        _ => post.zone.into_iter().collect(),
    }
}
