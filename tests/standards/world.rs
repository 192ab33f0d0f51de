//! Canada, the United Kingdom, the Nordic countries and Singapore: each table typed in again and read plainly,
//! and birthdays at the days of the year on which children change age.

use super::plain::{ANY, ON, Plain, Row, both, head, mixes};
use super::*;

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).expect("a date")
}

/// The band of a child on a date.
fn band(id: &str, born: NaiveDate, on: NaiveDate) -> String {
    let standard = built_in(id);
    standard.bands[standard.band_of(&head(born, on), on)].id.clone()
}

/// Adults, one at a time, until so many to each hold them.
fn enough(n: usize, each: u32) -> u32 {
    (1..).find(|adults| (adults * each) as usize >= n).expect("some number")
}

/// For each mix: the rows of its children, and what the standard says.
fn each_mix(id: &str, rows: &'static [Row], told: impl Fn(&[usize], Need)) {
    let ages = Plain::of(id_of(id), rows);
    let standard = built_in(id);
    for mix in mixes(&ages.birthdays()) {
        let rows: Vec<usize> = mix.iter().map(|born| ages.row(*born)).collect();
        let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
        told(&rows, standard.need(&heads, &plain()));
    }
}

fn id_of(id: &str) -> &'static str {
    let all = fairturn::standards::library().iter();
    all.map(|s| s.id.as_str()).find(|known| *known == id).expect("a built-in standard")
}

/// Alberta's older section 30(1) (a forum), Saskatchewan (the government's page; ages and sizes from memory),
/// Nova Scotia (from memory): the youngest governs.
#[test]
fn provinces_by_a_plain_reading() {
    Plain::of("alberta", &[(12, 3, 6), (19, 4, 8), (36, 6, 12), (54, 8, 16), (ON, 10, 20)])
        .compare();
    Plain::of("saskatchewan", &[(19, 3, 6), (30, 5, 10), (72, 10, 20), (ON, 15, 30)]).compare();
    Plain::of("nova-scotia", &[(18, 4, 10), (36, 6, 18), (72, 8, 24), (ON, 15, 30)]).compare();
    assert_eq!(both("alberta", &[(4, 20), (9, 40)]), (3, Some(12)), "1:6, and 13 are too many");
    assert_eq!(both("alberta", &[(9, 53)]), (2, Some(16)), "1:8 until 4 and a half");
}

/// Manitoba, 62/86 section 8 (from memory): one table for one age, another for mixed ages.
#[test]
fn manitoba_by_a_plain_reading() {
    const ONE: &[Row] =
        &[(12, 3, 6), (24, 4, 8), (36, 6, 12), (48, 8, 16), (60, 9, 18), (72, 10, 20), (0, 15, 30)];
    let row = |rows: &[usize]| {
        let (first, last) = (*rows.iter().min().expect("one"), *rows.iter().max().expect("one"));
        match (first, last) {
            (first, last) if first == last => (ONE[first].1, ONE[first].2),
            (0, 1) => (4, 8),
            (2.., _) => (8, 16),
            (young, _) => (ONE[young].1, ONE[young].2),
        }
    };
    each_mix("manitoba", ONE, |rows, need| {
        let (each, size) = row(rows);
        assert_eq!(need.class_size, Some(size), "{rows:?}");
        if rows.len() as u32 <= size {
            let mut adults = enough(rows.len(), each);
            for first in 0..7 {
                for last in first..7 {
                    let part: Vec<usize> =
                        rows.iter().copied().filter(|r| (first..=last).contains(r)).collect();
                    if !part.is_empty() {
                        adults = adults.max(enough(part.len(), row(&part).0));
                    }
                }
            }
            assert_eq!(need.adults, adults, "{rows:?}");
        }
    });
    assert_eq!(both("manitoba", &[(4, 30), (12, 40)]), (2, Some(16)), "1:8 for 16");
    assert_eq!(both("manitoba", &[(5, 30), (12, 40)]).1, Some(16), "17 are too many");
    assert_eq!(both("manitoba", &[(9, 50), (9, 62)]).1, Some(16), "fours and fives are mixed");
}

/// Saskatchewan (the government's page): eight in a home, five under school age, two of them under 30 months.
#[test]
fn a_home_in_saskatchewan_by_a_plain_reading() {
    each_mix("saskatchewan-home", &[(30, 1, 0), (72, 1, 0), (0, 1, 0)], |rows, need| {
        let count = |upto: usize| rows.iter().filter(|row| **row <= upto).count();
        let legal = rows.len() <= 8 && count(1) <= 5 && count(0) <= 2;
        let size = need.class_size.expect("eight at the most") as usize;
        assert_eq!(rows.len() <= size, legal, "{rows:?}");
        assert_eq!(need.adults == 1, legal, "{rows:?}");
    });
    assert_eq!(both("saskatchewan-home", &[(2, 20), (3, 40), (3, 80)]), (1, Some(8)));
    assert_eq!(both("saskatchewan-home", &[(3, 20), (1, 40)]).1, Some(3), "one toddler leaves");
    assert_eq!(both("saskatchewan-home", &[(2, 20), (4, 40)]).1, Some(5));
    assert_eq!(both("saskatchewan-home", &[(3, 20), (5, 80)]).1, Some(7), "stricter than the text");
}

/// Quebec, section 21 (the ministry's page) and 7: each class by itself, ages on 30 September.
#[test]
fn quebec_counts_each_class_and_ages_on_30_september() {
    let quebec = |n: [u32; 3]| both("quebec", &[(n[0], 10), (n[1], 30), (n[2], 58)]);
    assert_eq!(quebec([6, 9, 11]), (6, None), "two, two and two; a sum of fractions would say 4");
    assert_eq!([5, 6].map(|n| quebec([n, 0, 0]).0), [1, 2]);
    assert_eq!([8, 9].map(|n| quebec([0, n, 0]).0), [1, 2]);
    assert_eq!([10, 11].map(|n| quebec([0, 0, n]).0), [1, 2]);
    for a in 0..12 {
        for b in 0..18 {
            for c in 1..22 {
                let apart = [(a, 5), (b, 8), (c, 10)];
                let apart = apart.map(|(n, each)| if n == 0 { 0 } else { enough(n, each) });
                let n = [a as u32, b as u32, c as u32];
                assert_eq!(quebec(n).0, apart.iter().sum::<u32>(), "{n:?}");
            }
        }
    }
    let of = |born, on| band("quebec", born, on);
    assert_eq!(of(day(2021, 9, 30), day(2025, 9, 30)), "18-months", "4 years that day");
    assert_eq!(of(day(2021, 9, 30), day(2025, 10, 1)), "4");
    assert_eq!(of(day(2021, 10, 1), day(2026, 9, 30)), "18-months", "3 years last 30 September");
    assert_eq!(of(day(2021, 10, 1), day(2026, 10, 1)), "4");
    assert_eq!(of(day(2020, 9, 30), day(2025, 10, 1)), "5");
    assert_eq!(of(date() - Months::new(18), date()), "18-months");
    assert_eq!(of(date() - Months::new(18) + chrono::Days::new(1), date()), "infant");
}

/// Wales and Northern Ireland: whichever of the youngest's ratio and each age by itself asks for more.
#[test]
fn wales_and_northern_ireland_by_a_plain_reading() {
    const WALES: &[Row] = &[(24, 3, ANY), (36, 4, ANY), (96, 8, ANY), (ON, 10, ANY)];
    const NORTH: &[Row] = &[(24, 3, ANY), (36, 4, ANY), (ON, 8, ANY)];
    for (id, table) in [("wales", WALES), ("northern-ireland", NORTH)] {
        each_mix(id, table, |rows, need| {
            let youngest = enough(rows.len(), table[*rows.iter().min().expect("one")].1);
            let of = |row: usize| rows.iter().filter(|r| **r == row).count();
            let there = (0..table.len()).filter(|row| of(*row) > 0);
            let apart: u32 = there.map(|row| enough(of(row), table[row].1)).sum();
            assert_eq!(need.adults, youngest.max(apart), "{id}: {rows:?}");
            assert_eq!(need.class_size, None);
        });
    }
    assert_eq!(both("wales", &[(1, 20), (7, 40)]).0, 3, "1:3 for 8");
    assert_eq!(both("wales", &[(1, 20), (1, 30), (1, 40)]).0, 3, "one for each age");
    let words = built_in("wales").sentence(&mix(&[(1, 20), (7, 40)]), &plain());
    assert!(words.contains("or each age rounded up if that is more, 3 adults"), "{words}");
}

/// Norway, section 26 (restated): fractions over the whole kindergarten; over three from August.
#[test]
fn norway_sums_fractions_and_counts_from_august() {
    let norway = |under, over| both("norway", &[(under, 20), (over, 50)]).0;
    assert_eq!(norway(9, 20), 7, "6 1/3 posts");
    for under in 0..30 {
        for over in 1..40 {
            // In sixths of a post, so that nothing is rounded before the end.
            assert_eq!(norway(under, over), (2 * under + over).div_ceil(6), "{under} {over}");
        }
    }
    let of = |born, on| band("norway", born, on);
    assert_eq!(of(day(2023, 12, 20), day(2026, 7, 31)), "under-3");
    assert_eq!(of(day(2023, 12, 20), day(2026, 8, 1)), "over-3", "aged 2 years and 7 months");
    assert_eq!(of(day(2023, 1, 2), day(2026, 7, 31)), "under-3", "aged 3 years and 6 months");
    assert_eq!(of(day(2023, 1, 2), day(2026, 8, 1)), "over-3");
    assert_eq!(of(day(2024, 1, 1), day(2027, 7, 31)), "under-3");
    assert_eq!(of(day(2024, 1, 1), day(2026, 12, 31)), "under-3");
}

/// Finland, decree 753/2018 (official text), groups from memory: each age by itself.
#[test]
fn finland_by_a_plain_reading() {
    each_mix("finland", &[(36, 4, 12), (ON, 7, 21)], |rows, need| {
        let young = rows.iter().filter(|row| **row == 0).count();
        let apart = [(young, 4), (rows.len() - young, 7)];
        let adults: u32 =
            apart.into_iter().filter(|(n, _)| *n > 0).map(|(n, each)| enough(n, each)).sum();
        assert_eq!(need.adults, adults, "{rows:?}");
        assert_eq!(need.class_size, Some(if young > 0 { 12 } else { 21 }), "{rows:?}");
    });
    assert_eq!(both("finland", &[(5, 20), (10, 40)]).0, 4, "where a sum of fractions says 3");
    assert_eq!(
        built_in("finland").from_memory(),
        ["the class size of under 3 years", "the class size of 3 years and over"]
    );
}

/// Singapore, regulations 45 to 47 (a copy): the class of the youngest, by calendar year; out of doors a table
/// of its own and two adults.
#[test]
fn singapore_goes_by_the_calendar_year_and_has_two_adults_out_of_doors() {
    let standard = built_in("singapore");
    // In 2026: born, children to one adult indoors and out of doors.
    let classes = [
        (day(2025, 6, 1), 5, 5),
        (day(2023, 10, 1), 8, 6),
        (day(2023, 2, 1), 12, 9),
        (day(2022, 6, 1), 15, 10),
        (day(2021, 6, 1), 20, 13),
        (day(2020, 6, 1), 25, 15),
    ];
    for (i, (young, inside, outside)) in classes.iter().enumerate() {
        for (older, ..) in &classes[i..] {
            for n in 1..60 {
                let heads: Vec<Head> =
                    (0..n).map(|k| head(if k == 0 { *young } else { *older }, date())).collect();
                let at =
                    |outdoors| standard.need(&heads, &Situation { outdoors, ..plain() }).adults;
                assert_eq!(at(false), enough(n, *inside), "{n} from {young}");
                assert_eq!(at(true), enough(n, *outside).max(2), "{n} from {young} outdoors");
            }
        }
    }
    let of = |born, on| band("singapore", born, on);
    assert_eq!(of(day(2022, 12, 31), day(2025, 12, 30)), "playgroup");
    assert_eq!(of(day(2022, 12, 31), day(2025, 12, 31)), "pre-nursery", "for one day");
    assert_eq!(of(day(2022, 12, 31), day(2026, 1, 1)), "nursery");
    assert_eq!(of(day(2022, 1, 1), day(2025, 12, 31)), "pre-nursery");
    assert_eq!(of(day(2021, 3, 1), day(2026, 1, 1)), "kindergarten-1");
    assert_eq!(of(day(2020, 12, 31), day(2026, 1, 1)), "kindergarten-2");
    let words = standard.sentence(&mix(&[(16, 40)]), &Situation { outdoors: true, ..plain() });
    assert!(words.contains("steps (2 up to"), "{words}");
}
