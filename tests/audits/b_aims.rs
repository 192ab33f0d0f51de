//! Aims, with values counted by hand.

use super::build::{Build, CLASSROOM, span, today};
use fairturn::chart::{Block, BlockKind, Place, State};
use fairturn::day::Visit;
use fairturn::rules::{AIMS, RULES, measure};
use fairturn::site::*;

pub(super) fn value(b: &Build, slug: &str) -> i64 {
    let at = AIMS.iter().position(|a| a.slug == slug).expect("an aim in the table");
    measure(&b.day(), &b.chart)[at]
}

/// An assigned stretch of four turns of 15 minutes from 09:00, and three stations.
fn turns() -> (Build, [Place; 3]) {
    let mut b = Build::new();
    b.schedule.stretches.push(Stretch { kind: StretchKind::Assigned, span: span("09:00-10:00") });
    for (turn, when) in TURNS.iter().enumerate() {
        let id = format!("turn-{}", turn + 1);
        b.chart.blocks.push(Block { id, kind: BlockKind::Turn, span: span(when) });
    }
    let stations = ["art", "blocks", "books"].map(|s| b.station(s, CLASSROOM));
    (b, stations.map(Place::Station))
}

const TURNS: [&str; 4] = ["09:00-09:15", "09:15-09:30", "09:30-09:45", "09:45-10:00"];

fn go_round(b: &mut Build, child: ChildIndex, places: [Place; 4]) {
    for (when, at) in TURNS.iter().zip(places) {
        b.stay(child, when, at);
    }
}

#[test]
fn the_table_holds_the_aims_in_their_order() {
    let slugs: Vec<&str> = AIMS.iter().map(|a| a.slug).collect();
    let order = [
        "long-work",
        "middle-breaks",
        "tasks",
        "must-do",
        "well-drawn",
        "care-in-time",
        "clean-after-sleep",
        "enough-turns",
        "good-third",
        "enough-movement",
        "long-choice",
        "movement-apart",
        "third-of-session",
        "even-blocks",
        "more-turns",
        "settling",
        "key-adult",
        "steady-posts",
        "no-repeat",
        "little-waiting",
        "balance",
        "fair-shares",
        "often-chosen",
        "keep-with",
        "fair-posts",
        "short-ways",
    ];
    assert_eq!(slugs, order);
    assert!(AIMS.iter().all(|a| a.says.ends_with('.') && !a.unit.is_empty()));
    // Of an empty day nothing is short but turns, and choice.
    let empty = measure(&Build::new().day(), &Build::new().chart);
    let short = AIMS.iter().zip(&empty).filter(|(_, value)| **value > 0);
    let short: Vec<&str> = short.map(|(aim, _)| aim.slug).collect();
    assert_eq!(short, ["long-choice", "more-turns"]);
}

#[test]
fn the_table_holds_the_rules_worst_first() {
    let slugs: Vec<&str> = RULES.iter().map(|r| r.slug).collect();
    let order = "barred present open seats reset sinks keep-apart kept ratio least-adults \
                 never-alone one-to-one staffed sight walking qualified class-size meals rest movement \
                 staff-break";
    assert_eq!(slugs.join(" "), order);
    assert!(RULES.iter().all(|r| r.says.ends_with('.')));
}

#[test]
fn visits_owed_and_missed_are_counted() {
    let (mut b, [art, blocks, _]) = turns();
    let [ada, bo] = ["Ada", "Bo"].map(|c| b.child(c, 50, "09:00-12:00"));
    b.must_do = [ada, bo].into_iter().map(|c| (c, StationIndex(0))).collect();
    b.must_do.push((ada, StationIndex(1)));
    assert_eq!(value(&b, "must-do"), 3);
    b.stay(ada, "09:00-09:15", art);
    b.stay(bo, "09:00-09:04", art);
    b.stay(ada, "09:30-09:33", blocks);
    b.stay(ada, "09:33-09:38", Place::Care);
    assert_eq!(value(&b, "must-do"), 2, "four minutes and three are no visit");
    b.stay(ada, "09:38-09:40", blocks);
    assert_eq!(value(&b, "must-do"), 1, "a nappy in the middle does not end one");
    let choice = b.choice("09:15-09:30", &[StationIndex(0)]);
    b.stay(bo, "09:00-09:30", choice);
    assert_eq!(value(&b, "must-do"), 1, "a choice makes no visit");
    b.children[1].1.clear();
    assert_eq!(value(&b, "must-do"), 0, "who does not come misses nothing");
}

#[test]
fn minutes_without_the_key_adult_are_counted_in_fives() {
    let mut b = Build::new();
    let corner = b.zone("corner", CLASSROOM);
    let pip = b.child("Pip", 20, "09:00-10:00");
    let [ann, ben] = ["Ann", "Ben"].map(|a| b.adult(a, "09:00-10:00"));
    b.site.children[0].key_adult = Some(ann);
    assert_eq!(value(&b, "key-adult"), 0);
    b.post(ann, "09:10-09:22", Place::Zone(corner));
    assert_eq!(value(&b, "key-adult"), 3, "12 minutes: fives begun");
    b.post(ann, "09:12-09:22", Place::StaffBreak(0));
    assert_eq!(value(&b, "key-adult"), 1, "2 minutes");
    b.post(ann, "09:10-09:12", Place::Zone(corner)).for_child = Some(ChildIndex(7));
    assert_eq!(value(&b, "key-adult"), 0, "beside another child");
    b.post(ann, "09:10-09:22", Place::Zone(corner));
    b.stay(pip, "09:10-09:20", Place::Rest).state = State::Asleep;
    assert_eq!(value(&b, "key-adult"), 1);
    b.stay(pip, "09:20-09:22", Place::Transition);
    assert_eq!(value(&b, "key-adult"), 0, "on the way the space is enough");
    b.site.children[0].key_adult = Some(ben);
    b.adults.pop();
    b.chart.adults.pop();
    assert_eq!(value(&b, "key-adult"), 0, "not on shift");
    b.site.children[0].key_adult = Some(ann);
    b.stay(pip, "09:00-10:00", Place::WholeGroup);
    b.site.settings.young_under_months = 20;
    assert_eq!(value(&b, "key-adult"), 0, "not young");
}

#[test]
fn changes_of_zone_between_turns_are_counted() {
    let (mut b, [art, blocks, books]) = turns();
    b.site.stations[2].zone = b.zone("nook", CLASSROOM);
    let ann = b.adult("Ann", "09:00-12:00");
    let go = |b: &mut Build, places: [Place; 4]| {
        for (when, at) in TURNS.iter().zip(places) {
            b.post(ann, when, at);
        }
        value(b, "steady-posts")
    };
    assert_eq!(go(&mut b, [art, blocks, art, blocks]), 0, "one zone");
    assert_eq!(go(&mut b, [art, books, art, books]), 3);
    assert_eq!(go(&mut b, [art, art, books, books]), 1);
    assert_eq!(go(&mut b, [art, Place::Door, books, books]), 0, "at the door there is no zone");
    go(&mut b, [art, art, art, art]);
    b.post(ann, "09:15-09:22", books);
    assert_eq!(value(&b, "steady-posts"), 0, "most of the turn in the old zone");
    b.post(ann, "09:15-09:23", books);
    assert_eq!(value(&b, "steady-posts"), 2);
    b.schedule.stretches[0].span = span("09:00-09:15");
    assert_eq!(value(&b, "steady-posts"), 1, "from stretch to stretch an adult may move");
}

#[test]
fn a_station_twice_in_a_stretch_is_a_repeat() {
    let (mut b, [art, blocks, books]) = turns();
    let ada = b.child("Ada", 50, "09:00-12:00");
    go_round(&mut b, ada, [art, blocks, books, Place::WholeGroup]);
    assert_eq!(value(&b, "no-repeat"), 0);
    go_round(&mut b, ada, [art, blocks, art, art]);
    assert_eq!(value(&b, "no-repeat"), 2);
    b.schedule.stretches[0].span = span("09:00-09:30");
    assert_eq!(value(&b, "no-repeat"), 1, "turns three and four belong together");
    b.schedule.stretches[0].span = span("09:00-10:00");
    go_round(&mut b, ada, [art, blocks, art, books]);
    assert_eq!(value(&b, "no-repeat"), 1);
    let snack = BlockKind::Meal(MealKind::MorningSnack);
    b.chart.blocks.push(Block { id: "snack".into(), kind: snack, span: span("09:29-09:30") });
    assert_eq!(value(&b, "no-repeat"), 0, "a meal lies between the two turns");
}

#[test]
fn minutes_in_transitions_are_counted_in_quarters_of_an_hour() {
    let mut b = Build::new();
    let [ada, bo] = ["Ada", "Bo"].map(|c| b.child(c, 50, "09:00-12:00"));
    assert_eq!(value(&b, "little-waiting"), 0);
    b.stay(ada, "09:00-09:10", Place::Transition);
    b.stay(bo, "09:00-09:05", Place::Transition);
    assert_eq!(value(&b, "little-waiting"), 1);
    b.stay(bo, "09:00-09:06", Place::Transition);
    assert_eq!(value(&b, "little-waiting"), 2);
}

#[test]
fn minutes_beyond_the_care_interval_are_counted_awake() {
    let mut b = Build::new();
    let [pip, bo] = ["Pip", "Bo"].map(|c| b.child(c, 20, "09:00-12:00"));
    for child in [pip, bo] {
        b.site.children[child.0].toileting = Toileting::Nappies;
    }
    assert_eq!(value(&b, "care-in-time"), 2 * 30, "three hours, with an interval of 150 minutes");
    b.stay(pip, "11:00-11:05", Place::Care);
    assert_eq!(value(&b, "care-in-time"), 30);
    b.stay(pip, "11:00-11:05", Place::Transition);
    b.stay(pip, "11:50-11:55", Place::Care);
    let waits = fairturn::rules::long_waits(&b.day(), &b.chart);
    assert_eq!((waits[0].span, waits[0].awake, waits[0].beyond), (span("09:00-11:50"), 170, 20));
    b.stay(pip, "10:00-10:40", Place::Rest).state = State::Asleep;
    assert_eq!(value(&b, "care-in-time"), 30, "who sleeps does not wait");
    b.site.children[bo.0].toileting = Toileting::Learning;
    assert_eq!(value(&b, "care-in-time"), 0, "who learns says so");
    b.site.settings.care_interval = 90;
    assert_eq!(value(&b, "care-in-time"), 130 - 90);
}

#[test]
fn who_is_changed_while_settling_rests_meanwhile() {
    let (mut b, [pip, _]) = super::b_day::rest();
    b.stay(pip, "12:35-12:45", Place::Care);
    assert_eq!(b.audit("rest"), [], "on the way to the cot");
    b.stay(pip, "12:30-12:35", Place::Care);
    assert_eq!(b.audit("rest"), [], "before lying down at all");
    b.stay(pip, "12:40-12:46", Place::Care);
    let found: Vec<_> = b.audit("rest").iter().map(|p| p.case).collect();
    assert_eq!(found, ["short-rest", "settling"], "no longer settling");
    b.chart.blocks.clear();
    b.stay(pip, "12:45-12:46", Place::Rest).state = State::Asleep;
    b.stay(pip, "12:30-12:35", Place::Care);
    assert!(!b.audit("rest").is_empty(), "no rest begins here");
}

#[test]
fn a_dull_or_headlong_day_is_counted() {
    let (mut b, [art, blocks, books]) = turns();
    b.table("long table", CLASSROOM);
    for station in [0, 2] {
        b.site.stations[station].energy = Energy::Still;
    }
    b.site.stations[0].mess = Mess::Wet;
    let ada = b.child("Ada", 50, "09:00-12:00");
    go_round(&mut b, ada, [art, books, blocks, books]);
    assert_eq!(value(&b, "balance"), 0);
    go_round(&mut b, ada, [art, books, art, books]);
    assert_eq!(value(&b, "balance"), 2, "turns 1 to 3 and 2 to 4");
    go_round(&mut b, ada, [books, blocks, books, art]);
    assert_eq!(value(&b, "balance"), 1, "from art to circle");
    b.stay(ada, "10:00-10:10", Place::Transition);
    assert_eq!(value(&b, "balance"), 1, "washed on the way all the same");
    b.stay(ada, "10:00-10:10", Place::Table(TableIndex(0)));
    assert_eq!(value(&b, "balance"), 0);
    b.stay(ada, "10:30-11:00", Place::Rest);
    assert_eq!(value(&b, "balance"), 0);
    b.stay(ada, "10:20-10:30", Place::Movement);
    assert_eq!(value(&b, "balance"), 1, "out of breath onto the cot");
    b.stay(ada, "10:20-10:30", blocks);
    assert_eq!(value(&b, "balance"), 0);
    b.site.stations[1].energy = Energy::Vigorous;
    assert_eq!(value(&b, "balance"), 1);
}

#[test]
fn shares_are_counted_over_the_record_and_today() {
    let (mut b, [art, blocks, books]) = turns();
    let ada = b.child("Ada", 50, "09:00-12:00");
    go_round(&mut b, ada, [art, blocks, books, Place::WholeGroup]);
    let earlier = |days: u64| today() - chrono::Days::new(days);
    let art_on = |days| Visit { child: ada, station: StationIndex(0), date: earlier(days) };
    b.record.visits.push(art_on(1));
    assert_eq!(value(&b, "fair-shares"), 0, "2, 1, 1: one more is fair");
    b.record.visits.push(art_on(2));
    b.record.visits.push(art_on(3));
    assert_eq!(value(&b, "fair-shares"), 4, "4, 1, 1: two too many, squared");
    b.record.visits.push(art_on(2));
    b.record.visits.push(art_on(0));
    assert_eq!(value(&b, "fair-shares"), 4, "a day counts once, and today from the chart");
    go_round(&mut b, ada, [books, blocks, books, Place::WholeGroup]);
    assert_eq!(value(&b, "fair-shares"), 1, "3, 1, 1");
    b.stay(ada, "09:15-09:30", books);
    assert_eq!(value(&b, "fair-shares"), 4, "3, 0, 1");
    b.site.children[0].not_for.push(StationIndex(1));
    assert_eq!(value(&b, "fair-shares"), 1, "3, 1");
    b.site.children[0].not_for.clear();
    b.closed.push((StationIndex(1), span("08:00-16:00")));
    assert_eq!(value(&b, "fair-shares"), 1, "closed all day");
    b.closed[0].1 = span("08:00-15:00");
    assert_eq!(value(&b, "fair-shares"), 4);
    b.site.stations[1].hazards.push(Hazard::SmallParts);
    b.site.children[0].born = today() - chrono::Months::new(35);
    assert_eq!(value(&b, "fair-shares"), 1, "too young for small parts");
    b.site.children[0].born = today() - chrono::Months::new(36);
    assert_eq!(value(&b, "fair-shares"), 4);
    b.site.stations[1].allergens.push("wheat".into());
    b.site.children[0].allergies.push("wheat".into());
    assert_eq!(value(&b, "fair-shares"), 1, "allergic");
    b.site.children[0].allergies.clear();
    b.site.settings.young_under_months = 37;
    assert_eq!(value(&b, "fair-shares"), 0, "the young do not go round");
}

#[test]
fn turns_away_from_what_a_child_often_chooses_are_counted() {
    let (mut b, [art, blocks, books]) = turns();
    let ada = b.child("Ada", 50, "09:00-12:00");
    go_round(&mut b, ada, [art, blocks, books, Place::WholeGroup]);
    assert_eq!(value(&b, "often-chosen"), 0, "Ada has no such station");
    b.site.children[0].often_chosen = vec![StationIndex(0), StationIndex(1)];
    assert_eq!(value(&b, "often-chosen"), 1);
}

#[test]
fn pairs_apart_are_counted_once() {
    let mut b = Build::new();
    let [ada, bo, cai] = ["Ada", "Bo", "Cai"].map(|c| b.child(c, 50, "09:00-12:00"));
    b.site.children[0].keep_with = vec![bo, cai];
    b.site.children[1].keep_with = vec![ada];
    b.group("gulls", &[ada, cai]);
    b.group("crabs", &[bo]);
    assert_eq!(value(&b, "keep-with"), 1);
    b.chart.groups.clear();
    assert_eq!(value(&b, "keep-with"), 2);
    b.children.remove(1);
    assert_eq!(value(&b, "keep-with"), 1, "Bo does not come");
    b.group("gulls", &[ada, cai]);
    assert_eq!(value(&b, "keep-with"), 0);
}

#[test]
fn messy_turns_above_an_even_share_are_counted() {
    let (mut b, [art, _, _]) = turns();
    b.site.stations[0].mess = Mess::Wet;
    let [ann, ben] = ["Ann", "Ben"].map(|a| b.adult(a, "09:00-12:00"));
    b.post(ann, "09:00-09:45", art);
    assert_eq!(value(&b, "fair-posts"), 1, "3 and 0: two are an even share of three");
    b.post(ben, "09:45-10:00", art);
    assert_eq!(value(&b, "fair-posts"), 1, "3 and 1");
    b.post(ben, "09:30-09:45", art);
    b.post(ann, "09:30-09:45", Place::WholeGroup);
    assert_eq!(value(&b, "fair-posts"), 0, "2 and 2");
    b.site.adults[1].posts_not_taken.push(fairturn::site::people::NotTaken::Wet);
    b.post(ben, "09:30-10:00", Place::WholeGroup);
    b.post(ann, "09:00-09:45", art);
    assert_eq!(value(&b, "fair-posts"), 0, "Ben does not take wet stations");
}

#[test]
fn adults_who_leave_while_the_children_settle_are_counted() {
    let mut b = Build::new();
    let window = span("12:30-13:30");
    b.schedule.rest = Some(Rest {
        window,
        minutes: 60,
        space: CLASSROOM,
        settling_minutes: 15,
        awake_longest: 30,
    });
    b.chart.blocks.push(Block { id: "rest-1".into(), kind: BlockKind::Rest, span: window });
    let ada = b.child("Ada", 40, "12:00-14:00");
    let [ann, ben] = ["Ann", "Ben"].map(|a| b.adult(a, "12:00-14:00"));
    b.post(ann, "12:40-13:10", Place::StaffBreak(0));
    assert_eq!(value(&b, "settling"), 0, "nobody is on a cot");
    b.stay(ada, "12:30-13:30", Place::Rest);
    assert_eq!(value(&b, "settling"), 1, "five minutes of the break");
    b.post(ann, "12:15-12:45", Place::StaffBreak(0));
    assert_eq!(value(&b, "settling"), 3, "one piece from 12:15 to 13:10 takes all fifteen");
    b.post(ann, "12:40-13:15", Place::Rest);
    b.schedule.tasks.push(Task {
        id: "wipe".into(),
        label: "Wipe".into(),
        minutes: 7,
        window,
        space: CLASSROOM,
        watching: false,
    });
    b.post(ben, "12:30-12:37", Place::Task(0));
    assert_eq!(value(&b, "settling"), 2 + 2, "a task of seven minutes is two stretches");
    b.schedule.tasks[0].watching = true;
    assert_eq!(value(&b, "settling"), 2, "who watches meanwhile has not left");
    b.schedule.rest.as_mut().expect("a rest").settling_minutes = 0;
    assert_eq!(value(&b, "settling"), 0);
}
