//! On tiny days, trying everything finds the same smallest fixes.

use super::tiny::{posted, with_stations};
use crate::audits::build::{Build, span};
use crate::solve::tiny::{Tiny, assignments, no_breaks, tiny};
use fairturn::chart::Chart;
use fairturn::day::{Day, ExtraAdult, Happening, Who};
use fairturn::planner::{Edit, Fix, Fixes, Options, fixes, repair};
use fairturn::rules;
use fairturn::site::{AdultIndex, BreakDue, Minute, Span, Supervision};
use fairturn::standards::Standard;
use std::sync::Arc;

const START: Minute = Minute(9 * 60);
const OPEN: Span = Span { from: START, to: Minute(9 * 60 + 40) };

/// Two children an adult.
fn two_each(build: &mut Build) {
    let text = r#"{ "id": "ours", "label": "ours", "edition": "1", "force": "local", "scope": "room",
        "sources": { "house": { "document": "invented", "tag": "common_practice" } },
        "bands": [ { "id": "all", "label": "all", "ratio": { "per_adult": 2 }, "source": "house" } ],
        "mixed": { "method": "fraction_sum", "source": "house" } }"#;
    build.standards.push(Arc::new(Standard::from_json(text).expect("a standard of the test")));
    build.site.settings.minutes_to_come_in = 0;
}

/// Whether any chart of the day after all this has no problem; nothing is past yet.
fn can_be(day: &Day, told: &[Happening]) -> bool {
    let Ok(after) = day.after(START, told) else { return false };
    safe(&after)
}

fn safe(day: &Day) -> bool {
    let tiny = Tiny::new(day);
    assignments(&tiny.model).any(|(taken, _)| rules::audit(day, &tiny.chart(&taken).0).is_empty())
}

fn found(day: &Day, posted: &Chart, told: &[Happening]) -> Fixes {
    let options = Options::default();
    let repaired = repair(day, posted, START, told, &options).expect("it can be");
    let fixes = fixes(day, posted, &repaired, &options);
    assert_eq!(repaired.plan.safe_to_run(), can_be(day, told), "{:?}", repaired.plan.problems);
    assert!(fixes.left.is_empty(), "{:?}", fixes.why);
    fixes
}

fn spans() -> Vec<Span> {
    let minutes = || (OPEN.from.0..=OPEN.to.0).step_by(5).map(Minute);
    minutes().flat_map(|from| minutes().filter_map(move |to| Span::new(from, to))).collect()
}

/// Somebody who can do everything.
fn anybody(span: Span) -> ExtraAdult {
    ExtraAdult {
        id: "extra-adult".into(),
        label: "Extra adult".into(),
        span: Some(span),
        counts: true,
        may_be_alone: true,
        lead: true,
        first_aid: true,
        qualifications: Vec::new(),
    }
}

fn with(told: &[Happening], more: Happening) -> Vec<Happening> {
    [told, &[more]].concat()
}

/// The help of one more adult is among the shortest, and asks among the least, of all that mend.
fn shortest_help(day: &Day, told: &[Happening], fixes: &Fixes) {
    let comes = |extra: &ExtraAdult| can_be(day, &with(told, Happening::ExtraAdult(extra.clone())));
    let mending: Vec<Span> = spans().into_iter().filter(|s| comes(&anybody(*s))).collect();
    let extra = fixes.fixes.iter().find_map(|f| match &f.edits[..] {
        [Edit::ExtraAdult(extra)] => Some(extra),
        _ => None,
    });
    let Some(extra) = extra else {
        return assert!(mending.is_empty(), "help in {mending:?} would do");
    };
    let offered = extra.span.expect("from when to when");
    assert!(comes(extra) && mending.contains(&offered), "{extra:?}");
    let shorter = mending.iter().find(|s| offered.holds(**s) && **s != offered);
    assert_eq!(shorter, None, "{extra:?}");
    let less: [fn(&mut ExtraAdult); 4] = [
        |e| e.counts = false,
        |e| e.may_be_alone = false,
        |e| e.lead = false,
        |e| e.first_aid = false,
    ];
    for change in less {
        let mut plain = extra.clone();
        change(&mut plain);
        assert!(plain == *extra || !comes(&plain), "{extra:?}: {plain:?} is enough");
    }
}

/// Somebody is away for every span: the shortest help is found in each.
#[test]
fn one_more_adult_comes_for_the_shortest_stretch() {
    let mut build = with_stations(1);
    two_each(&mut build);
    let day = build.day();
    let posted = posted(&day);
    let missing = [(0, ["09:00-09:40", "09:20-09:30"]), (1, ["09:05-09:20", "09:25-09:40"])];
    for (adult, spans) in missing {
        for span in spans.map(span) {
            let away = Happening::Away { who: Who::Adult(AdultIndex(adult)), span: Some(span) };
            let fixes = found(&day, &posted, std::slice::from_ref(&away));
            assert!(!fixes.fixes.is_empty());
            shortest_help(&day, &[away], &fixes);
        }
    }
}

/// A third adult goes at twenty past, and could stay.
#[test]
fn who_stays_longer_comes_before_somebody_who_is_hired() {
    let mut build = with_stations(0);
    two_each(&mut build);
    let third = build.adult("third", "09:00-09:20");
    let day = build.day();
    let posted = posted(&day);
    let span = Some(span("09:15-09:35"));
    let away = Happening::Away { who: Who::Adult(AdultIndex(1)), span };
    let fixes = found(&day, &posted, std::slice::from_ref(&away));
    let stays = |until: Minute| {
        can_be(&day, &[away.clone(), Happening::Staying { who: Who::Adult(third), until }])
    };
    let until = (21..=40).map(|m| Minute(540 + m)).filter(|m| m.0 % 5 == 0).find(|m| stays(*m));
    let until = until.expect("it is enough to stay");
    let span = Span { from: Minute(560), to: until };
    assert_eq!(fixes.fixes[0].edits, [Edit::AdultOfTheTeam { adult: third, span }]);
    shortest_help(&day, &[away], &fixes);
}

/// The first staff breaks that a fix moves, and when to; it changes nothing else.
pub fn breaks_moved(fix: &Fix) -> Vec<(AdultIndex, Minute)> {
    let moved = fix.edits.iter().map(|step| match step {
        Edit::MoveBreak { adult, due: 0, from: Some(from) } => (*adult, *from),
        other => panic!("{other:?}"),
    });
    moved.collect()
}

/// One or two staff breaks are in the way.
#[test]
fn staff_breaks_move_as_trying_every_time_moves_them() {
    for breaks in [1, 2] {
        let mut build = tiny();
        no_breaks(&mut build);
        for label in ["art", "blocks", "books"] {
            build.station(label, crate::audits::build::CLASSROOM);
        }
        two_each(&mut build);
        build.adult("third", "09:00-09:40");
        build.site.adults.iter_mut().for_each(|a| (a.lead, a.first_aid) = (true, true));
        let due =
            BreakDue { minutes: 5, window: span("09:05-09:15"), paid: true, may_leave: false };
        let whose = [AdultIndex(0), AdultIndex(2)];
        for adult in &whose[..breaks] {
            build.site.adults[adult.0].breaks.push(due.clone());
        }
        let day = build.day();
        let posted = posted(&day);
        let away =
            Happening::Away { who: Who::Adult(AdultIndex(1)), span: Some(span("09:00-09:20")) };
        let fixes = found(&day, &posted, std::slice::from_ref(&away));
        let times: Vec<Minute> = (540..580).step_by(5).map(Minute).collect();
        let at = |adult: AdultIndex, from| Happening::BreakAt { adult, due: Some(0), from };
        let mut singles: Vec<Vec<Minute>> = Vec::new();
        for adult in &whose[..breaks] {
            let mends = |from: &&Minute| can_be(&day, &[away.clone(), at(*adult, **from)]);
            singles.push(times.iter().filter(mends).copied().collect());
        }
        let pair =
            |a: Minute, b: Minute| can_be(&day, &[away.clone(), at(whose[0], a), at(whose[1], b)]);
        let moved = breaks_moved(&fixes.fixes[0]);
        match moved[..] {
            [(adult, from)] => {
                let n = whose.iter().position(|w| *w == adult).expect("one of them");
                assert_eq!(singles[n].first(), Some(&from), "the nearest to its window");
            }
            [(a, x), (b, y)] => {
                assert!(singles.iter().all(Vec::is_empty), "one is enough: {singles:?}");
                assert!((a, b) == (whose[0], whose[1]) && pair(x, y));
            }
            _ => panic!("{moved:?}"),
        }
        assert_eq!(moved.len(), breaks, "each that is due has to move");
        shortest_help(&day, &[away], &fixes);
    }
}

/// One adult for four staffed stations: together the children are at one of them.
#[test]
fn two_groups_go_on_as_one_where_that_is_all_it_takes() {
    let mut build = with_stations(4);
    build.site.settings.minutes_to_come_in = 0;
    let mut together = build.site.rooms[0].groups.clone();
    let second = together.pop().expect("two groups");
    together[0].children.extend(second.children);
    let mut as_one = with_stations(4);
    as_one.site.rooms[0].groups = together;
    for seats in [2, 4] {
        for b in [&build, &as_one] {
            assert!(
                b.site
                    .stations
                    .iter()
                    .all(|s| matches!(s.supervision, Supervision::Staffed { .. }))
            );
        }
        let seated = |b: &Build| -> Day {
            let mut day = b.day();
            Arc::make_mut(&mut day.site).stations.iter_mut().for_each(|s| s.seats = seats);
            day.stations.iter_mut().for_each(|s| s.seats = seats);
            day
        };
        let day = seated(&build);
        let posted = posted(&day);
        let away = Happening::Away { who: Who::Adult(AdultIndex(1)), span: None };
        let fixes = found(&day, &posted, std::slice::from_ref(&away));
        let one = seated(&as_one).after(START, std::slice::from_ref(&away)).expect("it can be");
        let merges = |f: &Fix| matches!(f.edits[..], [Edit::MergeGroups { .. }]);
        let apart = can_be(&day, std::slice::from_ref(&away));
        assert_eq!(fixes.fixes.iter().any(merges), seats == 4 && !apart, "{seats} seats");
        // All four find a seat only where there are four.
        assert!(seats < 4 || safe(&one));
        if !apart {
            shortest_help(&day, &[away], &fixes);
        }
    }
}
