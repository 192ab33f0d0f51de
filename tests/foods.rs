//! Foods, materials and allergies through every verb: nothing that is not known is called safe.

use chrono::NaiveDate;
use fairturn::chart::{Chart, Place};
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::{Against, Options, Plan, fixes, make, repair, why};
use fairturn::rules::{Problem, rule};
use fairturn::site::{AdultIndex, ChildIndex, Minute, RoomIndex, StationIndex};
use fairturn::solve::Effort;
use fairturn::wire::scenario::{Scenario, read};

const GRACE: ChildIndex = ChildIndex(0);
const ART: StationIndex = StationIndex(0);

/// Eight children and three adults; `art` is more of what is said of the first station, `grace` of
/// the first child, `day` of the date.
fn room(art: &str, grace: &str, day: &str) -> Scenario {
    let text = format!(
        r#"{{
  "format": 1, "about": "Invented.",
  "site": {{ "label": "Pier house", "time_zone": "Europe/Dublin", "standards": ["ireland-full-day"] }},
  "zones": [{{ "id": "rug", "label": "Rug" }}, {{ "id": "wet-end", "label": "Wet end" }}],
  "stations": [
    {{ "id": "art", "preset": "art", "zone": "wet-end", "supervision": "general", "mess": "dry", "reset_minutes": 0 {art} }},
    {{ "preset": "blocks" }}, {{ "preset": "books" }}, {{ "preset": "puzzles" }}, {{ "preset": "trains" }}
  ],
  "children": [
    {{ "label": "Grace", "born": "2021-11-03" {grace} }},
    {{ "label": "Birk", "born": "2022-02-20" }}, {{ "label": "Caro", "born": "2021-08-14" }},
    {{ "label": "Dag", "born": "2022-05-09" }}, {{ "label": "Eik", "born": "2021-09-01" }},
    {{ "label": "Fay", "born": "2022-01-11" }}, {{ "label": "Gus", "born": "2021-12-24" }},
    {{ "label": "Hedda", "born": "2022-03-02" }}
  ],
  "adults": [
    {{ "label": "Rune", "shift": "08:00-16:00" }}, {{ "label": "Siv", "shift": "08:00-16:00" }},
    {{ "label": "Tor", "shift": "08:30-16:00" }}
  ],
  "schedules": [{{ "preset": "full-day", "times": {{ "opens": "08:00", "closes": "16:00" }} }}],
  "days": [{{ "date": "2026-04-14" {day} }}]
}}"#
    );
    read(text.as_bytes()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn opened(scenario: &Scenario) -> Day {
    let tuesday = NaiveDate::from_ymd_opt(2026, 4, 14).expect("a Tuesday");
    scenario.open(RoomIndex(0), tuesday).expect("the room is open")
}

fn day(art: &str, grace: &str) -> Day {
    opened(&room(art, grace, ""))
}

fn quickly() -> Options {
    let effort = Effort { layouts: 3, short: 2_000, finalists: 2, long: 4_000, nodes: 0 };
    Options { seed: 1, effort }
}

fn made(day: &Day) -> Plan {
    make(day, &quickly())
}

fn said(day: &Day, problems: &[Problem]) -> Vec<String> {
    problems.iter().map(|p| (rule(p.rule).expect("a rule").words)(day, p)).collect()
}

/// Whether a child may come to a station at some time.
fn comes_to(chart: &Chart, child: ChildIndex, station: StationIndex) -> bool {
    let stays = &chart.child(child).expect("a child of the chart").stays;
    stays.iter().any(|stay| match stay.at {
        Place::Station(s) => s == station,
        Place::Choice(k) => chart.choices[k.0].open.contains(&station),
        _ => false,
    })
}

const GLIMMER: &str = r#", "allergens": ["glimmer paste"]"#;
const PEANUT: &str = r#", "allergens": ["peanut butter"]"#;
const TO_PEANUTS: &str = r#", "allergies": ["peanuts"]"#;

#[test]
fn a_word_that_is_not_known_beside_an_allergy_is_asked_about_and_no_chart_is_safe() {
    let day = day(GLIMMER, TO_PEANUTS);
    let plan = made(&day);
    assert!(!plan.safe_to_run());
    let cases: Vec<_> = plan.problems.iter().map(|p| (p.rule, p.case)).collect();
    assert!(cases.iter().all(|case| *case == ("barred", "unknown-word")), "{cases:?}");
    assert!(
        plan.problems.iter().all(|p| p.children == [GRACE] && p.at == Some(Place::Station(ART)))
    );
    for words in said(&day, &plan.problems) {
        assert!(words.contains("glimmer paste is not known here: ask what is in it"), "{words}");
        assert!(words.contains("Grace"), "{words}");
    }
    assert!(!comes_to(&plan.chart, GRACE, ART));
    assert!((1..8).any(|child| comes_to(&plan.chart, ChildIndex(child), ART)));
    assert!(!plan.notes.iter().any(|note| note.contains("glimmer")), "{:?}", plan.notes);
}

#[test]
fn the_day_is_planned_as_if_it_were_what_the_child_is_allergic_to() {
    let (unknown, peanut) = (day(GLIMMER, TO_PEANUTS), day(PEANUT, TO_PEANUTS));
    let (asked, known) = (made(&unknown), made(&peanut));
    assert_eq!(asked.chart, known.chart);
    assert!(known.safe_to_run(), "{:?}", said(&peanut, &known.problems));
    assert!(!comes_to(&known.chart, GRACE, ART));
    let at = Minute::hm(9, 10);
    let away = [Happening::Away { who: Who::Adult(AdultIndex(2)), span: None }];
    let options = quickly();
    let [one, other] = [(&unknown, &asked), (&peanut, &known)].map(|(day, plan)| {
        repair(day, &plan.chart, at, &away, &options).expect("nothing is wrong with it")
    });
    assert_eq!((&one.plan.chart, one.moved.value), (&other.plan.chart, other.moved.value));
    let lasting = |p: &&Problem| p.case != "unknown-word";
    let left: Vec<&Problem> = one.plan.problems.iter().filter(lasting).collect();
    assert_eq!(left, other.plan.problems.iter().collect::<Vec<_>>());
    let offered = [
        fixes(&unknown, &asked.chart, &one, &options),
        fixes(&peanut, &known.chart, &other, &options),
    ];
    let [words, others] = offered
        .each_ref()
        .map(|f| f.fixes.iter().map(|fix| fix.words.clone()).collect::<Vec<String>>());
    assert_eq!(words, others);
}

#[test]
fn no_change_is_offered_where_only_an_answer_helps() {
    let day = day(GLIMMER, TO_PEANUTS);
    let plan = made(&day);
    let at = Minute::hm(8, 30);
    let away = [Happening::Away { who: Who::Child(ChildIndex(7)), span: None }];
    let repaired = repair(&day, &plan.chart, at, &away, &quickly()).expect("it is sound");
    assert!(repaired.problems_ahead().all(|p| p.case == "unknown-word"));
    assert!(!repaired.safe_to_run());
    let offered = fixes(&day, &plan.chart, &repaired, &quickly());
    assert!(offered.fixes.is_empty() && offered.tried == 0);
    assert_eq!(offered.left.len(), repaired.problems_ahead().count());
    assert!(offered.why.iter().all(|why| why.contains("only an answer")), "{:?}", offered.why);
}

#[test]
fn beside_nobody_with_an_allergy_it_is_a_note() {
    for nobody in ["", r#", "allergies": ["none"]"#] {
        let day = day(GLIMMER, nobody);
        let plan = made(&day);
        assert!(plan.safe_to_run(), "{:?}", said(&day, &plan.problems));
        let noted: Vec<&String> =
            plan.notes.iter().filter(|n| n.contains("glimmer paste")).collect();
        assert_eq!(noted.len(), 1, "{:?}", plan.notes);
        assert!(noted[0].contains("not known here: ask what is in it"), "{noted:?}");
    }
}

#[test]
fn an_allergy_that_is_not_known_is_asked_about_beside_any_material() {
    let with = |art: &str| {
        let day = day(art, r#", "allergies": ["sunlight"]"#);
        let plan = made(&day);
        assert!(art.is_empty() || !comes_to(&plan.chart, GRACE, ART));
        said(&day, &plan.problems)
    };
    let wheat = with(r#", "allergens": ["wheat"]"#);
    assert!(!wheat.is_empty());
    for words in wheat {
        assert!(
            words.contains("Grace is allergic to sunlight, which is not known here"),
            "{words}"
        );
    }
    assert_eq!(with(""), Vec::<String>::new());
    // The same word on both sides is a plain meeting.
    assert_eq!(with(r#", "allergens": ["Sunlight"]"#), Vec::<String>::new());
}

#[test]
fn why_says_what_has_to_be_asked() {
    let day = day(GLIMMER, TO_PEANUTS);
    let plan = made(&day);
    let group = plan.chart.group_of(GRACE).expect("a group");
    let elsewhere = |at: Place| matches!(at, Place::Station(s) if s != ART);
    let cell = group.cells.iter().find(|c| elsewhere(c.at)).expect("a turn at another station");
    let (id, minute) = (group.id.clone(), cell.span.from);
    let answer =
        why(&day, &plan.chart, &id, minute, Some(ART), &quickly()).expect("it is asked well");
    let [other] = &answer.others[..] else { panic!("{:?}", answer.others) };
    let Against::Barred { problem } = &other.against else { panic!("{:?}", other.against) };
    let words = said(&day, &[(**problem).clone()]).remove(0);
    assert!(words.contains("glimmer paste is not known here: ask what is in it"), "{words}");
    assert!(words.contains("it is not for Grace before that"), "{words}");
}

#[test]
fn an_evident_food_in_a_name_counts_until_somebody_says_what_is_in_it() {
    let words =
        |art: &str, offer: &str| opened(&room(art, "", offer)).stations[ART.0].allergens.clone();
    assert_eq!(words(r#", "label": "Pancakes""#, ""), ["pancakes (by its name)"]);
    assert_eq!(words(r#", "label": "Baking""#, ""), ["baking (by its name)"]);
    assert_eq!(words(r#", "label": "Pancakes", "allergens": ["none"]"#, ""), ["none"]);
    assert_eq!(
        words(r#", "label": "Pancakes", "allergens": ["egg", "wheat"]"#, ""),
        ["egg", "wheat"]
    );
    let toast = r#", "offers": [{ "station": "art", "activity": "Peanut butter toast", "allergens": ["peanut butter"] }]"#;
    assert_eq!(words("", toast), ["peanut butter", "toast (by its name)"]);
    assert_eq!(
        words("", r#", "offers": [{ "station": "art", "activity": "Paper boats" }]"#),
        [""; 0]
    );
    let scenario = room(r#", "label": "Pancakes""#, r#", "allergies": ["egg"]"#, toast);
    let said = scenario.assumed_sentences();
    let expected = "Pancakes has in it what its name says (pancakes: wheat, egg and milk), until `allergens` say what is in it.";
    assert!(said.iter().any(|s| s == expected), "{said:?}");
    let expected = "Peanut butter toast has in it what its name says (toast: wheat), until `allergens` say what is in it.";
    assert!(said.iter().any(|s| s == expected), "{said:?}");
    let day = opened(&scenario);
    assert!(!comes_to(&made(&day).chart, GRACE, ART));
}

#[test]
fn nobody_is_owed_what_has_to_be_asked_about_first() {
    let offer = r#""offers": [{ "station": "art", "activity": "Buoys", "allergens": ["glimmer paste"], "must_do": MUST }]"#;
    let everyone = format!(", {}", offer.replace("MUST", r#""everyone""#));
    let day = opened(&room("", TO_PEANUTS, &everyone));
    assert_eq!(day.must_do.len(), 7, "Grace is not meant");
}
