//! The rows against every way of naming the adults, on every assignment of tiny days.
//!
//! For each slice of each assignment every adult is tried at everything; the least shortfall that
//! the audit then finds is what the best posting could reach. The rows may never ask for more, or
//! a bound that is read from them would be false.

use super::optimum::days;
use super::tiny::{Tiny, assignments};
use crate::audits::build::Build;
use fairturn::chart::{AdultDay, Chart, ChildDay, Place, Post, State, Stay};
use fairturn::day::Day;
use fairturn::rules::{self, RULES, shortfall};
use fairturn::site::*;
use fairturn::solve::decode::decode;
use fairturn::solve::demand::Duties;
use std::collections::BTreeMap;

/// Rules that who stands where decides.
const NAMED: &[&str] =
    &["ratio", "least-adults", "never-alone", "one-to-one", "staffed", "sight", "qualified"];
/// Rules that are decided before anyone is named.
const SETTLED: &[&str] = &["seats", "reset", "keep-apart", "kept", "movement", "staff-break"];

fn position(slug: &str) -> usize {
    RULES.iter().position(|r| r.slug == slug).expect("a rule in the table")
}

/// What an adult may do in a slice: a staff break, or anything at all.
fn options(day: &Day, duties: &Duties, now: Span, adult: AdultIndex) -> Vec<Post> {
    let post = |space, at| Post { span: now, space, at, zone: None, for_child: None, covers: None };
    let breaks = (0..duties.breaks.len()).filter(|&i| duties.breaks[i].0 == adult);
    let mut breaks = breaks.filter(|&i| duties.break_span(day, i).is_some_and(|s| s.meets(now)));
    if let Some(at) = breaks.next() {
        return vec![post(day.site[day.room].home, Place::StaffBreak(duties.breaks[at].1))];
    }
    let mut posts = Vec::new();
    for space in (0..day.site.spaces.len()).map(SpaceIndex) {
        let stations = day.site.stations_of(space).map(Place::Station);
        let zones = day.site.zones_of(space).map(Place::Zone);
        let tables = (0..day.site.tables.len()).map(TableIndex);
        let tables = tables.filter(|t| day.site[*t].space == space).map(Place::Table);
        let care = day.site[space].care_place.as_ref().map(|_| Place::Care);
        let at = stations.chain(zones).chain(tables).chain([Place::Transition]).chain(care);
        posts.extend(at.map(|at| post(space, at)));
    }
    let mine = |c: &ChildIndex| {
        let support = day.site[*c].one_to_one.as_ref();
        support.is_some_and(|s| s.adult == adult || s.stand_ins.contains(&adult))
    };
    for child in day.children.iter().map(|c| c.0).filter(mine) {
        let beside = |p: &Post| Post { for_child: Some(child), ..p.clone() };
        let own: Vec<Post> = posts.iter().map(beside).collect();
        posts.extend(own);
    }
    for (i, &(task, _)) in duties.tasks.iter().enumerate() {
        if duties.task_span(day, i).is_some_and(|s| s.meets(now)) {
            let facts = &day.schedule.tasks[task];
            for zone in day.site.zones_of(facts.space) {
                posts.push(Post { zone: Some(zone), ..post(facts.space, Place::Task(task)) });
            }
        }
    }
    posts
}

/// The least shortfall of one minute: tasks left, then the rules about who stands where.
fn least(day: &Day, chart: &Chart, duties: &Duties, now: Span) -> Vec<u64> {
    let mut tried = chart.clone();
    tried.children.iter_mut().for_each(|c| {
        c.stays.retain(|s| s.span.meets(now));
        c.stays.iter_mut().for_each(|s| s.span = now);
    });
    let here = day.adults.iter().filter(|(_, shifts)| shifts.iter().any(|s| s.meets(now)));
    let who: Vec<AdultIndex> = here.map(|a| a.0).collect();
    let can: Vec<Vec<Post>> = who.iter().map(|&a| options(day, duties, now, a)).collect();
    let due: Vec<usize> = (0..duties.tasks.len())
        .filter(|&i| duties.task_span(day, i).is_some_and(|s| s.meets(now)))
        .map(|i| duties.tasks[i].0)
        .collect();
    let mut digits = vec![0; who.len()];
    let mut best: Option<Vec<u64>> = None;
    loop {
        let posts = |k: usize| vec![can[k][digits[k]].clone()];
        let adults = (0..who.len()).map(|k| AdultDay { adult: who[k], posts: posts(k) });
        tried.adults = adults.collect();
        let done = |t: &&usize| {
            tried.adults.iter().any(|a| a.posts.iter().any(|p| p.at == Place::Task(**t)))
        };
        let mut found = vec![(due.len() - due.iter().filter(done).count()) as u64];
        for slug in NAMED {
            let problems = (RULES[position(slug)].audit)(day, &tried);
            found.push(problems.iter().map(rules::Problem::person_minutes).sum());
        }
        if best.as_ref().is_none_or(|b| found < *b) {
            best = Some(found);
        }
        let Some(k) = (0..who.len()).rev().find(|&k| digits[k] + 1 < can[k].len()) else {
            return best.expect("something was tried");
        };
        digits[k] += 1;
        digits[k + 1..].fill(0);
    }
}

/// All that the least of a slice hangs on.
type Key = (Vec<(ChildIndex, SpaceIndex, Place, Option<ZoneIndex>, State)>, [Vec<usize>; 3]);

/// The least shortfall of an assignment by rule, over all namings; `None` where more tasks stand
/// than adults are there to do them.
fn best(
    day: &Day,
    chart: &Chart,
    duties: &Duties,
    known: &mut BTreeMap<Key, Vec<u64>>,
) -> Option<Vec<u64>> {
    let shifts = day.adults.iter().flat_map(|a| a.1.iter().copied());
    let breaks = (0..duties.breaks.len()).filter_map(|i| duties.break_span(day, i));
    let tasks = (0..duties.tasks.len()).filter_map(|i| duties.task_span(day, i));
    let stays = chart.children.iter().flat_map(|c| c.stays.iter().map(|s| s.span));
    let edges = shifts.chain(breaks).chain(tasks).chain(stays).flat_map(|s| [s.from, s.to]);
    let mut sum = vec![0; RULES.len()];
    for span in slices(edges) {
        let now = Span::new(span.from, span.from.later(1)).expect("a minute");
        let place = |c: &ChildDay| {
            let at = |s: &&Stay| s.span.meets(now);
            c.stays.iter().find(at).map(|s| (c.child, s.space, s.at, s.zone, s.state))
        };
        let under_way = |span: Option<Span>| span.is_some_and(|s| s.meets(now));
        let on_break = (0..duties.breaks.len()).filter(|&i| under_way(duties.break_span(day, i)));
        let at_task = (0..duties.tasks.len()).filter(|&i| under_way(duties.task_span(day, i)));
        let here = day.adults.iter().filter(|a| a.1.iter().any(|s| s.meets(now)));
        let key: Key = (
            chart.children.iter().filter_map(place).collect(),
            [
                here.map(|a| a.0.0).collect(),
                on_break.map(|i| duties.breaks[i].0.0).collect(),
                at_task.map(|i| duties.tasks[i].0).collect(),
            ],
        );
        let found = known.entry(key).or_insert_with(|| least(day, chart, duties, now));
        if found[0] > 0 {
            return None;
        }
        for (slug, by) in NAMED.iter().zip(&found[1..]) {
            sum[position(slug)] += by * u64::from(span.minutes());
        }
    }
    // What nobody's name changes.
    let mut alone = chart.clone();
    let posts = |adult: AdultIndex| -> Vec<Post> {
        let own = (0..duties.breaks.len()).filter(|&i| duties.breaks[i].0 == adult);
        own.filter_map(|i| {
            let span = duties.break_span(day, i)?;
            let at = Place::StaffBreak(duties.breaks[i].1);
            let space = day.site[day.room].home;
            Some(Post { span, space, at, zone: None, for_child: None, covers: None })
        })
        .collect()
    };
    alone.adults = day.adults.iter().map(|a| AdultDay { adult: a.0, posts: posts(a.0) }).collect();
    for slug in SETTLED {
        let problems = (RULES[position(slug)].audit)(day, &alone);
        sum[position(slug)] = shortfall(&problems)[position(slug)];
    }
    Some(sum)
}

/// The rows never ask for more than the best naming leaves open, for any assignment, and their
/// optimum is its optimum; if `exact`, they say the same of each assignment.
pub fn bounded(name: &str, build: &Build, exact: bool) {
    let day = build.day();
    let tiny = Tiny::new(&day);
    let rules: Vec<usize> = SETTLED.iter().chain(NAMED).map(|s| position(s)).collect();
    let rules: Vec<usize> = (0..RULES.len()).filter(|r| rules.contains(r)).collect();
    let mut known = BTreeMap::new();
    let mut wrong: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let (mut rows_best, mut named_best) = (None::<Vec<i64>>, None::<Vec<i64>>);
    for (taken, levels) in assignments(&tiny.model) {
        let (chart, duties) = decode(&tiny.frame, &tiny.unknowns, &taken);
        let rows: Vec<i64> = rules.iter().map(|&r| levels[r]).collect();
        rows_best = Some(rows_best.map_or(rows.clone(), |b| b.min(rows.clone())));
        let twice = duties.breaks.iter().enumerate().any(|(i, b)| {
            let later = (i + 1..duties.breaks.len()).filter(|&j| duties.breaks[j].0 == b.0);
            let span = |i| duties.break_span(&day, i).expect("a break that is due");
            later.clone().any(|j| span(i).meets(span(j)))
        });
        if twice {
            // No chart has one adult on two staff breaks at once.
            continue;
        }
        let Some(sum) = best(&day, &chart, &duties, &mut known) else { continue };
        let named: Vec<i64> =
            rules.iter().map(|&r| i64::try_from(sum[r]).expect("a tiny shortfall")).collect();
        if rows > named || (exact && rows != named) {
            let told: Vec<String> = (0..rules.len())
                .filter(|&i| rows[i] != named[i])
                .map(|i| format!("{}: rows {}, best {}", RULES[rules[i]].slug, rows[i], named[i]))
                .collect();
            let told = wrong.entry(told.join("; ")).or_insert((0, format!("{taken:?}")));
            told.0 += 1;
        }
        named_best = Some(named_best.map_or(named.clone(), |b| b.min(named)));
    }
    let tell = |(what, (times, first))| format!("{what} ({times} times, first {first})");
    let wrong: Vec<String> = wrong.into_iter().map(tell).collect();
    assert!(wrong.is_empty(), "{name}\n{}", wrong.join("\n"));
    assert_eq!(rows_best, named_best, "{name}: the optimum");
}

#[test]
fn the_rows_ask_for_what_the_best_naming_leaves_open() {
    for (name, build) in days() {
        bounded(name, &build, false);
    }
}
