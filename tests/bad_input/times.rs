//! Dates, times and windows of a scenario that cannot be.

use super::sample::{check, sound};

#[test]
fn impossible_dates_and_times_are_told() {
    check(
        &[
            (r#""born": "2022-05-01""#, r#""born": "2022-02-30""#),
            (r#""date": "2026-04-13""#, r#""date": "13.4.2026""#),
            (r#""opens": "08:00""#, r#""opens": "8:00""#),
            (r#""open": "08:30-12:30""#, r#""open": "08:30-25:30""#),
            (r#""eli": "away""#, r#""eli": "24:00-24:00""#),
        ],
        &[
            ("/children/0/born", "\"2022-02-30\"", "not a date of the calendar"),
            ("/schedules/0/times/opens", "\"8:00\"", "not a clock time"),
            ("/schedules/1/open", "\"08:30-25:30\"", "not a stretch of the day"),
            ("/days/0/adults/eli", "\"24:00-24:00\"", "starts at 24:00 and ends at 24:00"),
            ("/visits/0/date", "\"13.4.2026\"", "not a date of the calendar"),
        ],
    );
}

#[test]
fn midnight_is_only_an_end() {
    check(
        &[(r#""opens": "08:00""#, r#""opens": "24:00""#)],
        &[("/schedules/0/times/opens", "\"24:00\"", "24:00 can only be an end")],
    );
    sound(&[(
        r#""shift": "08:00-16:30", "rooms": ["shore"]"#,
        r#""shift": "08:00-24:00", "rooms": ["shore"]"#,
    )]);
}

#[test]
fn a_shift_ends_after_it_starts() {
    check(
        &[(
            r#""shift": "08:00-16:30", "rooms": ["shore"]"#,
            r#""shift": "16:30-08:00", "rooms": ["shore"]"#,
        )],
        &[("/adults/0/shift", "\"16:30-08:00\"", "starts at 16:30 and ends at 08:00")],
    );
    check(
        &[(
            r#""shift": "08:00-16:30", "rooms": ["shore"]"#,
            r#""shifts": { "mon": ["08:00-12:00", "11:00-16:00"], "moon": "08:00-12:00" }, "rooms": ["shore"]"#,
        )],
        &[
            ("/adults/0/shifts/mon/1", "\"11:00-16:00\"", "begins before 08:00 to 12:00 has ended"),
            ("/adults/0/shifts/moon", "\"08:00-12:00\"", "not the name of a weekday"),
        ],
    );
}

#[test]
fn fixed_parts_do_not_overlap_and_lie_in_the_opening_hours() {
    check(
        &[(r#""when": "09:00-09:15""#, r#""when": "08:55-09:15""#)],
        &[(
            "/schedules/1/parts/1",
            "{ \"kind\": \"circle\"",
            "begins before 08:30 to 09:00 has ended",
        )],
    );
    check(
        &[
            (r#""when": "08:30-09:00""#, r#""when": "08:00-09:00""#),
            (r#""window": "10:15-10:45""#, r#""window": "12:15-12:45""#),
        ],
        &[
            ("/schedules/1/parts/0", "{", "not within the opening hours"),
            ("/schedules/1/meals/0", "{", "not within the opening hours"),
        ],
    );
}

#[test]
fn the_times_of_a_preset_leave_room_for_what_is_between_them() {
    check(
        &[(r#""lunch": "12:00""#, r#""lunch": "11:00""#)],
        &[("/schedules/0/times/lunch", "\"11:00\"", "comes too soon after `outdoors` at 10:45")],
    );
    check(
        &[(r#""opens": "08:00""#, r#""opens": "08:00", "breakfast": "09:30""#)],
        &[("/schedules/0/times/breakfast", "\"09:30\"", "does not fit before the snack")],
    );
}

#[test]
fn windows_hold_what_they_must_hold() {
    check(
        &[
            (
                r#""window": "10:15-10:45", "minutes": 15"#,
                r#""window": "10:15-10:25", "minutes": 15"#,
            ),
            (
                r#""minutes": 10, "window": "12:00-12:30""#,
                r#""minutes": 40, "window": "12:00-12:30""#,
            ),
            (r#""when": "09:15-10:15""#, r#""when": "09:15-09:20""#),
            (
                r#""minutes": 10, "outdoor_day""#,
                r#""minutes": 60, "longest_still": 30, "outdoor_day""#,
            ),
            (r#""indoor_day": 2"#, r#""indoor_day": 5"#),
        ],
        &[
            ("/schedules/1/stretches/0", "{", "no turn of 8 minutes fits"),
            ("/schedules/1/meals/0", "{", "15 minutes do not fit into 10:15 to 10:25"),
            ("/schedules/1/tasks/0", "{", "40 minutes do not fit into 12:00 to 12:30"),
            ("/schedules/1/movement", "{", "300 minutes of movement do not fit"),
        ],
    );
    check(
        &[(
            r#""rest": "12:45", "closes": "16:30" }"#,
            r#""rest": "12:45", "closes": "16:30" }, "rest": { "window": "12:45-13:45", "minutes": 90,
          "settling_minutes": 60 }"#,
        )],
        &[("/schedules/0/rest", "{", "90 minutes do not fit into 12:45 to 13:45")],
    );
}

#[test]
fn a_meal_window_holds_the_sittings_of_its_fullest_weekday() {
    check(
        &[
            (r#""zone": "mat", "seats": 4"#, r#""zone": "mat", "seats": 1"#),
            (
                r#""rest": "12:45", "closes": "16:30" }"#,
                r#""rest": "12:45", "closes": "16:30" },
          "meals": [{ "kind": "lunch", "window": "12:00-12:45", "minutes": 30 }]"#,
            ),
        ],
        &[("/schedules/0/meals/0", "{", "2 children at 1 seats need 2 sittings, 60 minutes")],
    );
}

#[test]
fn a_care_round_holds_the_children_in_it() {
    check(
        &[
            (r#""care_rounds": ["10:15-11:00"]"#, r#""care_rounds": ["10:15-10:18"]"#),
            (r#""born": "2021-09-09","#, r#""born": "2021-09-09", "toileting": "nappies","#),
        ],
        &[("/schedules/1/care_rounds/0", "\"10:15-10:18\"", "1 children at 5 minutes each")],
    );
}

#[test]
fn nobody_sleeps_longer_than_the_rest_or_is_here_while_the_room_is_closed() {
    check(
        &[
            (r#""born": "2023-01-15","#, r#""born": "2023-01-15", "sleep": 200,"#),
            (r#""room": "dune", "times": "full-day""#, r#""room": "dune", "times": "08:00-12:00""#),
        ],
        &[
            ("/children/1/sleep", "200", "200 minutes of sleep do not fit a rest of 120"),
            ("/children/2/times", "\"08:00-12:00\"", "not within 08:30 to 12:30"),
        ],
    );
    check(
        &[(r#""times": "full-day" }"#, r#""days": ["sat"], "times": "09:00-12:00" }"#)],
        &[("/children/2/times", "\"09:00-12:00\"", "dune is closed on Saturday")],
    );
    check(
        &[(r#"{ "ada": "09:00-15:00" }"#, r#"{ "ada": "07:00-15:00" }"#)],
        &[("/days/0/children/ada", "\"07:00-15:00\"", "the room open from 08:00 to 16:30")],
    );
}

#[test]
fn nobody_is_here_before_birth() {
    check(
        &[(r#""born": "2023-01-15""#, r#""born": "2026-04-15""#)],
        &[("/children/1/born", "\"2026-04-15\"", "Ben is born after 2026-04-14")],
    );
    check(
        &[(r#""date": "2026-04-13""#, r#""date": "2020-04-13""#)],
        &[("/visits/0/date", "\"2020-04-13\"", "Ada is born after 2020-04-13")],
    );
}

#[test]
fn staff_breaks_fit_their_window_and_a_shift() {
    check(
        &[(
            r#""lead": true },"#,
            r#""lead": true, "breaks": [{ "minutes": 30, "window": "12:00-12:20" },
            { "minutes": 10, "window": "16:00-17:00" }] },"#,
        )],
        &[
            ("/adults/0/breaks/0/window", "\"12:00-12:20\"", "30 minutes do not fit"),
            ("/adults/0/breaks/1/window", "\"16:00-17:00\"", "lies in no shift"),
        ],
    );
}

#[test]
fn a_clock_change_leaves_an_hour_out() {
    let nights = |date: &str| {
        vec![
            (r#""date": "2026-04-14""#, format!(r#""date": "{date}", "schedule": "long""#)),
            (r#"{ "ada": "09:00-15:00" }"#, "{}".to_string()),
            (r#"{ "eli": "away" }"#, r#"{ "dot": "00:30-09:00" }"#.to_string()),
            (r#""room": "shore", "preset""#, r#""preset""#.to_string()),
        ]
    };
    let nights = |date: &str| {
        nights(date).into_iter().map(|(a, b)| (a, b.leak() as &str)).collect::<Vec<_>>()
    };
    check(
        &nights("2026-03-29"),
        &[(
            "/days/0/adults/dot",
            "\"00:30-09:00\"",
            "there is no time from 01:00 to 02:00 for Dot",
        )],
    );
    sound(&nights("2026-03-30"));
}

#[test]
fn a_date_stands_once_and_the_room_is_open_on_it() {
    check(
        &[(r#""days": ["#, r#""days": [{ "date": "2026-04-14" },"#)],
        &[("/days/1/date", "\"2026-04-14\"", "2026-04-14 is described twice")],
    );
    let one_room = br#"{ "format": 1,
      "site": { "label": "T", "time_zone": "Europe/Dublin", "standards": ["ireland-full-day"] },
      "stations": [{ "preset": "books" }], "schedules": [{ "preset": "full-day" }],
      "children": [{ "label": "O", "born": "2022-09-01" }],
      "adults": [{ "label": "R", "shift": "07:30-17:00" }],
      "days": [{ "date": "2026-04-18" }] }"#;
    let faults = fairturn::wire::scenario::read(one_room).expect_err("a Saturday");
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].pointer, "/days/0/date");
    assert!(faults[0].cause.contains("closed on Saturday"), "{}", faults[0].cause);
}

#[test]
fn the_teacher_and_the_weather_do_not_both_decide() {
    check(
        &[(
            r#""adults": { "eli": "away" }"#,
            r#""indoor": true, "weather": { "celsius": 400, "rule_set": "mine" }"#,
        )],
        &[("/days/0/indoor", "true", "both you and the weather decide")],
    );
    check(
        &[(
            r#""adults": { "eli": "away" }"#,
            r#""weather": { "celsius": 400, "fahrenheit": 50, "rule_set": "mine" }"#,
        )],
        &[
            ("/days/0/weather/celsius", "400", "400 is out of range"),
            ("/days/0/weather/fahrenheit", "50", "`celsius` and `fahrenheit` say the same"),
            ("/days/0/weather/rule_set", "\"mine\"", "no set of weather limits has the id"),
        ],
    );
}

#[test]
fn staff_breaks_follow_the_rule_that_the_site_names() {
    let named = |rule: &str| {
        let site = format!(r#""label": "The Mole", "break_rule": "{rule}""#);
        let edits = [
            (r#""label": "The Mole""#, site.leak() as &str),
            (r#"{ "eli": "away" }"#, r#"{ "eli": "08:00-11:00" }"#),
        ];
        let site = sound(&edits).site;
        let minutes = |adult: usize| site.adults[adult].breaks.iter().map(|b| b.minutes);
        (minutes(0).collect::<Vec<_>>(), minutes(1).collect::<Vec<_>>())
    };
    assert_eq!(named("california"), (vec![10, 30, 10], vec![]));
    assert_eq!(named("uk"), (vec![20], vec![]));
    check(
        &[(r#""label": "The Mole""#, r#""label": "The Mole", "break_rule": "californian""#)],
        &[("/site/break_rule", "\"californian\"", "no rule for staff breaks has the id")],
    );
}
