//! Where a child may be: `barred`, `open`, `seats`.

use super::build::{Build, CLASSROOM, span};
use super::told;
use chrono::NaiveDate;
use fairturn::chart::{Place, State};
use fairturn::rules::rule;
use fairturn::site::{Hazard, MealKind, Span};

#[test]
fn beads_on_the_third_birthday_and_not_the_day_before() {
    let mut b = Build::new();
    let beads = b.station("beads", CLASSROOM);
    b.site.stations[beads.0].hazards = vec![Hazard::SmallParts];
    b.site.stations[beads.0].out_of_reach = true;
    let ola = b.child("Ola", 36, "08:00-12:00");
    b.stay(ola, "09:00-09:15", Place::Station(beads));
    assert_eq!(told(&b.audit("barred")), []);

    let born_a_day_later = NaiveDate::from_ymd_opt(2023, 4, 16).expect("a date");
    b.site.children[ola.0].born = born_a_day_later;
    let problems = b.audit("barred");
    assert_eq!(told(&problems), [("hazard", span("09:00-09:15"), 1)]);
    assert_eq!(problems[0].children, [ola]);
    assert_eq!(problems[0].at, Some(Place::Station(beads)));
    assert_eq!(
        b.words("barred"),
        ["09:00 to 09:15, beads: Ola is too young for what is used there"]
    );
}

#[test]
fn ages_at_a_station_are_half_open() {
    let mut b = Build::new();
    let art = b.station("art", CLASSROOM);
    b.site.stations[art.0].from_months = 30;
    b.site.stations[art.0].below_months = Some(60);
    for (months, expected) in [(29, "too-young"), (30, ""), (59, ""), (60, "too-old")] {
        let mut b = Build { chart: b.chart.clone(), site: b.site.clone(), ..Build::new() };
        let ola = b.child("Ola", months, "08:00-12:00");
        b.stay(ola, "10:00-10:12", Place::Station(art));
        let cases: Vec<_> = b.audit("barred").iter().map(|p| p.case).collect();
        assert_eq!(cases, if expected.is_empty() { vec![] } else { vec![expected] }, "{months}");
    }
}

#[test]
fn allergies_and_not_for_hold_in_a_choice_too() {
    let mut b = Build::new();
    let (dough, books) = (b.station("dough", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[dough.0].allergens = vec!["wheat".into()];
    let (ola, kim) = (b.child("Ola", 40, "08:00-12:00"), b.child("Kim", 50, "08:00-12:00"));
    b.site.children[ola.0].allergies = vec!["wheat".into()];
    b.site.children[kim.0].not_for = vec![books];
    let choice = b.choice("09:00-10:00", &[dough, books]);
    b.stay(ola, "09:00-09:30", choice);
    b.stay(kim, "09:10-09:40", choice);
    let problems = b.audit("barred");
    let expected = [("allergy", span("09:00-09:30"), 1), ("not-for", span("09:10-09:40"), 1)];
    assert_eq!(told(&problems), expected);
    assert_eq!((&problems[0].children[..], &problems[1].children[..]), (&[ola][..], &[kim][..]));
    assert_eq!(problems[1].at, Some(Place::Station(books)));
}

#[test]
fn what_nobody_knows_is_not_used_beside_an_allergy_before_it_is_asked() {
    let mut b = Build::new();
    let den = b.space("den");
    let (art, books) = (b.station("art", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[art.0].allergens = vec!["wheat".into(), "glimmer paste".into()];
    let (ola, kim) = (b.child("Ola", 40, "08:00-12:00"), b.child("Kim", 50, "08:00-12:00"));
    b.site.children[kim.0].allergies = vec!["egg".into()];
    b.stay(ola, "09:00-11:00", Place::Station(art));
    b.stay_in(kim, "08:00-09:10", den, Place::WholeGroup);
    b.stay(kim, "09:10-09:30", Place::Station(books));
    b.stay(kim, "09:30-09:40", Place::Rest).state = State::Asleep;
    b.stay(kim, "09:50-10:00", Place::Station(art));
    b.stay_in(kim, "10:00-12:00", den, Place::WholeGroup);
    // Beside it from 9:10, asleep from 9:30, beside it again, at it from 9:50, gone at 10:00.
    let problems = b.audit("barred");
    let expected = [
        ("unknown-word", span("09:10-09:30"), 1),
        ("unknown-word", span("09:40-09:50"), 1),
        ("ask", span("09:50-10:00"), 1),
    ];
    assert_eq!(told(&problems), expected);
    assert!(problems.iter().all(|p| p.children == [kim] && p.at == Some(Place::Station(art))));
    let words = (rule("barred").expect("a rule").words)(&b.day(), &problems[0]);
    let expected = "09:10 to 09:30, art: glimmer paste is not known here: ask what is in it; Kim, awake in \
                    classroom, has an allergy";
    assert_eq!(words, expected);
    let words = (rule("barred").expect("a rule").words)(&b.day(), &problems[2]);
    assert!(words.ends_with("ask what is in it; it is not for Kim before that"), "{words}");
    // Without an allergy it is nobody's matter, and a known word meets only whom it meets.
    b.site.children[kim.0].allergies = vec!["none".into()];
    assert_eq!(b.audit("barred"), []);
    b.site.stations[art.0].allergens = vec!["wheat".into()];
    b.site.children[kim.0].allergies = vec!["egg".into()];
    assert_eq!(b.audit("barred"), []);
}

#[test]
fn an_allergy_that_nobody_knows_is_asked_about_beside_whatever_is_named() {
    let mut b = Build::new();
    let (art, books) = (b.station("art", CLASSROOM), b.station("books", CLASSROOM));
    b.site.stations[art.0].allergens = vec!["salt".into()];
    let (ola, kim) = (b.child("Ola", 40, "08:00-12:00"), b.child("Kim", 50, "08:00-12:00"));
    b.site.children[kim.0].allergies = vec!["bath foam".into()];
    b.stay(ola, "09:00-10:00", Place::Station(art));
    b.stay(ola, "10:00-11:00", Place::Station(books));
    let problems = b.audit("barred");
    assert_eq!(told(&problems), [("unknown-word", span("09:00-10:00"), 1)]);
    let words = (rule("barred").expect("a rule").words)(&b.day(), &problems[0]);
    let expected =
        "Kim is allergic to bath foam, which is not known here: ask whether salt has to do with it";
    assert!(words.contains(expected), "{words}");
    // The same word on both sides is a plain meeting: nothing to whoever is not at it.
    b.site.stations[art.0].allergens = vec!["Bath-foam".into()];
    assert_eq!(b.audit("barred"), []);
    b.stay(kim, "09:20-09:30", Place::Station(art));
    assert_eq!(told(&b.audit("barred")), [("allergy", span("09:20-09:30"), 1)]);
}

#[test]
fn a_recipe_that_may_have_it_is_asked_about_before_the_child_is_at_it() {
    let mut b = Build::new();
    let table = b.station("breakfast table", CLASSROOM);
    b.site.stations[table.0].allergens = vec!["bread".into()];
    let (ola, kim) = (b.child("Ola", 40, "08:00-12:00"), b.child("Kim", 50, "08:00-12:00"));
    b.site.children[kim.0].allergies = vec!["milk".into()];
    b.stay(ola, "09:00-10:00", Place::Station(table));
    assert_eq!(b.audit("barred"), [], "who is not at it is not asked about");
    b.stay(kim, "09:20-09:30", Place::Station(table));
    let problems = b.audit("barred");
    assert_eq!(told(&problems), [("ask", span("09:20-09:30"), 1)]);
    let words = (rule("barred").expect("a rule").words)(&b.day(), &problems[0]);
    assert!(words.contains("bread may have in it what Kim is allergic to"), "{words}");
    b.site.stations[table.0].allergens = vec!["butter".into()];
    let words = (rule("barred").expect("a rule").words)(&b.day(), &b.audit("barred")[0]);
    assert!(words.ends_with("Kim is allergic to something there (butter: milk)"), "{words}");
}

#[test]
fn small_parts_stay_closed_while_a_toddler_is_awake_in_the_space() {
    let mut b = Build::new();
    let den = b.space("den");
    let beads = b.station("beads", CLASSROOM);
    b.site.stations[beads.0].hazards = vec![Hazard::SmallParts];
    let (ola, tiny) = (b.child("Ola", 48, "08:00-12:00"), b.child("Tiny", 35, "08:00-12:00"));
    b.stay(ola, "09:00-10:00", Place::Station(beads));
    b.stay_in(tiny, "08:00-09:20", den, Place::WholeGroup);
    b.stay(tiny, "09:25-09:40", Place::Rest);
    b.stay(tiny, "09:40-12:00", Place::Rest).state = State::Asleep;
    // In the classroom and up from 9:20; resting counts as awake, asleep does not.
    let problems = b.audit("barred");
    assert_eq!(told(&problems), [("awake", span("09:20-09:40"), 1)]);
    assert_eq!(problems[0].children, [tiny]);
    assert_eq!(
        b.words("barred"),
        ["09:20 to 09:40, beads: it stays closed while Tiny is awake in classroom, too young for \
          it"]
    );
    b.site.stations[beads.0].out_of_reach = true;
    assert_eq!(told(&b.audit("barred")), []);
}

#[test]
fn a_station_is_not_used_while_closed() {
    let mut b = Build::new();
    let sand = b.station("sand", CLASSROOM);
    let ola = b.child("Ola", 40, "08:00-12:00");
    b.stay(ola, "09:00-10:00", Place::Station(sand));
    assert_eq!(told(&b.audit("open")), []);
    b.closed = vec![(sand, span("09:17-09:23"))];
    b.site.stations[sand.0].open = vec![span("08:30-09:50")];
    let expected = [("closed", span("09:17-09:23"), 1), ("hours", span("09:50-10:00"), 1)];
    assert_eq!(told(&b.audit("open")), expected);
    assert_eq!(b.words("open")[0], "09:17 to 09:23, sand: Ola is there while it is closed");
}

#[test]
fn a_table_is_set_up_eaten_at_and_wiped() {
    let mut b = Build::new();
    let table = b.table("long table", CLASSROOM);
    let art = b.station("art", CLASSROOM);
    b.site.stations[art.0].stands_on = Some(table);
    b.site.stations[art.0].reset_minutes = 10;
    let (ola, kim) = (b.child("Ola", 40, "08:00-12:00"), b.child("Kim", 50, "08:00-12:00"));
    b.stay(ola, "09:00-09:50", Place::Table(table)).meal = Some(MealKind::MorningSnack);
    b.stay(kim, "08:30-08:50", Place::Station(art));
    b.stay(kim, "09:55-10:30", Place::Station(art));
    assert_eq!(told(&b.audit("open")), [], "ten minutes before and five after are enough");
    b.stay(kim, "08:30-08:51", Place::Station(art));
    b.stay(kim, "09:49-10:30", Place::Station(art));
    let expected = [
        ("set-up", span("08:50-08:51"), 1),
        ("eaten-at", span("09:49-09:50"), 1),
        ("wiped", span("09:50-09:55"), 1),
    ];
    assert_eq!(told(&b.audit("open")), expected);
}

#[test]
fn cots_close_the_floor_that_they_stand_on() {
    let mut b = Build::new();
    let blocks = b.station("blocks", CLASSROOM);
    b.site.stations[blocks.0].under_cots = true;
    let (ola, kim) = (b.child("Ola", 40, "08:00-14:00"), b.child("Kim", 50, "08:00-14:00"));
    b.stay(ola, "12:30-13:30", Place::Rest);
    b.stay(kim, "13:00-14:00", Place::Station(blocks));
    assert_eq!(told(&b.audit("open")), [("cots", span("13:00-13:30"), 1)]);
    let den = b.space("den");
    b.stay_in(ola, "12:30-13:30", den, Place::Rest);
    assert_eq!(told(&b.audit("open")), [], "the cots are in the den");
}

/// Six children, all at `at` from 9:00 to 9:20.
fn six_at(b: &mut Build, at: Place) {
    for label in ["Ola", "Kim", "Jo", "Mika", "Sol", "Ana"] {
        let child = b.child(label, 45, "08:00-12:00");
        b.stay(child, "09:00-09:20", at);
    }
}

#[test]
fn nobody_stands_at_a_full_station_or_table() {
    let mut b = Build::new();
    let (art, table) = (b.station("art", CLASSROOM), b.table("table", CLASSROOM));
    six_at(&mut b, Place::Station(art));
    let problems = b.audit("seats");
    assert_eq!(told(&problems), [("seats", span("09:00-09:20"), 2)]);
    assert_eq!((problems[0].needed, problems[0].present), (6, 4));
    assert_eq!(b.words("seats"), ["09:00 to 09:20, art: 2 seats short, 6 children, 4 seats"]);
    b.site.stations[art.0].seats = 6;
    assert_eq!(told(&b.audit("seats")), []);

    let mut b = Build { site: b.site.clone(), ..Build::new() };
    b.site.children.clear();
    six_at(&mut b, Place::Table(table));
    assert_eq!(told(&b.audit("seats")), []);
    b.site.tables[table.0].seats = 5;
    assert_eq!(told(&b.audit("seats")), [("seats", span("09:00-09:20"), 1)]);
}

#[test]
fn a_choice_has_a_seat_for_each_child_and_assigned_children_take_theirs() {
    let mut b = Build::new();
    let (art, books) = (b.station("art", CLASSROOM), b.station("books", CLASSROOM));
    let choice = b.choice("09:00-09:20", &[art, books]);
    six_at(&mut b, choice);
    assert_eq!(told(&b.audit("seats")), [], "six children, eight seats");
    for label in ["Lu", "Nils", "Pia"] {
        let child = b.child(label, 45, "08:00-12:00");
        b.stay(child, "09:05-09:15", Place::Station(art));
    }
    let problems = b.audit("seats");
    assert_eq!(told(&problems), [("seats", span("09:05-09:15"), 1)]);
    assert_eq!((problems[0].at, problems[0].present), (Some(choice), 5));
}

#[test]
fn two_choices_do_not_share_a_seat() {
    let mut b = Build::new();
    let art = b.station("art", CLASSROOM);
    let (one, other) = (b.choice("09:00-09:20", &[art]), b.choice("09:00-09:20", &[art]));
    for (i, label) in ["Ola", "Kim", "Jo", "Mika", "Sol"].into_iter().enumerate() {
        let child = b.child(label, 45, "08:00-12:00");
        b.stay(child, "09:00-09:20", if i < 3 { one } else { other });
    }
    let problems = b.audit("seats");
    assert_eq!(told(&problems), [("seats", span("09:00-09:20"), 1)]);
    assert_eq!(problems[0].children.len(), 5);
}

#[test]
fn nobody_is_unplaced() {
    let mut b = Build::new();
    let ola = b.child("Ola", 40, "08:00-12:00");
    let ina = b.adult("Ina", "08:00-12:00");
    b.stay(ola, "09:00-09:12", Place::Unplaced);
    b.post(ina, "10:00-10:05", Place::Unplaced);
    let expected: [(&str, Span, u32); 2] =
        [("unplaced", span("09:00-09:12"), 1), ("unplaced", span("10:00-10:05"), 1)];
    assert_eq!(told(&b.audit("seats")), expected);
    assert_eq!(b.words("seats")[0], "09:00 to 09:12: Ola has no place");
}
