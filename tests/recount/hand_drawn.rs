//! A whole day drawn by hand, right as it stands, and what the recount says of it when it is not.

use super::{disagreements, mutants, recount};
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::{Chart, Place, State};
use fairturn::day::Day;
use fairturn::rules;
use fairturn::site::{
    AdultIndex, BreakDue, ChildIndex, Energy, Hazard, Meal, MealKind, Mess, OneToOne, Rest, Sleep,
    SpaceIndex, StationIndex, Supervision, TableIndex,
};
use fairturn::standards::find;

const INA: AdultIndex = AdultIndex(0);
const JO: AdultIndex = AdultIndex(1);
const YARD: SpaceIndex = SpaceIndex(1);
const PAINTING: StationIndex = StationIndex(0);

/// Two marched groups and two young ones with three adults, under Ireland's standard.
fn drawn() -> Build {
    let mut b = Build::new();
    let yard = b.space("yard");
    b.site.spaces[yard.0].outdoors = true;
    let tables = [b.table("long table", CLASSROOM), b.table("round table", CLASSROOM)];
    let [painting, blocks, quay_shop, sand] =
        ["painting", "blocks", "quay shop", "sand"].map(|label| b.station(label, CLASSROOM));
    let art = &mut b.site.stations[painting.0];
    art.supervision = Supervision::Staffed { children_per_adult: 4 };
    (art.mess, art.energy, art.stands_on) = (Mess::Wet, Energy::Still, Some(tables[0]));
    (art.reset_minutes, art.allergens) = (5, vec!["wheat".into()]);
    b.site.stations[blocks.0].hazards = vec![Hazard::SmallParts];
    b.site.stations[blocks.0].out_of_reach = true;
    b.site.stations[quay_shop.0].seats = 6;
    b.site.stations[sand.0].seats = 8;
    b.standards = vec![find("ireland-full-day").expect("built in")];
    let months = [52, 50, 48, 45, 40, 38, 37, 24, 20];
    let names = ["Ola", "Pia", "Rui", "Sam", "Tea", "Udo", "Vik", "Wim", "Yla"];
    let children: Vec<ChildIndex> =
        (0..9).map(|c| b.child(names[c], months[c], "08:00-16:00")).collect();
    b.site.children[0].keep_apart = vec![children[4]];
    b.site.children[4].keep_apart = vec![children[0]];
    b.site.children[5].allergies = vec!["wheat".into()];
    b.site.children[7].sleep = Sleep::InRest { minutes: 90 };
    b.site.children[8].sleep = Sleep::InRest { minutes: 90 };
    b.group("boat", &children[..4]);
    b.group("gull", &children[4..7]);
    b.group("shell", &children[7..]);
    let adults = [
        b.adult("Ina", "08:00-16:00"),
        b.adult("Jo", "08:00-16:00"),
        b.adult("Kim", "09:00-15:00"),
    ];
    b.site.adults[2].may_be_alone = false;
    let due = BreakDue { minutes: 20, window: span("12:30-14:30"), paid: true, may_leave: false };
    adults.iter().for_each(|a| b.site.adults[a.0].breaks = vec![due.clone()]);
    let meal =
        |kind, window| Meal { kind, window: span(window), minutes: 15, tables: tables.into() };
    b.schedule.meals = vec![
        meal(MealKind::MorningSnack, "09:30-10:30"),
        meal(MealKind::Lunch, "11:30-12:30"),
        meal(MealKind::AfternoonSnack, "14:30-15:30"),
    ];
    b.schedule.rest = Some(Rest {
        window: span("12:30-14:00"),
        minutes: 90,
        space: CLASSROOM,
        settling_minutes: 15,
        awake_longest: 30,
    });
    let moving = &mut b.schedule.movement;
    (moving.outdoor_day, moving.longest_still, moving.minutes) = (2, 75, 10);

    let wide = [quay_shop, sand];
    let morning = b.choice("08:00-09:00", &wide);
    let young = b.choice("09:20-09:40", &wide);
    let noon = b.choice("13:00-14:00", &wide);
    let evening = b.choice("15:05-16:00", &wide);
    for &child in &children {
        let (marched, first) = (child.0 < 7, child.0 < 4);
        b.stay(child, "08:00-09:00", morning);
        let turn = match (marched, first) {
            (true, true) => Place::Station(painting),
            (true, false) => Place::Station(blocks),
            _ => young,
        };
        for when in ["09:15-09:20", "09:40-09:45", "10:00-10:10", "11:10-11:45"] {
            b.stay(child, when, Place::Transition);
        }
        b.stay(child, "09:20-09:40", turn);
        let table = Place::Table(tables[usize::from(!first)]);
        for (when, kind) in [
            ("09:45-10:00", MealKind::MorningSnack),
            ("11:45-12:15", MealKind::Lunch),
            ("14:50-15:05", MealKind::AfternoonSnack),
        ] {
            b.stay(child, when, table).meal = Some(kind);
        }
        b.stay_in(child, "10:10-11:10", YARD, Place::Outdoors);
        b.stay(child, "12:15-12:30", if marched { Place::Transition } else { Place::Care });
        b.stay(child, "12:30-14:00", Place::Rest);
        if marched {
            b.stay(child, "13:00-14:00", noon);
        } else {
            b.stay(child, "12:45-14:00", Place::Rest).state = State::Asleep;
        }
        b.stay(child, "14:00-14:10", Place::Transition);
        b.stay(child, "14:10-14:40", Place::Movement);
        b.stay(child, "14:40-14:50", Place::Transition);
        b.stay(child, "15:05-16:00", evening);
    }
    for &adult in &adults {
        let from = if adult.0 == 2 { "09:00" } else { "08:00" };
        let to = if adult.0 == 2 { "15:00" } else { "16:00" };
        b.post(adult, &format!("{from}-{to}"), Place::Zone(FLOOR));
        b.post_in(adult, "10:10-11:10", YARD, Place::Outdoors);
    }
    b.post(JO, "09:20-09:40", Place::Station(painting));
    for when in ["09:45-10:00", "11:45-12:15", "14:50-15:05"] {
        b.post(INA, when, Place::Table(tables[1]));
        b.post(JO, when, Place::Table(tables[0]));
    }
    b.post(adults[2], "12:15-12:30", Place::Care);
    b.site.spaces[0].care_place = Some(fairturn::site::CarePlace { seen_from: vec![FLOOR] });
    for (adult, when) in [(1, "13:00-13:20"), (2, "13:20-13:40"), (0, "13:40-14:00")] {
        b.post(adults[adult], when, Place::StaffBreak(0));
    }
    b
}

/// What the recount finds, a line for each thing, with its first and last minute.
fn found(b: &Build) -> Vec<String> {
    assert_eq!(agree(&b.day(), &b.chart), Vec::<String>::new());
    let mut lines = Vec::new();
    for (rule, broken) in recount(&b.day(), &b.chart) {
        let mut whats: Vec<&String> = broken.iter().map(|(_, what)| what).collect();
        whats.sort();
        whats.dedup();
        for what in whats {
            let minutes: Vec<u16> =
                broken.iter().filter(|(_, w)| w == what).map(|(m, _)| *m).collect();
            lines.push(format!("{rule}: {what}{}", super::long::spans_in_words(&minutes)));
        }
    }
    lines
}

#[test]
fn nothing_is_wrong_with_the_day_as_drawn() {
    assert_eq!(found(&drawn()), Vec::<String>::new());
}

#[test]
fn a_staff_break_inside_a_block_is_short_to_the_minute() {
    let mut b = drawn();
    b.post(INA, "10:20-10:35", Place::StaffBreak(0));
    b.post(JO, "10:20-10:35", Place::StaffBreak(0));
    let expected = [
        "never-alone: space 1 10:20 to 10:35",
        "ratio: space 1 ireland-full-day by 1 10:20 to 10:35",
    ];
    assert_eq!(found(&b), expected);
}

#[test]
fn each_thing_that_is_put_wrong_is_found() {
    let mut b = drawn();
    let (udo, yla) = (ChildIndex(5), ChildIndex(8));
    b.stay(udo, "09:25-09:35", Place::Station(PAINTING));
    b.stay(ChildIndex(4), "09:30-09:35", Place::Station(PAINTING));
    b.stay(yla, "09:38-09:40", Place::Unplaced);
    b.site.children[8].one_to_one = Some(OneToOne { adult: JO, stand_ins: vec![] });
    b.post(JO, "08:00-09:20", Place::Zone(FLOOR)).for_child = Some(yla);
    let expected = [
        "barred: station 0 child 5 09:25 to 09:35",
        "keep-apart: children 0 4 at one place 09:30 to 09:35",
        "one-to-one: child 8 09:20 to 16:00",
        "ratio: space 0 ireland-full-day by 1 08:00 to 09:00",
        "seats: station 0 09:25 to 09:35",
        "seats: unplaced 09:38 to 09:40",
        "staffed: station 0 09:25 to 09:35",
    ];
    assert_eq!(found(&b), expected);
}

/// The day as drawn, with something in the sand that nobody knows; Udo has an allergy, and a child who
/// sleeps has one that nobody knows.
fn with_glimmer() -> Build {
    let mut b = drawn();
    b.site.stations[3].allergens = vec!["glimmer sand".into()];
    b.site.children[7].allergies = vec!["sunlight".into()];
    b
}

#[test]
fn what_nobody_knows_is_found_beside_an_allergy() {
    let expected = [
        "barred: station 0 child 7 09:20 to 09:40",
        "barred: station 3 child 5 08:00 to 09:00 09:20 to 09:40 13:00 to 14:00 15:05 to 16:00",
        "barred: station 3 child 7 08:00 to 09:00 09:20 to 09:40 15:05 to 16:00",
    ];
    assert_eq!(found(&with_glimmer()), expected);
}

#[test]
fn what_only_the_whole_day_shows_is_found() {
    let mut b = drawn();
    let (ola, wim) = (ChildIndex(0), ChildIndex(7));
    b.stay(ola, "14:50-15:05", Place::Station(StationIndex(3)));
    b.stay(ola, "10:10-11:10", Place::WholeGroup);
    b.stay(wim, "13:10-13:20", Place::Care).space = CLASSROOM;
    b.post(INA, "13:00-13:10", Place::Care);
    b.post(INA, "13:10-13:20", Place::Care);
    b.post(INA, "13:50-14:00", Place::Zone(FLOOR));
    b.post(INA, "10:10-11:10", Place::Zone(FLOOR));
    b.site.stations[1].out_of_reach = false;
    let expected = [
        "barred: station 1 child 7 09:20 to 09:40",
        "barred: station 1 child 8 09:20 to 09:40",
        "meals: child 0 misses a meal 00:00 to 00:01",
        "movement: child 0 moves too seldom 00:00 to 00:01",
        "movement: child 0 sits too long 00:00 to 00:01",
        "rest: child 7 00:00 to 00:01",
        "rest: child 7 is not asleep 13:20 to 13:35",
        "staff-break: adult 0 break 0 00:00 to 00:01",
    ];
    assert_eq!(found(&b), expected);
}

#[test]
fn a_station_is_closed_while_its_table_is_eaten_at_and_wiped() {
    let mut b = drawn();
    b.site.stations[PAINTING.0].stands_on = Some(TableIndex(0));
    b.stay(ChildIndex(0), "14:46-15:12", Place::Station(PAINTING));
    b.post(JO, "14:46-15:12", Place::Station(PAINTING));
    b.closed = vec![(StationIndex(2), span("15:30-15:40"))];
    let open: Vec<String> = found(&b).into_iter().filter(|l| l.starts_with("open")).collect();
    assert_eq!(open, ["open: station 0 14:46 to 15:10", "open: station 2 15:30 to 15:40"]);
}

#[test]
fn while_older_ones_sleep_the_other_adults_stay_in_the_building() {
    let mut b = drawn();
    b.standards = vec![find("cfoc-centre").expect("built in")];
    for child in 0..9 {
        let born = b.chart.date.checked_sub_months(chrono::Months::new(40));
        b.site.children[child].born = born.expect("a birth date");
        b.site.children[child].sleep = Sleep::InRest { minutes: 90 };
        b.stay(ChildIndex(child), "12:45-14:00", Place::Rest).state = State::Asleep;
    }
    for adult in [JO, AdultIndex(2)] {
        b.post(adult, "13:00-13:20", Place::StaffBreak(0));
        b.site.adults[adult.0].breaks[0].may_leave = true;
    }
    let ratio = |b: &Build| -> Vec<String> {
        found(b).into_iter().filter(|l| l.starts_with("ratio")).collect()
    };
    assert_eq!(ratio(&b), ["ratio: premises cfoc-centre by 1 13:00 to 13:20"]);
    b.site.adults[JO.0].breaks[0].may_leave = false;
    assert_eq!(ratio(&b), Vec::<String>::new());
}

fn agree(day: &Day, chart: &Chart) -> Vec<String> {
    disagreements(day, chart, &rules::audit(day, chart))
}

#[test]
fn audit_and_recount_agree_on_the_day_and_on_every_mutant_of_it() {
    for b in [drawn(), with_glimmer()] {
        let day = b.day();
        assert_eq!(agree(&day, &b.chart), Vec::<String>::new());
        for change in mutants::CHANGES {
            let mut made = 0;
            for chance in 0..24 {
                if let Some(mutant) = mutants::mutant(&b.chart, change, chance) {
                    made += 1;
                    assert_eq!(agree(&day, &mutant), Vec::<String>::new(), "{change:?} {chance}");
                }
            }
            assert!(made > 5, "{change:?} changes something");
        }
    }
}
