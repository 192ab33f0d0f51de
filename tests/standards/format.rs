//! The file of a standard: what it may say, and every fault at once.

use super::*;
use fairturn::standards::{Who, Within, library, local_limits_example};

fn faults(text: &str) -> Vec<String> {
    Standard::from_json(text).expect_err("a faulty file")
}

#[test]
fn every_standard_says_where_it_holds_and_where_its_figures_come_from() {
    let ids: std::collections::BTreeSet<&str> = library().iter().map(|s| s.id.as_str()).collect();
    assert_eq!((ids.len(), library().len()), (59, 59), "each id once");
    let methods: std::collections::BTreeSet<String> = library()
        .iter()
        .map(|s| format!("{:?}", s.mixed).split([' ', '{']).next().expect("a name").to_owned())
        .collect();
    assert_eq!(methods.len(), 18, "every method is in use: {methods:?}");
    for standard in library() {
        assert!(!standard.place.is_empty() && !standard.notes.is_empty(), "{}", standard.id);
        for (what, key) in standard.figures() {
            assert!(standard.source(key).is_some(), "{}: {what}", standard.id);
        }
    }
    assert!(find("nowhere").is_none());
}

#[test]
fn what_is_from_memory_says_so() {
    let said = |id: &str| built_in(id).from_memory().join("; ");
    assert_eq!(said("ireland-full-day"), "");
    assert_eq!(said("wisconsin"), "the ratios; the class sizes");
    assert_eq!(said("pennsylvania"), "the class sizes");
    assert_eq!(said("cfoc-centre"), "mixed ages; water play");
    assert_eq!(
        said("head-start"),
        "the ratio of 3 years; the class size of 3 years; the ratio of 4 and 5 years; the class \
         size of 4 and 5 years; the fewest adults"
    );
    assert_eq!(built_in("wisconsin").tag(), fairturn::standards::Tag::Memory);
    assert_eq!(built_in("missouri").tag(), fairturn::standards::Tag::Verified);
}

#[test]
fn local_limits_are_a_file_to_start_from() {
    let local = Standard::from_json(local_limits_example()).expect("the example reads");
    assert_eq!(
        need(&local, &[(2, 20), (4, 40)]),
        Need { adults: 1, class_size: Some(12), in_building: 1 }
    );
    assert_eq!(local.least_adults(1), 2);
}

#[test]
fn a_standard_says_who_must_be_there() {
    let england = built_in("england-eyfs");
    let [asked] = england.asks_for() else { panic!("one entry") };
    assert_eq!((&asked.who, asked.within), (&Who::FirstAid, Within::Premises));
    assert!(england.source(&asked.source).is_some());
    let more =
        r#", "asks_for": [{"who": {"qualification": "level-3"}, "within": "room", "source": "s"}]"#;
    let own = inline(&[("all", None, "8")], r#""method": "youngest""#, more);
    assert_eq!(own.asks_for()[0].who, Who::Qualification("level-3".to_owned()));
}

#[test]
fn unknown_fields_and_broken_texts_are_refused() {
    let good = local_limits_example();
    assert!(faults(&good.replace("\"edition\"", "\"editoin\""))[0].contains("editoin"));
    assert!(faults(&good.replace("fraction_sum", "guesswork"))[0].contains("guesswork"));
    assert!(faults(&good.replace("\"ratio\": { \"per_adult\": 4 }", "\"ratio\": 4.5")).len() == 1);
    for text in ["", "{", "[]", "null", &good[..good.len() / 2], &"[".repeat(100_000)] {
        assert_eq!(faults(text).len(), 1);
    }
}

#[test]
fn every_fault_is_reported_at_once() {
    let bad = local_limits_example()
        .replace("\"local-limits\"", "\"Local Limits\"")
        .replace("\"per_adult\": 4", "\"per_adult\": 0")
        .replace("\"class_size\": 16", "\"class_size\": 0")
        .replace("\"adults\": 2", "\"adults\": 0")
        .replace(
            "\"mixed\": { \"method\": \"fraction_sum\", \"source\": \"house\"",
            "\"mixed\": { \"method\": \"fraction_sum\", \"source\": \"hearsay\"",
        );
    let found = faults(&bad);
    for place in ["id", "bands[0].ratio", "bands[1].class_size", "least_adults[0]", "mixed"] {
        assert!(found.iter().any(|f| f.starts_with(place)), "{place} in {found:?}");
    }
    assert_eq!(found.len(), 5, "{found:?}");
}

#[test]
fn bands_stand_in_order_of_age_and_the_last_one_is_open() {
    let good = local_limits_example();
    let closed = good.replace(
        "\"label\": \"3 years and over\"",
        "\"label\": \"3 years and over\", \"until\": { \"months\": 30 }",
    );
    let found = faults(&closed);
    assert!(found.iter().any(|f| f.contains("the last band is for all older")), "{found:?}");
    let open = good.replace("\"until\": { \"months\": 36 }, ", "");
    assert!(faults(&open)[0].contains("only the last band"));
}

#[test]
fn how_many_may_be_young_is_said_of_a_band_that_is_not_the_last() {
    let cap = |band: &str, most: u32| {
        local_limits_example().replace(
            "\"least_adults\"",
            &format!(
                "\"young_together\": [{{ \"band\": \"{band}\", \"at_most\": {most}, \"source\": \
                 \"house\" }}], \"least_adults\""
            ),
        )
    };
    let local = Standard::from_json(&cap("under-3", 3)).expect("it reads");
    assert_eq!(need(&local, &[(4, 20), (4, 40)]).class_size, Some(7));
    for (band, most, place) in [
        ("under-9", 3, "young_together[0].band: there is no band `under-9`"),
        ("three-and-over", 3, "young_together[0].band: of all ages it is a `class_size`"),
        ("under-3", 0, "young_together[0].at_most"),
    ] {
        let found = faults(&cap(band, most));
        assert!(found.len() == 1 && found[0].starts_with(place), "{found:?}");
    }
}

/// The framework's own date: 1 September after the fifth birthday.
#[test]
fn a_band_may_end_on_a_date() {
    let england = built_in("england-eyfs");
    let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
    let band = |born: NaiveDate, on: NaiveDate| {
        let months = age_in_months(born, on).expect("born before");
        england.bands[england.band_of(&Head { months, born, asleep: false }, on)].id.clone()
    };
    assert_eq!(band(day(2021, 4, 10), day(2026, 8, 31)), "three-and-over");
    assert_eq!(band(day(2021, 4, 10), day(2026, 9, 1)), "school");
    assert_eq!(band(day(2021, 9, 1), day(2026, 9, 1)), "three-and-over", "the birthday itself");
    assert_eq!(band(day(2021, 9, 1), day(2027, 9, 1)), "school");
}

/// The arithmetic in words, as a teacher reads it.
#[test]
fn a_sentence_says_how_the_number_comes_about() {
    let ireland = built_in("ireland-full-day");
    assert_eq!(
        ireland.sentence(&mix(&[(5, 6), (5, 18), (2, 30)]), &plain()),
        "Ireland, full and part day: 5 of under 1 year at 1:3, 5 of 1 year at 1:5, 2 of 2 years at \
         1:6: together 3, rounded up 3 adults."
    );
    let cfoc = built_in("cfoc-centre");
    assert_eq!(
        cfoc.sentence(&mix(&[(2, 20), (8, 40), (6, 50)]), &plain()),
        "Caring for Our Children, centres: 16 children governed by 13 to 35 months at 1:4 need 4 \
         adults; at most 8 together, 16 here: too many."
    );
    let mut asleep = heads(12, 40);
    asleep.iter_mut().for_each(|h| h.asleep = true);
    assert_eq!(
        cfoc.sentence(&asleep, &plain()),
        "Caring for Our Children, centres: 12 children governed by 3 years at 1:7 need 2 adults; \
         with 12 asleep 1 adult in the room, 2 adults in the building; at most 14 together, 12 \
         here: within."
    );
}

/// Ages apart, a ratio out of doors, a day of the year: what cannot be meant is told with its place.
#[test]
fn what_local_limits_may_say_besides_is_checked_too() {
    let with = |from: &str, to: &str| local_limits_example().replace(from, to);
    let apart = |young: &str, from: &str| {
        let field = format!(
            "\"kept_apart\": [{{ \"young\": \"{young}\", \"from\": \"{from}\", \"source\": \"house\" }}], \
             \"least_adults\""
        );
        with("\"least_adults\"", &field)
    };
    let local = Standard::from_json(&apart("under-3", "three-and-over")).expect("it reads");
    assert_eq!(need(&local, &[(4, 20), (2, 40)]).class_size, Some(4), "the two older ones leave");
    assert_eq!(need(&local, &[(4, 20)]).class_size, Some(12));
    for (young, from) in
        [("three-and-over", "under-3"), ("under-3", "under-3"), ("under-9", "three-and-over")]
    {
        assert_eq!(faults(&apart(young, from)), ["kept_apart[0]: a band and an older one"]);
    }
    let outdoors = |each: u32| {
        let field = format!("\"ratio_outdoors\": {{ \"per_adult\": {each} }}, \"class_size\": 12");
        with("\"class_size\": 12", &field)
    };
    let local = Standard::from_json(&outdoors(2)).expect("it reads");
    let out = Situation { outdoors: true, ..plain() };
    assert_eq!(local.need(&mix(&[(4, 20)]), &out).adults, 2);
    assert_eq!(local.need(&mix(&[(4, 20)]), &plain()).adults, 1);
    assert_eq!(faults(&outdoors(0)), ["bands[0].ratio_outdoors.per_adult: from 1 to 10000"]);
    let edge = |edge: &str| with("{ \"months\": 36 }", edge);
    let local = edge("{ \"day_of_year\": { \"years\": 3, \"month\": 8, \"day\": 1 } }");
    assert!(Standard::from_json(&local).is_ok());
    let never = edge("{ \"day_of_year\": { \"years\": 3, \"month\": 13, \"day\": 1 } }");
    assert_eq!(faults(&never), ["bands[0].until: a month, and a day from 1 to 28"]);
}

/// A table with gaps needs no row for all ages; one by how many are young needs older ones and rising steps.
#[test]
fn the_tables_of_mixed_ages_are_checked() {
    let mixed = |method: &str| {
        let own = "\"method\": \"fraction_sum\"";
        local_limits_example().replace(own, method)
    };
    let row = |gaps: bool| {
        mixed(&format!(
            "\"method\": \"span_lookup\", \"repair\": true, \"gaps\": {gaps}, \"rows\": [{{ \"from\": \
             \"under-3\", \"to\": \"under-3\", \"columns\": [{{ \"adults\": 1, \"children\": 4 }}] }}]"
        ))
    };
    let local = Standard::from_json(&row(true)).expect("it reads");
    assert_eq!(need(&local, &[(2, 20), (1, 40)]).class_size, Some(2), "no row spans both");
    assert_eq!(faults(&row(false)).len(), 1);
    let steps = |band: &str, rows: &str| {
        mixed(&format!("\"method\": \"count_steps\", \"band\": \"{band}\", \"rows\": [{rows}]"))
    };
    let good = "{ \"young_up_to\": 2, \"steps\": [[8, 1], [12, 2]] }";
    assert!(Standard::from_json(&steps("under-3", good)).is_ok());
    for (band, rows, told) in [
        ("three-and-over", good, "mixed.band: `three-and-over` is no band with an older one"),
        ("under-3", "", "mixed.rows: at least one, each with more of the young"),
        (
            "under-3",
            "{ \"young_up_to\": 2, \"steps\": [[8, 2], [12, 1]] }",
            "mixed.rows.steps: children and adults, both rising",
        ),
    ] {
        assert_eq!(faults(&steps(band, rows)), [told]);
    }
}
