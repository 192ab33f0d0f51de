//! Staff breaks due by law.

use super::*;
use fairturn::standards::breaks::{Due, due, find as rule, library, rule_for};

/// Breaks of a shift that starts at 8:00: minutes, first start and last end into the shift.
fn of(id: &str, minutes: u16) -> Vec<Due> {
    let from = Minute::hm(8, 0);
    due(rule(id).expect("built in"), Span::new(from, from.later(minutes)).expect("a shift"))
}

/// Long and short breaks.
fn counts(id: &str, minutes: u16) -> (usize, usize) {
    let breaks = of(id, minutes);
    let rests = breaks.iter().filter(|b| b.due.paid).count();
    (breaks.len() - rests, rests)
}

/// California (secondary; the count of rests derived).
#[test]
fn california() {
    assert_eq!(counts("california", 480), (1, 2));
    assert_eq!(counts("california", 360), (1, 1));
    assert_eq!(counts("california", 204), (0, 0), "3.4 hours");
    assert_eq!(counts("california", 210), (0, 1), "3.5 hours");
    assert_eq!(counts("california", 300), (0, 1), "a meal only over 5 hours");
    assert_eq!(counts("california", 630), (2, 3));
    let meal = |minutes| of("california", minutes).into_iter().find(|b| !b.due.paid).expect("due");
    assert!(meal(360).waivable && !meal(361).waivable);
    let begun_by = meal(480).due.window.to.0 - 30;
    assert_eq!(begun_by, Minute::hm(12, 59).0, "before the end of the fifth hour");
}

/// Washington State (verified): a meal in hours 2 to 5, never three hours without a rest.
#[test]
fn washington() {
    assert_eq!(counts("washington", 300), (0, 1));
    assert_eq!(counts("washington", 480), (1, 2));
    assert_eq!(counts("washington", 180), (0, 0));
    let meal = of("washington", 480).into_iter().find(|b| !b.due.paid).expect("due");
    let window = meal.due.window;
    assert!(window.from >= Minute::hm(10, 0) && window.to.0 - 30 < Minute::hm(13, 0).0);
}

/// Whatever start is chosen in each window, no stretch without a rest is over three hours.
#[test]
fn washington_windows_keep_every_stretch_short() {
    for minutes in 181..=720 {
        let rests: Vec<Due> =
            of("washington", minutes).into_iter().filter(|b| b.due.paid).collect();
        let mut since = Minute::hm(8, 0).0;
        for rest in &rests {
            assert!(rest.due.starts(5).next().is_some(), "{minutes}: no start on the grid");
            let latest = rest.due.window.to.0 - rest.due.minutes;
            assert!(latest - since <= 180, "{minutes}: {since} to {latest}");
            since = rest.due.window.from.0 + rest.due.minutes;
        }
        assert!(Minute::hm(8, 0).0 + minutes - since <= 180, "{minutes}: after {since}");
    }
}

/// Working Time Regulations 1998, regulation 12 (verified).
#[test]
fn united_kingdom() {
    assert_eq!(of("uk", 360), []);
    let [only] = &of("uk", 361)[..] else { panic!("one break") };
    assert_eq!(only.due.minutes, 20);
    assert_eq!(of("uk-under-18", 270), []);
    assert_eq!(of("uk-under-18", 271)[0].due.minutes, 30);
}

/// Every break of every rule fits its shift, and the list is in the order of the day.
#[test]
fn windows_lie_in_the_shift() {
    for rule in library() {
        for minutes in 1..=900 {
            let breaks = of(&rule.id, minutes);
            for b in &breaks {
                let window = b.due.window;
                assert!(window.minutes() >= b.due.minutes, "{} {minutes}", rule.id);
                assert!(window.from >= Minute::hm(8, 0), "{} {minutes}", rule.id);
                assert!(window.to.0 <= Minute::hm(8, 0).0 + minutes, "{} {minutes}", rule.id);
            }
            let total: u16 = breaks.iter().map(|b| b.due.minutes).sum();
            assert!(total < minutes, "{} {minutes}", rule.id);
        }
    }
}

#[test]
fn a_standard_names_its_break_rule() {
    assert_eq!(rule_for(&[built_in("ontario"), built_in("england-eyfs")]).id, "uk");
    assert_eq!(rule_for(&[built_in("ontario")]).id, "common-practice");
    assert_eq!(counts("common-practice", 480), (1, 2));
    assert_eq!(counts("common-practice", 239), (0, 0));
}
