//! Ids, references, fields and figures of a scenario that cannot stand.

use super::sample::{check, sound};

#[test]
fn two_things_of_a_kind_may_not_share_an_id() {
    check(
        &[
            (r#""id": "loft", "label""#, r#""id": "den", "label""#),
            (r#""home": "loft""#, r#""home": "den""#),
        ],
        &[
            ("/spaces/1/id", "\"den\"", "stands already at /spaces/0"),
            ("/zones/1/space", "\"loft\"", "no space has the id `loft`"),
            ("/tables/1/zone", "\"sill\"", ""),
        ][..2],
    );
    check(
        &[
            (r#""id": "tales", "preset""#, r#""preset""#),
            (r#""preset": "blocks""#, r#""preset": "books""#),
            (r#""id": "bricks""#, r#""id": "books""#),
            (r#""station": "bricks""#, r#""station": "books""#),
        ],
        &[("/stations/2", "{ \"preset\"", "a station with the id `books` stands already")],
    );
    check(
        &[(r#""id": "dot""#, r#""id": "ada""#)],
        &[("/adults/0/id", "\"ada\"", "a child has the id `ada` as well")],
    );
}

#[test]
fn every_reference_must_lead_somewhere() {
    check(
        &[
            (r#""home": "loft""#, r#""home": "lofft""#),
            (r#""stands_on": "oak""#, r#""stands_on": "teak""#),
            (r#""room": "dune", "times""#, r#""room": "dunes", "times""#),
            (r#""station": "bricks""#, r#""station": "brick""#),
            (r#"{ "ada": "09:00-15:00" }"#, r#"{ "adda": "09:00-15:00" }"#),
            (r#""children": ["ada"] }] }"#, r#""children": ["ada", "zoe"] }] }"#),
            (r#"["ireland-full-day"]"#, r#"["ireland-full-days"]"#),
        ],
        &[
            ("/site/standards/0", "\"ireland-full-days\"", "no standard has the id"),
            ("/rooms/0/groups/0/children/1", "\"zoe\"", "no child has the id `zoe`"),
            ("/rooms/1/home", "\"lofft\"", "no space has the id `lofft`"),
            ("/stations/1/stands_on", "\"teak\"", "no table has the id `teak`"),
            ("/children/2/room", "\"dunes\"", "no room has the id `dunes`"),
            ("/days/0/children/adda", "\"09:00-15:00\"", "no child has the id `adda`"),
            ("/visits/0/station", "\"brick\"", "no station has the id `brick`"),
        ],
    );
}

#[test]
fn unknown_fields_do_not_pass_in_silence() {
    check(
        &[
            (r#""times": "full-day" }"#, r#""times": "full-day", "keep_appart": ["ada"] }"#),
            (r#""about": "Invented.","#, r#""about": "Invented.", "weather": {},"#),
            (r#""seats": 4 },"#, r#""seats": 4, "legs": 4 },"#),
            (r#""care_minutes": 5"#, r#""care_minute": 5"#),
        ],
        &[
            ("/weather", "\"weather\"", "not a field"),
            ("/site/settings/care_minute", "\"care_minute\"", "not a field"),
            ("/tables/0/legs", "\"legs\"", "not a field"),
            ("/children/2/keep_appart", "\"keep_appart\"", "not a field"),
        ],
    );
}

#[test]
fn a_name_that_stands_twice_is_told() {
    check(
        &[(r#""zone": "mat", "seats": 4"#, r#""zone": "mat", "seats": 4, "seats": 40"#)],
        &[("/tables/0/seats", "\"seats\": 40", "stands here a second time")],
    );
}

#[test]
fn figures_beyond_measure_are_told() {
    check(
        &[
            (r#""zone": "mat", "seats": 4"#, r#""zone": "mat", "seats": 99999999999999999999"#),
            (r#""zone": "sill", "seats": 4"#, r#""zone": "sill", "seats": 1e999"#),
            (r#""care_minutes": 5"#, r#""care_minutes": -1"#),
            (r#""minutes": 10, "window""#, r#""minutes": 10.5, "window""#),
        ],
        &[
            ("/site/settings/care_minutes", "-1", "-1 is out of range"),
            ("/tables/0/seats", "9999", "out of all range"),
            ("/tables/1/seats", "1e999", "out of all range"),
            ("/schedules/1/tasks/0/minutes", "10.5", "10.5 is not a whole number"),
        ],
    );
}

#[test]
fn a_child_belongs_to_a_room_and_its_people_work_there() {
    check(
        &[(r#""born": "2022-05-01", "room": "shore""#, r#""born": "2022-05-01""#)],
        &[("/children/0", "{ \"id\": \"ada\"", "this child is in no room")],
    );
    check(
        &[(r#""room": "dune", "times""#, r#""room": "dune", "key_adult": "dot", "times""#)],
        &[("/children/2/key_adult", "\"dot\"", "Dot does not work in dune")],
    );
    check(
        &[(r#""children": ["ada"] }] }"#, r#""children": ["ada", "cleo"] }] }"#)],
        &[("/rooms/0/groups/0/children/1", "\"cleo\"", "in another room")],
    );
    check(
        &[(r#""rooms": ["shore"], "#, "")],
        &[("/adults/0", "{ \"id\": \"dot\"", "this adult is in no room")],
    );
}

#[test]
fn wishes_for_company_may_not_contradict_one_another() {
    check(
        &[
            (
                r#""room": "shore", "times": "08:30-16:00" },
    { "id": "ben""#,
                r#""room": "shore", "times": "08:30-16:00", "keep_with": ["ben"] },
    { "id": "ben""#,
            ),
            (r#""born": "2023-01-15","#, r#""born": "2023-01-15", "keep_apart": ["ada"],"#),
            (r#""born": "2021-09-09","#, r#""born": "2021-09-09", "keep_with": ["cleo"],"#),
        ],
        &[
            ("/children/0", "{", "Ada is to be kept both with and apart from Ben"),
            ("/children/1", "{", "Ben is to be kept both with and apart from Ada"),
            ("/children/2/keep_with", "[", "with itself"),
        ],
    );
    check(
        &[
            (r#""children": ["ada"] }] }"#, r#""children": ["ada", "ben"] }] }"#),
            (r#""born": "2023-01-15","#, r#""born": "2023-01-15", "keep_apart": ["ada"],"#),
        ],
        &[("/rooms/0/groups", "[", "Ada and Ben are to be kept apart, but both are in Crabs")],
    );
}

#[test]
fn company_that_is_said_at_one_child_holds_for_both() {
    let scenario =
        sound(&[(r#""born": "2023-01-15","#, r#""born": "2023-01-15", "keep_apart": ["ada"],"#)]);
    let apart = |child: usize| scenario.site.children[child].keep_apart.clone();
    assert_eq!(apart(0), [fairturn::site::ChildIndex(1)]);
    assert_eq!(apart(1), [fairturn::site::ChildIndex(0)]);
}

#[test]
fn local_limits_are_read_in_the_form_of_a_standard() {
    check(
        &[(r#""standards": ["ireland-full-day"],"#, r#""local_limits": { "id": "x" },"#)],
        &[("/site/local_limits", "{", "these limits cannot be read")],
    );
    check(
        &[(r#""standards": ["ireland-full-day"],"#, "")],
        &[("/site", "{", "no standard binds this site")],
    );
    let limits = fairturn::standards::local_limits_example();
    let both = format!(r#""local_limits": {limits}, "standards": ["ireland-full-day"],"#);
    let scenario = sound(&[(r#""standards": ["ireland-full-day"],"#, &both)]);
    assert_eq!(scenario.standards.len(), 2);
    assert_eq!(scenario.site.standards, ["ireland-full-day"]);
}

#[test]
fn a_scenario_of_another_format_or_without_its_parts_is_refused() {
    check(&[(r#""format": 1"#, r#""format": 2"#)], &[("/format", "2", "2 is out of range")]);
    let faults = fairturn::wire::scenario::read(b"{}").expect_err("nothing is in it");
    assert!(faults.iter().any(|fault| fault.cause.contains("`format` is missing")));
    let dated = br#"{ "days": [{ "date": "2026-04-14" }] }"#;
    let faults = fairturn::wire::scenario::read(dated).expect_err("nothing else is in it");
    let causes: Vec<&str> = faults.iter().map(|fault| fault.cause.as_str()).collect();
    for cause in [
        "`format` is missing",
        "`site` is missing",
        "there is no schedule",
        "there is no station",
        "there is no child",
        "there is no adult",
    ] {
        assert!(causes.contains(&cause), "{cause}: {causes:?}");
    }
}

#[test]
fn a_must_do_names_only_children_who_may() {
    let offer = r#""adults": { "eli": "away" }, "offers": [{ "station": "paint", "activity": "Buoys",
      "from_months": 40, "must_do": ["ada", "ben"] }]"#;
    check(
        &[(r#""adults": { "eli": "away" }"#, offer)],
        &[("/days/0/offers/0/must_do/1", "\"ben\"", "keeps Ben from Buoys")],
    );
    let everyone = offer.replace(r#"["ada", "ben"]"#, r#""everyone""#);
    let scenario = sound(&[(r#""adults": { "eli": "away" }"#, &everyone)]);
    let day = scenario.open(fairturn::site::RoomIndex(0), scenario.date).expect("it opens");
    let owed: Vec<usize> = day.must_do.iter().map(|(child, _)| child.0).collect();
    assert_eq!(owed, [0], "of everyone only those are meant who are here and may");
}

#[test]
fn a_text_full_of_faults_is_answered_soon_and_with_a_bounded_answer() {
    let many = |what: &str| vec![what; 60_000].join(",");
    let children = r#""children": [
    { "id": "ada""#;
    let edits = [
        (children, format!("\"children\": [{}, {{ \"id\": \"ada\"", many("{ \"label\": \"A\" }"))),
        (r#"{ "ada": "09:00-15:00" }"#, {
            let names: Vec<String> = (0..60_000).map(|i| format!("\"n{i}\": \"away\"")).collect();
            format!("{{ {} }}", names.join(","))
        }),
    ];
    let edits = edits.each_ref().map(|(from, to)| (*from, to.as_str()));
    let (_, faults) = super::sample::broken(&edits);
    assert!(faults.len() <= 501, "500, and how many more");
}
