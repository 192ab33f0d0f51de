//! A published ratio at water holds in every verb.

use super::small_days::{adult, made, morning, of};
use crate::audits::build::{Build, FLOOR, span};
use fairturn::chart::Place;
use fairturn::planner::{BlockQuestion, check};
use fairturn::rules::Problem;
use fairturn::site::*;
use fairturn::standards::find;

/// Eight of four years under a standard that asks for one adult for four at water, and for one for
/// eight elsewhere.
fn room(adults: usize, seats: u32) -> (Build, StationIndex, Vec<AdultIndex>) {
    let mut build = morning("09:00-11:00");
    build.standards.push(find("cfoc-centre").expect("a built-in standard"));
    let water = build.station("water-table", SpaceIndex(0));
    build.site.stations[water.0].hazards = vec![Hazard::Water];
    build.site.stations[water.0].seats = seats;
    for n in 0..8 {
        build.child(&format!("child {n}"), 50, "09:00-11:00");
    }
    let names = ["first", "second", "third"].into_iter().take(adults);
    let adults = names.map(|name| adult(&mut build, name, "09:00-11:00")).collect();
    (build, water, adults)
}

#[test]
fn nobody_is_at_the_water_without_an_adult_at_it() {
    for adults in 1..=3 {
        let (build, water, _) = room(adults, 4);
        let plan = made(&build.day());
        assert_eq!(of(&plan, "staffed"), Vec::<&Problem>::new(), "{adults} adults");
        let at = Place::Station(water);
        let stays = plan.chart.children.iter().flat_map(|c| &c.stays).filter(|s| s.at == at);
        let posts = || plan.chart.adults.iter().flat_map(|a| &a.posts).filter(|p| p.at == at);
        for stay in stays.clone() {
            let covered: u16 =
                posts().filter_map(|p| p.span.meet(stay.span)).map(|s| s.minutes()).sum();
            assert!(covered >= stay.span.minutes(), "{adults} adults, {:?}", stay.span);
        }
        assert!(stays.count() > 0, "{adults} adults: somebody comes to the water");
    }
}

#[test]
fn an_audit_asks_for_an_adult_for_four_at_the_water_itself() {
    let (mut b, water, adults) = room(2, 8);
    let at = Place::Station(water);
    b.post(adults[0], "09:00-11:00", Place::Zone(FLOOR));
    b.post(adults[1], "09:00-11:00", Place::Zone(FLOOR));
    for child in 0..7 {
        b.stay(ChildIndex(child), "09:00-09:20", at);
    }
    let found = |b: &Build| {
        let problems = b.audit("staffed");
        problems.into_iter().map(|p| (p.case, p.needed, p.present)).collect::<Vec<_>>()
    };
    assert_eq!(found(&b), [("water", 2, 0)]);
    b.post(adults[0], "09:00-09:20", at);
    assert_eq!(found(&b), [("water", 2, 1)]);
    b.post(adults[1], "09:00-09:20", at);
    assert_eq!(found(&b), []);
}

#[test]
fn a_block_at_the_water_takes_an_adult() {
    let ask = |adults: usize| {
        let (build, water, _) = room(adults, 6);
        let question = BlockQuestion { span: span("09:30-09:50"), stations: vec![water] };
        check(&build.day(), None, &question)
    };
    assert!(!ask(1).reasons.is_empty(), "one adult cannot be there and with the others");
    assert!(ask(3).reasons.is_empty(), "{:?}", ask(3).reasons);
}
