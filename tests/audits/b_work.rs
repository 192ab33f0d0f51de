//! Aims of when adults work and when children are changed, with values counted by hand.

use super::b_aims::value;
use super::build::{Build, span};
use fairturn::chart::{Place, State};
use fairturn::site::*;

/// An adult from eight to four with staff breaks of ten and thirty minutes due at any time.
fn long_shift() -> (Build, AdultIndex) {
    let mut b = Build::new();
    let ann = b.adult("Ann", "08:00-16:00");
    let window = span("08:00-16:00");
    let due = |minutes| BreakDue { minutes, window, paid: true, may_leave: false };
    b.site.adults[ann.0].breaks = vec![due(10), due(30)];
    (b, ann)
}

#[test]
fn a_staff_break_in_the_first_or_last_hour_is_at_the_edge() {
    for (when, edges) in [
        ("08:00-08:10", 1),
        ("08:55-09:05", 1),
        ("09:00-09:10", 0),
        ("12:00-12:10", 0),
        ("14:50-15:00", 0),
        ("14:55-15:05", 1),
    ] {
        let (mut b, ann) = long_shift();
        b.post(ann, when, Place::StaffBreak(0));
        assert_eq!(value(&b, "middle-breaks"), edges, "{when}");
        b.post(ann, "15:30-16:00", Place::StaffBreak(1));
        assert_eq!(value(&b, "middle-breaks"), edges + 1, "{when}");
    }
    // Nobody minds in a short shift.
    let mut b = Build::new();
    let ann = b.adult("Ann", "08:00-11:55");
    b.post(ann, "08:00-08:10", Place::StaffBreak(0));
    assert_eq!(value(&b, "middle-breaks"), 0);
}

#[test]
fn work_is_too_long_after_four_and_a_half_hours() {
    let (mut b, ann) = long_shift();
    assert_eq!(value(&b, "long-work"), (480 - 270) / 5, "no staff break at all");
    b.post(ann, "09:00-09:10", Place::StaffBreak(0));
    assert_eq!(value(&b, "long-work"), (410 - 270) / 5, "from 09:10 to 16:00");
    b.post(ann, "13:40-14:10", Place::StaffBreak(1));
    assert_eq!(value(&b, "long-work"), 0, "09:10 to 13:40 is just as long as may be");
    b.post(ann, "13:40-13:45", Place::Door);
    assert_eq!(value(&b, "long-work"), 1);
    b.site.adults[ann.0].breaks.clear();
    assert_eq!(value(&b, "long-work"), 0, "to whom none is due");
}

#[test]
fn who_slept_in_a_nappy_is_changed_before_going_home() {
    let mut b = Build::new();
    let pip = b.child("Pip", 20, "09:00-14:00");
    b.site.children[pip.0].toileting = Toileting::Nappies;
    assert_eq!(value(&b, "clean-after-sleep"), 0, "who does not sleep");
    b.stay(pip, "12:00-13:00", Place::Rest).state = State::Asleep;
    assert_eq!(value(&b, "clean-after-sleep"), 1);
    b.stay(pip, "11:50-11:55", Place::Care);
    assert_eq!(value(&b, "clean-after-sleep"), 1, "before it");
    b.stay(pip, "13:30-13:35", Place::Care);
    assert_eq!(value(&b, "clean-after-sleep"), 0);
    b.stay(pip, "13:40-13:58", Place::Rest).state = State::Asleep;
    assert_eq!(value(&b, "clean-after-sleep"), 0, "two minutes are no time for it");
    b.stay(pip, "13:40-13:50", Place::Rest).state = State::Asleep;
    b.stay(pip, "13:50-13:58", Place::WholeGroup);
    assert_eq!(value(&b, "clean-after-sleep"), 1, "not after the last sleep");
    b.site.children[pip.0].toileting = Toileting::Learning;
    assert_eq!(value(&b, "clean-after-sleep"), 0, "who learns says so");
}
