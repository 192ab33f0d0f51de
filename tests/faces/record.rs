//! What is read off a chart for whoever inspects: ratio, room for more.

use super::quay;
use fairturn::chart::{AdultDay, Chart, ChildDay, Place, Post, State, Stay};
use fairturn::day::Day;
use fairturn::planner::{self, RoomFor};
use fairturn::site::{AdultIndex, ChildIndex, SpaceIndex, ZoneIndex};
use fairturn::standards;
use std::sync::Arc;

const CLASSROOM: SpaceIndex = SpaceIndex(0);

#[test]
fn the_ratio_record_names_every_change_to_the_minute() {
    let rows = planner::ratio_record(&quay::day(), &quay::chart());
    let told: Vec<String> = rows
        .iter()
        .filter(|r| r.space == Some(CLASSROOM))
        .map(|r| {
            let children: u32 = r.by_range.iter().map(|(_, n)| n).sum();
            let (asleep, needed, present) = (r.asleep, r.needed, r.present);
            format!("{}: {children} children, {asleep} asleep, {needed} of {present}", r.span)
        })
        .collect();
    assert_eq!(
        told,
        [
            "08:00 to 08:50: 5 children, 0 asleep, 1 of 2",
            "08:50 to 10:20: 6 children, 0 asleep, 1 of 2",
            "10:35 to 11:20: 6 children, 0 asleep, 1 of 2",
            "11:20 to 11:30: 6 children, 0 asleep, 1 of 1",
            "11:30 to 12:20: 6 children, 0 asleep, 1 of 3",
            "12:20 to 12:40: 6 children, 2 asleep, 1 of 2",
            "12:40 to 13:00: 6 children, 2 asleep, 1 of 3",
            "13:00 to 13:20: 6 children, 2 asleep, 1 of 2",
            "13:20 to 14:00: 6 children, 0 asleep, 1 of 3",
        ]
    );
    assert!(rows[0].words.contains("89/120"), "{}", rows[0].words);
}

fn more(room: &RoomFor) -> Vec<u32> {
    room.more.iter().map(|(_, n)| *n).collect()
}

#[test]
fn room_for_more_ends_at_the_ratio_or_at_the_class_size() {
    let rooms = planner::room_for(&quay::day(), &quay::chart());
    let at = |text: &str| {
        let of = |r: &&RoomFor| r.space == CLASSROOM && r.span.to_string() == text;
        more(rooms.iter().find(of).expect("a row then"))
    };
    // Two adults less 89/120: 3 x 1.258 under one, 5 x 1.258 of one year; the room holds twelve.
    assert_eq!(at("08:00 to 08:50"), [3, 6, 7, 7, 7, 7]);
    // One adult less 13/15.
    assert_eq!(at("11:20 to 11:30"), [0, 0, 0, 1, 1, 1]);
    let all_day: Vec<u32> = planner::tightest(&rooms, CLASSROOM).iter().map(|(_, n)| *n).collect();
    assert_eq!(all_day, [0, 0, 0, 1, 1, 1]);
}

/// Children of two ages and their adults, in the classroom all day.
fn crowd(standard: &str, ages: [(u32, usize); 2], adults: usize) -> (Day, Chart) {
    let mut day = quay::day();
    let mut chart = quay::chart();
    let here = day.children[0].1.clone();
    let mut site = (*day.site).clone();
    site.spaces[0].class_size = None;
    let children = ages.iter().flat_map(|(months, n)| std::iter::repeat_n(*months, *n));
    site.children = children
        .map(|months| {
            let born = quay::date() - chrono::Months::new(months);
            fairturn::site::Child { born, ..quay::day().site.children[0].clone() }
        })
        .collect();
    site.adults = vec![site.adults[0].clone(); adults];
    let (span, at) = (here[0], Place::Zone(ZoneIndex(0)));
    let stay = Stay {
        span,
        space: CLASSROOM,
        at: Place::Station(fairturn::site::StationIndex(2)),
        zone: None,
        state: State::Awake,
        meal: None,
        apart: None,
    };
    let post = Post { span, space: CLASSROOM, at, zone: None, for_child: None, covers: None };
    chart.children = (0..site.children.len())
        .map(|c| ChildDay { child: ChildIndex(c), stays: vec![stay.clone()] })
        .collect();
    chart.adults =
        (0..adults).map(|a| AdultDay { adult: AdultIndex(a), posts: vec![post.clone()] }).collect();
    day.standards = vec![standards::find(standard).expect("built in")];
    day.site = Arc::new(site);
    (day, chart)
}

#[test]
fn room_for_more_is_not_said_past_a_number_that_would_not_do() {
    // With four toddlers, 11 preschoolers need 3 adults and 12 need 4: only from 16 on the toddlers
    // are few enough for 3 again.
    let (day, chart) = crowd("ontario", [(24, 4), (40, 11)], 3);
    let needed = |n| {
        let (day, chart) = crowd("ontario", [(24, 4), (40, n)], 3);
        planner::ratio_record(&day, &chart)[0].needed
    };
    assert_eq!([needed(11), needed(12), needed(15), needed(16)], [3, 4, 4, 3]);
    let rooms = planner::room_for(&day, &chart);
    assert_eq!(more(&rooms[0])[3], 0, "one more of three years would need a fourth adult");
}
