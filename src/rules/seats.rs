//! A seat for everybody.

use super::reading::{Reading, Slice, merged, sorted};
use super::{About, Kept, Problem, Reads, Rule, Unit, phrase, rows};
use crate::chart::{Chart, ChoiceIndex, Place};
use crate::day::Day;
use crate::site::{ChildIndex, SpaceIndex, StationIndex, ZoneIndex};
use crate::steps::{self, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// The rule.
pub static RULE: Rule = Rule {
    slug: SLUG,
    says: "No station, table or choice holds more children than it has seats, and nobody is \
           unplaced.",
    audit,
    words,
    rows: Some(rows::seats::seats),
    kept: Kept::Never,
    about: About::Stations,
    reads: Reads::Minute,
    mended_by: &[],
};
const SLUG: &str = "seats";

fn audit(day: &Day, chart: &Chart) -> Vec<Problem> {
    let reading = Reading::of(day, chart);
    let mut found = Vec::new();
    for slice in reading.slices([]) {
        found.extend(choices(day, &reading, &slice));
        let places = sorted(slice.children.iter().map(|(_, stay)| stay.at));
        for place in places {
            let there = slice.children_at(place);
            match place {
                Place::Station(s) => {
                    let station = day.station(s);
                    let (space, zone) = (station.space, station.zone);
                    found.extend(over(&slice, place, space, Some(zone), there, station.seats));
                }
                Place::Table(t) => {
                    let table = &day.site[t];
                    let (space, zone) = (table.space, table.zone);
                    found.extend(over(&slice, place, space, Some(zone), there, table.seats));
                }
                _ => {}
            }
        }
        found.extend(unplaced(&slice));
    }
    merged(found)
}

/// More children in choices than seats left at their stations: in one by itself, or in several that
/// share stations. As many as can be are seated; the choices whose children are then left over, and
/// those whose children would have to give up a seat for them, are told together.
fn choices(day: &Day, reading: &Reading, slice: &Slice) -> Vec<Problem> {
    let in_use = sorted(slice.children.iter().filter_map(|(_, stay)| match stay.at {
        Place::Choice(k) => Some(k),
        _ => None,
    }));
    let open = |k: &ChoiceIndex| sorted(reading.chart.choices[k.0].open.iter().copied());
    let mut seating = Seating {
        open: in_use.iter().map(open).collect(),
        free: BTreeMap::new(),
        seated: BTreeMap::new(),
    };
    for &station in seating.open.iter().flatten() {
        let assigned = u32::try_from(slice.children_at(Place::Station(station)).len());
        let left = day.station(station).seats.saturating_sub(assigned.unwrap_or(u32::MAX));
        seating.free.insert(station, left);
    }
    let left = seating.free.clone();
    let mut without: Vec<u32> = vec![0; in_use.len()];
    for (at, k) in in_use.iter().enumerate() {
        for _ in slice.children_at(Place::Choice(*k)) {
            without[at] += u32::from(!seating.seat(at, &mut BTreeSet::new()));
        }
    }
    let mut found = Vec::new();
    let mut told: BTreeSet<usize> = BTreeSet::new();
    for at in 0..in_use.len() {
        if without[at] == 0 || told.contains(&at) {
            continue;
        }
        // All that one of them asks of another, back and forth.
        let (mut stations, mut with) = (BTreeSet::new(), BTreeSet::from([at]));
        loop {
            let before = with.len();
            with.iter().for_each(|c| stations.extend(seating.open[*c].iter().copied()));
            let holds = |c: &usize| {
                without[*c] > 0 && seating.open[*c].iter().any(|s| stations.contains(s))
                    || stations.iter().any(|s| seating.seated.get(&(*c, *s)) > Some(&0))
            };
            with.extend((0..in_use.len()).filter(holds));
            if with.len() == before {
                break;
            }
        }
        let there = with.iter().flat_map(|c| slice.children_at(Place::Choice(in_use[*c])));
        let seats = stations.iter().map(|s| left[s]).sum();
        let first = in_use[*with.first().unwrap_or(&at)];
        let space = reading.chart.choices[first.0].space;
        found.extend(over(slice, Place::Choice(first), space, None, sorted(there), seats));
        told.extend(with);
    }
    found
}

/// Children of choices at seats that several of them may have.
struct Seating {
    /// Open stations, by choice.
    open: Vec<Vec<StationIndex>>,
    /// Seats that nobody has.
    free: BTreeMap<StationIndex, u32>,
    /// Children of a choice at a station.
    seated: BTreeMap<(usize, StationIndex), u32>,
}

impl Seating {
    /// Seats one more child of a choice, others moving over for it; whether there was a way.
    fn seat(&mut self, choice: usize, tried: &mut BTreeSet<StationIndex>) -> bool {
        for station in self.open[choice].clone() {
            steps::count(Stage::Audit, 1);
            if !tried.insert(station) {
                continue;
            }
            let mut moves_in = self.free.get(&station).is_some_and(|seats| *seats > 0);
            if moves_in {
                self.free.entry(station).and_modify(|seats| *seats -= 1);
            } else {
                let others = (0..self.open.len())
                    .filter(|c| self.seated.get(&(*c, station)) > Some(&0))
                    .collect::<Vec<_>>();
                let over = others.into_iter().find(|c| *c != choice && self.seat(*c, tried));
                if let Some(other) = over {
                    self.seated.entry((other, station)).and_modify(|n| *n -= 1);
                    moves_in = true;
                }
            }
            if moves_in {
                *self.seated.entry((choice, station)).or_default() += 1;
                return true;
            }
        }
        false
    }
}

fn over(
    slice: &Slice,
    at: Place,
    space: SpaceIndex,
    zone: Option<ZoneIndex>,
    there: Vec<ChildIndex>,
    seats: u32,
) -> Option<Problem> {
    let number = u32::try_from(there.len()).unwrap_or(u32::MAX);
    (number > seats).then(|| Problem {
        children: there,
        space: Some(space),
        zone,
        at: Some(at),
        needed: number,
        present: seats,
        by: number - seats,
        unit: Unit::Children,
        ..Problem::of(SLUG, "seats", slice.span)
    })
}

fn unplaced(slice: &Slice) -> Vec<Problem> {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let children = slice.children_at(Place::Unplaced);
    let adults =
        sorted(slice.adults.iter().filter(|(_, post)| post.at == Place::Unplaced).map(|(a, _)| *a));
    let problem =
        Problem { at: Some(Place::Unplaced), ..Problem::of(SLUG, "unplaced", slice.span) };
    let mut found = Vec::new();
    if !children.is_empty() {
        let by = number(children.len());
        let problem = problem.clone();
        found.push(Problem { children, needed: by, by, unit: Unit::Children, ..problem });
    }
    if !adults.is_empty() {
        let by = number(adults.len());
        found.push(Problem { adults, needed: by, by, unit: Unit::Adults, ..problem });
    }
    found
}

fn words(day: &Day, problem: &Problem) -> String {
    let Problem { span, needed, present, by, .. } = problem;
    if problem.case == "unplaced" {
        let who = if problem.children.is_empty() {
            phrase::adults(day, &problem.adults)
        } else {
            phrase::children(day, &problem.children)
        };
        let has = phrase::verb(problem.children.len() + problem.adults.len(), "has", "have");
        return format!("{span}: {who} {has} no place");
    }
    let place = problem.at.map_or_else(String::new, |at| phrase::place(day, at));
    let short = if *by == 1 { "one seat".to_owned() } else { format!("{by} seats") };
    let seats = phrase::count(*present, "seat");
    format!("{span}, {place}: {short} short, {needed} children, {seats}")
}
