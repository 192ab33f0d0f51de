//! Tiny days in which something that is wanted stands against each rule, or a rule cannot be kept.

use super::agreement_adults::two_at_the_least;
use super::agreement_places::snack;
use super::tiny::{aged, no_breaks, tiny};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span, today};
use fairturn::day::{KeptCell, KeptFor, Visit};
use fairturn::site::*;
use fairturn::standards::find;

/// So many seats at each of these stations, and no others.
fn stations(build: &mut Build, seats: &[(&str, u32)]) {
    for (name, seats) in seats {
        let station = build.station(name, CLASSROOM);
        build.site.stations[station.0].seats = *seats;
    }
}

/// Either of the two adults may be left with the room.
fn both_lead(build: &mut Build) {
    build.site.adults.iter_mut().for_each(|a| (a.lead, a.first_aid) = (true, true));
}

/// One station, and too few seats at it.
fn too_few_seats() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 3)]);
    no_breaks(&mut build);
    build
}

/// The same while one child of each group is being changed.
fn too_few_seats_and_care() -> Build {
    let mut build = too_few_seats();
    changed(&mut build);
    build.site.children[0].keep_apart.push(ChildIndex(2));
    build.site.children[2].keep_apart.push(ChildIndex(0));
    build
}

fn changed(build: &mut Build) {
    build.site.spaces[CLASSROOM.0].care_place = Some(CarePlace { seen_from: vec![FLOOR] });
    for child in [0, 2] {
        build.site.children[child].toileting = Toileting::Nappies;
    }
    build.schedule.care_rounds.push(CareRound { window: span("09:00-09:15") });
}

/// Both groups owe a visit to a station that is reset for longer than they have.
fn owed_and_not_reset() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("clay", 2), ("books", 2), ("blocks", 2)]);
    build.site.stations[0].reset_minutes = 10;
    no_breaks(&mut build);
    build.must_do = vec![(ChildIndex(0), StationIndex(0)), (ChildIndex(2), StationIndex(0))];
    build
}

/// Nothing but two wet stations, one group each.
fn nothing_dry() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("paint", 2), ("sand", 2)]);
    build.site.stations.iter_mut().for_each(|s| s.mess = Mess::Wet);
    no_breaks(&mut build);
    build
}

/// A cell is kept at a station that is for older children.
fn kept_for_older_ones() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 4), ("books", 4)]);
    build.site.stations[0].from_months = 60;
    no_breaks(&mut build);
    let who = KeptFor::Group("group 1".into());
    build.kept.push(KeptCell { who, station: StationIndex(0), span: span("09:00-09:15") });
    build
}

/// The same while one of them is being changed.
pub fn kept_and_changed() -> Build {
    let mut build = kept_for_older_ones();
    changed(&mut build);
    build
}

/// Two adults are needed all the time, and both are due a staff break.
fn no_adult_to_spare() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 6), ("books", 6)]);
    build.standards.push(find("ireland-full-day").expect("a built-in standard"));
    let more = ["a", "b", "c"].map(|name| build.child(name, 31, "09:00-09:40"));
    build.site.rooms[0].groups[0].children.extend(more);
    build.site.rooms[0].group_size = (2, 5);
    aged(&mut build, 31);
    build
}

/// Two adults are the least on the premises, and one's staff break is due out of the house.
fn least_on_the_premises() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 4), ("books", 4)]);
    both_lead(&mut build);
    build.site.adults[0].breaks[0].may_leave = true;
    two_at_the_least(&mut build);
    build
}

/// Whoever is left during the other's staff break may not be alone.
fn not_to_be_left() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 4), ("books", 4)]);
    both_lead(&mut build);
    build.site.adults[1].may_be_alone = false;
    build
}

/// One group is always at a station that takes both adults.
fn staffed_by_both() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("clay", 2), ("books", 2)]);
    build.site.stations[0].supervision = Supervision::Staffed { children_per_adult: 1 };
    build
}

/// The groups are in two zones all the time.
fn two_zones() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 2), ("books", 2)]);
    let loft = build.zone("loft", CLASSROOM);
    build.site.stations[0].zone = loft;
    build
}

/// Two tables, and the staff breaks fall into the snack.
fn two_tables() -> Build {
    let mut build = snack();
    let second = build.table("second table", CLASSROOM);
    build.site.tables.iter_mut().for_each(|t| t.seats = 2);
    let meal = &mut build.schedule.meals[0];
    meal.tables.push(second);
    meal.window = span("09:20-09:35");
    build.site.adults.iter_mut().for_each(|a| a.breaks[0].window = span("09:20-09:35"));
    build
}

/// All there is to do is in a studio that holds one group.
pub fn small_studio() -> Build {
    let mut build = tiny();
    let studio = build.space("studio");
    for name in ["clay", "paint"] {
        build.station(name, studio);
    }
    build.site.spaces[studio.0].class_size = Some(2);
    no_breaks(&mut build);
    build
}

/// Nothing but still stations, for longer than anybody should sit.
fn nothing_moving() -> Build {
    let mut build = tiny();
    let whole = span("09:00-10:00");
    build.schedule.open = whole;
    build.schedule.stretches[0].span = whole;
    build.children.iter_mut().for_each(|c| c.1 = vec![whole]);
    build.adults.iter_mut().for_each(|a| a.1 = vec![whole]);
    stations(&mut build, &[("books", 4), ("puzzles", 4)]);
    build.site.stations.iter_mut().for_each(|s| s.energy = Energy::Still);
    build.schedule.movement.longest_still = 20;
    no_breaks(&mut build);
    build
}

/// Nothing but a wet station right before whole-group time.
fn wet_before_the_circle() -> Build {
    let mut build = tiny();
    let whole = span("09:00-09:55");
    build.schedule.open = whole;
    let circle = Part { kind: PartKind::Circle, span: span("09:40-09:55"), space: CLASSROOM };
    build.schedule.parts.push(circle);
    build.children.iter_mut().for_each(|c| c.1 = vec![whole]);
    build.adults.iter_mut().for_each(|a| a.1 = vec![whole]);
    stations(&mut build, &[("paint", 4)]);
    build.site.stations[0].mess = Mess::Wet;
    no_breaks(&mut build);
    build
}

/// One adult is due two staff breaks in a window for one.
fn two_breaks_at_once() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("blocks", 4), ("books", 4)]);
    let due = BreakDue { window: span("09:10-09:25"), ..build.site.adults[1].breaks[0].clone() };
    build.site.adults[1].breaks = vec![due.clone(), due];
    build.adult("third", "09:00-09:40");
    build
}

/// Three visits owed in two turns.
fn three_visits_in_two_turns() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("clay", 4), ("books", 4), ("blocks", 4)]);
    no_breaks(&mut build);
    build.must_do = (0..3).map(|station| (ChildIndex(2), StationIndex(station))).collect();
    build.site.children[1].often_chosen.push(StationIndex(1));
    build
}

/// Visits before today to each station, by both children of the first group.
fn visited(build: &mut Build, times: &[u64]) {
    for (station, times) in times.iter().enumerate() {
        for n in 1..=*times {
            let date = today() - chrono::Days::new(n);
            for child in [0, 1] {
                let (child, station) = (ChildIndex(child), StationIndex(station));
                build.record.visits.push(Visit { child, station, date });
            }
        }
    }
}

/// A group has been least at one station and would rather go to the others.
fn rather_not_to_the_fewest() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("clay", 4), ("books", 4), ("blocks", 4)]);
    no_breaks(&mut build);
    visited(&mut build, &[1, 2, 2]);
    for child in [0, 1] {
        build.site.children[child].often_chosen = vec![StationIndex(1), StationIndex(2)];
    }
    build
}

/// A group has been least at one station, and would rather go to where it has been most.
fn rather_to_the_most() -> Build {
    let mut build = rather_not_to_the_fewest();
    build.record.visits.clear();
    visited(&mut build, &[1, 3, 2]);
    for child in [0, 1] {
        build.site.children[child].often_chosen = vec![StationIndex(1)];
    }
    build
}

/// Three stations where a group has never been, in two turns.
fn never_everywhere() -> Build {
    let mut build = tiny();
    stations(&mut build, &[("clay", 4), ("books", 4), ("blocks", 4), ("puzzles", 4)]);
    no_breaks(&mut build);
    visited(&mut build, &[0, 0, 0, 2]);
    build
}

/// One of each, by name.
pub fn tempted() -> Vec<(&'static str, Build)> {
    vec![
        ("too few seats", too_few_seats()),
        ("too few seats and care", too_few_seats_and_care()),
        ("owed and not reset", owed_and_not_reset()),
        ("nothing dry", nothing_dry()),
        ("kept for older ones", kept_for_older_ones()),
        ("no adult to spare", no_adult_to_spare()),
        ("least on the premises", least_on_the_premises()),
        ("not to be left", not_to_be_left()),
        ("staffed by both", staffed_by_both()),
        ("two zones", two_zones()),
        ("two tables", two_tables()),
        ("nothing moving", nothing_moving()),
        ("wet before the circle", wet_before_the_circle()),
        ("two breaks at once", two_breaks_at_once()),
        ("three visits in two turns", three_visits_in_two_turns()),
        ("rather not to the fewest", rather_not_to_the_fewest()),
        ("rather to the most", rather_to_the_most()),
        ("never everywhere", never_everywhere()),
    ]
}
