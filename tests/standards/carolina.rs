//! North Carolina, Tennessee and homes in Maryland, each with a way of its own with mixed ages: the tables typed
//! in again and read plainly.

use super::plain::{Plain, Row, both, head, mixes};
use super::*;

/// Under 1 year apart from 2 years and over; 1 year with older ones only if all are under 3.
fn carolina_apart(rows: &[usize], _: usize) -> bool {
    let has = |row: usize| rows.contains(&row);
    let oldest = rows[rows.len() - 1];
    !(has(0) && oldest >= 2 || has(1) && oldest >= 3)
}

const MINIMUM: &[Row] =
    &[(12, 5, 10), (24, 6, 12), (36, 10, 20), (48, 15, 25), (60, 20, 25), (0, 25, 25)];

/// 10A NCAC 09 .2818 and .2902 (copies): the youngest governs, the day at an edge is the younger's.
#[test]
fn rated_licences_by_a_plain_reading() {
    let rated: &[Row] = &[
        (12, 5, 10),
        (24, 6, 12),
        (36, 9, 18),
        (48, 10, 20),
        (60, 13, 25),
        (72, 15, 25),
        (0, 20, 25),
    ];
    let seven: &[Row] = &[
        (12, 4, 8),
        (24, 5, 10),
        (36, 8, 16),
        (48, 9, 18),
        (60, 12, 24),
        (72, 14, 25),
        (0, 19, 25),
    ];
    let developmental: &[Row] = &[(12, 4, 8), (24, 5, 10), (36, 6, 18), (0, 6, 18)];
    for (id, rows) in [
        ("north-carolina-rated", rated),
        ("north-carolina-seven-points", seven),
        ("north-carolina-developmental", developmental),
    ] {
        let may_be_together = carolina_apart;
        Plain { day_is_younger: true, may_be_together, ..Plain::of(id, rows) }.compare();
    }
    assert_eq!(both("north-carolina-rated", &[(1, 26), (14, 40)]), (2, Some(18)), "no exception");
    assert_eq!(built_in("north-carolina-developmental").least_adults(1), 2);
}

/// 10A NCAC 09 .0713(a) (a copy): one child of 2 years or over may be in the next group.
#[test]
fn the_minimum_by_a_plain_reading() {
    let table = Plain { day_is_younger: true, ..Plain::of("north-carolina", MINIMUM) };
    let standard = built_in("north-carolina");
    for mix in mixes(&table.birthdays()) {
        let mut rows: Vec<usize> = mix.iter().map(|born| table.row(*born)).collect();
        rows.sort_unstable();
        let (youngest, size) = (rows[0], MINIMUM[rows[0]].2);
        let others = &rows[1..];
        let one = youngest >= 2 && !others.is_empty() && others.iter().all(|r| *r == youngest + 1);
        let each = MINIMUM[if one { youngest + 1 } else { youngest }].1;
        let mut adults = 1;
        while adults * each < mix.len() as u32 {
            adults += 1;
        }
        let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
        let need = standard.need(&heads, &plain());
        assert_eq!(need.adults, adults, "{mix:?}");
        rows.dedup();
        if carolina_apart(&rows, 0) {
            assert_eq!(need.class_size, Some(size), "{mix:?}");
        } else {
            assert!(need.class_size.is_some_and(|most| most < mix.len() as u32), "{mix:?}");
        }
    }
    let by = |ages: &[(u32, u32)]| both("north-carolina", ages).0;
    assert_eq!([by(&[(1, 26), (14, 40)]), by(&[(2, 26), (13, 40)])], [1, 2]);
    assert_eq!(by(&[(1, 26), (13, 40), (1, 50)]), 2, "the others are of two ages");
    assert_eq!(by(&[(1, 20), (6, 30)]), 2, "no child under 2");
    assert_eq!(both("north-carolina", &[(1, 20), (3, 40)]).1, Some(3), "no legal group");
    assert_eq!(both("north-carolina", &[(1, 20), (3, 30)]), (1, Some(12)));
}

/// 10A NCAC 09 .1801(b): one in the room from 2 years on, the others within call.
#[test]
fn carolina_sleepers_of_two_years_have_one_adult() {
    for id in ["north-carolina", "north-carolina-rated", "north-carolina-seven-points"] {
        let asleep = |n: u32, months: u32| {
            let mut heads = heads(n, months);
            heads.iter_mut().for_each(|head| head.asleep = true);
            let need = built_in(id).need(&heads, &plain());
            (need.adults, need.in_building)
        };
        let awake = both(id, &[(18, 30)]).0;
        assert_eq!(asleep(18, 30), (1, awake), "{id}");
        assert!(awake > 1 && asleep(10, 20).0 > 1, "{id}: never under 2");
    }
}

/// Charts 1 and 2, by the youngest and the oldest age there, read off by hand: children to one adult and most
/// together; `None`: no row spans them. Ages: under 12 months, 12 to 15, 16 to 23, 24 to 30, 31 to 35 months,
/// 3, 4, 5, 6 years and over.
const TENNESSEE: [[Option<(u32, u32)>; 9]; 9] = {
    const NO: Option<(u32, u32)> = None;
    const fn at(each: u32, size: u32) -> Option<(u32, u32)> {
        Some((each, size))
    }
    [
        [at(4, 8), at(4, 8), at(5, 10), at(5, 10), NO, NO, NO, NO, NO],
        [NO, at(4, 8), at(6, 12), at(6, 12), NO, NO, NO, NO, NO],
        [NO, NO, at(6, 12), at(6, 12), NO, NO, NO, NO, NO],
        [NO, NO, NO, at(6, 12), at(7, 14), at(8, 16), at(8, 16), NO, NO],
        [NO, NO, NO, NO, at(7, 14), at(9, 18), at(8, 16), at(11, 20), at(10, 10)],
        [NO, NO, NO, NO, NO, at(9, 18), at(13, 22), at(13, 22), at(10, 10)],
        [NO, NO, NO, NO, NO, NO, at(13, 20), at(16, 24), at(10, 10)],
        [NO, NO, NO, NO, NO, NO, NO, at(16, 20), at(20, 0)],
        [NO, NO, NO, NO, NO, NO, NO, NO, at(20, 0)],
    ]
};
const TENNESSEE_EDGES: &[Row] = &[
    (12, 1, 0),
    (16, 1, 0),
    (24, 1, 0),
    (31, 1, 0),
    (36, 1, 0),
    (48, 1, 0),
    (60, 1, 0),
    (72, 1, 0),
    (0, 1, 0),
];

/// Tennessee Rules 1240-04-01-.22(1)(c) (copies): the row that spans all ages, no fewer than for a part.
#[test]
fn tennessee_by_a_plain_reading() {
    let ages = Plain::of("tennessee", TENNESSEE_EDGES);
    let standard = built_in("tennessee");
    for mix in mixes(&ages.birthdays()) {
        let rows: Vec<usize> = mix.iter().map(|born| ages.row(*born)).collect();
        let there = |row: &usize| rows.contains(row);
        let mut adults = 0;
        for from in (0..9).filter(there) {
            for to in (from..9).filter(there) {
                let part = rows.iter().filter(|row| (from..=to).contains(*row)).count() as u32;
                let size = TENNESSEE[from][to].map_or(0, |(_, size)| size);
                // Past the group size the chart has no adults to tell; the group is too large anyhow.
                if let Some((each, _)) = TENNESSEE[from][to].filter(|_| size == 0 || part <= size) {
                    adults = adults.max(part.div_ceil(each));
                }
            }
        }
        let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
        let need = standard.need(&heads, &plain());
        let (first, last) = (*rows.iter().min().expect("one"), *rows.iter().max().expect("one"));
        let n = mix.len() as u32;
        match TENNESSEE[first][last] {
            Some((_, 0)) => assert_eq!((need.class_size, need.adults), (None, adults), "{mix:?}"),
            Some((_, size)) => {
                assert_eq!(need.class_size, Some(size), "{mix:?}");
                if n <= size {
                    assert_eq!(need.adults, adults, "{mix:?}");
                }
            }
            None => assert!(need.class_size.is_some_and(|most| most < n), "{mix:?}"),
        }
        assert!(need.adults >= adults, "{mix:?}");
    }
}

/// The same, worked by hand.
#[test]
fn tennessee_worked_by_hand() {
    let by = |ages: &[(u32, u32)]| both("tennessee", ages);
    assert_eq!(by(&[(5, 32), (5, 40), (5, 50), (5, 62)]), (2, Some(20)), "1:11 for 20");
    assert_eq!(by(&[(5, 32), (6, 40), (5, 50), (5, 62)]).1, Some(20), "21 are too many");
    assert_eq!(by(&[(8, 40), (7, 50), (7, 62)]), (2, Some(22)), "1:13 for 22");
    assert_eq!(by(&[(1, 14), (1, 36)]).1, Some(1), "no row spans both");
    assert_eq!(by(&[(13, 50)]), (1, Some(20)));
    assert_eq!([12, 13].map(|n| built_in("tennessee").least_adults(n)), [0, 2]);
    assert_eq!(by(&[(18, 40)]), (2, Some(18)));
    assert_eq!(by(&[(19, 40)]).1, Some(18), "never ten per cent over");
    let words = built_in("tennessee").sentence(&mix(&[(1, 14), (1, 36)]), &plain());
    assert!(words.contains("at most 1 together, 2 here: too many"), "{words}");
}

/// COMAR 13A.18.08.03 E (a copy): by how many are under 2 years; others by the youngest of them.
#[test]
fn homes_in_maryland_by_a_plain_reading() {
    const HOME: &[Row] = &[(18, 3, 6), (24, 3, 9), (36, 6, 12), (60, 10, 12), (0, 12, 12)];
    let ages = Plain::of("maryland-large-home", HOME);
    let standard = built_in("maryland-large-home");
    let enough = |n: usize, each: u32| (0..).find(|a| a * each >= n as u32).expect("some number");
    for mix in mixes(&ages.birthdays()) {
        let rows: Vec<usize> = mix.iter().map(|born| ages.row(*born)).collect();
        let (n, young) = (rows.len(), rows.iter().filter(|row| **row < 2).count());
        let eldest_part = rows.iter().copied().filter(|row| *row >= 2).min();
        let older = eldest_part.map_or(0, |row| enough(n - young, HOME[row].1));
        let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
        let need = standard.need(&heads, &plain());
        let (adults, size) = match (young, n) {
            (0, _) => (older, Some(12)),
            (_, _) if young == n => (enough(n, 3), Some(if rows.contains(&0) { 6 } else { 9 })),
            (1 | 2, ..=8) => (1, Some(12)),
            (1 | 2, 9..=12) | (3 | 4, ..=8) => (2, Some(12)),
            (3 | 4, 9..=12) => (3, Some(12)),
            (1..=4, _) => (enough(n, 3), Some(12)),
            // No row for five: one of them and more has to leave.
            _ => (enough(n, 3), None),
        };
        assert_eq!(need.adults, adults.max(older).max(enough(young, 3)), "{mix:?}");
        match size {
            Some(size) => assert_eq!(need.class_size, Some(size), "{mix:?}"),
            None => assert!(need.class_size.is_some_and(|most| most < n as u32), "{mix:?}"),
        }
    }
}

/// The same, worked by hand: the rows of part E, and what the text says where all are under 2 years.
#[test]
fn homes_in_maryland_worked_by_hand() {
    let by = |young, older| both("maryland-large-home", &[(young, 20), (older, 62)]).0;
    assert_eq!([by(2, 6), by(2, 7), by(3, 5), by(3, 6)], [1, 2, 2, 3]);
    assert_eq!(both("maryland-large-home", &[(5, 20), (1, 62)]).1, Some(5), "no row for five");
    assert_eq!(both("maryland-large-home", &[(9, 20)]), (3, Some(9)));
    assert_eq!(both("maryland-large-home", &[(3, 10), (6, 20)]).1, Some(6), "over size");
    assert_eq!(both("maryland-large-home", &[(1, 20), (7, 30)]).0, 2, "seven twos alone need two");
    let words = built_in("maryland-large-home").sentence(&mix(&[(3, 20), (6, 62)]), &plain());
    assert!(words.contains("by how many are young, together 3 adults"), "{words}");
}

/// Tennessee Rules 1240-04-01-.23(7) (a copy): by the age of most and by how many infants there are, read off by
/// hand for none, one and two infants; 1:4 with more, and where most are infants.
#[test]
fn drop_in_centers_in_tennessee_by_a_plain_reading() {
    const EACH: [[u32; 3]; 7] =
        [[4, 4, 4], [8, 8, 6], [12, 10, 8], [15, 12, 10], [18, 15, 12], [20, 17, 13], [22, 19, 15]];
    const EDGES: &[Row] =
        &[(16, 1, 0), (31, 1, 0), (36, 1, 0), (48, 1, 0), (60, 1, 0), (72, 1, 0), (0, 1, 0)];
    let ages = Plain::of("tennessee-drop-in", EDGES);
    let standard = built_in("tennessee-drop-in");
    for mix in mixes(&ages.birthdays()) {
        let rows: Vec<usize> = mix.iter().map(|born| ages.row(*born)).collect();
        let older: Vec<usize> = rows.iter().copied().filter(|row| *row > 0).collect();
        let infants = rows.len() - older.len();
        let most = older.iter().copied().find(|row| {
            let of = older.iter().filter(|other| *other == row).count();
            2 * of > older.len()
        });
        let each = match most.or_else(|| older.iter().copied().min()) {
            Some(age) if infants <= 2 && infants < older.len() => EACH[age][infants],
            _ => 4,
        };
        let mut adults = 1;
        while adults * each < rows.len() as u32 {
            adults += 1;
        }
        let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
        let need = standard.need(&heads, &plain());
        assert_eq!((need.adults, need.class_size), (adults, None), "{mix:?}");
    }
    let by = |infants, threes| both("tennessee-drop-in", &[(infants, 10), (threes, 40)]).0;
    assert_eq!([by(1, 11), by(2, 10), by(3, 9)], [1, 2, 3], "1:12, 1:10, then 1:4");
}
