//! The hand-worked standards against the published examples and against the data files.

use super::arithmetic::by_hand;
use crate::audits::build::today;
use chrono::Months;
use fairturn::site::{Minute, Span};
use fairturn::standards::{Head, Situation, find};
use proptest::prelude::*;

const SEVEN: [&str; 7] = [
    "cfoc-centre",
    "ireland-full-day",
    "australia",
    "ontario",
    "england-eyfs",
    "netherlands",
    "british-columbia",
];

fn at<'a>(adults: &'a [&'a [String]], outdoors: bool, governing_age: Option<u32>) -> Situation<'a> {
    let open = Span { from: Minute::hm(8, 0), to: Minute::hm(16, 0) };
    Situation { date: today(), adults, governing_age, minute: Minute::hm(10, 0), open, outdoors }
}

/// Children who completed so many months some days ago; asleep where marked.
fn head(months: u32, days_ago: u64, asleep: bool) -> Head {
    let day = today() - chrono::Days::new(days_ago);
    let born = day.checked_sub_months(Months::new(months)).expect("a birth date");
    let months = fairturn::site::age_in_months(born, today()).expect("born before today");
    Head { months, born, asleep }
}

fn adults(id: &str, ages: &[(u32, usize)]) -> u32 {
    let mut heads = Vec::new();
    for &(months, how_many) in ages {
        heads.extend(vec![head(months, 3, false); how_many]);
    }
    by_hand(id, &heads, &at(&[], false, None)).expect("one of the seven").0
}

#[test]
fn published_examples_come_out_by_hand() {
    let australia =
        |ages: [usize; 3]| adults("australia", &[(12, ages[0]), (30, ages[1]), (48, ages[2])]);
    assert_eq!(australia([3, 5, 12]), 3, "the regulator's first example");
    assert_eq!(adults("australia", &[(48, 5), (80, 19)]), 2, "the regulator's second example");
    assert_eq!(australia([1, 0, 8]), 2, "where a fraction sum would say 1");
    assert_eq!(adults("ireland-full-day", &[(6, 2), (18, 1)]), 1, "0.87 adults");
    assert_eq!(adults("ireland-full-day", &[(6, 5), (18, 5), (30, 2)]), 3, "exactly three");
    assert_eq!(adults("ontario", &[(24, 3), (48, 13)]), 2);
    assert_eq!(adults("ontario", &[(24, 4), (48, 12)]), 4);
    assert_eq!(adults("ontario", &[(24, 4), (48, 15)]), 4);
    assert_eq!(adults("ontario", &[(24, 4), (48, 16)]), 3, "one more child, one adult fewer");
    assert_eq!(adults("cfoc-centre", &[(24, 2), (40, 8), (50, 6)]), 4);
    assert_eq!(adults("netherlands", &[(6, 3), (18, 3), (30, 3), (40, 3)]), 2);
    assert_eq!(adults("netherlands", &[(18, 5), (30, 4), (40, 4)]), 2);
    assert_eq!(adults("netherlands", &[(30, 8), (40, 8)]), 2);
    let levels = |level: &str| vec![format!("level-{level}")];
    let (six, three) = (levels("6"), levels("3"));
    let many = vec![head(40, 3, false); 26];
    let england = |a: &[&[String]]| by_hand("england-eyfs", &many, &at(a, false, None));
    assert_eq!(england(&[&six, &three]).map(|n| n.0), Some(2));
    assert_eq!(england(&[&three, &three]).map(|n| n.0), Some(4));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_data_files_say_what_the_hand_says(
        who in prop::collection::vec((3u32..80, 0u64..3, any::<bool>()), 1..24),
        levels in prop::collection::vec(prop::sample::select(vec!["", "level-3", "level-6"]), 0..5),
        outdoors in any::<bool>(),
        governing_age in prop::option::of(18u32..70),
    ) {
        let heads: Vec<Head> = who.iter().map(|&(m, d, asleep)| head(m, d, asleep)).collect();
        let levels: Vec<Vec<String>> = levels.iter().map(|l| vec![l.to_string()]).collect();
        let adults: Vec<&[String]> = levels.iter().map(Vec::as_slice).collect();
        for id in SEVEN {
            let fixed = governing_age.filter(|_| id == "ontario");
            let situation = at(&adults, outdoors, fixed);
            let hand = by_hand(id, &heads, &situation).expect("one of the seven");
            let need = find(id).expect("built in").need(&heads, &situation);
            // Two qualified adults who are there anyway are no shortage.
            let short = |needed: u32| needed.saturating_sub(adults.len() as u32);
            if id == "england-eyfs" {
                prop_assert_eq!((id, short(hand.0)), (id, short(need.adults)));
            } else {
                prop_assert_eq!((id, hand), (id, (need.adults, need.class_size)));
            }
        }
    }
}
