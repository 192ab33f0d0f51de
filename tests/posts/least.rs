//! No other posting leaves less open: tried out on tiny days.

use super::naive::{Left, left_at, left_open};
use super::posted;
use crate::audits::build::{Build, CLASSROOM, FLOOR, span};
use fairturn::chart::{Chart, Place, Post, Stay};
use fairturn::day::Day;
use fairturn::rules::audit;
use fairturn::site::*;
use fairturn::solve::demand::Duties;
use fairturn::standards::find;

/// Everything that an adult could do in a minute.
fn everything(day: &Day, chart: &Chart) -> Vec<(SpaceIndex, Place, Option<ZoneIndex>)> {
    let mut places = Vec::new();
    for space in (0..day.site.spaces.len()).map(SpaceIndex) {
        let stations = day.site.stations_of(space).map(Place::Station);
        let zones = day.site.zones_of(space).map(Place::Zone);
        let tables = (0..day.site.tables.len()).map(TableIndex);
        let tables = tables.filter(|t| day.site[*t].space == space).map(Place::Table);
        let at = stations.chain(zones).chain(tables).chain([Place::Transition, Place::Care]);
        places.extend(at.map(|at| (space, at, None)));
    }
    for stay in chart.children.iter().flat_map(|c| &c.stays) {
        if stay.zone.is_some() && !places.contains(&(stay.space, stay.at, stay.zone)) {
            places.push((stay.space, stay.at, stay.zone));
        }
    }
    places
}

/// Whether a post is at the place of a child: at any of its zones in a choice.
fn stands_beside(day: &Day, chart: &Chart, stay: &Stay, post: &Post) -> bool {
    let chosen = match (stay.at, post.at) {
        (Place::Choice(k), Place::Zone(z)) => {
            chart.choices[k.0].open.iter().any(|s| day.station(*s).zone == z)
        }
        (at, post) => at == post,
    };
    chosen && stay.space == post.space
}

/// The least that any posting leaves open in a minute, every adult trying everything.
fn least(day: &Day, chart: &Chart, minute: Minute) -> Left {
    let mut tried = chart.clone();
    let free: Vec<usize> = (0..tried.adults.len())
        .filter(|&a| {
            let now = tried.adults[a].posts.iter().find(|p| p.span.contains(minute));
            now.is_some_and(|p| !matches!(p.at, Place::StaffBreak(_)))
        })
        .collect();
    let now = Span::new(minute, minute.later(1)).expect("a minute");
    let mut options: Vec<Vec<Post>> = Vec::new();
    for &a in &free {
        let adult = tried.adults[a].adult;
        let beside = chart.children.iter().filter(|c| {
            let support = day.site[c.child].one_to_one.as_ref();
            support.is_some_and(|s| s.adult == adult || s.stand_ins.contains(&adult))
        });
        let mut posts = Vec::new();
        for (space, at, zone) in everything(day, chart) {
            let post = Post { span: now, space, at, zone, for_child: None, covers: None };
            let own = beside.clone().filter(|c| stands_beside(day, chart, &c.stays[0], &post));
            posts.extend(own.map(|c| Post { for_child: Some(c.child), ..post.clone() }));
            posts.push(post);
        }
        options.push(posts);
    }
    let mut digits = vec![0; free.len()];
    let mut best = [u32::MAX; 6];
    loop {
        for (k, &a) in free.iter().enumerate() {
            tried.adults[a].posts = vec![options[k][digits[k]].clone()];
        }
        best = best.min(left_at(day, &tried, minute));
        let Some(k) = (0..free.len()).rev().find(|&k| digits[k] + 1 < options[k].len()) else {
            return best;
        };
        digits[k] += 1;
        digits[k + 1..].fill(0);
    }
}

/// Nothing tried leaves less open at any of these minutes; what is left open at each.
fn is_least(b: &Build, duties: &Duties, minutes: &[&str]) -> Vec<Left> {
    let (day, chart) = posted(b, duties);
    let one = |text: &&str| {
        let minute = Minute::parse(text).expect("a time of the test");
        let found = left_at(&day, &chart, minute);
        assert_eq!(found, least(&day, &chart, minute), "at {minute}: {:?}", chart.adults);
        found
    };
    minutes.iter().map(one).collect()
}

fn staffed(b: &mut Build, label: &str, zone: ZoneIndex) -> StationIndex {
    let station = b.station(label, CLASSROOM);
    b.site.stations[station.0].supervision = Supervision::Staffed { children_per_adult: 3 };
    b.site.stations[station.0].zone = zone;
    station
}

#[test]
fn two_adults_three_places_and_one_of_them_staffed() {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let far = b.zone("far corner", CLASSROOM);
    let glue = staffed(&mut b, "glue", FLOOR);
    let blocks = b.station("blocks", CLASSROOM);
    b.site.stations[blocks.0].zone = far;
    for i in 0..3 {
        let child = b.child(&format!("glue {i}"), 50, "09:00-10:00");
        b.stay(child, "09:00-10:00", Place::Station(glue));
        let child = b.child(&format!("blocks {i}"), 50, "09:00-10:00");
        b.stay(child, "09:00-10:00", Place::Station(blocks));
    }
    b.adult("Ina", "08:30-10:30");
    assert_eq!(is_least(&b, &Duties::default(), &["09:00"]), [[0, 0, 0, 0, 2, 0]]);
    b.adult("Tom", "08:30-10:30");
    assert_eq!(is_least(&b, &Duties::default(), &["09:00"]), [[0; 6]]);
}

#[test]
fn a_staffed_station_with_too_few_adults_is_short_by_one_and_no_more() {
    let mut b = Build::new();
    let far = b.zone("far corner", CLASSROOM);
    let glue = staffed(&mut b, "glue", FLOOR);
    let sand = staffed(&mut b, "sand", far);
    for i in 0..5 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        b.stay(child, "09:00-10:00", Place::Station(if i < 4 { glue } else { sand }));
    }
    b.adult("Ina", "09:00-10:00");
    b.adult("Tom", "09:00-10:00");
    // Three adults asked for (four children at the glue need two): both zones are seen.
    assert_eq!(is_least(&b, &Duties::default(), &["09:30"]), [[0, 0, 0, 1, 0, 0]]);
}

#[test]
fn two_spaces_at_once_each_get_their_ratio() {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let yard = b.space("yard");
    for i in 0..9 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        if i < 8 {
            b.stay_in(child, "09:20-10:00", yard, Place::Outdoors);
        }
    }
    let student = b.adult("Sol", "09:00-10:00");
    b.site.adults[student.0].may_be_alone = false;
    b.adult("Ina", "09:00-10:00");
    b.adult("Tom", "09:00-10:00");
    let left = is_least(&b, &Duties::default(), &["09:10", "09:30"]);
    assert_eq!(left, [[0; 6], [0; 6]]);
}

#[test]
fn ratio_goes_before_one_to_one_and_one_to_one_before_a_staffed_station() {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let glue = staffed(&mut b, "glue", FLOOR);
    let own = b.adult("Own", "09:00-10:00");
    let tom = b.adult("Tom", "09:00-10:00");
    for i in 0..5 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        b.stay(child, "09:00-10:00", Place::Zone(FLOOR)).zone = Some(FLOOR);
        if i == 0 {
            b.site.children[0].one_to_one = Some(OneToOne { adult: own, stand_ins: vec![tom] });
        } else if i < 3 {
            b.stay(child, "09:00-10:00", Place::Station(glue));
        }
    }
    assert_eq!(is_least(&b, &Duties::default(), &["09:30"]), [[0; 6]]);
    b.adults[1].1 = vec![span("09:00-09:30")];
    b.chart.adults[1].posts[0].span = span("09:00-09:30");
    // Alone, the child's own adult keeps the ratio of five.
    assert_eq!(is_least(&b, &Duties::default(), &["09:45"])[0][..3], [0, 0, 1]);
}

#[test]
fn the_qualified_adult_stays_where_the_ratio_leans_on_her() {
    let mut b = Build::new();
    b.standards = vec![find("england-eyfs").expect("a standard")];
    let yard = b.space("yard");
    for i in 0..25 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        if i >= 20 {
            b.stay_in(child, "09:00-10:00", yard, Place::Outdoors);
        }
    }
    for (label, level) in [("Ada", ""), ("Bo", "level-3"), ("Cy", "level-6")] {
        let adult = b.adult(label, "09:00-10:00");
        if !level.is_empty() {
            b.site.adults[adult.0].qualifications = vec![level.into()];
        }
    }
    // Twenty need three, or the two qualified ones: so the yard gets the unqualified one.
    assert_eq!(is_least(&b, &Duties::default(), &["09:30"]), [[0; 6]]);
}

#[test]
fn a_site_wide_standard_counts_everybody_everywhere() {
    let mut b = Build::new();
    b.standards = vec![find("australia").expect("a standard")];
    let yard = b.space("yard");
    for i in 0..12 {
        let child = b.child(&format!("c{i}"), 50, "09:00-10:00");
        if i >= 6 {
            b.stay_in(child, "09:00-10:00", yard, Place::Outdoors);
        }
    }
    b.adult("Ina", "09:00-10:00");
    b.adult("Tom", "09:00-09:30");
    let left = is_least(&b, &Duties::default(), &["09:10", "09:40"]);
    assert_eq!(left[0], [0; 6]);
    assert!(left[1][0] > 0, "twelve need two over the whole site: {left:?}");
}

/// One of many small mixes of places, adults and children, all hour long.
fn mix(seed: u32) -> Build {
    let mut b = Build::new();
    b.standards = vec![find("ireland-full-day").expect("a standard")];
    let far = b.zone("far corner", CLASSROOM);
    let glue = staffed(&mut b, "glue", FLOOR);
    let sand = staffed(&mut b, "sand", far);
    let snack = b.table("snack", CLASSROOM);
    let yard = b.space("yard");
    let choice = b.choice("09:00-10:00", &[sand, glue]);
    b.site.spaces[0].care_place = Some(CarePlace { seen_from: vec![far] });
    let mut rolls = seed.wrapping_mul(2_654_435_761);
    let mut roll = |sides: u32| {
        rolls = rolls.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (rolls >> 16) % sides
    };
    let adults = 1 + roll(3);
    for a in 0..adults {
        let adult = b.adult(&format!("a{a}"), "09:00-10:00");
        b.site.adults[adult.0].counts = roll(5) > 0;
        b.site.adults[adult.0].may_be_alone = roll(4) > 0;
    }
    for c in 0..1 + roll(9) {
        let child = b.child(&format!("c{c}"), 30 + roll(40), "09:00-10:00");
        if roll(6) == 0 {
            b.stay_in(child, "09:00-10:00", yard, Place::Outdoors);
            continue;
        }
        let at = match roll(7) {
            0 => Place::Station(glue),
            1 => Place::Station(sand),
            2 => Place::Table(snack),
            3 => Place::Transition,
            4 => Place::Care,
            5 => choice,
            _ => Place::WholeGroup,
        };
        b.stay(child, "09:00-10:00", at);
        if roll(8) == 0 {
            let adult = AdultIndex(roll(adults) as usize);
            b.site.children[child.0].one_to_one = Some(OneToOne { adult, stand_ins: vec![] });
        }
    }
    b
}

#[test]
fn every_small_mix_of_places_is_filled_as_well_as_can_be() {
    for seed in 0..300 {
        let (day, chart) = posted(&mix(seed), &Duties::default());
        let minute = Minute::hm(9, 30);
        let found = left_at(&day, &chart, minute);
        assert_eq!(found, least(&day, &chart, minute), "seed {seed}: {:?}", chart.adults);
        assert_eq!(left_open(&day, &chart), found.map(|m| m * 60), "the same all hour long");
    }
}

#[test]
fn the_audit_finds_what_the_posting_leaves_open_and_no_more() {
    for seed in 300..1300 {
        let (day, chart) = posted(&mix(seed), &Duties::default());
        let left = left_open(&day, &chart);
        let problems = audit(&day, &chart);
        let found = |slugs: &[&str]| -> u64 {
            let of = problems.iter().filter(|p| slugs.contains(&p.rule));
            of.map(|p| p.person_minutes()).sum()
        };
        let who = format!("seed {seed}: {problems:?} {:?}", chart.adults);
        assert_eq!(found(&["present"]), 0, "{who}");
        assert_eq!(found(&["ratio"]), u64::from(left[0]), "{who}");
        if left[..5] == [0; 5] {
            let slugs = ["never-alone", "one-to-one", "staffed", "sight", "least-adults"];
            assert_eq!(found(&slugs), 0, "{who}");
        }
    }
}
