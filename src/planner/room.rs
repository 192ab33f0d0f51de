//! Room for so many more before another adult must come.

use super::counting::{AGE_RANGES, AgeRange, Now, pieces, situation};
use super::ratio::judged;
use crate::chart::{Chart, State};
use crate::day::Day;
use crate::site::{AdultIndex, ChildIndex, SpaceIndex, Span};
use crate::standards::{Head, Standard};
use chrono::{Months, NaiveDate};
use std::collections::BTreeMap;

/// No room is said to hold more than so many more children.
pub const ROOM_FOR_MOST: u32 = 20;

/// Oldest age that is tried, in months; standards make no difference beyond.
const OLDEST: u32 = 72;

/// How many more children of one age range could join in one space at one time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RoomFor {
    /// Where.
    pub space: SpaceIndex,
    /// When.
    pub span: Span,
    /// By age range, in order: the largest number such that it and every smaller one is fine,
    /// whatever the ages inside the range, awake; never more than
    /// [`ROOM_FOR_MOST`].
    pub more: Vec<(AgeRange, u32)>,
}

/// How many more could join before another adult must come, by space and then by time, while
/// children are there.
///
/// Judged by ratio, class size, floor and the least adults on the premises; seats at stations and
/// tables are not looked at.
#[must_use]
pub fn room_for(day: &Day, chart: &Chart) -> Vec<RoomFor> {
    let pieces = pieces(chart);
    let mut known: BTreeMap<Key, Vec<(AgeRange, u32)>> = BTreeMap::new();
    let mut rooms: Vec<RoomFor> = Vec::new();
    for space in day.site[day.room].spaces.iter().copied() {
        let first = rooms.len();
        for now in &pieces {
            if !now.children.iter().any(|(_, stay)| stay.space == space) {
                continue;
            }
            let more = known
                .entry(key(day, space, now))
                .or_insert_with(|| {
                    AGE_RANGES.iter().map(|r| (*r, more_of(day, space, now, *r))).collect()
                })
                .clone();
            match rooms[first..].last_mut() {
                Some(r) if r.span.to == now.span.from && r.more == more => r.span.to = now.span.to,
                _ => rooms.push(RoomFor { space, span: now.span, more }),
            }
        }
    }
    rooms
}

/// All that the answer for one piece of the day hangs on: who is in the space or elsewhere, asleep
/// or not, and who counts in it or elsewhere.
type Key = (SpaceIndex, Vec<(ChildIndex, bool, bool)>, Vec<(AdultIndex, bool)>);

fn key(day: &Day, space: SpaceIndex, now: &Now) -> Key {
    let children = now.children.iter();
    let adults = now.adults.iter().filter(|(a, post)| day.counts(*a, post));
    (
        space,
        children.map(|(c, s)| (*c, s.space == space, s.state == State::Asleep)).collect(),
        adults.map(|(a, post)| (*a, post.space == space)).collect(),
    )
}

/// The least room of a day in one space: by age range what could join and stay all day.
#[must_use]
pub fn tightest(rooms: &[RoomFor], space: SpaceIndex) -> Vec<(AgeRange, u32)> {
    let there = || rooms.iter().filter(|r| r.space == space).flat_map(|r| &r.more);
    let least = |range| there().filter(|(r, _)| *r == range).map(|(_, n)| *n).min();
    AGE_RANGES.iter().filter_map(|&range| least(range).map(|n| (range, n))).collect()
}

/// The largest number of one age range that could join, every smaller one being fine as well.
fn more_of(day: &Day, space: SpaceIndex, now: &Now, range: AgeRange) -> u32 {
    let places: Vec<Checked> = day
        .standards
        .iter()
        .flat_map(|standard| judged(day, standard).into_iter().map(move |at| (standard, at)))
        .filter(|(_, at)| at.is_none_or(|s| s == space))
        .map(|(standard, at)| Checked {
            standard,
            at,
            heads: now.heads(day, at),
            adults: now.counted(day, at),
        })
        .collect();
    let here = now.heads(day, Some(space)).len() as u32;
    let premises = now.children.len() as u32;
    let most = ROOM_FOR_MOST.min(space_left(day, space, here)).min(adults_left(day, now, premises));
    let below = range.below_months.unwrap_or(OLDEST + 1);
    let least = |most: u32, months: u32| {
        let joining = |n: u32| Joining { n, head: newcomer(day.date, months) };
        (0..=most)
            .find(|&n| !fine(day, now, &places, &joining(n)))
            .map_or(most, |n| n.saturating_sub(1))
    };
    (range.from_months..below).fold(most, least)
}

/// One standard with the people it is judged on.
struct Checked<'a> {
    standard: &'a Standard,
    at: Option<SpaceIndex>,
    heads: Vec<Head>,
    adults: Vec<&'a [String]>,
}

/// Newcomers of one age.
struct Joining {
    n: u32,
    head: Head,
}

fn newcomer(date: NaiveDate, months: u32) -> Head {
    let born = date.checked_sub_months(Months::new(months)).unwrap_or(date);
    Head { months, born, asleep: false }
}

fn fine(day: &Day, now: &Now, places: &[Checked], joining: &Joining) -> bool {
    places.iter().all(|place| {
        let mut heads = place.heads.clone();
        heads.extend((0..joining.n).map(|_| joining.head));
        let at = situation(day, place.at, now.span.from, &place.adults);
        let need = place.standard.need(&heads, &at);
        need.adults <= place.adults.len() as u32
            && need.class_size.is_none_or(|most| heads.len() as u32 <= most)
    })
}

/// Children that the space still holds by licence and floor.
fn space_left(day: &Day, space: SpaceIndex, here: u32) -> u32 {
    let of = &day.site[space];
    let floor = day.standards.iter().filter_map(|s| {
        let each = s.floor_per_child(of.outdoors)?;
        of.floor_area.map(|area| area / each.max(1))
    });
    floor.chain(of.class_size).map(|most| most.saturating_sub(here)).min().unwrap_or(u32::MAX)
}

/// Children that may still come before a standard's least number of adults on the premises rises
/// past those who are there.
fn adults_left(day: &Day, now: &Now, premises: u32) -> u32 {
    let there = now.counted(day, None).len() as u32;
    let fits = |n: u32| day.standards.iter().all(|s| s.least_adults(premises + n) <= there);
    (1..=ROOM_FOR_MOST).find(|&n| !fits(n)).map_or(ROOM_FOR_MOST, |n| n - 1)
}
