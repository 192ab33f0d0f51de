//! Who is erased, in texts.

use fairturn::wire::erase::{Leaver, Person, words_replaced};
use serde_json::Value;

#[test]
fn whole_words_are_replaced_and_others_stay() {
    let text = "Ola's turn: Olaf, Ola-Marie and Ola.";
    assert_eq!(words_replaced(text, "Ola", "-"), "-'s turn: Olaf, Ola-Marie and -.");
}

fn leaver(id: &str, label: &str) -> Leaver {
    let text = r#"{"format": 1, "site": {"label": "Pier", "time_zone": "Europe/Dublin",
        "standards": ["ireland-full-day"]}, "stations": [{"preset": "art"}],
        "children": [{"label": "Una", "born": "2022-01-01"}], "days": [{"date": "2026-04-14"}],
        "adults": [{"label": "Signe", "shift": "08:00-16:00"}], "schedules": [{"preset": "full-day"}]}"#;
    let scenario = fairturn::wire::scenario::read(text.as_bytes()).expect("a scenario");
    let mut leaver = Leaver::new(Person::Child(id.into()), &scenario, "erased-1");
    leaver.is_called(id, label);
    leaver
}

#[test]
fn only_places_of_people_change() {
    let leaver = leaver("art", "Arthur");
    let text = r#"{"children": [{"id": "art", "stays": [{"at": {"kind": "station", "id": "art"}}]}],
        "words": "Arthur is at art."}"#;
    let new = leaver.other(text, "").expect("it is in there");
    let new: Value = serde_json::from_str(&new).expect("JSON");
    assert_eq!(new["children"][0]["id"], "erased-1");
    assert_eq!(new["children"][0]["stays"][0]["at"]["id"], "art");
    assert_eq!(new["words"], "erased-1 is at erased-1.");
    assert_eq!(leaver.other(r#"{"id": "art"}"#, ""), None);
}

#[test]
fn who_bears_the_same_label_keeps_it_where_only_that_one_is() {
    let mut leaver = leaver("una-2", "Una");
    let (own, other) = (
        r#"{"children": [{"id": "una-2"}], "words": "Una naps."}"#,
        r#"{"children": [{"id": "una"}], "words": "Una naps."}"#,
    );
    assert!(leaver.other(own, "").is_some_and(|text| text.contains("erased-1 naps")));
    assert_eq!(leaver.other(other, ""), None);
    // An id that is another child's now is not taken along with an old label.
    leaver.is_called("una", "Oona");
    assert_eq!(leaver.other(other, ""), None);
}

#[test]
fn who_came_in_for_a_while_is_found_in_the_chart() {
    let mut leaver = leaver("ruth", "ruth");
    leaver.seek(
        r#"{"children": [{"id": "ruth"}], "day": {"happened": [
        {"what": "extra_adult", "id": "ruth", "label": "Ruth Q"}]}}"#,
    );
    let asked =
        r#"{"happenings": [{"what": "extra_adult", "label": "Ruth"}], "words": "Ruth comes."}"#;
    let new = leaver.other(asked, "").expect("it is in there");
    assert!(!new.contains("Ruth") && new.contains("erased-1 comes"), "{new}");
    assert!(leaver.words("Ruth Q, keys").starts_with("erased-1,"));
}
