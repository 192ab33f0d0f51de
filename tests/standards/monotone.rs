//! One more child never lowers the adults needed, except where the law itself is so.

use super::*;

/// Standards under which one more child can lower the need, each with its pinned case below.
const NOT_MONOTONE: [&str; 6] =
    ["cfoc-centre", "florida", "georgia", "ontario", "new-zealand", "tennessee-drop-in"];

/// A month of age in each band of a standard.
fn an_age_of_each_band(standard: &Standard) -> Vec<u32> {
    let band = |months: &u32| standard.band_of(&heads(1, *months)[0], date());
    let ages = (0..standard.bands.len()).map(|wanted| (0..200).find(|m| band(m) == wanted));
    ages.map(|age| age.expect("a child of every band")).collect()
}

/// The first mix, and the age that is added to it, at which the need falls.
fn fall(standard: &Standard, at: &Situation) -> Option<(Vec<(u32, u32)>, u32)> {
    let ages = an_age_of_each_band(standard);
    let last = ages.len() - 1;
    let mut mixes: Vec<Vec<(u32, u32)>> = Vec::new();
    // Three bands with few children, neighbours with many.
    for a in 0..=last {
        for b in a..=last {
            for c in (b + 1..=last).filter(|_| a < b) {
                for code in 0..5 * 5 * 5 {
                    let n = [code % 5, code / 5 % 5, code / 25];
                    mixes.push(vec![(n[0], ages[a]), (n[1], ages[b]), (n[2], ages[c])]);
                }
            }
            for code in (0..24 * 24).step_by(if b == a + 1 { 1 } else { 7 }) {
                mixes.push(vec![(code % 24, ages[a]), (code / 24, ages[b])]);
            }
        }
    }
    mixes.into_iter().find_map(|mix_of| {
        let mut children = mix(&mix_of);
        let before = standard.need(&children, at).adults;
        ages.iter().find_map(|age| {
            children.extend(heads(1, *age));
            let after = standard.need(&children, at).adults;
            children.pop();
            (after < before).then(|| (mix_of.clone(), *age))
        })
    })
}

#[test]
fn one_more_child_never_lowers_the_need_where_the_law_is_so() {
    for standard in fairturn::standards::library() {
        let found = fall(standard, &plain());
        let expected = NOT_MONOTONE.contains(&standard.id.as_str());
        assert_eq!(found.is_some(), expected, "{}: {found:?}", standard.id);
    }
}

#[test]
fn a_fixed_age_and_qualified_adults_keep_it_so() {
    for id in ["head-start", "head-start-double"] {
        for governing_age in [Some(30), Some(40), Some(50)] {
            let at = Situation { governing_age, ..plain() };
            assert_eq!(fall(&built_in(id), &at), None, "{id} {governing_age:?}");
        }
    }
    let (six, three) = (["level-6".to_owned()], ["level-3".to_owned()]);
    let at = Situation { adults: &[&six, &three], ..plain() };
    assert_eq!(fall(&built_in("england-eyfs"), &at), None);
}

/// The share of toddlers falls with one more preschooler.
#[test]
fn ontario_falls_from_four_to_three() {
    assert_eq!(adults("ontario", &[(4, 20), (15, 40)]), 4);
    assert_eq!(adults("ontario", &[(4, 20), (16, 40)]), 3);
}

/// One more child makes a majority, and an older one.
#[test]
fn cfoc_falls_when_a_majority_appears() {
    assert_eq!(adults("cfoc-centre", &[(11, 40), (11, 50)]), 4, "no majority: 1:7 for 22");
    assert_eq!(adults("cfoc-centre", &[(11, 40), (12, 50)]), 3, "1:8 for 23");
}

/// One more child makes the older age the largest.
#[test]
fn florida_and_georgia_fall_when_a_tie_is_broken() {
    assert_eq!(adults("florida", &[(8, 40), (8, 50)]), 2, "1:15 for 16");
    assert_eq!(adults("florida", &[(8, 40), (9, 50)]), 1, "1:20 for 17");
    assert_eq!(adults("georgia", &[(8, 40), (8, 50)]), 2, "1:15 for 16");
    assert_eq!(adults("georgia", &[(8, 40), (9, 50)]), 1, "1:18 for 17");
}

/// One more child makes an older age that of most.
#[test]
fn drop_in_centers_in_tennessee_fall_when_a_majority_appears() {
    assert_eq!(adults("tennessee-drop-in", &[(8, 40), (8, 50)]), 2, "no majority: 1:15 for 16");
    assert_eq!(adults("tennessee-drop-in", &[(8, 40), (9, 50)]), 1, "1:18 for 17");
}

/// Free places count from the third child on.
#[test]
fn new_zealand_falls_with_the_third_child() {
    assert_eq!(adults("new-zealand", &[(1, 12), (1, 30)]), 2);
    assert_eq!(adults("new-zealand", &[(1, 12), (2, 30)]), 1);
    assert_eq!(adults("new-zealand", &[(2, 12), (1, 30)]), 1);
}

/// The table alone would fall, so the published repair adds one adult.
#[test]
fn the_netherlands_are_repaired() {
    let by = |n: [u32; 4]| adults("netherlands", &[(n[0], 6), (n[1], 18), (n[2], 30), (n[3], 42)]);
    assert_eq!((by([2, 5, 4, 0]), by([2, 5, 4, 1])), (3, 3), "12 of 0 to 4 alone would need 2");
}

/// Whether so many children may be together.
fn fits(standard: &Standard, children: &[Head]) -> bool {
    let size = standard.need(children, &plain()).class_size;
    size.is_none_or(|most| children.len() as u32 <= most)
}

/// Where too many are together, one more child never mends it; nor does it mend too many young ones.
#[test]
fn one_more_child_never_makes_a_group_small_enough() {
    let capped = fairturn::standards::library().iter().filter(|s| !s.young_together.is_empty());
    let capped: Vec<_> = capped.collect();
    assert_eq!(capped.len(), 4);
    for standard in capped {
        let ages = an_age_of_each_band(standard);
        for code in 0..5_u32.pow(ages.len() as u32) {
            let n = |i: usize| code / 5_u32.pow(i as u32) % 5;
            let of: Vec<(u32, u32)> = ages.iter().enumerate().map(|(i, m)| (n(i), *m)).collect();
            let mut children = mix(&of);
            if children.is_empty() || fits(standard, &children) {
                continue;
            }
            let size = standard.need(&children, &plain()).class_size;
            for months in &ages {
                children.extend(heads(1, *months));
                assert!(!fits(standard, &children), "{}: {of:?} and {months}", standard.id);
                children.pop();
            }
            // As many as are said may stay: without the youngest ones the others fit.
            children.sort_by_key(|head| head.months);
            let leave = children.len() - size.unwrap_or(0) as usize;
            assert!(fits(standard, &children[leave..]), "{}: {of:?}", standard.id);
        }
    }
}
