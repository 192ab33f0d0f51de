//! Minutes between the starts of two meals.

use super::*;

/// CFOC 4.2.0.5, 2017 (verified): at least two hours, at most three.
#[test]
fn cfoc_keeps_meals_two_to_three_hours_apart() {
    let (least, most) = built_in("cfoc-centre").meal_interval().expect("it says");
    let fits = |from: Minute, to: Minute| (least..=most).contains(&(to.0 - from.0));
    let starts = [Minute::hm(8, 0), Minute::hm(10, 30), Minute::hm(12, 0), Minute::hm(15, 0)];
    let apart: Vec<bool> = starts.windows(2).map(|w| fits(w[0], w[1])).collect();
    assert_eq!(apart, [true, false, true]);
    assert!(!fits(Minute::hm(12, 0), Minute::hm(15, 1)));
    assert_eq!(built_in("australia").meal_interval(), None);
}

/// Netherlands, articles 8 and 10 of 2012 (verified), in square decimetres.
#[test]
fn floor_is_asked_for_indoors_and_out() {
    let netherlands = built_in("netherlands");
    assert_eq!(netherlands.floor_per_child(false), Some(350));
    assert_eq!(netherlands.floor_per_child(true), Some(300));
    // 35 square feet are 3.2516 square metres, 75 are 6.9677: nobody has less than that.
    let head_start = built_in("head-start");
    assert_eq!(head_start.floor_per_child(false), Some(326));
    assert_eq!(head_start.floor_per_child(true), Some(697));
    assert_eq!(built_in("ontario").floor_per_child(false), None);
}
