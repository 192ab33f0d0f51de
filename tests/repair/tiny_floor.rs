//! On tiny days, trying every way to use the floor and every place of the cots, with every post of
//! every adult, finds the same fixes.

use crate::audits::build::{Build, CLASSROOM, span};
use fairturn::chart::{AdultDay, Chart, ChoiceIndex, OpenChoice, Place, Post, Stay};
use fairturn::day::{Day, Happening, Who};
use fairturn::planner::{Edit, Fixes, Options, fixes, make, repair};
use fairturn::rules;
use fairturn::site::*;
use fairturn::standards::Standard;
use std::sync::Arc;

const START: Minute = Minute(9 * 60);
pub const LOFT: SpaceIndex = SpaceIndex(1);

/// A classroom and a loft, small groups of two, and adults who can do everything; nobody who is
/// called could be here in time.
pub fn house(open: &str, ages: &[u32], adults: usize) -> Build {
    let mut build = Build::new();
    build.site.settings.minutes_to_come_in = 180;
    build.schedule.open = span(open);
    build.schedule.stretches.push(Stretch { kind: StretchKind::Choice, span: span(open) });
    let loft = build.space("loft");
    for space in [CLASSROOM, loft] {
        for n in 0..3 {
            let station = build.station(&format!("station {}{n}", space.0), space);
            build.site.stations[station.0].noise = Noise::Quiet;
        }
    }
    build.site.rooms[0].group_size = (2, 2);
    for (g, &months) in ages.iter().enumerate() {
        let children =
            (0..2).map(|c| build.child(&format!("child {g}{c}"), months, open)).collect();
        let (id, label, picture) = (format!("group {g}"), format!("Group {g}"), "boat".to_owned());
        build.site.rooms[0].groups.push(StandingGroup { id, label, picture, children });
    }
    for n in 0..adults {
        let adult = build.adult(&format!("adult {n}"), open);
        let facts = &mut build.site.adults[adult.0];
        (facts.lead, facts.first_aid) = (true, true);
    }
    build
}

/// So many children an adult under three and from three on.
pub fn standard(build: &mut Build, mixed: &str, young: u32, older: u32) {
    let text = format!(
        r#"{{ "id": "ours", "label": "ours", "edition": "1", "force": "local", "scope": "room",
        "sources": {{ "house": {{ "document": "invented", "tag": "common_practice" }} }},
        "bands": [
            {{ "id": "young", "label": "young", "until": {{ "months": 36 }},
               "ratio": {{ "per_adult": {young} }}, "source": "house" }},
            {{ "id": "older", "label": "older", "ratio": {{ "per_adult": {older} }}, "source": "house" }}
        ],
        "mixed": {{ "method": "{mixed}", "source": "house" }} }}"#
    );
    build.standards.push(Arc::new(Standard::from_json(&text).expect("a standard of the test")));
}

/// The chart with adults at posts with which no rule is broken: every post of every adult is tried in
/// each slice.
pub fn posted_somehow(day: &Day, chart: &Chart) -> Option<Chart> {
    let stays = || chart.children.iter().flat_map(|c| &c.stays);
    let here = day.adults.iter().flat_map(|a| &a.1);
    let mut edges: Vec<Minute> =
        stays().map(|s| s.span).chain(here.copied()).flat_map(|s| [s.from, s.to]).collect();
    edges.sort_unstable();
    edges.dedup();
    let slices: Vec<Span> = edges.windows(2).filter_map(|w| Span::new(w[0], w[1])).collect();
    let post = |span: Span, space: SpaceIndex, at: Place, zone: Option<ZoneIndex>| Post {
        span,
        space,
        at,
        zone,
        for_child: None,
        covers: None,
    };
    let first = |span: Span| post(span, CLASSROOM, Place::Zone(ZoneIndex(0)), None);
    let mut chart = chart.clone();
    let of = |(adult, here): &(AdultIndex, Vec<Span>)| {
        let slices = slices.iter().filter(|s| here.iter().any(|h| h.holds(**s)));
        AdultDay { adult: *adult, posts: slices.map(|s| first(*s)).collect() }
    };
    chart.adults = day.adults.iter().map(of).collect();
    for slice in slices {
        let zones = day.site.zones.iter().enumerate();
        let mut options: Vec<Post> = zones
            .map(|(z, facts)| post(slice, facts.space, Place::Zone(ZoneIndex(z)), None))
            .collect();
        for stay in chart.children.iter().flat_map(|c| &c.stays).filter(|s| s.span.meets(slice)) {
            let at = match stay.at {
                Place::Table(_) | Place::Transition => post(slice, stay.space, stay.at, None),
                Place::Rest => post(slice, stay.space, Place::Rest, stay.zone),
                _ => continue,
            };
            if !options.contains(&at) {
                options.push(at);
            }
        }
        let spots: Vec<(usize, usize)> = chart
            .adults
            .iter()
            .enumerate()
            .filter_map(|(a, day)| Some((a, day.posts.iter().position(|p| p.span == slice)?)))
            .collect();
        let ways = options.len().pow(u32::try_from(spots.len()).expect("few"));
        let fine = (0..ways).any(|mut way| {
            for &(adult, at) in &spots {
                chart.adults[adult].posts[at] = options[way % options.len()].clone();
                way /= options.len();
            }
            !rules::audit(day, &chart).iter().any(|p| p.span.meets(slice))
        });
        if !fine {
            return None;
        }
    }
    rules::audit(day, &chart).is_empty().then_some(chart)
}

/// The children of some groups spend a span in the loft, the others at home; all have a choice.
pub fn in_the_loft(day: &Day, chart: &Chart, groups: &[usize], span: Span) -> Chart {
    let mut drawn = chart.clone();
    drawn.choices.clear();
    for space in [CLASSROOM, LOFT] {
        let open = day.site.stations_of(space).collect();
        drawn.choices.push(OpenChoice { span, space, open });
    }
    for (g, group) in drawn.groups.iter_mut().enumerate() {
        let space = if groups.contains(&g) { LOFT } else { CLASSROOM };
        let at = Place::Choice(ChoiceIndex(space.0));
        for cell in group.cells.iter_mut().filter(|c| span.holds(c.span)) {
            (cell.space, cell.at) = (space, at);
        }
        for child in drawn.children.iter_mut().filter(|c| group.children.contains(&c.child)) {
            for stay in child.stays.iter_mut().filter(|s| span.holds(s.span)) {
                (stay.space, stay.at) = (space, at);
            }
        }
    }
    drawn
}

/// Every set of so many groups.
fn sets(groups: usize) -> Vec<Vec<usize>> {
    let of = |some: usize| (0..groups).filter(|g| some & (1 << g) != 0).collect();
    (0..1 << groups).map(of).collect()
}

/// What mends a day on which a rule is broken after all this, wholly; and the day after it.
pub fn found(day: &Day, posted: &Chart, told: &[Happening]) -> (Day, Fixes) {
    assert_eq!(rules::audit(day, posted), [], "the posted chart is fine");
    let options = Options::default();
    let repaired = repair(day, posted, START, told, &options).expect("it can be");
    assert!(!repaired.plan.safe_to_run());
    let fixes = fixes(day, posted, &repaired, &options);
    assert!(fixes.left.is_empty(), "{:?}", fixes.why);
    (repaired.day, fixes)
}

pub fn steps(fixes: &Fixes) -> Vec<Vec<Edit>> {
    fixes.fixes.iter().map(|f| f.edits.clone()).collect()
}

pub fn away(adult: usize, when: Span) -> Happening {
    Happening::Away { who: Who::Adult(AdultIndex(adult)), span: Some(when) }
}

/// The youngest in a space decides: apart, two adults are enough for what takes three together.
#[test]
fn groups_split_over_two_spaces_as_trying_every_set_splits_them() {
    for ages in [[32, 50, 50], [50, 32, 50], [50, 50, 32]] {
        let mut build = house("09:00-09:40", &ages, 3);
        standard(&mut build, "youngest", 2, 4);
        let day = build.day();
        let posted = make(&day, &Options::default()).chart;
        let (after, fixes) = found(&day, &posted, &[away(2, span("09:10-09:30"))]);
        let whole = span("09:00-09:40");
        let mends = |set: &Vec<usize>| {
            posted_somehow(&after, &in_the_loft(&after, &posted, set, whole)).is_some()
        };
        let mending: Vec<Vec<usize>> = sets(3).into_iter().filter(mends).collect();
        let inside = |a: &Vec<usize>, b: &Vec<usize>| a != b && a.iter().all(|g| b.contains(g));
        let least = mending.iter().filter(|set| !mending.iter().any(|other| inside(other, set)));
        let mut expected: Vec<Vec<Edit>> = least
            .map(|set| {
                let groups = set.iter().map(|g| posted.groups[*g].id.clone()).collect();
                vec![Edit::SplitFloor { groups, space: LOFT, span: whole }]
            })
            .collect();
        expected.sort();
        let mut offered = steps(&fixes);
        offered.sort();
        assert_eq!(offered, expected, "{ages:?}");
    }
}

/// Three groups of two in two spaces take three adults, in one space two; so do three children in each.
#[test]
fn groups_join_in_one_space_as_trying_every_set_joins_them() {
    let mut build = house("09:00-09:40", &[50, 50, 50], 3);
    standard(&mut build, "fraction_sum", 3, 3);
    let (day, whole) = (build.day(), span("09:00-09:40"));
    let made = make(&day, &Options::default()).chart;
    let apart = in_the_loft(&day, &made, &[0], whole);
    let posted = posted_somehow(&day, &apart).expect("an adult in the loft, two at home");
    let (after, fixes) = found(&day, &posted, &[away(2, span("09:10-09:30"))]);
    let mends = |set: &Vec<usize>| {
        posted_somehow(&after, &in_the_loft(&after, &posted, set, whole)).is_some()
    };
    let mending: Vec<Vec<usize>> = sets(3).into_iter().filter(mends).collect();
    assert_eq!(mending, [vec![], vec![0, 1, 2]], "all here, or all there");
    let one_goes = |child: usize| {
        let mut drawn = posted.clone();
        let there = posted.children[0].stays[0].clone();
        drawn.children[child].stays = vec![Stay { span: whole, ..there }];
        posted_somehow(&after, &drawn).is_some()
    };
    assert!((2..6).all(one_goes), "one child more in the loft is enough, whoever it is");
    // Of those who are alike the first one goes.
    let children = vec![ChildIndex(2)];
    let one_there = Edit::SplitChildren { children, space: LOFT, span: whole };
    let all_here = Edit::JoinFloor { space: LOFT, span: whole };
    let mut offered = steps(&fixes);
    // Two groups made one are in one space as well; that change has a test of its own.
    offered.retain(|steps| !matches!(steps[..], [Edit::MergeGroups { .. }, ..]));
    assert_eq!(offered, [vec![one_there], vec![all_here]]);
}

/// Two groups in two spaces with one adult left: the repair has all in one space by itself, one of those
/// in which trying every post finds nothing broken.
#[test]
fn nobody_is_left_alone_where_one_space_would_do() {
    let mut build = house("09:00-09:40", &[50, 50], 2);
    standard(&mut build, "fraction_sum", 4, 4);
    let (day, whole) = (build.day(), span("09:00-09:40"));
    let made = make(&day, &Options::default()).chart;
    for (group, gone) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let apart = in_the_loft(&day, &made, &[group], whole);
        let posted = posted_somehow(&day, &apart).expect("one adult is in each");
        let told = [away(gone, span("09:10-09:30"))];
        let repaired = repair(&day, &posted, START, &told, &Options::default()).expect("it can be");
        assert!(repaired.safe_to_run(), "{:?}", repaired.plan.problems);
        let at = |m: Minute| {
            let stays = repaired.plan.chart.children.iter().flat_map(|c| &c.stays);
            let mut spaces: Vec<SpaceIndex> =
                stays.filter(|s| s.span.contains(m)).map(|s| s.space).collect();
            spaces.dedup();
            spaces
        };
        assert_eq!(at(Minute(9 * 60 + 15)).len(), 1, "all in one space");
        let fewest = repaired.moved.value;
        assert_eq!(fewest, 2, "one group goes over, the other stays");
    }
}
