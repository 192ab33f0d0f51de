//! Small groups: rules and sizes against brute force, standing still, and thin days.

use chrono::NaiveDate;
use fairturn::chart::Group;
use fairturn::day::{Day, IndoorDay, KeptCell, KeptFor, VisitRecord};
use fairturn::site::{
    Adult, AdultIndex, Child, ChildIndex, GroupAges, Minute, Movement, Room, RoomIndex, Schedule,
    Settings, Site, Sleep, Space, SpaceIndex, Span, StandingGroup, StationIndex, Toileting,
};
use fairturn::solve::groups::{groups_today, standing_groups};
use proptest::prelude::*;
use std::sync::Arc;

fn on() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 13).expect("a Monday")
}

fn span() -> Span {
    Span::new(Minute::hm(8, 0), Minute::hm(16, 0)).expect("a day")
}

/// A child of so many months who comes every day.
fn child(months: u32) -> Child {
    let born = on().checked_sub_months(chrono::Months::new(months)).expect("a birth date");
    Child {
        id: String::new(),
        label: String::new(),
        born,
        room: RoomIndex(0),
        attendance: std::array::from_fn(|d| if d < 5 { vec![span()] } else { Vec::new() }),
        breakfast_here: false,
        toileting: Toileting::Alone,
        sleep: Sleep::None,
        quiet_rest_minutes: 30,
        one_to_one: None,
        settling_in: None,
        allergies: Vec::new(),
        not_for: Vec::new(),
        often_chosen: Vec::new(),
        keep_with: Vec::new(),
        keep_apart: Vec::new(),
        key_adult: None,
    }
}

fn site(children: Vec<Child>, group_size: (usize, usize), group_ages: GroupAges) -> Site {
    let space = Space {
        id: "quay".into(),
        label: "Quay room".into(),
        shared: false,
        outdoors: false,
        room_to_move: true,
        class_size: None,
        floor_area: None,
        sinks: 2,
        care_place: None,
        walking: Vec::new(),
    };
    let room = Room {
        id: "quay".into(),
        label: "Quay room".into(),
        home: SpaceIndex(0),
        spaces: vec![SpaceIndex(0)],
        group_size,
        group_ages,
        groups: Vec::new(),
        governing_age: None,
        schedules: Vec::new(),
        by_weekday: [None; 7],
    };
    Site {
        id: "harbour".into(),
        label: "Harbour".into(),
        time_zone: chrono_tz::UTC,
        standards: Vec::new(),
        settings: Settings::default(),
        rooms: vec![room],
        spaces: vec![space],
        zones: Vec::new(),
        tables: Vec::new(),
        stations: Vec::new(),
        children,
        adults: Vec::<Adult>::new(),
    }
}

fn apart(children: &mut [Child], pairs: &[(usize, usize)]) {
    for &(a, b) in pairs {
        children[a].keep_apart.push(ChildIndex(b));
        children[b].keep_apart.push(ChildIndex(a));
    }
}

/// The day of a site on which only `present` come.
fn day(site: &Site, present: &[usize]) -> Day {
    let schedule = Schedule {
        id: "day".into(),
        open: span(),
        parts: Vec::new(),
        stretches: Vec::new(),
        meals: Vec::new(),
        rest: None,
        care_rounds: Vec::new(),
        tasks: Vec::new(),
        movement: Movement {
            outdoor_day: 0,
            indoor_day: 0,
            minutes: 10,
            longest_still: 60,
            space: SpaceIndex(0),
        },
        turn_minutes: Vec::new(),
        whole_group_minutes: Vec::new(),
        transition_minutes: 5,
        dressing: fairturn::site::Dressing::default(),
    };
    Day {
        site: Arc::new(site.clone()),
        standards: Vec::new(),
        room: RoomIndex(0),
        date: on(),
        schedule,
        children: present.iter().map(|&c| (ChildIndex(c), vec![span()])).collect(),
        adults: Vec::new(),
        indoor: IndoorDay::default(),
        stations: Vec::new(),
        activities: Vec::new(),
        closed: Vec::new(),
        kept: Vec::new(),
        must_do: Vec::new(),
        record: VisitRecord::default(),
        changed: Vec::new(),
        happened: Vec::new(),
    }
}

fn sizes(groups: &[StandingGroup]) -> Vec<usize> {
    let mut sizes: Vec<usize> = groups.iter().map(|g| g.children.len()).collect();
    sizes.sort_unstable();
    sizes
}

fn members(groups: &[Group]) -> Vec<Vec<usize>> {
    groups.iter().map(|g| g.children.iter().map(|c| c.0).collect()).collect()
}

/// Every way to put `count` children into groups, as the group number of each child.
fn every_way(count: usize) -> Vec<Vec<usize>> {
    let mut ways = vec![Vec::new()];
    for _ in 0..count {
        ways = ways
            .iter()
            .flat_map(|way: &Vec<usize>| {
                let next = way.iter().max().map_or(0, |m| m + 1);
                (0..=next).map(move |g| [way.as_slice(), &[g]].concat())
            })
            .collect();
    }
    ways
}

/// Fewest children missing to the smallest size over every way that rules and largest size allow.
fn fewest_missing(site: &Site) -> usize {
    let (least, most) = site.rooms[0].group_size;
    let young = |c: usize| site.children[c].months(on()) < site.settings.young_under_months;
    let allowed = |way: &[usize]| {
        (0..way.len()).all(|a| {
            (0..a).filter(|&b| way[a] == way[b]).all(|b| {
                young(a) == young(b) && !site.children[a].keep_apart.contains(&ChildIndex(b))
            })
        })
    };
    every_way(site.children.len())
        .iter()
        .filter(|way| allowed(way))
        .filter_map(|way| {
            let count = |g: usize| way.iter().filter(|&&w| w == g).count();
            let groups = way.iter().max().map_or(0, |m| m + 1);
            (0..groups).try_fold(0, |sum, g| {
                (count(g) <= most).then(|| sum + least.saturating_sub(count(g)))
            })
        })
        .min()
        .expect("groups of one are always allowed")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn sizes_are_met_whenever_rules_allow_it(
        months in prop::collection::vec(12u32..66, 1..8),
        pairs in prop::collection::vec((0usize..8, 0usize..8), 0..9),
        least in 1usize..4,
        wider in 0usize..3,
        mixed in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let mut children: Vec<Child> = months.iter().map(|&m| child(m)).collect();
        let count = children.len();
        let pairs: Vec<(usize, usize)> =
            pairs.into_iter().filter(|&(a, b)| a != b && a < count && b < count).collect();
        apart(&mut children, &pairs);
        let ages = if mixed { GroupAges::Mixed } else { GroupAges::Alike };
        let site = site(children, (least, least + wider), ages);
        let groups = standing_groups(&site, RoomIndex(0), on(), seed);
        let mut seen: Vec<usize> =
            groups.iter().flat_map(|g| g.children.iter().map(|c| c.0)).collect();
        seen.sort_unstable();
        prop_assert_eq!(seen, (0..count).collect::<Vec<_>>(), "everybody in one group");
        for group in &groups {
            prop_assert!(group.children.len() <= least + wider);
            for &(a, b) in &pairs {
                let both = [a, b].iter().all(|&c| group.children.contains(&ChildIndex(c)));
                prop_assert!(!both, "{a} and {b} are to be kept apart");
            }
        }
        let missing: usize =
            groups.iter().map(|g| least.saturating_sub(g.children.len())).sum();
        prop_assert_eq!(missing, fewest_missing(&site));
        prop_assert_eq!(&groups, &standing_groups(&site, RoomIndex(0), on(), seed));
    }
}

#[test]
fn forty_children_with_many_keep_aparts_are_formed_at_once() {
    let mut children: Vec<Child> = (0..40).map(|c| child(31 + c)).collect();
    apart(&mut children, &(0..39).map(|c| (c, c + 1)).collect::<Vec<_>>());
    let site = site(children, (4, 5), GroupAges::Alike);
    let groups = standing_groups(&site, RoomIndex(0), on(), 7);
    assert_eq!(sizes(&groups), [5; 8]);
    let mut names: Vec<&str> = groups.iter().map(|g| g.label.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), 8, "each group has a name of its own");
}

#[test]
fn the_young_are_with_their_key_adult_and_not_with_the_marched_ones() {
    let mut children: Vec<Child> =
        [20, 40, 22, 41, 24, 42, 26, 43, 28, 44].map(child).into_iter().collect();
    for (at, key) in [(0, 0), (2, 1), (4, 0), (6, 1), (8, 0)] {
        children[at].key_adult = Some(AdultIndex(key));
    }
    let site = site(children, (2, 6), GroupAges::Alike);
    let groups = standing_groups(&site, RoomIndex(0), on(), 1);
    let mut together: Vec<Vec<usize>> =
        groups.iter().map(|g| g.children.iter().map(|c| c.0).collect()).collect();
    together.sort();
    assert_eq!(together, [vec![0, 4, 8], vec![1, 3, 5, 7, 9], vec![2, 6]]);
}

#[test]
fn ages_are_alike_or_mixed_as_the_room_asks() {
    let children = || [36, 60, 37, 61, 38, 62].map(child).to_vec();
    let spread = |ages| {
        let site = site(children(), (3, 3), ages);
        let groups = standing_groups(&site, RoomIndex(0), on(), 3);
        let months = |g: &StandingGroup| -> Vec<u32> {
            g.children.iter().map(|&c| site[c].months(on())).collect()
        };
        groups
            .iter()
            .map(|g| {
                months(g).iter().max().copied().unwrap_or(0)
                    - months(g).iter().min().copied().unwrap_or(0)
            })
            .max()
    };
    assert_eq!(spread(GroupAges::Alike), Some(2));
    assert!(spread(GroupAges::Mixed) >= Some(22), "each group has older and younger ones");
}

#[test]
fn part_timers_are_spread_so_that_no_weekday_leaves_a_group_of_one() {
    // Four come every day, four on Monday and Tuesday only: two and two in each group.
    let mut children: Vec<Child> = [40, 41, 42, 43, 50, 51, 52, 53].map(child).to_vec();
    for part_timer in &mut children[1..5] {
        part_timer.attendance = std::array::from_fn(|d| if d < 2 { vec![span()] } else { vec![] });
    }
    let site = site(children, (4, 4), GroupAges::Alike);
    let groups = standing_groups(&site, RoomIndex(0), on(), 3);
    let on_friday = |g: &StandingGroup| {
        g.children.iter().filter(|&&c| !site[c].attendance[4].is_empty()).count()
    };
    assert!(groups.iter().all(|g| on_friday(g) != 1));
}

#[test]
fn friends_are_together_where_sizes_allow_it() {
    let mut children: Vec<Child> = [36, 40, 44, 48, 52, 56].map(child).to_vec();
    children[0].keep_with.push(ChildIndex(5));
    let site = site(children, (3, 3), GroupAges::Alike);
    let groups = standing_groups(&site, RoomIndex(0), on(), 3);
    let first = groups.iter().find(|g| g.children.contains(&ChildIndex(0))).expect("its group");
    assert!(first.children.contains(&ChildIndex(5)));
}

#[test]
fn the_teachers_groups_stay_and_whom_they_leave_out_is_grouped_too() {
    let mut site = site([40, 41, 42, 43].map(child).to_vec(), (2, 3), GroupAges::Alike);
    let given = StandingGroup {
        id: "ours".into(),
        label: "Boats".into(),
        picture: "boat".into(),
        children: vec![ChildIndex(0), ChildIndex(3)],
    };
    site.rooms[0].groups = vec![given.clone()];
    let groups = standing_groups(&site, RoomIndex(0), on(), 3);
    assert_eq!(groups[0], given);
    assert_eq!(groups[1].children, [ChildIndex(1), ChildIndex(2)]);
    assert_ne!(groups[1].picture, "boat", "no two groups look alike");
}

/// Three groups of two for the thin days: marched, marched, young.
fn standing() -> (Site, Vec<StandingGroup>) {
    let site = site([40, 41, 50, 51, 20, 21].map(child).to_vec(), (2, 3), GroupAges::Alike);
    let groups = standing_groups(&site, RoomIndex(0), on(), 3);
    let together: Vec<Vec<usize>> =
        groups.iter().map(|g| g.children.iter().map(|c| c.0).collect()).collect();
    assert_eq!(together, [vec![0, 1], vec![2, 3], vec![4, 5]]);
    (site, groups)
}

#[test]
fn on_a_thin_day_a_group_of_one_joins_another() {
    let (site, groups) = standing();
    let today = groups_today(&day(&site, &[0, 2, 3, 4, 5]), &groups);
    assert_eq!(members(&today), [vec![0, 2, 3], vec![4, 5]]);
    assert_eq!(today[0].id, groups[1].id, "the larger group keeps its picture");
    let all = groups_today(&day(&site, &[0, 1, 2, 3, 4, 5]), &groups);
    assert_eq!(members(&all), [vec![0, 1], vec![2, 3], vec![4, 5]]);
}

#[test]
fn two_left_alone_go_together_but_never_young_with_marched() {
    let (site, groups) = standing();
    let today = groups_today(&day(&site, &[1, 3, 4]), &groups);
    assert_eq!(members(&today), [vec![1, 3], vec![4]]);
}

#[test]
fn who_is_to_be_kept_apart_stays_alone_on_a_thin_day() {
    let (mut site, groups) = standing();
    apart(&mut site.children, &[(0, 3)]);
    let today = groups_today(&day(&site, &[0, 2, 3]), &groups);
    assert_eq!(members(&today), [vec![0], vec![2, 3]]);
}

#[test]
fn a_group_with_a_kept_cell_stays_and_takes_others_in() {
    let (site, groups) = standing();
    let mut day = day(&site, &[0, 2, 4, 5]);
    day.kept.push(KeptCell {
        who: KeptFor::Group(groups[1].id.clone()),
        station: StationIndex(0),
        span: span(),
    });
    let today = groups_today(&day, &groups);
    assert_eq!(members(&today), [vec![0, 2], vec![4, 5]]);
    assert_eq!(today[0].id, groups[1].id);
}

#[test]
fn a_child_of_no_standing_group_is_taken_in() {
    let (site, mut groups) = standing();
    groups[0].children.retain(|c| c.0 != 1);
    let today = groups_today(&day(&site, &[0, 1, 2, 3]), &groups);
    assert_eq!(members(&today), [vec![0, 1], vec![2, 3]]);
}
