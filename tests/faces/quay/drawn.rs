//! The chart of the quay room's day, drawn by hand.

use super::{CORNER, HALL, QUAY, WINDOW, date, span};
use fairturn::chart::*;
use fairturn::site::*;

const HALL_FLOOR: ZoneIndex = ZoneIndex(2);
const ART: Place = Place::Station(StationIndex(0));
const BLOCKS: Place = Place::Station(StationIndex(1));
const BOOKS: Place = Place::Station(StationIndex(2));
const SAND: Place = Place::Station(StationIndex(3));
const TABLE: Place = Place::Table(TableIndex(0));
const EARLY: Place = Place::Choice(ChoiceIndex(0));
const YOUNG: Place = Place::Choice(ChoiceIndex(1));
const LATE: Place = Place::Choice(ChoiceIndex(2));
const HOME: Place = Place::Choice(ChoiceIndex(3));

const BLOCK_LINES: &[(&str, BlockKind, &str)] = &[
    ("arrival", BlockKind::Arrival, "08:00-08:45"),
    ("tidy-1", BlockKind::Transition, "08:45-08:50"),
    ("circle-1", BlockKind::Circle, "08:50-09:05"),
    ("turn-1", BlockKind::Turn, "09:05-09:25"),
    ("tidy-2", BlockKind::Transition, "09:25-09:30"),
    ("turn-2", BlockKind::Turn, "09:30-09:50"),
    ("tidy-3", BlockKind::Transition, "09:50-10:00"),
    ("snack", BlockKind::Meal(MealKind::MorningSnack), "10:00-10:20"),
    ("movement-1", BlockKind::Movement, "10:20-10:35"),
    ("choice-1", BlockKind::Choice, "10:35-11:20"),
    ("tidy-4", BlockKind::Transition, "11:20-11:30"),
    ("lunch", BlockKind::Meal(MealKind::Lunch), "11:30-12:00"),
    ("tidy-5", BlockKind::Transition, "12:00-12:10"),
    ("rest", BlockKind::Rest, "12:10-13:30"),
    ("going-home", BlockKind::GoingHome, "13:30-14:00"),
];

/// Where a group is in each block; both turns as given.
fn cells(turn_1: Place, turn_2: Place) -> Vec<Cell> {
    let place = |id: &str, kind: BlockKind| match kind {
        BlockKind::Arrival => EARLY,
        BlockKind::Turn if id == "turn-1" => turn_1,
        BlockKind::Turn => turn_2,
        BlockKind::Choice => LATE,
        BlockKind::Circle => Place::WholeGroup,
        BlockKind::Outdoors => Place::Outdoors,
        BlockKind::Movement => Place::Movement,
        BlockKind::Meal(_) => TABLE,
        BlockKind::Rest => Place::Rest,
        BlockKind::Transition => Place::Transition,
        BlockKind::GoingHome => HOME,
    };
    let line = |(block, (id, kind, when)): (usize, &(&str, BlockKind, &str))| Cell {
        block,
        span: span(when),
        space: if *kind == BlockKind::Movement { HALL } else { QUAY },
        at: place(id, *kind),
    };
    BLOCK_LINES.iter().enumerate().map(line).collect()
}

/// The stay of a child that is where its group is.
fn stay(cell: &Cell) -> Stay {
    Stay {
        span: cell.span,
        space: cell.space,
        at: cell.at,
        zone: match cell.at {
            Place::WholeGroup | Place::Rest => Some(CORNER),
            Place::Movement => Some(HALL_FLOOR),
            _ => None,
        },
        state: if cell.at == Place::Rest { State::Resting } else { State::Awake },
        meal: match BLOCK_LINES[cell.block].1 {
            BlockKind::Meal(meal) => Some(meal),
            _ => None,
        },
        apart: None,
    }
}

/// Puts `other` in place of what a child does then; the ends of what was there remain.
fn apart(stays: &mut Vec<Stay>, other: Stay) {
    let mut kept = Vec::new();
    for old in stays.drain(..) {
        if !old.span.meets(other.span) {
            kept.push(old);
            continue;
        }
        kept.extend(Span::new(old.span.from, other.span.from).map(|span| Stay { span, ..old }));
        kept.extend(Span::new(other.span.to, old.span.to).map(|span| Stay { span, ..old }));
    }
    kept.push(other);
    kept.sort_by_key(|s| s.span);
    *stays = kept;
}

fn children(groups: &[Group]) -> Vec<ChildDay> {
    let mut days: Vec<ChildDay> = groups
        .iter()
        .flat_map(|g| g.children.iter().map(|&child| (child, g.cells.iter().map(stay).collect())))
        .map(|(child, stays)| ChildDay { child, stays })
        .collect();
    let at = |when: &str, at, why| Stay {
        span: span(when),
        space: QUAY,
        at,
        zone: None,
        state: State::Awake,
        meal: None,
        apart: Some(why),
    };
    apart(&mut days[2].stays, at("09:30-09:50", BOOKS, Apart::Barred));
    days[3].stays.drain(..2);
    for (young, care) in [(4, "10:40-10:45"), (5, "10:45-10:50")] {
        let stays = &mut days[young].stays;
        apart(stays, at(care, Place::Care, Apart::Care));
        for (when, state) in [("12:10-12:20", State::Resting), ("12:20-13:20", State::Asleep)] {
            let nap = Stay { zone: Some(CORNER), state, ..at(when, Place::Rest, Apart::Sleep) };
            apart(stays, Stay { apart: None, ..nap });
        }
    }
    for older in &mut days[..4] {
        let quiet = Stay { state: State::Resting, ..at("12:40-13:30", BOOKS, Apart::Sleep) };
        apart(&mut older.stays, quiet);
    }
    days
}

fn posts(lines: &[(&str, Place, Option<ZoneIndex>)]) -> Vec<Post> {
    lines
        .iter()
        .map(|&(when, at, zone)| Post {
            span: span(when),
            space: if zone == Some(HALL_FLOOR) { HALL } else { QUAY },
            at,
            zone,
            for_child: None,
            covers: None,
        })
        .collect()
}

fn adults() -> Vec<AdultDay> {
    let (window, corner) = (Place::Zone(WINDOW), Place::Zone(CORNER));
    let marit = [
        ("08:00-08:45", Place::Door, None),
        ("08:45-08:50", Place::Transition, None),
        ("08:50-09:05", Place::WholeGroup, Some(CORNER)),
        ("09:05-09:25", corner, None),
        ("09:25-09:30", Place::Transition, None),
        ("09:30-09:50", corner, None),
        ("09:50-10:00", Place::Transition, None),
        ("10:00-10:20", TABLE, None),
        ("10:20-10:35", Place::Movement, Some(HALL_FLOOR)),
        ("10:35-10:40", corner, None),
        ("10:40-10:50", Place::Care, None),
        ("10:50-11:20", corner, None),
        ("11:20-11:30", Place::Transition, None),
        ("11:30-12:00", TABLE, None),
        ("12:00-12:10", Place::Transition, None),
        ("12:10-13:00", Place::Rest, Some(CORNER)),
        ("13:00-13:20", Place::StaffBreak(0), None),
        ("13:20-13:30", Place::Rest, Some(CORNER)),
        ("13:30-14:00", Place::Door, None),
    ];
    let jonas = [
        ("08:00-09:25", window, None),
        ("09:25-09:30", Place::Transition, None),
        ("09:30-09:50", ART, None),
        ("09:50-10:00", Place::Transition, None),
        ("10:00-10:20", TABLE, None),
        ("10:20-10:35", Place::Movement, Some(HALL_FLOOR)),
        ("10:35-11:20", window, None),
        ("11:20-11:30", Place::Task(0), None),
        ("11:30-12:00", TABLE, None),
        ("12:00-12:20", corner, None),
        ("12:20-12:40", Place::StaffBreak(0), None),
        ("12:40-14:00", corner, None),
    ];
    let tove = [
        ("08:00-11:30", corner, None),
        ("11:30-12:10", window, None),
        ("12:10-14:00", corner, None),
    ];
    let mut days: Vec<AdultDay> = [posts(&marit), posts(&jonas), posts(&tove)]
        .into_iter()
        .enumerate()
        .map(|(adult, posts)| AdultDay { adult: AdultIndex(adult), posts })
        .collect();
    days[2].posts[2].covers = Some(AdultIndex(0));
    days[2].posts[0].for_child = Some(ChildIndex(3));
    days
}

/// The hand-drawn chart of the day.
pub fn chart() -> Chart {
    let group = |id: &str, label: &str, children: [usize; 2], cells| Group {
        id: id.into(),
        label: label.into(),
        picture: id.into(),
        children: children.map(ChildIndex).to_vec(),
        cells,
    };
    let groups = vec![
        group("herons", "Herons", [0, 1], cells(ART, BLOCKS)),
        group("limpets", "Limpets", [2, 3], cells(SAND, ART)),
        group("ducklings", "Ducklings", [4, 5], cells(YOUNG, YOUNG)),
    ];
    let open = |when: &str, open: &[usize]| OpenChoice {
        span: span(when),
        space: QUAY,
        open: open.iter().map(|s| StationIndex(*s)).collect(),
    };
    Chart {
        room: RoomIndex(0),
        date: date(),
        blocks: BLOCK_LINES
            .iter()
            .map(|(id, kind, when)| Block { id: (*id).into(), kind: *kind, span: span(when) })
            .collect(),
        choices: vec![
            open("08:00-08:45", &[1, 2, 3]),
            open("09:05-09:50", &[1, 2]),
            open("10:35-11:20", &[1, 2, 3]),
            open("13:30-14:00", &[1, 2]),
        ],
        children: children(&groups),
        groups,
        adults: adults(),
    }
}
