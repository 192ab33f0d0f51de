//! States of the United States whose youngest child governs: each table typed in again and read plainly, and
//! the worked examples, worked by hand where the text has none.

use super::plain::{ANY, ON, Plain, both};
use super::*;

/// More than one age in the group, of which this one is broken up by the text.
fn both_sides(rows: &[usize], young: usize, old: usize) -> bool {
    rows.iter().any(|row| *row <= young) && rows.iter().any(|row| *row >= old)
}

/// 26 TAC 746.1601 and 746.1609, 13 or more children (from memory): whole months.
#[test]
fn texas_by_a_plain_reading() {
    Plain::of(
        "texas",
        &[
            (12, 4, 10),
            (18, 5, 13),
            (24, 9, 18),
            (36, 11, 22),
            (48, 15, 30),
            (60, 18, 35),
            (72, 22, 35),
            (ON, 26, 35),
        ],
    )
    .compare();
    assert_eq!(both("texas", &[(9, 20), (13, 40)]), (3, Some(18)), "22 at 1:9, and too many");
    assert_eq!(both("texas", &[(10, 11)]), (3, Some(10)));
    assert_eq!(built_in("texas").from_memory(), ["the ratios", "the class sizes"]);
}

/// 18 NYCRR 418-1.8 (two councils); the day of 18 or 36 months is the younger's.
#[test]
fn new_york_state_by_a_plain_reading() {
    let rows = &[
        (2, 3, 6),
        (18, 4, 8),
        (36, 5, 12),
        (48, 7, 18),
        (60, 8, 21),
        (72, 9, 24),
        (120, 10, 20),
        (ON, 15, 30),
    ];
    let table = Plain::of("new-york", rows);
    for born in table.birthdays() {
        for n in 1..30 {
            let heads = vec![plain::head(born, date()); n];
            let at_an_edge = [18, 36].map(|m| born + Months::new(m)).contains(&date());
            let read = Plain { day_is_younger: at_an_edge, ..Plain::of("new-york", rows) };
            let need = built_in("new-york").need(&heads, &plain());
            let plainly = read.need(&vec![born; n]);
            assert_eq!((need.adults, need.class_size), plainly, "{n} born {born}");
        }
    }
    assert_eq!(both("new-york", &[(3, 30), (9, 40)]), (3, Some(12)), "1:5 for 12");
    assert_eq!(built_in("new-york").from_memory(), ["mixed ages"]);
}

/// 24 RCNY 47.23 (a university page, a bill memo; the last age from memory), the youngest in place of the
/// predominant age.
#[test]
fn new_york_city_by_a_plain_reading() {
    Plain::of(
        "new-york-city",
        &[(12, 4, 8), (24, 5, 10), (36, 6, 12), (48, 10, 15), (60, 12, 20), (ON, 15, 25)],
    )
    .compare();
    let (adults, _) = both("new-york-city", &[(3, 30), (9, 40)]);
    assert_eq!(adults, 2, "the predominant 1:10 needs 2 as well");
    assert_eq!(both("new-york-city", &[(6, 30), (6, 40)]), (2, Some(12)), "the stricter of a tie");
    assert_eq!(both("new-york-city", &[(7, 30), (7, 40)]), (3, Some(12)), "14 are too many");
    assert_eq!(
        built_in("new-york-city").from_memory(),
        ["the ratio of 5 years and over", "the class size of 5 years and over"]
    );
}

/// Four of the older sets, with birthdays at each edge: title 22 (from memory), 55 Pa. Code 3270.55 (sizes from
/// memory), 8VAC20-780-350 (numbers of the older text), WAC 388-150-190 (an older text).
#[test]
fn four_older_sets_by_a_plain_reading() {
    Plain::of("california", &[(24, 4, ANY), (72, 12, ANY), (ON, 14, ANY)]).compare();
    let pennsylvania =
        &[(12, 4, 8), (24, 5, 10), (36, 6, 12), (72, 10, 20), (120, 12, 24), (ON, 15, 30)];
    Plain::of("pennsylvania", pennsylvania).compare();
    let virginia =
        &[(16, 4, ANY), (24, 5, ANY), (36, 8, ANY), (72, 10, ANY), (108, 18, ANY), (ON, 20, ANY)];
    Plain::of("virginia", virginia).compare();
    Plain::of("washington", &[(12, 4, 8), (30, 7, 14), (72, 10, 20), (ON, 15, 30)]).compare();
}

/// 89 Ill. Adm. Code 407.190 (a copy): whole months, and a list of mixes.
#[test]
fn illinois_by_a_plain_reading() {
    let rows = &[
        (15, 4, 12),
        (24, 5, 15),
        (36, 8, 16),
        (48, 10, 20),
        (60, 10, 20),
        (72, 20, 20),
        (84, 20, 30),
        (ON, 20, 30),
    ];
    // Infants to twos, twos to fives, fours to sixes, school children.
    let listed: fn(&[usize], usize) -> bool = |rows, _| {
        let (first, last) = (rows[0], rows[rows.len() - 1]);
        [(0, 2), (2, 5), (4, 6), (6, 7)].iter().any(|(from, to)| *from <= first && last <= *to)
    };
    Plain { may_be_together: listed, ..Plain::of("illinois", rows) }.compare();
    assert_eq!(both("illinois", &[(2, 14), (3, 20), (4, 30)]), (3, Some(12)));
    assert_eq!(both("illinois", &[(3, 20), (4, 30)]), (2, Some(15)));
    assert_eq!(both("illinois", &[(2, 20), (3, 40)]), (1, Some(3)), "a toddler with threes");
    let words = built_in("illinois").sentence(&mix(&[(2, 20), (3, 40)]), &plain());
    assert!(
        words.ends_with(
            "at most 3 together, 5 here: too many; not in one group: toddlers, 15 through 23 months or \
             younger and 3 years or older."
        ),
        "{words}"
    );
}

/// ORC 5104.033(A) and OAC 5101:2-12-18 (copies): two adults have twelve infants.
#[test]
fn ohio_by_a_plain_reading() {
    let rows = &[
        (12, 5, 12),
        (18, 6, 12),
        (30, 7, 14),
        (36, 8, 16),
        (48, 12, 24),
        (72, 14, 28),
        (132, 18, 36),
        (ON, 20, 40),
    ];
    Plain { pairs: &[(0, 12)], ..Plain::of("ohio", rows) }.compare();
    let infants = |n| both("ohio", &[(n, 6)]).0;
    assert_eq!([5, 6, 11, 12, 13].map(infants), [1, 2, 2, 2, 3]);
    assert_eq!(both("ohio", &[(1, 32), (11, 40)]), (2, Some(16)), "no exception for one child");
    assert_eq!(both("ohio", &[(2, 32), (10, 40)]), (2, Some(16)));
    assert_eq!([6, 7].map(|n| built_in("ohio").least_adults(n)), [0, 2]);
    let out = Situation { outdoors: true, ..plain() };
    assert_eq!(built_in("ohio").need(&mix(&[(13, 6)]), &out).class_size, None, "off out of doors");
    let mut asleep = heads(24, 40);
    asleep.iter_mut().for_each(|head| head.asleep = true);
    assert_eq!(built_in("ohio").need(&asleep, &plain()).adults, 2, "as when awake");
}

/// R 400.8101 (read) and R 400.8182 (from memory).
#[test]
fn michigan_by_a_plain_reading() {
    Plain::of("michigan", &[(30, 4, 12), (36, 8, 16), (48, 10, 30), (72, 12, 36), (ON, 18, 36)])
        .compare();
    assert_eq!(both("michigan", &[(1, 29), (8, 40)]), (3, Some(12)));
}

/// N.J.A.C. 3A:52-4.3(c) (a copy); nothing is relaxed at rest, for one of its conditions was cut off.
#[test]
fn new_jersey_by_a_plain_reading() {
    let rows = &[(18, 4, ANY), (30, 6, ANY), (48, 10, ANY), (60, 12, ANY), (ON, 15, ANY)];
    Plain::of("new-jersey", rows).compare();
    let mut asleep = heads(20, 40);
    asleep.iter_mut().for_each(|head| head.asleep = true);
    let need = built_in("new-jersey").need(&asleep, &plain());
    assert_eq!((need.adults, need.in_building), (2, 2));
}

/// 606 CMR 7.10(9) (secondary pages): two adults have seven infants, or nine toddlers.
#[test]
fn massachusetts_by_a_plain_reading() {
    let rows = &[(15, 3, 7), (33, 4, 9), (72, 10, 20), (ON, 13, 26)];
    Plain { pairs: &[(0, 7), (1, 9)], ..Plain::of("massachusetts", rows) }.compare();
    let half = &[(15, 3, 7), (33, 4, 9), (ON, 12, 24)];
    Plain { pairs: &[(0, 7), (1, 9)], ..Plain::of("massachusetts-half-day", half) }.compare();
    assert_eq!([3, 4, 7].map(|n| both("massachusetts", &[(n, 10)]).0), [1, 2, 2]);
    assert_eq!([4, 5, 9].map(|n| both("massachusetts", &[(n, 20)]).0), [1, 2, 2]);
    assert_eq!(both("massachusetts", &[(8, 10)]).1, Some(7), "eight infants are too many");
    let (with, without) = ([(2, 10), (1, 18), (3, 30)], [(3, 10), (3, 30)]);
    assert_eq!(both("massachusetts", &with).0, 2, "where the text may have 1 if one walks");
    assert_eq!(both("massachusetts", &without).0, 2);
    assert_eq!(both("massachusetts-half-day", &[(12, 40)]), (1, Some(24)));
    assert_eq!(both("massachusetts", &[(12, 40)]), (2, Some(20)));
}

/// 8 CCR 1402-1 (two secondary pages): of ages that overlap the strictest.
#[test]
fn colorado_by_a_plain_reading() {
    let rows = &[(18, 5, 10), (36, 5, 10), (48, 10, 20), (60, 12, 24), (ON, 15, 30)];
    Plain::of("colorado", rows).compare();
    assert_eq!(both("colorado", &[(4, 32), (16, 40)]), (4, Some(10)), "no share is used");
    let colorado = built_in("colorado");
    assert_eq!([8, 9].map(|n| colorado.least_adults(n)), [0, 2]);
    assert_eq!(colorado.backup.as_ref().map(|b| b.minutes_away), Some(0));
}

/// Minnesota Rules 9503.0040 (the state's own page).
#[test]
fn minnesota_by_a_plain_reading() {
    Plain::of("minnesota", &[(16, 4, 8), (33, 7, 14), (72, 10, 20), (ON, 15, 30)]).compare();
    assert_eq!(both("minnesota", &[(14, 20)]), (2, Some(14)));
    assert_eq!(both("minnesota", &[(15, 20)]), (3, Some(14)));
    assert_eq!(both("minnesota", &[(10, 33)]), (1, Some(20)), "33 months is preschool");
}

/// COMAR 13A.16.08.03 (a secondary page; group sizes from memory).
#[test]
fn maryland_by_a_plain_reading() {
    Plain::of("maryland", &[(18, 3, 6), (24, 3, 9), (36, 6, 12), (60, 10, 20), (ON, 15, 30)])
        .compare();
    assert_eq!(both("maryland", &[(1, 20), (5, 40)]), (2, Some(9)));
}

/// A.A.C. R9-5-404(A) (a copy): pairs, and infants apart in a group of six or more.
#[test]
fn arizona_by_a_plain_reading() {
    let rows =
        &[(12, 5, ANY), (24, 6, ANY), (36, 8, ANY), (48, 13, ANY), (60, 15, ANY), (ON, 20, ANY)];
    let apart: fn(&[usize], usize) -> bool = |rows, n| n < 6 || !both_sides(rows, 0, 1);
    let pairs = &[(0, 11), (1, 13)];
    Plain { pairs, may_be_together: apart, ..Plain::of("arizona", rows) }.compare();
    let by = |ages: &[(u32, u32)]| both("arizona", ages).0;
    assert_eq!([by(&[(11, 6)]), by(&[(13, 18)])], [2, 2], "the pairs");
    assert_eq!(by(&[(1, 18), (7, 30), (5, 40)]), 2);
    assert_eq!(by(&[(1, 18), (7, 30), (6, 40)]), 3);
    assert_eq!(by(&[(16, 6)]), 4, "above the pair the stricter reading, not the pair and one");
    assert_eq!(both("arizona", &[(1, 6), (5, 30)]).1, Some(5), "six with an infant");
    assert_eq!(both("arizona", &[(1, 6), (4, 30)]).1, None, "five may be together");
    let arizona = built_in("arizona");
    assert_eq!([5, 6].map(|n| arizona.least_adults(n)), [0, 2]);
    assert_eq!(arizona.backup.as_ref().map(|b| b.minutes_away), Some(15));
}
