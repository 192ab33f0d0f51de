//! A slip in a word for an allergy does not pass in silence, and what belongs together is known.

use super::sample::{check, sound};
use fairturn::site::{ChildIndex, RoomIndex, StationIndex};

const CLEO: &str = r#""room": "dune", "times": "full-day""#;
const PAINT: &str = r#""preset": "art", "zone": "mat""#;

fn cleo(allergies: &str) -> String {
    format!("{CLEO}, \"allergies\": {allergies}")
}

#[test]
fn a_slip_in_a_word_for_an_allergy_is_a_fault_on_either_side() {
    let paint = format!("{PAINT}, \"allergens\": [\"weat\", \"bath foam\"]");
    check(
        &[(PAINT, &paint), (CLEO, &cleo(r#"["egggs", "pollen", "bath foem"]"#))],
        &[
            ("/stations/1/allergens/0", "\"weat\"", "`weat` is not known as a cause of allergy"),
            ("/stations/1/allergens/1", "\"bath foam\"", "`bath foam` is not known"),
            ("/children/2/allergies/0", "\"egggs\"", "`egggs` is not known"),
            ("/children/2/allergies/2", "\"bath foem\"", "`bath foem` is not known"),
        ],
    );
    let offer = r#""adults": { "eli": "away" }, "offers": [{ "station": "paint",
      "activity": "Buoys", "allergens": ["sesamee"] }]"#;
    check(
        &[(r#""adults": { "eli": "away" }"#, offer)],
        &[("/days/0/offers/0/allergens/0", "\"sesamee\"", "nothing else here has it")],
    );
}

#[test]
fn a_slip_in_a_part_of_several_words_is_found_and_real_words_are_no_slips() {
    let paint = format!("{PAINT}, \"allergens\": [\"peanut buter\", \"flour and mlik\"]");
    check(
        &[(PAINT, &paint)],
        &[
            ("/stations/1/allergens/0", "\"peanut buter\"", "`peanut buter` is not known"),
            ("/stations/1/allergens/1", "\"flour and mlik\"", "`flour and mlik` is not known"),
        ],
    );
    let words = "\"wood\", \"beads\", \"silk\", \"slime\", \"glimmer paste\", \"net\", \"peg\", \"soil\", \
                 \"star putty\", \"carpet\", \"cork\", \"play foam\"";
    let paint = format!("{PAINT}, \"allergens\": [{words}]");
    sound(&[(PAINT, &paint)]);
}

#[test]
fn none_is_no_allergy() {
    let scenario = sound(&[(CLEO, &cleo(r#"["none"]"#))]);
    assert!(scenario.site.children.iter().all(|child| child.allergies.is_empty()));
}

#[test]
fn a_child_is_not_named_for_what_has_to_be_asked_about_first() {
    let offer = r#""adults": { "eli": "away" }, "offers": [{ "station": "paint",
      "activity": "Buoys", "allergens": ["glimmer paste"], "must_do": ["cleo"] }]"#;
    check(
        &[(r#""adults": { "eli": "away" }"#, offer), (CLEO, &cleo(r#"["egg"]"#))],
        &[(
            "/days/0/offers/0/must_do/0",
            "\"cleo\"",
            "Cleo may not be at Buoys yet: glimmer paste is not known here",
        )],
    );
}

#[test]
fn a_word_of_ones_own_passes_where_both_sides_have_it_and_is_noted_where_none_has() {
    let paint = format!("{PAINT}, \"allergens\": [\"bath foam\"]");
    let scenario = sound(&[(PAINT, &paint), (CLEO, &cleo(r#"["bath foam", "sunlight"]"#))]);
    let noted: Vec<&str> = scenario.assumed.iter().map(|a| a.words.as_str()).collect();
    assert!(noted.contains(&"nothing here is said to have `sunlight` in it"), "{noted:?}");
    assert!(!noted.iter().any(|words| words.contains("bath foam")), "{noted:?}");
}

#[test]
fn another_spelling_or_the_whole_group_bars_as_the_word_itself_does() {
    let ada = r#""room": "shore", "times": "08:30-16:00" },
    { "id": "ben""#;
    let with = |allergies: &str| {
        let (ada_is, paint) = (
            ada.replacen(" },", &format!(", \"allergies\": {allergies} }},"), 1),
            format!("{PAINT}, \"allergens\": [\"eggs\", \"wheat\"]"),
        );
        let scenario = sound(&[(ada, &ada_is), (PAINT, &paint)]);
        let day = scenario.open(RoomIndex(0), scenario.date).expect("it opens");
        let (paint, ada) = (StationIndex(1), ChildIndex(0));
        fairturn::day::is_for(day.station(paint), paint, &day.site[ada], day.date)
    };
    assert!(with("[\"milk\"]"));
    assert!(!with("[\"egg\"]") && !with("[\"gluten\"]") && !with("[\"eggs\"]"));
}
