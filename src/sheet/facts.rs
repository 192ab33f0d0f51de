//! What has to be known beside the grid: nappies, sleep, own plans, allergies, staff breaks, the door.

use crate::chart::{Apart, BlockKind, Chart, ChildDay, Place, Post, State, Stay};
use crate::day::Day;
use crate::day::materials::allergy_at;
use crate::planner::Notes;
use crate::rules::{LongWait, missed_visits};
use crate::say::{self, child as of_child, counter as said};
use crate::site::{AdultIndex, ChildIndex, Minute, Span, StationIndex, merged};
use crate::standards::foods::Meeting;
use std::collections::BTreeMap;

/// One thing to know, said of whom it concerns.
#[derive(Clone, Debug)]
pub struct Fact {
    /// What it belongs to: facts about one thing stand together.
    pub about: u8,
    /// What it is.
    pub name: &'static str,
    /// What is said of it, item by item.
    pub said: Vec<String>,
}

/// All of them that there are, in the order in which they are needed; `waits` are the waits for a change
/// that are too long, `whole` the chart of the whole day where only its rest is told.
pub(super) fn facts(
    day: &Day,
    (chart, whole): (&Chart, &Chart),
    waits: &[LongWait],
    notes: &Notes,
) -> Vec<Fact> {
    let mut door: Vec<String> = times(chart, |at| at == Place::Door)
        .iter()
        .map(|(a, t)| said::when(&day.site[*a].label, t))
        .collect();
    door.extend(notes.door.clone());
    let [comes, goes] = comes_and_goes(day, chart);
    let facts = [
        (0, said::CARE, care(day, chart, waits)),
        (1, said::SLEEP, sleep(day, chart)),
        (2, said::OWN_PLAN, own_plan(day, chart)),
        (3, said::ALLERGIES, allergies(day, chart)),
        (3, said::KEEP_APART, kept_apart(day, chart)),
        (3, said::ALWAYS_WITH, own_adults(day, chart)),
        (3, said::NEVER_ALONE, never_alone(day, chart)),
        (4, said::STAFF_BREAKS, breaks(day, chart)),
        (4, said::DOOR, door),
        (4, said::COMES, comes),
        (4, said::GOES, goes),
        (5, said::SET_OUT, set_out(day, chart)),
        (5, said::STILL_TO_HAVE, still_to_have(day, whole)),
    ];
    let there = facts.into_iter().filter(|(_, _, said)| !said.is_empty());
    there.map(|(about, name, said)| Fact { about, name, said }).collect()
}

/// Who is changed or taken to the toilet, with whom; children who are taken one after another stand
/// together, in that order.
fn care(day: &Day, chart: &Chart, waits: &[LongWait]) -> Vec<String> {
    let mut turns: Vec<(Span, Vec<AdultIndex>, ChildIndex)> = Vec::new();
    for child in &chart.children {
        let stays = child.stays.iter().filter(|s| s.at == Place::Care);
        turns.extend(stays.map(|s| (s.span, with_at_care(chart, s), child.child)));
    }
    turns.sort();
    let mut rounds: Vec<(Span, Vec<AdultIndex>, Vec<ChildIndex>)> = Vec::new();
    for (span, with, child) in turns {
        let open = rounds.iter_mut().rev().find(|(_, adults, _)| *adults == with);
        match open {
            Some((until, _, children)) if span.from <= until.to => {
                until.to = until.to.max(span.to);
                children.push(child);
            }
            _ => rounds.push((span, with, vec![child])),
        }
    }
    let told = rounds.iter().map(|(span, with, children)| {
        said::round(*span, &say::adults(day, with), &say::children(day, children))
    });
    let waits: Vec<String> =
        waits.iter().map(|w| said::wait(&day.site[w.child].label, w.span, w.awake)).collect();
    let interval = day.site.settings.care_interval;
    told.chain((!waits.is_empty()).then(|| said::waits(interval, &waits))).collect()
}

fn with_at_care(chart: &Chart, stay: &Stay) -> Vec<AdultIndex> {
    let beside = |p: &Post| p.at == Place::Care && p.space == stay.space && p.span.meets(stay.span);
    let adults = chart.adults.iter().filter(|a| a.posts.iter().any(beside));
    adults.map(|a| a.adult).collect()
}

/// Who sleeps from when to when, and who lies quietly how long; who is with them stands with the adults.
fn sleep(day: &Day, chart: &Chart) -> Vec<String> {
    let Some(block) = chart.blocks.iter().find(|b| b.kind == BlockKind::Rest) else {
        return Vec::new();
    };
    let told = chart.children.iter().filter_map(|c| Some((rests(c, block.span)?, c.child)));
    together(day, told)
}

fn rests(child: &ChildDay, block: Span) -> Option<(Minute, String)> {
    let runs = |wanted: fn(&Stay) -> bool| {
        let stays = child.stays.iter().filter(|s| wanted(s) && s.span.meets(block));
        merged(stays.map(|s| s.span).collect())
    };
    let asleep = runs(|s| s.state == State::Asleep);
    if let Some(first) = asleep.first() {
        return Some((first.from, of_child::asleep(&asleep)));
    }
    // Who is changed on the way to the cot, or from it, rests all the same.
    let last = *runs(|s| s.at == Place::Rest).last()?;
    let goes_home = child.stays.iter().all(|s| s.span.to <= last.to);
    Some((last.to, of_child::lies_until(last.to, goes_home)))
}

/// Children of whom the same is to be said, together, by time.
fn together(day: &Day, told: impl Iterator<Item = ((Minute, String), ChildIndex)>) -> Vec<String> {
    let mut same: BTreeMap<(Minute, String), Vec<ChildIndex>> = BTreeMap::new();
    told.for_each(|(words, child)| same.entry(words).or_default().push(child));
    let item = |((_, words), who): (&(Minute, String), &Vec<ChildIndex>)| {
        of_child::at(words, &say::children(day, who))
    };
    same.iter().map(item).collect()
}

/// Children who are not where their group is, outside rest and care.
fn own_plan(day: &Day, chart: &Chart) -> Vec<String> {
    let rest = chart.blocks.iter().find(|b| b.kind == BlockKind::Rest).map(|b| b.span);
    let mut lines: Vec<(Span, String, ChildIndex)> = Vec::new();
    for child in &chart.children {
        for stay in &child.stays {
            let Some(why) = stay.apart.filter(|why| *why != Apart::Care) else { continue };
            let resting = why == Apart::Sleep && rest.is_some_and(|r| r.meets(stay.span));
            if resting || stay.at == Place::Transition {
                continue;
            }
            lines.push((stay.span, reason(day, chart, child.child, stay, why), child.child));
        }
    }
    lines.sort();
    let told = lines.chunk_by(|a, b| (a.0, &a.1) == (b.0, &b.1)).map(|same| {
        let who: Vec<ChildIndex> = same.iter().map(|(_, _, child)| *child).collect();
        said::from_to(same[0].0, &of_child::people(&say::children(day, &who), &same[0].1))
    });
    let alone = chart.children.iter().map(|c| c.child).filter(|c| chart.group_of(*c).is_none());
    let alone: Vec<ChildIndex> = alone.collect();
    told.chain((!alone.is_empty()).then(|| said::no_group(&say::children(day, &alone)))).collect()
}

fn reason(day: &Day, chart: &Chart, child: ChildIndex, stay: &Stay, why: Apart) -> String {
    let open = match stay.at {
        Place::Choice(k) => chart.choices.get(k.0).map_or(&[][..], |c| &c.open),
        _ => &[],
    };
    let at = say::place::of_children(day, stay.at, stay.space, open);
    let place = match (stay.state, stay.meal) {
        (State::Asleep, _) => of_child::ASLEEP.to_owned(),
        (_, Some(meal)) => of_child::eats(meal, &at),
        _ => at,
    };
    let barred = || barred(day, chart, child, stay.span);
    of_child::because(&place, &of_child::why(why, stay.meal, barred))
}

/// Why the group's station is not for this child, as the facts say.
fn barred(day: &Day, chart: &Chart, child: ChildIndex, span: Span) -> String {
    use crate::day::materials::allergy_to;
    let group = chart.group_of(child);
    let cell = group.and_then(|g| g.cells.iter().find(|c| c.span.meets(span)));
    let Some(Place::Station(at)) = cell.map(|c| c.at) else {
        return of_child::GROUP_ELSEWHERE.into();
    };
    let (facts, station, months) = (&day.site[child], day.station(at), day.months(child));
    let that = |means: fn(Meeting) -> bool| -> Vec<&str> {
        let words = station.allergens.iter().filter(|word| means(allergy_to(word, facts)));
        words.map(String::as_str).collect()
    };
    let met = that(|meeting| meeting == Meeting::Yes);
    let open = that(|meeting| matches!(meeting, Meeting::MayBe | Meeting::Unknown));
    let why = if !met.is_empty() {
        of_child::NotFor::Has(&met)
    } else if !open.is_empty() {
        of_child::NotFor::Ask(&open)
    } else if months < station.from_months {
        of_child::NotFor::From(station.from_months)
    } else if station.below_months.is_some_and(|below| months >= below) {
        of_child::NotFor::Younger
    } else {
        of_child::NotFor::Facts
    };
    of_child::group_is_at(&station.label, why)
}

/// Who is allergic to what, and from which stations of today that keeps.
fn allergies(day: &Day, chart: &Chart) -> Vec<String> {
    let used = used(day, chart);
    let allergic = chart.children.iter().filter(|c| !day.site[c.child].allergies.is_empty());
    let told = allergic.map(|c| {
        let facts = &day.site[c.child];
        let at = |means: fn(Meeting) -> bool| -> Vec<&str> {
            let stations = used.iter().map(|s| day.station(*s));
            let met = stations.filter(|s| means(allergy_at(s, facts)));
            met.map(|s| s.label.as_str()).collect()
        };
        let not_at = at(|meeting| meeting == Meeting::Yes);
        let ask = at(|meeting| matches!(meeting, Meeting::MayBe | Meeting::Unknown));
        said::allergy(&facts.label, &facts.allergies, &not_at, &ask)
    });
    told.collect()
}

/// Children who always have an own adult.
fn own_adults(day: &Day, chart: &Chart) -> Vec<String> {
    let told = chart.children.iter().filter_map(|c| {
        let own = day.site[c.child].one_to_one.as_ref()?;
        Some(said::own_adult(&day.site[c.child].label, &day.site[own.adult].label))
    });
    told.collect()
}

/// Pairs of children who are never to be together.
fn kept_apart(day: &Day, chart: &Chart) -> Vec<String> {
    let here = || chart.children.iter().map(|c| c.child);
    let pairs = here().flat_map(|one| {
        let others = here().filter(move |o| one < *o && day.site[one].keep_apart.contains(o));
        others.map(move |other| say::children(day, &[one, other]))
    });
    pairs.collect()
}

/// Adults who may not be alone with children.
fn never_alone(day: &Day, chart: &Chart) -> Vec<String> {
    let alone = chart.adults.iter().map(|a| &day.site[a.adult]).filter(|a| !a.may_be_alone);
    alone.map(|a| a.label.clone()).collect()
}

/// Staff breaks, and who is not to leave the building.
fn breaks(day: &Day, chart: &Chart) -> Vec<String> {
    let rests = |at| matches!(at, Place::StaffBreak(_));
    let told = times(chart, rests).into_iter().map(|(adult, spans)| {
        let posts = chart.adult(adult).map_or(&[][..], |a| &a.posts);
        let stays = |span: &Span| {
            let of = |p: &&Post| rests(p.at) && p.span.meets(*span);
            posts.iter().find(of).is_some_and(|p| match p.at {
                Place::StaffBreak(n) => !day.site[adult].breaks.get(n).is_some_and(|b| b.may_leave),
                _ => false,
            })
        };
        let spans: Vec<(Span, bool)> = spans.iter().map(|s| (*s, stays(s))).collect();
        said::breaks(&day.site[adult].label, &spans)
    });
    told.collect()
}

/// Each adult with the times at some places.
fn times(chart: &Chart, at: impl Fn(Place) -> bool) -> Vec<(AdultIndex, Vec<Span>)> {
    let told = chart.adults.iter().map(|adult| {
        let posts = adult.posts.iter().filter(|p| at(p.at));
        (adult.adult, merged(posts.map(|p| p.span).collect()))
    });
    told.filter(|(_, spans)| !spans.is_empty()).collect()
}

/// Who comes after the room opens; and who is picked up before it closes, or is away in between.
fn comes_and_goes(day: &Day, chart: &Chart) -> [Vec<String>; 2] {
    let (opens, closes) = (day.schedule.open.from, day.closes());
    let begins = chart.blocks.first().map_or(opens, |b| b.span.from);
    let (mut comes, mut goes) = (Vec::new(), Vec::new());
    for child in chart.children.iter().map(|c| c.child) {
        let here = day.child_here(child);
        let (Some(first), Some(last)) = (here.first(), here.last()) else { continue };
        if first.from > opens && first.from >= begins {
            comes.push(((first.from, said::comes(first.from)), child));
        }
        for pair in here.windows(2).filter(|pair| pair[1].from > begins) {
            let (from, to) = (pair[0].to, pair[1].from);
            goes.push(((from, said::away(from, to)), child));
        }
        if last.to < closes {
            goes.push(((last.to, said::picked_up(last.to)), child));
        }
    }
    [comes, goes].map(|told| together(day, told.into_iter()))
}

/// Stations of the room at which somebody has a turn, or which are open for choice.
fn used(day: &Day, chart: &Chart) -> Vec<StationIndex> {
    let spaces = &day.site[day.room].spaces;
    let stays = || chart.children.iter().flat_map(|c| &c.stays);
    let used = |s: &StationIndex| {
        stays().any(|stay| match stay.at {
            Place::Choice(k) => chart.choices.get(k.0).is_some_and(|c| c.open.contains(s)),
            at => at == Place::Station(*s),
        })
    };
    let stations = (0..day.stations.len()).map(StationIndex);
    stations.filter(|s| spaces.contains(&day.station(*s).space)).filter(used).collect()
}

/// What stands at those stations today.
fn set_out(day: &Day, chart: &Chart) -> Vec<String> {
    let used = used(day, chart);
    let offered = |s: &&StationIndex| day.activities.get(s.0).is_some_and(Option::is_some);
    used.iter().filter(offered).map(|s| say::place::with_activity(day, *s)).collect()
}

/// Whose visits are due today and not on the chart, by station.
fn still_to_have(day: &Day, chart: &Chart) -> Vec<String> {
    let mut missed = missed_visits(day, chart);
    missed.sort_by_key(|(child, station)| (*station, *child));
    let told = missed.chunk_by(|a, b| a.1 == b.1).map(|same| {
        let who: Vec<ChildIndex> = same.iter().map(|(child, _)| *child).collect();
        let station = say::place::with_activity(day, same[0].1);
        of_child::people(&station, &say::children(day, &who))
    });
    told.collect()
}
