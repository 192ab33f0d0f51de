//! Rest, movement and staff breaks.

use super::build::{Build, CLASSROOM, span};
use fairturn::chart::{Block, BlockKind, Place, State};
use fairturn::site::*;

/// Pip sleeps for an hour in the rest from 12:30, Zoe does not.
pub fn rest() -> (Build, [ChildIndex; 2]) {
    let mut b = Build::new();
    b.schedule.rest = Some(Rest {
        window: span("12:15-14:15"),
        minutes: 60,
        space: CLASSROOM,
        settling_minutes: 15,
        awake_longest: 30,
    });
    let block = Block { id: "rest".into(), kind: BlockKind::Rest, span: span("12:30-13:30") };
    b.chart.blocks.push(block);
    let books = b.station("books", CLASSROOM);
    b.site.stations[0].noise = Noise::Quiet;
    let [pip, zoe] = [("Pip", 30), ("Zoe", 55)].map(|(c, m)| b.child(c, m, "09:00-15:00"));
    b.site.children[0].sleep = Sleep::InRest { minutes: 60 };
    b.stay(pip, "12:30-12:45", Place::Rest);
    b.stay(pip, "12:45-13:30", Place::Rest).state = State::Asleep;
    b.stay(zoe, "12:30-13:00", Place::Rest);
    b.stay(zoe, "13:00-13:30", Place::Station(books));
    (b, [pip, zoe])
}

#[test]
fn who_sleeps_rests_long_enough_in_one_piece_in_the_window() {
    let (mut b, [pip, _]) = rest();
    assert_eq!(b.audit("rest"), []);
    b.stay(pip, "13:20-13:30", Place::WholeGroup);
    let found = b.audit("rest");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "short-rest", span("12:15-14:15")));
    assert_eq!((found[0].needed, found[0].present, found[0].by), (60, 50, 10));
    assert_eq!(
        b.words("rest"),
        ["Pip rests for 50 minutes in one piece: 60 minutes are due between 12:15 and 14:15"]
    );
    b.stay(pip, "12:30-13:30", Place::WholeGroup);
    assert_eq!(b.words("rest"), ["Pip has no rest: 60 minutes are due between 12:15 and 14:15"]);
    b.children[0].1 = vec![span("09:00-13:14")];
    assert_eq!(b.audit("rest"), [], "leaves before a whole sleep");
}

#[test]
fn a_rest_outside_the_window_does_not_count() {
    let (mut b, [pip, _]) = rest();
    b.stay(pip, "12:30-13:30", Place::WholeGroup);
    b.stay(pip, "11:45-12:25", Place::Rest);
    let cases: Vec<_> = b.audit("rest").iter().map(|p| (p.case, p.present, p.by)).collect();
    assert_eq!(cases, [("nothing-quiet", 40, 10), ("short-rest", 10, 50)]);
}

#[test]
fn infants_sleep_by_their_own_clock() {
    let (mut b, [pip, _]) = rest();
    b.site.children[0].sleep = Sleep::At(vec![span("09:30-10:15"), span("12:30-13:30")]);
    assert_eq!(b.audit("rest")[0].span, span("09:30-10:15"));
    b.stay(pip, "09:30-09:45", Place::Rest);
    b.stay(pip, "09:45-10:15", Place::Rest).state = State::Asleep;
    assert_eq!(b.audit("rest"), []);
    b.stay(pip, "10:10-10:15", Place::WholeGroup);
    assert_eq!(b.audit("rest")[0].by, 5);
}

#[test]
fn who_is_put_down_as_asleep_really_sleeps() {
    let (mut b, [pip, zoe]) = rest();
    b.stay(pip, "12:40-12:45", Place::Rest).state = State::Asleep;
    b.stay(pip, "13:30-13:36", Place::Rest).state = State::Asleep;
    b.stay(pip, "09:30-09:32", Place::WholeGroup).state = State::Asleep;
    b.stay(zoe, "12:50-12:57", Place::Rest).state = State::Asleep;
    let found: Vec<_> = b.audit("rest").iter().map(|p| (p.case, p.span, p.by)).collect();
    let told = [
        ("asleep-elsewhere", span("09:30-09:32"), 1),
        ("settling", span("12:40-12:45"), 1),
        ("does-not-sleep", span("12:50-12:57"), 1),
        ("past-waking", span("13:30-13:36"), 1),
    ];
    assert_eq!(found, told);
    assert_eq!(
        b.words("rest"),
        [
            "Pip is down as asleep 09:30 to 09:32 but not on a cot: counts as awake",
            "Pip is down as asleep 12:40 to 12:45 but is still settling: counts as awake",
            "Zoe is down as asleep 12:50 to 12:57 but does not sleep here: counts as awake",
            "Pip is down as asleep 13:30 to 13:36, past the usual waking: counts as awake",
        ]
    );
}

#[test]
fn who_lies_awake_is_given_something_quiet() {
    let (mut b, [pip, zoe]) = rest();
    b.stay(zoe, "13:00-13:12", Place::Rest);
    b.stay(pip, "13:30-14:00", Place::Rest);
    let found = b.audit("rest");
    assert_eq!((found.len(), found[0].case), (1, "nothing-quiet"), "Pip is up just in time");
    assert_eq!((found[0].span, found[0].present, found[0].by), (span("13:00-13:12"), 42, 12));
    assert_eq!(
        b.words("rest"),
        ["Zoe still lies awake with nothing to do 13:00 to 13:12: after 30 minutes something \
          quiet is due"]
    );
}

#[test]
fn nothing_loud_stands_beside_a_baby_who_sleeps_while_the_others_play() {
    let (mut b, [_, zoe]) = rest();
    let baby = b.child("Mo", 9, "09:00-15:00");
    b.site.children[baby.0].sleep = Sleep::At(vec![span("10:00-11:00")]);
    b.stay(baby, "10:00-10:15", Place::Rest);
    b.stay(baby, "10:15-11:00", Place::Rest).state = State::Asleep;
    let at = Place::Station(StationIndex(0));
    b.stay(zoe, "10:00-10:30", at);
    let loud =
        |b: &Build| b.audit("rest").into_iter().filter(|p| p.case == "loud").collect::<Vec<_>>();
    for fine in [Noise::Quiet, Noise::Normal] {
        b.site.stations[0].noise = fine;
        let found = loud(&b);
        assert!(found.iter().all(|p| p.span.from >= Minute::hm(12, 0)), "{found:#?}");
    }
    b.site.stations[0].noise = Noise::Loud;
    let found = loud(&b);
    let first = found.first().expect("a problem");
    assert_eq!((first.span, first.children.clone()), (span("10:15-10:30"), vec![zoe]));
}

#[test]
fn nothing_loud_stands_beside_the_cots() {
    let (mut b, [_, zoe]) = rest();
    b.site.stations[0].noise = Noise::Normal;
    let found = b.audit("rest");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "loud", span("13:00-13:30")));
    assert_eq!(b.words("rest"), ["Zoe is at books 13:00 to 13:30, too loud beside the cots"]);
    let den = b.space("den");
    b.stay_in(zoe, "13:00-13:20", den, Place::Movement);
    assert_eq!(b.audit("rest")[0].span, span("13:20-13:30"), "in the den nobody sleeps");
    let choice = b.choice("13:20-13:30", &[StationIndex(0)]);
    b.stay(zoe, "13:20-13:30", choice);
    assert_eq!(b.audit("rest").len(), 1);
    b.site.stations[0].noise = Noise::Quiet;
    assert_eq!(b.audit("rest"), []);
}

/// Ada is here all day and Ben for half of it; two movement breaks are wanted indoors, one out.
fn movement() -> (Build, [ChildIndex; 2]) {
    let mut b = Build::new();
    b.schedule.movement.outdoor_day = 1;
    b.schedule.movement.indoor_day = 3;
    b.indoor = true;
    let children = [("Ada", "08:00-16:00"), ("Ben", "08:00-12:00")];
    let [ada, ben] = children.map(|(c, here)| b.child(c, 50, here));
    for child in [ada, ben] {
        b.stay(child, "09:00-09:10", Place::Movement);
    }
    b.stay(ada, "11:00-11:10", Place::Movement);
    b.stay(ada, "14:00-14:30", Place::Outdoors);
    (b, [ada, ben])
}

#[test]
fn a_day_has_its_movement_breaks_and_half_a_day_half_of_them() {
    let (mut b, [ada, ben]) = movement();
    assert_eq!(b.audit("movement"), []);
    b.stay(ada, "11:00-11:01", Place::WholeGroup);
    b.stay(ben, "09:00-09:10", Place::WholeGroup);
    let found: Vec<_> =
        b.audit("movement").iter().map(|p| (p.children[0], p.needed, p.present, p.by)).collect();
    assert_eq!(found, [(ben, 1, 0, 1), (ada, 3, 2, 1)]);
    assert_eq!(b.words("movement")[1], "Ada has 2 movement breaks today, 3 wanted");
    b.indoor = false;
    assert_eq!(b.audit("movement"), [], "half of one rounds down to none");
    b.indoor = true;
    b.site.settings.young_under_months = 51;
    assert_eq!(b.audit("movement"), [], "the young move as they please");
}

#[test]
fn nobody_sits_still_for_too_long() {
    let mut b = Build::new();
    b.schedule.movement.longest_still = 60;
    let ada = b.child("Ada", 50, "08:00-12:00");
    b.table("table", CLASSROOM);
    let still = b.station("puzzles", CLASSROOM);
    let moving = b.station("blocks", CLASSROOM);
    b.site.stations[0].energy = Energy::Still;
    b.stay(ada, "08:00-12:00", Place::Station(moving));
    b.stay(ada, "09:00-09:30", Place::WholeGroup);
    b.stay(ada, "09:30-09:35", Place::Transition);
    b.stay(ada, "09:35-09:40", Place::Care);
    b.stay(ada, "09:40-10:10", Place::Station(still));
    assert_eq!(b.audit("movement"), [], "an hour to the minute");
    b.stay(ada, "10:10-10:13", Place::Table(TableIndex(0)));
    let found = b.audit("movement");
    assert_eq!((found.len(), found[0].case, found[0].span), (1, "too-still", span("09:00-10:13")));
    assert_eq!((found[0].needed, found[0].present, found[0].by), (60, 63, 3));
    assert_eq!(
        b.words("movement"),
        ["Ada sits still for 63 minutes between 09:00 and 10:13, at most 60 wanted"]
    );
    b.stay(ada, "09:30-09:45", Place::Transition);
    assert_eq!(b.audit("movement"), [], "a long transition is a walk");
    b.stay(ada, "09:30-09:45", Place::WholeGroup);
    b.stay(ada, "09:50-09:51", Place::Rest).state = State::Asleep;
    assert_eq!(b.audit("movement"), []);
    b.stay(ada, "09:50-09:51", Place::Rest);
    assert_eq!(b.audit("movement")[0].present, 73);
    let choice = b.choice("09:50-09:51", &[still]);
    b.stay(ada, "09:50-09:51", choice);
    assert_eq!(b.audit("movement"), []);
}

/// Ann is due ten paid minutes in the morning and half an hour at noon.
fn breaks() -> (Build, AdultIndex) {
    let mut b = Build::new();
    let ann = b.adult("Ann", "08:00-16:00");
    b.site.adults[0].breaks = vec![
        BreakDue { minutes: 10, window: span("09:30-11:00"), paid: true, may_leave: false },
        BreakDue { minutes: 30, window: span("11:30-14:00"), paid: false, may_leave: true },
    ];
    b.post(ann, "10:00-10:10", Place::StaffBreak(0));
    b.post(ann, "12:00-12:30", Place::StaffBreak(1));
    (b, ann)
}

#[test]
fn each_staff_break_is_whole_and_in_its_window() {
    let (mut b, ann) = breaks();
    assert_eq!(b.audit("staff-break"), []);
    b.post(ann, "12:10-12:15", Place::Door);
    b.post(ann, "10:00-10:10", Place::WholeGroup);
    let found: Vec<_> = b
        .audit("staff-break")
        .iter()
        .map(|p| (p.case, p.span, p.needed, p.present, p.by))
        .collect();
    let told =
        [("missed", span("09:30-11:00"), 10, 0, 10), ("short", span("11:30-14:00"), 30, 15, 15)];
    assert_eq!(found, told);
    assert_eq!(
        b.words("staff-break"),
        [
            "Ann has no staff break of 10 minutes: 09:30 to 11:00 is the time for it",
            "Ann has only 15 of the staff break of 30 minutes in one piece between 11:30 and 14:00",
        ]
    );
    b.post(ann, "12:00-12:30", Place::WholeGroup);
    b.post(ann, "14:00-14:30", Place::StaffBreak(1));
    b.post(ann, "10:00-10:10", Place::StaffBreak(0));
    assert_eq!(
        b.words("staff-break"),
        ["Ann has the staff break of 30 minutes at another time: 11:30 to 14:00 is its window"]
    );
}

#[test]
fn a_staff_break_for_which_the_shift_has_no_room_is_not_due() {
    let (mut b, ann) = breaks();
    b.post(ann, "12:00-12:30", Place::WholeGroup);
    b.adults[0].1 = vec![span("08:00-11:59")];
    assert_eq!(b.audit("staff-break"), []);
    b.adults[0].1 = vec![span("08:00-12:00")];
    assert_eq!(b.audit("staff-break")[0].span, span("11:30-12:00"));
}
