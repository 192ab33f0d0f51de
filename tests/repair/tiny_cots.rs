//! On tiny days with a rest, and with children of a group who differ, trying every post of every adult
//! finds the same fixes: who goes back to the cots, whose cot moves, which child goes elsewhere.

use super::tiny_floor::{LOFT, away, found, house, posted_somehow, standard, steps};
use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{Chart, ChoiceIndex, OpenChoice, Place, Stay};
use fairturn::day::Day;
use fairturn::planner::{Edit, Options, make};
use fairturn::site::*;

/// Two groups of two who lie down in the loft; so many of them sleep on there while the others are up
/// again at home, and one adult is enough for all of them in one space.
fn nap(sleepers: usize) -> Build {
    let mut build = house("09:00-10:20", &[50, 50], 2);
    standard(&mut build, "fraction_sum", 4, 4);
    let (window, space) = (span("09:20-10:00"), LOFT);
    let (minutes, settling_minutes, awake_longest) = (40, 10, 10);
    let rest = Rest { window, minutes, space, settling_minutes, awake_longest };
    build.schedule.rest = Some(rest);
    for (n, child) in build.site.children.iter_mut().enumerate() {
        child.quiet_rest_minutes = 10;
        child.sleep = if n < sleepers { Sleep::InRest { minutes } } else { Sleep::None };
    }
    build
}

/// Ten minutes before the first child is up: whoever sleeps does, the others are at home.
fn while_they_sleep(posted: &Chart) -> Span {
    let rests = |s: &&Stay| s.at == Place::Rest;
    let until = posted.children[0].stays.iter().filter(rests).map(|s| s.span.to).max();
    let until = until.expect("somebody sleeps");
    Span::new(until.earlier(15), until.earlier(5)).expect("a span")
}

/// The cots of some children in another space.
fn cots_in(posted: &Chart, space: SpaceIndex, whose: impl Fn(ChildIndex) -> bool) -> Chart {
    let mut drawn = posted.clone();
    for child in drawn.children.iter_mut().filter(|c| whose(c.child)) {
        for stay in child.stays.iter_mut().filter(|s| s.at == Place::Rest) {
            (stay.space, stay.zone) = (space, Some(ZoneIndex(space.0)));
        }
    }
    drawn
}

/// Whoever is up in the rest at home plays in the loft from a minute on.
fn awake_in_the_loft(day: &Day, posted: &Chart, from: Minute, to: Minute) -> Chart {
    let mut drawn = posted.clone();
    let open = day.site.stations_of(LOFT).collect();
    drawn.choices.push(OpenChoice { span: Span { from, to }, space: LOFT, open });
    let there = Place::Choice(ChoiceIndex(drawn.choices.len() - 1));
    for child in &mut drawn.children {
        let mut stays: Vec<Stay> = Vec::new();
        for stay in child.stays.drain(..) {
            let plays = matches!(stay.at, Place::Choice(_)) && stay.space == CLASSROOM;
            let inside = stay.span.meet(Span { from, to }).filter(|_| plays);
            let Some(inside) = inside else {
                stays.push(stay);
                continue;
            };
            let before = Span::new(stay.span.from, inside.from);
            let after = Span::new(inside.to, stay.span.to);
            stays.extend(before.map(|span| Stay { span, ..stay.clone() }));
            stays.push(Stay { span: inside, space: LOFT, at: there, ..stay.clone() });
            stays.extend(after.map(|span| Stay { span, ..stay.clone() }));
        }
        child.stays = stays;
    }
    drawn
}

/// Two sleep in the loft while two are up again at home: one adult is enough where the two go back to
/// them, or the cots stand at home; somebody is called only after that.
#[test]
fn who_is_awake_goes_back_or_the_cots_move_before_anybody_is_called() {
    let mut build = nap(2);
    build.site.settings.minutes_to_come_in = 0;
    let day = build.day();
    let posted = make(&day, &Options::default()).chart;
    let gone = while_they_sleep(&posted);
    let (after, fixes) = found(&day, &posted, &[away(1, gone)]);
    let rest = posted.blocks.iter().find(|b| b.kind == fairturn::chart::BlockKind::Rest);
    let ends = rest.map(|b| b.span.to).expect("a rest");
    assert!(posted_somehow(&after, &posted).is_none(), "as posted one adult is not enough");
    assert!(posted_somehow(&after, &awake_in_the_loft(&day, &posted, gone.from, ends)).is_some());
    assert!(posted_somehow(&after, &cots_in(&posted, CLASSROOM, |_| true)).is_some());
    for child in 0..4 {
        let one = cots_in(&posted, CLASSROOM, |c| c.0 == child);
        assert!(posted_somehow(&after, &one).is_none(), "one cot is not enough: {child}");
    }
    let joins = Edit::JoinFloor { space: CLASSROOM, span: Span { from: gone.from, to: ends } };
    let moves = Edit::MoveCots { space: CLASSROOM };
    let offered = steps(&fixes);
    assert_eq!(offered[..2], [vec![joins], vec![moves]]);
    let called = |set: &Vec<Edit>| matches!(set[..], [Edit::ExtraAdult(_)]);
    assert!(offered[2..].iter().all(called) && offered.len() == 3, "{offered:?}");
    let words = &fixes.fixes[0].words;
    let said = "Whoever is awake in the rest is in loft and nobody in classroom, ";
    assert!(words.starts_with(said), "{words}");
}

/// One sleeps in the loft: its cot moves, not all of them.
#[test]
fn one_cot_moves_where_one_child_sleeps() {
    let day = nap(1).day();
    let posted = make(&day, &Options::default()).chart;
    let (after, fixes) = found(&day, &posted, &[away(1, while_they_sleep(&posted))]);
    let mends = |child: usize| {
        posted_somehow(&after, &cots_in(&posted, CLASSROOM, |c| c.0 == child)).is_some()
    };
    let mending: Vec<usize> = (0..4).filter(|child| mends(*child)).collect();
    assert_eq!(mending, [0], "the one who sleeps");
    let one = vec![Edit::MoveCot { child: ChildIndex(0), space: CLASSROOM }];
    let offered = steps(&fixes);
    assert!(offered.contains(&one), "{offered:?}");
    let all = |set: &Vec<Edit>| set.iter().any(|edit| matches!(edit, Edit::MoveCots { .. }));
    assert!(!offered.iter().any(all), "{offered:?}");
    let fix = fixes.fixes.iter().find(|fix| fix.edits == one).expect("it is offered");
    assert_eq!(fix.words, "The cot of child 00 stands in classroom.");
}

/// The youngest of a space decides, and one of six is younger: with that child in the loft two adults are
/// enough; the other one of its group need not go.
#[test]
fn one_child_goes_elsewhere_where_its_group_is_more_than_it_takes() {
    for youngest in 0..2 {
        let mut build = house("09:00-09:40", &[50, 50, 50], 3);
        standard(&mut build, "youngest", 2, 5);
        let born = build.site.children[youngest].born;
        build.site.children[youngest].born =
            born.checked_add_months(chrono::Months::new(18)).expect("a date");
        let day = build.day();
        let posted = make(&day, &Options::default()).chart;
        let (after, fixes) = found(&day, &posted, &[away(2, span("09:10-09:30"))]);
        let whole = span("09:00-09:40");
        let mends = |some: usize| {
            let mut drawn = posted.clone();
            drawn.choices.clear();
            for space in [CLASSROOM, LOFT] {
                let open = day.site.stations_of(space).collect();
                drawn.choices.push(OpenChoice { span: whole, space, open });
            }
            for child in &mut drawn.children {
                let goes = some & (1 << child.child.0) != 0;
                let space = if goes { LOFT } else { CLASSROOM };
                for stay in &mut child.stays {
                    (stay.space, stay.at) = (space, Place::Choice(ChoiceIndex(space.0)));
                }
            }
            posted_somehow(&after, &drawn).is_some()
        };
        let mending = (0..1 << 6).filter(|some| mends(*some)).map(usize::count_ones).min();
        assert_eq!(mending, Some(1), "one child is enough");
        assert!(mends(1 << youngest) && !mends(1 << (1 - youngest)));
        let children = vec![ChildIndex(youngest)];
        let first = [Edit::SplitChildren { children, space: LOFT, span: whole }];
        assert_eq!(fixes.fixes[0].edits, first, "{}", fixes.fixes[0].words);
        assert_eq!(
            fixes.fixes[0].words,
            format!("child 0{youngest} goes to loft, 09:00 to 09:40.")
        );
    }
}
