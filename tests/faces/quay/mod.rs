//! A hand-drawn day of an invented room: the quay room of a harbour town, six children, three
//! adults, a wet day in spring.

use chrono::NaiveDate;
use fairturn::day::{Day, IndoorDay, KeptCell, KeptFor, VisitRecord};
use fairturn::site::people::*;
use fairturn::site::place::*;
use fairturn::site::schedule::*;
use fairturn::site::*;
use std::sync::Arc;

mod drawn;

pub use drawn::chart;

const HALL: SpaceIndex = SpaceIndex(1);
const QUAY: SpaceIndex = SpaceIndex(0);
const WINDOW: ZoneIndex = ZoneIndex(0);
const CORNER: ZoneIndex = ZoneIndex(1);

pub fn date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday")
}

fn clock(text: &str) -> Minute {
    Minute::parse(text).expect("a clock time")
}

pub fn span(text: &str) -> Span {
    let (from, to) = text.split_once('-').expect("from-to");
    Span::new(clock(from), clock(to)).expect("ends after it starts")
}

fn space(id: &str, label: &str) -> Space {
    Space {
        id: id.into(),
        label: label.into(),
        shared: id == "hall",
        outdoors: false,
        room_to_move: id == "hall",
        class_size: Some(12),
        floor_area: None,
        sinks: 2,
        care_place: (id == "quay").then(|| CarePlace { seen_from: vec![CORNER] }),
        walking: Vec::new(),
    }
}

fn station(id: &str, label: &str, zone: ZoneIndex) -> Station {
    Station {
        id: id.into(),
        label: label.into(),
        picture: id.into(),
        space: QUAY,
        zone,
        stands_on: (id == "art").then_some(TableIndex(0)),
        under_cots: id == "blocks",
        seats: 4,
        from_months: if id == "art" { 30 } else { 0 },
        below_months: None,
        supervision: Supervision::InSight,
        energy: Energy::Still,
        noise: Noise::Normal,
        mess: if id == "sand" { Mess::Wet } else { Mess::None },
        hazards: if id == "art" { vec![Hazard::Sharp] } else { Vec::new() },
        allergens: if id == "art" { vec!["wheat".into()] } else { Vec::new() },
        out_of_reach: false,
        open: Vec::new(),
        reset_minutes: 5,
    }
}

fn child(id: &str, label: &str, born: (i32, u32, u32)) -> Child {
    Child {
        id: id.into(),
        label: label.into(),
        born: NaiveDate::from_ymd_opt(born.0, born.1, born.2).expect("a date"),
        room: RoomIndex(0),
        attendance: std::array::from_fn(|_| vec![span("08:00-14:00")]),
        breakfast_here: false,
        toileting: Toileting::Alone,
        sleep: Sleep::None,
        quiet_rest_minutes: 30,
        one_to_one: None,
        settling_in: None,
        allergies: Vec::new(),
        not_for: Vec::new(),
        often_chosen: Vec::new(),
        keep_with: Vec::new(),
        keep_apart: Vec::new(),
        key_adult: Some(AdultIndex(0)),
    }
}

fn adult(id: &str, label: &str, lead: bool, breaks: Vec<BreakDue>) -> Adult {
    Adult {
        id: id.into(),
        label: label.into(),
        shifts: std::array::from_fn(|_| vec![span("08:00-14:00")]),
        counts: true,
        may_be_alone: true,
        lead,
        first_aid: true,
        qualifications: vec!["level-6".into()],
        rooms: vec![RoomIndex(0)],
        floater: false,
        in_rooms: Vec::new(),
        breaks,
        posts_not_taken: Vec::new(),
    }
}

fn schedule() -> Schedule {
    Schedule {
        id: "short-day".into(),
        open: span("08:00-14:00"),
        parts: Vec::new(),
        stretches: Vec::new(),
        meals: vec![Meal {
            kind: MealKind::Lunch,
            window: span("11:30-12:00"),
            minutes: 30,
            tables: vec![TableIndex(0)],
        }],
        rest: None,
        care_rounds: vec![CareRound { window: span("10:35-11:20") }],
        tasks: vec![Task {
            id: "cots".into(),
            label: "set out the cots".into(),
            minutes: 10,
            window: span("11:00-12:00"),
            space: QUAY,
            watching: false,
        }],
        movement: Movement {
            outdoor_day: 0,
            indoor_day: 2,
            minutes: 15,
            longest_still: 60,
            space: HALL,
        },
        turn_minutes: Vec::new(),
        whole_group_minutes: Vec::new(),
        transition_minutes: 5,
        dressing: Dressing::default(),
    }
}

fn site() -> Site {
    let pause =
        |window: &str, paid| BreakDue { minutes: 20, window: span(window), paid, may_leave: !paid };
    let mut cleo = child("cleo", "Cleo", (2022, 7, 2));
    cleo.allergies.push("wheat".into());
    let mut enno = child("enno", "Enno", (2024, 2, 10));
    enno.toileting = Toileting::Nappies;
    enno.sleep = Sleep::InRest { minutes: 70 };
    let mut fee = child("fee", "Fee", (2024, 6, 21));
    fee.toileting = Toileting::Nappies;
    fee.sleep = Sleep::InRest { minutes: 70 };
    Site {
        id: "salt-pier".into(),
        label: "Salt Pier house".into(),
        time_zone: chrono_tz::Europe::Dublin,
        standards: vec!["ireland-full-day".into()],
        settings: Settings::default(),
        rooms: vec![Room {
            id: "quay-room".into(),
            label: "Quay room".into(),
            home: QUAY,
            spaces: vec![QUAY, HALL],
            group_size: (2, 4),
            group_ages: GroupAges::Alike,
            groups: Vec::new(),
            governing_age: None,
            schedules: vec![schedule()],
            by_weekday: [Some(0), Some(0), Some(0), Some(0), Some(0), None, None],
        }],
        spaces: vec![space("quay", "classroom"), space("hall", "hall")],
        zones: vec![
            Zone { id: "window".into(), label: "window side".into(), space: QUAY },
            Zone { id: "corner".into(), label: "quiet corner".into(), space: QUAY },
            Zone { id: "floor".into(), label: "hall floor".into(), space: HALL },
        ],
        tables: vec![Table {
            id: "long-table".into(),
            label: "long table".into(),
            space: QUAY,
            zone: WINDOW,
            seats: 8,
        }],
        stations: vec![
            station("art", "art", WINDOW),
            station("blocks", "blocks station", CORNER),
            station("books", "books", CORNER),
            station("sand", "sand and water", WINDOW),
        ],
        children: vec![
            child("ada", "Ada", (2021, 12, 1)),
            child("bram", "Bram", (2022, 1, 20)),
            cleo,
            child("dina", "Dina", (2022, 11, 30)),
            enno,
            fee,
        ],
        adults: vec![
            adult("marit", "Marit", true, vec![pause("12:00-14:00", true)]),
            adult("jonas", "Jonas", false, vec![pause("12:00-14:00", false)]),
            adult("tove", "Tove", false, Vec::new()),
        ],
    }
}

/// The day that the chart is for.
pub fn day() -> Day {
    let site = site();
    let here = vec![span("08:00-14:00")];
    let mut children: Vec<_> = (0..6).map(|c| (ChildIndex(c), here.clone())).collect();
    children[3].1 = vec![span("08:50-14:00")];
    Day {
        standards: vec![fairturn::standards::find("ireland-full-day").expect("built in")],
        room: RoomIndex(0),
        date: date(),
        schedule: schedule(),
        children,
        adults: (0..3).map(|a| (AdultIndex(a), here.clone())).collect(),
        indoor: IndoorDay {
            value: true,
            why: "You said so: the children stay in today.".into(),
            movement_target: 2,
            ..IndoorDay::default()
        },
        stations: site.stations.clone(),
        activities: vec![Some("paper boats".into()), None, None, None],
        closed: vec![Vec::new(); 4],
        kept: vec![KeptCell {
            who: KeptFor::Group("herons".into()),
            station: StationIndex(1),
            span: span("09:30-09:50"),
        }],
        must_do: vec![(ChildIndex(0), StationIndex(0))],
        record: VisitRecord::default(),
        changed: Vec::new(),
        happened: Vec::new(),
        site: Arc::new(site),
    }
}
