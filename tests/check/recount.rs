//! A naive recount of what a check says of invented rooms.

use chrono::NaiveDate;
use fairturn::chart::{Chart, Place, State};
use fairturn::day::Day;
use fairturn::planner::check::{BlockQuestion, Change, Verdict, check};
use fairturn::planner::{Options, make};
use fairturn::site::{Minute, RoomIndex, Span, StationIndex};
use fairturn::solve::Effort;
use fairturn::standards::{Head, Scope, Situation};
use fairturn::wire::check::check_json;
use fairturn::wire::invent::invent;
use fairturn::wire::scenario::read;
use proptest::prelude::*;

fn invented(children: usize, adults: usize, seed: u64) -> Day {
    let text = invent(1, children, adults, seed);
    let scenario = read(text.as_bytes()).expect("an invented site has no fault");
    let tuesday = NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday");
    scenario.open(RoomIndex(0), tuesday).expect("the room is open")
}

/// Children of the home by age in months and asleep or not, and counted adults, at a minute.
fn at_home(day: &Day, chart: &Chart, minute: Minute) -> (Vec<Head>, Vec<Vec<String>>) {
    let home = day.site[day.room].home;
    let mut heads = Vec::new();
    for child in &chart.children {
        for stay in child.stays.iter().filter(|s| s.span.contains(minute) && s.space == home) {
            let (months, born) = (day.months(child.child), day.site[child.child].born);
            heads.push(Head { months, born, asleep: stay.state == State::Asleep });
        }
    }
    let mut adults = Vec::new();
    for adult in &chart.adults {
        for post in adult.posts.iter().filter(|p| p.span.contains(minute) && p.space == home) {
            let who = &day.site[adult.adult];
            let with_children = match post.at {
                Place::StaffBreak(_) => false,
                Place::Task(t) => day.schedule.tasks[t].watching,
                Place::Care => {
                    day.site[home].care_place.as_ref().is_some_and(|c| !c.seen_from.is_empty())
                }
                _ => true,
            };
            if who.counts && with_children && post.for_child.is_none() {
                adults.push(who.qualifications.clone());
            }
        }
    }
    (heads, adults)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..Default::default() })]

    #[test]
    fn needed_and_present_are_what_a_naive_recount_finds(
        children in 1usize..=16,
        adults in 1usize..=5,
        seed in 0u64..10_000,
        start in 0u16..70,
        length in 3u16..12,
    ) {
        let day = invented(children, adults, seed);
        let home = day.site[day.room].home;
        let from = Minute(day.schedule.open.from.0 + 5 * start);
        let span = Span { from, to: from.later(5 * length) };
        let stations: Vec<StationIndex> = day.site.stations_of(home)
            .filter(|s| BlockQuestion { span, stations: vec![*s] }.faults(&day).is_empty())
            .take(1 + seed as usize % 2)
            .collect();
        prop_assume!(!stations.is_empty());
        let question = BlockQuestion { span, stations };
        let effort = Effort { layouts: 1, short: 500, finalists: 1, long: 500, nodes: 0 };
        let chart = make(&day, &Options { seed, effort }).chart;
        let asked = check(&day, Some(&chart), &question);
        for slice in asked.slices.iter().filter(|s| s.space == home && !asked.with_first_offer) {
            for minute in slice.span.from.0..slice.span.to.0 {
                let (heads, counted) = at_home(&day, &chart, Minute(minute));
                let all: u32 = slice.by_range.iter().map(|(_, n)| n).sum();
                prop_assert_eq!(all as usize, heads.len());
                prop_assert_eq!(slice.asleep as usize, heads.iter().filter(|h| h.asleep).count());
                prop_assert_eq!(slice.counted.len(), counted.len());
                let held: Vec<&[String]> = counted.iter().map(Vec::as_slice).collect();
                for (standard, need) in day.standards.iter().zip(&slice.needs) {
                    if standard.scope == Scope::Site {
                        continue;
                    }
                    let at = Situation {
                        date: day.date,
                        adults: &held,
                        governing_age: day.site[day.room].governing_age,
                        minute: Minute(minute),
                        open: day.schedule.open,
                        outdoors: false,
                    };
                    prop_assert_eq!(need.needed, standard.need(&heads, &at).adults);
                    prop_assert_eq!(need.present as usize, counted.len());
                }
            }
        }
        for answer in [asked, check(&day, None, &question)] {
            let clean = answer.verdict == Verdict::Go || answer.with_first_offer;
            for slice in answer.slices.iter().filter(|_| clean) {
                prop_assert!(slice.needs.iter().all(|n| n.needed <= n.present), "{slice:?}");
                prop_assert!(slice.tied.iter().all(|t| t.at_the_sinks || t.needed <= t.adults.len() as u32));
            }
            prop_assert_eq!(answer.reasons.is_empty(), answer.verdict == Verdict::Go);
            prop_assert_eq!(answer.offers.is_empty(), answer.verdict != Verdict::GoWithChanges);
            prop_assert_eq!(answer.holds_until.is_some(), clean);
            let to = match answer.offers.first().map(|o| &o.changes[0]) {
                Some(Change::Shorter { span }) => span.to,
                _ => span.to,
            };
            prop_assert!(answer.holds_until.as_ref().is_none_or(|h| h.until >= to));
            for offer in &answer.offers {
                prop_assert!(!offer.words.is_empty());
                // What is offered as another time is a go when it is asked for.
                if let [Change::AnotherTime { span, .. }] = &offer.changes[..] {
                    let other = BlockQuestion { span: *span, ..question.clone() };
                    let on = answer.with_chart.then_some(&chart);
                    prop_assert_eq!(check(&day, on, &other).verdict, Verdict::Go);
                }
            }
            let again = check(&day, answer.with_chart.then_some(&chart), &question);
            prop_assert_eq!(check_json(&day, &again), check_json(&day, &answer));
        }
    }
}
