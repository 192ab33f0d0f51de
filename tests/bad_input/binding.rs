//! Which standards may bind a site, and what they ask of its rooms.

use super::sample::{broken, check, sound};
use fairturn::standards::library;

const BOUND: &str = r#"["ireland-full-day"]"#;
const SHORE: &str = r#""id": "shore", "home""#;
const DUNE: &str = r#""id": "dune", "home""#;

#[test]
fn every_built_in_standard_may_bind_a_site() {
    let (shore, dune) = (
        r#""id": "shore", "governing_age_months": 40, "home""#,
        r#""id": "dune", "governing_age_months": 50, "home""#,
    );
    for standard in library() {
        let named = format!(r#"["{}"]"#, standard.id);
        let read = sound(&[(BOUND, &named), (SHORE, shore), (DUNE, dune)]);
        assert_eq!(read.standards[0].id, standard.id);
        assert_eq!(read.site.rooms[1].governing_age, Some(50));
        if !standard.mixed.asks_governing_age() {
            sound(&[(BOUND, &named)]);
        }
    }
}

#[test]
fn a_standard_that_fixes_the_age_asks_every_room_for_it() {
    let head_start = r#"["ireland-full-day", "head-start"]"#;
    let cause = "`head-start` fixes for a year which age governs a room";
    check(
        &[(BOUND, head_start)],
        &[("/rooms/0", "{ \"id\": \"shore\"", cause), ("/rooms/1", "{ \"id\": \"dune\"", cause)],
    );
    check(
        &[(BOUND, head_start), (DUNE, r#""id": "dune", "governing_age_months": 40, "home""#)],
        &[("/rooms/0", "{ \"id\": \"shore\"", cause)],
    );
}

/// Whoever writes a place by another of its names is told the id.
#[test]
fn a_place_in_place_of_an_id_is_answered_with_the_id() {
    for (place, id) in [("Norge", "norway"), ("Québec", "quebec"), ("Houston", "texas")] {
        let named = format!("[\"{place}\"]");
        let (_, faults) = broken(&[(BOUND, &named)]);
        let [fault] = &faults[..] else { panic!("{faults:?}") };
        assert_eq!(fault.pointer, "/site/standards/0");
        assert_eq!(fault.cause, format!("no standard has the id `{place}`"));
        assert_eq!(fault.mend, format!("did you mean `{id}`?"));
    }
}
