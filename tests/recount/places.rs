//! Children at places, one minute: barred, present, open, seats, keep-apart, kept.

use super::Broken;
use super::scene::{Scene, any_holds, holds};
use fairturn::chart::{ChoiceIndex, Place, Stay};
use fairturn::day::KeptFor;
use fairturn::site::{ChildIndex, StationIndex, TableIndex};
use fairturn::standards::foods::{Meeting, meeting};
use fairturn::standards::hazards::caution;
use std::collections::BTreeSet;

pub fn barred(scene: &Scene, broken: &mut Broken) {
    for (child, stay) in &scene.children {
        let (months, facts) = (scene.day.months(*child), &scene.day.site.children[child.0]);
        for at in scene.stations_of(stay) {
            let station = &scene.day.stations[at.0];
            let mut no = months < station.from_months;
            no = no || station.below_months.is_some_and(|below| months >= below);
            no = no || facts.not_for.contains(&at);
            for hazard in &station.hazards {
                no = no || caution(*hazard).barred_under_months.is_some_and(|m| months < m);
            }
            for word in &station.allergens {
                for allergy in &facts.allergies {
                    // What is not surely harmless is not for the child.
                    no = no || meeting(word, allergy) != Meeting::No;
                }
            }
            if no {
                broken.insert((scene.minute, format!("station {} child {}", at.0, child.0)));
            }
            // A word that nobody knows, or an allergy that nobody knows beside any material, in use
            // where a child who has it is up.
            for (other, _) in scene.awake_in(station.space) {
                for word in &station.allergens {
                    for allergy in &scene.day.site.children[other.0].allergies {
                        if meeting(word, allergy) == Meeting::Unknown {
                            let what = format!("station {} child {}", at.0, other.0);
                            broken.insert((scene.minute, what));
                        }
                    }
                }
            }
            // Small parts in use where somebody too young is up.
            for hazard in &station.hazards {
                let Some(under) = caution(*hazard).closed_while_awake_under else { continue };
                for (other, _) in scene.awake_in(station.space) {
                    if scene.day.months(other) < under && !station.out_of_reach {
                        let what = format!("station {} child {}", at.0, other.0);
                        broken.insert((scene.minute, what));
                    }
                }
            }
        }
    }
}

pub fn present(scene: &Scene, broken: &mut Broken) {
    for child in 0..scene.day.site.children.len() {
        let mut here = false;
        for (who, spans) in &scene.day.children {
            here = here || (who.0 == child && any_holds(spans, scene.minute));
        }
        let mut stays = 0;
        for drawn in &scene.chart.children {
            for stay in &drawn.stays {
                stays += u32::from(drawn.child.0 == child && holds(stay.span, scene.minute));
            }
        }
        if stays != u32::from(here) {
            broken.insert((scene.minute, format!("child {child}")));
        }
    }
    for adult in 0..scene.day.site.adults.len() {
        let mut here = false;
        for (who, spans) in &scene.day.adults {
            here = here || (who.0 == adult && any_holds(spans, scene.minute));
        }
        let mut posts = 0;
        for drawn in &scene.chart.adults {
            for post in &drawn.posts {
                let due = scene.day.site.adults[adult].breaks.len();
                let nowhere = matches!(post.at, Place::StaffBreak(which) if which >= due);
                if drawn.adult.0 == adult && holds(post.span, scene.minute) {
                    posts += 1 + u32::from(nowhere);
                }
            }
        }
        if posts != u32::from(here) {
            broken.insert((scene.minute, format!("adult {adult}")));
        }
    }
}

pub fn open(scene: &Scene, broken: &mut Broken) {
    let mut used: Vec<StationIndex> = Vec::new();
    for (_, stay) in &scene.children {
        used.extend(scene.stations_of(stay));
    }
    for at in used {
        let station = &scene.day.stations[at.0];
        let mut closed = any_holds(&scene.day.closed[at.0], scene.minute);
        if let Some(table) = station.stands_on {
            for (from, to) in eaten_at(scene, table) {
                // Free its reset minutes before anybody sits down, wiped for five minutes after.
                let busy_from = from.saturating_sub(station.reset_minutes);
                closed = closed || (busy_from <= scene.minute && scene.minute < to + 5);
            }
        }
        if station.under_cots {
            for (_, stay) in scene.children_in(station.space) {
                closed = closed || stay.at == Place::Rest;
            }
        }
        if closed {
            broken.insert((scene.minute, format!("station {}", at.0)));
        }
    }
}

/// When anybody eats at a table.
fn eaten_at(scene: &Scene, table: TableIndex) -> Vec<(u16, u16)> {
    let mut spans = Vec::new();
    for child in &scene.chart.children {
        for stay in &child.stays {
            if stay.at == Place::Table(table) && stay.meal.is_some() {
                spans.push((stay.span.from.0, stay.span.to.0));
            }
        }
    }
    spans
}

pub fn seats(scene: &Scene, broken: &mut Broken) {
    for (at, station) in scene.day.stations.iter().enumerate() {
        if scene.at(Place::Station(StationIndex(at))).len() as u32 > station.seats {
            broken.insert((scene.minute, format!("station {at}")));
        }
    }
    for (at, table) in scene.day.site.tables.iter().enumerate() {
        if scene.at(Place::Table(TableIndex(at))).len() as u32 > table.seats {
            broken.insert((scene.minute, format!("table {at}")));
        }
    }
    crowded_choices(scene, broken);
    if !scene.at(Place::Unplaced).is_empty() {
        broken.insert((scene.minute, "unplaced".into()));
    }
}

/// The smallest set of choices that lacks the most seats, told by the first of each part of it.
fn crowded_choices(scene: &Scene, broken: &mut Broken) {
    let all: Vec<usize> = (0..scene.chart.choices.len())
        .filter(|at| !scene.at(Place::Choice(ChoiceIndex(*at))).is_empty())
        .collect();
    assert!(all.len() < 12, "so many choices at once are not recounted");
    // A choice without any open station lacks its seats alone.
    let shares = |a: usize, b: usize| {
        let same = a == b;
        let (a, b) = (&scene.chart.choices[a].open, &scene.chart.choices[b].open);
        same || a.iter().any(|s| b.contains(s))
    };
    let (mut most, mut worst): (i64, Vec<usize>) = (0, Vec::new());
    for bits in 1_u32..1 << all.len() {
        let set: Vec<usize> =
            (0..all.len()).filter(|i| bits >> i & 1 == 1).map(|i| all[i]).collect();
        let (mut children, mut stations) = (0, BTreeSet::<StationIndex>::new());
        for at in &set {
            children += scene.at(Place::Choice(ChoiceIndex(*at))).len() as i64;
            stations.extend(scene.chart.choices[*at].open.iter().copied());
        }
        let mut seats = 0;
        for station in stations {
            let assigned = scene.at(Place::Station(station)).len() as u32;
            seats += i64::from(scene.day.stations[station.0].seats.saturating_sub(assigned));
        }
        let fewer = set.len() < worst.len();
        if children - seats > most || (most > 0 && children - seats == most && fewer) {
            (most, worst) = (children - seats, set);
        }
    }
    while let Some(&first) = worst.first() {
        let mut part = vec![first];
        for _ in 0..worst.len() {
            let near = |at: &usize| part.iter().any(|p| shares(*p, *at));
            part = worst.iter().copied().filter(near).collect();
        }
        worst.retain(|at| !part.contains(at));
        broken.insert((scene.minute, format!("choice {first}")));
    }
}

pub fn keep_apart(scene: &Scene, broken: &mut Broken) {
    for (a, a_stay) in &scene.children {
        for (b, b_stay) in &scene.children {
            if a.0 >= b.0 || !scene.day.site.children[a.0].keep_apart.contains(b) {
                continue;
            }
            let pair = format!("children {} {}", a.0, b.0);
            for group in &scene.chart.groups {
                if group.children.contains(a) && group.children.contains(b) {
                    broken.insert((scene.minute, format!("{pair} in one group")));
                }
            }
            // A choice of one station is that station.
            let spot = |stay: &Stay| match (stay.at, &scene.stations_of(stay)[..]) {
                (Place::Table(table), _) => Some(Place::Table(table)),
                (_, [only]) => Some(Place::Station(*only)),
                _ => None,
            };
            if spot(a_stay).is_some() && spot(a_stay) == spot(b_stay) {
                broken.insert((scene.minute, format!("{pair} at one place")));
            }
        }
    }
}

pub fn kept(scene: &Scene, broken: &mut Broken) {
    for cell in &scene.day.kept {
        if !holds(cell.span, scene.minute) {
            continue;
        }
        let mut whose: Vec<ChildIndex> = Vec::new();
        match &cell.who {
            KeptFor::Child(child) => whose.push(*child),
            KeptFor::Group(id) => {
                for group in &scene.chart.groups {
                    if group.id == *id {
                        whose.extend(&group.children);
                    }
                }
            }
        }
        for (child, stay) in &scene.children {
            // Of a group, who has a reason to be elsewhere is not missed.
            let excused = matches!(cell.who, KeptFor::Group(_)) && stay.apart.is_some();
            if whose.contains(child) && stay.at != Place::Station(cell.station) && !excused {
                let what = format!("station {} child {}", cell.station.0, child.0);
                broken.insert((scene.minute, what));
            }
        }
    }
}
