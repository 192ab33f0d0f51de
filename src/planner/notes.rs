//! What a person should look at although no rule is broken.

use super::SHORTEST_CHOICE;
use super::binding::{from_memory, longer_than_a_session, not_judged, to_be_called};
use super::clock::clocks_go_back;
use crate::chart::{BlockKind, Chart, ChoiceIndex, Place, Stay};
use crate::day::Day;
use crate::rules::{self, Problem};
use crate::say;
use crate::site::{CareRound, ChildIndex, MealKind, Minute, Span, StationIndex, Toileting};
use crate::solve::care::{EARLIEST, LATEST, due};
use crate::standards::foods::is_known;
use chrono::Datelike;
use std::collections::BTreeMap;

/// Children from this age on are past what the figures of early childhood are for: they are at
/// school. Common practice; a room of six-year-olds before school hears nothing.
const AT_SCHOOL_YEARS: u32 = 7;

/// Who comes so soon after a meal has missed it, and goes hungry so long, if nobody thinks of it
/// (common practice; Caring for Our Children 4.2.0.5, 2017, has meals two to three hours apart).
const MISSED: u16 = 90;
const HUNGRY: u16 = 60;
/// Fewer minutes at the table are no meal (common practice).
const SHORTEST_MEAL: u16 = 10;

/// What to look at although no rule is broken, by where it stands on paper; one sentence each.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Notes {
    /// Before the day: what bears on whether the chart may be trusted, and what somebody has to do about
    /// it: clocks that go back while somebody is here, children who stay longer than a session that a
    /// standard is for, or have outgrown the room, who come when a meal is over or are left out of a care
    /// round, adults whom several rooms share, words for foods and materials that are not known here,
    /// and somebody who must be there to be called.
    pub first: Vec<String>,
    /// After it: turns that begin while many are still to come, ways on which there is no time to get
    /// dressed.
    pub after: Vec<String>,
    /// Choice with few places.
    pub places: Vec<String>,
    /// Children who come or go while nobody is free for the door.
    pub door: Option<String>,
    /// Binding standards that ask for more than is judged here, whose figures are from memory or whose
    /// edition is not known.
    pub standards: Vec<String>,
}

impl Notes {
    /// Of a whole day.
    #[must_use]
    pub fn of(day: &Day, chart: &Chart) -> Notes {
        let mut first = of_the_day(day, Minute(0));
        first.extend(outgrown(day));
        first.extend(come_after_a_meal(day, chart, Minute(0)));
        first.extend(left_out_of_rounds(day, chart));
        first.extend(shared(day));
        first.extend(not_known(day, chart));
        first.extend(to_be_called(day, chart));
        let after = too_early(day, chart).into_iter().chain(too_short_to_dress(day, chart));
        let (after, places) = (after.collect(), few_seats_to_choose(day, chart));
        let door = nobody_at_the_door(day, chart);
        let standards = not_judged(day).into_iter().chain(from_memory(day)).collect();
        Notes { first, after, places, door, standards }
    }

    /// Of the rest of a day from a moment on: what a repair can bring about.
    #[must_use]
    pub fn of_rest(day: &Day, chart: &Chart, rest: &Chart, at: Minute) -> Notes {
        let mut first = of_the_day(day, at);
        first.extend(come_after_a_meal(day, chart, at));
        let (after, places) = (too_short_to_dress(day, rest), few_seats_to_choose(day, rest));
        Notes { first, after, places, ..Notes::default() }
    }
}

/// All of them, as a list.
#[must_use]
pub fn notes(day: &Day, chart: &Chart) -> Vec<String> {
    let Notes { first, after, places, door, standards } = Notes::of(day, chart);
    let all = first.into_iter().chain(after).chain(places).chain(door).chain(standards);
    all.map(|words| say::note::note(&words)).collect()
}

/// Those that hold all day and bear on whether the chart may be trusted; what is over at `since` is left
/// out.
fn of_the_day(day: &Day, since: Minute) -> Vec<String> {
    let ahead = day.comes_twice().is_some_and(|twice| twice.to > since);
    let clocks = clocks_go_back(day).filter(|_| ahead);
    clocks.into_iter().chain(longer_than_a_session(day)).collect()
}

/// For each care round, the children in nappies who are due in it and whom the chart never takes to the
/// changing place in its window or near it.
fn left_out_of_rounds(day: &Day, chart: &Chart) -> Vec<String> {
    let mut notes = Vec::new();
    for CareRound { window } in &day.schedule.care_rounds {
        let near = Span { from: window.from.earlier(EARLIEST), to: window.to.later(LATEST) };
        let changed = |child: ChildIndex| {
            let mut days = chart.children.iter().filter(|c| c.child == child);
            days.any(|c| c.stays.iter().any(|s| s.at == Place::Care && s.span.meets(near)))
        };
        let nappies = |c: &ChildIndex| day.site[*c].toileting == Toileting::Nappies;
        let left_out = due(day, *window).filter(nappies).filter(|c| !changed(*c));
        let left_out: Vec<&str> = left_out.map(|c| &*day.site[c].label).collect();
        if !left_out.is_empty() {
            notes.push(say::note::left_out(*window, &left_out));
        }
    }
    notes
}

/// Adults whom several rooms share: as far as it is told when they are in this one, the chart counts on
/// them, and no further.
fn shared(day: &Day) -> Vec<String> {
    let site = &*day.site;
    let weekday = day.date.weekday().num_days_from_monday() as usize;
    let shared = site.adults_of(day.room).filter(|a| site.is_shared(*a));
    let told = shared.filter(|a| !site[*a].shifts[weekday].is_empty()).map(|adult| {
        let (label, room) = (&site[adult].label, &site[day.room].label);
        say::note::shared(label, room, day.adult_here(adult), !site[adult].breaks.is_empty())
    });
    told.collect()
}

/// The first assigned turn, where it begins before most of the children due are in and no cell is
/// kept then.
fn too_early(day: &Day, chart: &Chart) -> Option<String> {
    let turns = chart.blocks.iter().filter(|b| b.kind == BlockKind::Turn);
    let turn = turns.map(|b| b.span).min()?;
    let (first, most_in) = (turn.from, day.most_in());
    if first >= most_in || day.kept.iter().any(|k| k.span.meets(turn)) {
        return None;
    }
    let due = day.arrivals_of_the_morning();
    let came = due.iter().filter(|from| **from <= first).count();
    Some(say::note::too_early(first, came, due.len(), most_in))
}

/// For each stretch of choice of a quarter of an hour or more: how many seats it has, where all find one
/// and there are fewer than is wished, so that nobody has much of a choice.
fn few_seats_to_choose(day: &Day, chart: &Chart) -> Vec<String> {
    let most_at_once = |k: ChoiceIndex| {
        let stays = chart.children.iter().flat_map(|c| &c.stays);
        let spans: Vec<Span> = stays.filter(|s| s.at == Place::Choice(k)).map(|s| s.span).collect();
        let at = |minute: Minute| spans.iter().filter(|s| s.contains(minute)).count();
        spans.iter().map(|s| at(s.from)).max().unwrap_or(0)
    };
    let mut notes = Vec::new();
    for (k, choice) in chart.choices.iter().enumerate() {
        let most = most_at_once(ChoiceIndex(k));
        let (seats, wanted) = (day.seats(&choice.open), day.site.settings.seats_to_choose(most));
        if choice.span.minutes() >= SHORTEST_CHOICE && seats as usize >= most && seats < wanted {
            let (span, space) = (choice.span, &day.site[choice.space].label);
            notes.push(say::note::few_places(span, space, seats, most, wanted));
        }
    }
    notes
}

/// For each way out of doors or in: how many children have fewer minutes on it than it takes them to tidy
/// up and to get dressed or undressed.
fn too_short_to_dress(day: &Day, chart: &Chart) -> Vec<String> {
    let is_on_the_way = |s: &&Stay| matches!(s.at, Place::Transition | Place::Care);
    // When it begins, whether it leads out, and how many children have how many minutes of how many.
    let mut short: BTreeMap<(Minute, bool), Vec<(u16, u16)>> = BTreeMap::new();
    for child in &chart.children {
        let settled = child.stays.iter().filter(|s| !is_on_the_way(s));
        let settled: Vec<&Stay> = settled.collect();
        for (before, after) in settled.iter().zip(settled.iter().skip(1)) {
            let [out, was_out] = [after, before].map(|s| day.site[s.space].outdoors);
            let here = |h: &Span| h.from <= before.span.from && h.to >= after.span.to;
            if out == was_out || !day.child_here(child.child).iter().any(here) {
                continue;
            }
            let alone = || std::iter::once(child.child);
            let way = (before.space, after.space);
            let takes = if out {
                day.minutes_to_go_out(alone(), way)
            } else {
                day.minutes_to_come_in(alone(), way)
            };
            let has = after.span.from.0 - before.span.to.0;
            if has < takes {
                short.entry((after.span.from, out)).or_default().push((has, takes));
            }
        }
    }
    let sentence = |((at, out), short): ((Minute, bool), Vec<(u16, u16)>)| {
        let has = short.iter().map(|s| s.0).min().unwrap_or(0);
        let takes = short.iter().map(|s| s.1).max().unwrap_or(0);
        say::note::too_short_to_dress(short.len(), has, takes, out, at)
    };
    short.into_iter().map(sentence).collect()
}

/// Children who come, or come back, from `since` on when a meal is over that they have not had, and
/// would wait long for the next one: they are offered food on coming.
fn come_after_a_meal(day: &Day, chart: &Chart, since: Minute) -> Vec<String> {
    let mut late = Vec::new();
    let word = |kind| say::block::of_the_day(BlockKind::Meal(kind));
    let meals = chart.blocks.iter().filter_map(|b| match b.kind {
        BlockKind::Meal(kind) => Some((kind, b.span)),
        _ => None,
    });
    let meals: Vec<(MealKind, Span)> = meals.collect();
    for (child, here) in &day.children {
        let stays = chart.child(*child).map_or(&[][..], |c| &c.stays);
        let eats: Vec<Span> = runs_at_a_table(stays);
        for from in here.iter().map(|h| h.from).filter(|from| *from >= since) {
            let over = meals.iter().rev().find(|(kind, meal)| {
                meal.from < from
                    && from < meal.to.later(MISSED)
                    && (*kind != MealKind::Breakfast || day.site[*child].breakfast_here)
                    && !eats.iter().any(|e| e.meets(*meal))
                    && !has_had(stays, *kind)
            });
            let next = eats.iter().map(|e| e.from).find(|start| *start >= from);
            let goes = here.iter().map(|h| h.to).max().unwrap_or(from);
            let hungry = next.unwrap_or(goes).0.saturating_sub(from.0);
            if let Some((kind, meal)) = over.filter(|_| hungry > HUNGRY) {
                late.push((from, *meal, word(*kind), next, *child));
            }
        }
    }
    late.sort_unstable();
    let mut notes = Vec::new();
    for same in late.chunk_by(|a, b| (a.0, a.1, a.3) == (b.0, b.1, b.3)) {
        let (from, meal, kind, next, _) = same[0];
        let names: Vec<&str> = same.iter().map(|c| day.site[c.4].label.as_str()).collect();
        notes.push(say::note::offer_food(&names, from, kind, meal, next));
    }
    notes
}

/// Whether a child has a meal for long enough, in whichever sitting.
fn has_had(stays: &[Stay], kind: MealKind) -> bool {
    let eats = stays.iter().filter(|s| s.meal == Some(kind));
    eats.map(|s| s.span.minutes()).sum::<u16>() >= SHORTEST_MEAL
}

/// When a child sits at a table long enough to eat.
fn runs_at_a_table(stays: &[Stay]) -> Vec<Span> {
    let mut runs: Vec<Span> = Vec::new();
    for stay in stays.iter().filter(|s| matches!(s.at, Place::Table(_))) {
        match runs.last_mut() {
            Some(run) if run.to == stay.span.from => run.to = stay.span.to,
            _ => runs.push(stay.span),
        }
    }
    runs.retain(|run| run.minutes() >= SHORTEST_MEAL);
    runs
}

/// When children come during the arrival, or go while they are picked up, and nobody is free for the
/// door.
fn nobody_at_the_door(day: &Day, chart: &Chart) -> Option<String> {
    let posts = chart.adults.iter().flat_map(|a| &a.posts);
    let doors: Vec<Span> = posts.filter(|p| p.at == Place::Door).map(|p| p.span).collect();
    let times = |kind: BlockKind, edge: fn(&Span) -> Minute| -> Vec<Minute> {
        let open = |m: Minute| {
            let of_kind = chart.blocks.iter().filter(|b| b.kind == kind);
            of_kind.into_iter().any(|b| b.span.from <= m && m <= b.span.to)
        };
        let manned = |m: Minute| doors.iter().any(|d| d.from <= m && m <= d.to);
        let edges = day.children.iter().flat_map(|(_, here)| here).map(edge);
        let mut times: Vec<Minute> = edges.filter(|m| open(*m) && !manned(*m)).collect();
        times.sort_unstable();
        times.dedup();
        times
    };
    let came = times(BlockKind::Arrival, |h| h.from);
    let went = times(BlockKind::GoingHome, |h| h.to);
    (!came.is_empty() || !went.is_empty()).then(|| say::note::no_door(&came, &went))
}

/// Words for foods and materials that are not known here, for each station of the room: one sentence
/// for those beside which nobody with an allergy is; of the others the problems tell.
fn not_known(day: &Day, chart: &Chart) -> Vec<String> {
    if day.stations.iter().flat_map(|s| &s.allergens).all(|word| is_known(word)) {
        return Vec::new();
    }
    let problems = (rules::named::BARRED.audit)(day, chart);
    let mut notes = Vec::new();
    for at in (0..day.stations.len()).map(StationIndex) {
        let station = day.station(at);
        let told = |p: &Problem| p.is_a_question() && p.at == Some(Place::Station(at));
        if !day.site[day.room].spaces.contains(&station.space) || problems.iter().any(told) {
            continue;
        }
        let unknown: Vec<&String> =
            station.allergens.iter().filter(|word| !is_known(word)).collect();
        if !unknown.is_empty() {
            notes.push(say::note::not_known(&unknown, &station.label));
        }
    }
    notes
}

fn outgrown(day: &Day) -> Option<String> {
    let grown = day.children.iter().filter(|(c, _)| day.months(*c) >= 12 * AT_SCHOOL_YEARS);
    let date = day.date.format("%-d %B %Y").to_string();
    let count = grown.count();
    (count > 0).then(|| say::note::outgrown(&date, count, AT_SCHOOL_YEARS))
}
