//! Ages and clock times.

use chrono::NaiveDate;
use fairturn::site::{Minute, age_in_months, slices};

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).expect("a date of the test")
}

#[test]
fn a_birthday_that_the_month_lacks_counts_the_day_after() {
    let born = day(2024, 1, 31);
    assert_eq!(age_in_months(born, day(2024, 2, 29)), Some(0));
    assert_eq!(age_in_months(born, day(2024, 3, 1)), Some(1));
    let leap = day(2024, 2, 29);
    assert_eq!(age_in_months(leap, day(2025, 2, 28)), Some(11));
    assert_eq!(age_in_months(leap, day(2025, 3, 1)), Some(12));
}

#[test]
fn age_is_not_a_difference_of_years() {
    let born = day(2023, 3, 15);
    assert_eq!(age_in_months(born, day(2026, 3, 14)), Some(35));
    assert_eq!(age_in_months(born, day(2026, 3, 15)), Some(36));
    assert_eq!(age_in_months(born, day(2023, 3, 14)), None);
}

#[test]
fn clock_times_are_read_strictly() {
    assert_eq!(Minute::parse("24:00"), Some(Minute::END_OF_DAY));
    for bad in ["24:01", "9:30", "09:60", "0930", "", "ab:cd", "09:3é"] {
        assert_eq!(Minute::parse(bad), None, "{bad}");
    }
}

#[test]
fn slices_cut_at_every_edge_once() {
    let cut = slices([Minute(10), Minute(30), Minute(10), Minute(20)]);
    assert_eq!(cut.iter().map(|s| (s.from.0, s.to.0)).collect::<Vec<_>>(), [(10, 20), (20, 30)]);
}
