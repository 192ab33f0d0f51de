//! The mixed-age methods that no built-in standard uses, fed with their published tables.

use super::*;

fn method(name: &str) -> String {
    format!(r#""method": "{name}""#)
}

/// 55 Pa. Code 3270.55 (verified).
fn pennsylvania() -> Standard {
    let bands = [
        ("infant", Some(12), "4|8"),
        ("young-toddler", Some(24), "5|10"),
        ("older-toddler", Some(36), "6|12"),
        ("preschool", Some(60), "10|20"),
        ("young-school", Some(108), "12|24"),
        ("older-school", None, "15|30"),
    ];
    inline(&bands, &method("youngest"), "")
}

#[test]
fn the_youngest_governs_ratio_and_size() {
    let with = need(&pennsylvania(), &[(1, 30), (11, 48)]);
    assert_eq!((with.adults, with.class_size), (2, Some(12)));
    let without = need(&pennsylvania(), &[(11, 48)]);
    assert_eq!((without.adults, without.class_size), (2, Some(20)));
}

/// Florida s. 402.305(4) (secondary): the largest age group, the youngest with under-twos.
#[test]
fn the_plurality_governs_and_a_tie_goes_to_the_stricter() {
    let bands = [
        ("0", Some(12), "4"),
        ("1", Some(24), "6"),
        ("2", Some(36), "11"),
        ("3", Some(48), "15"),
        ("4", Some(60), "20"),
        ("5", None, "25"),
    ];
    let mixed = r#""method": "plurality", "protect_below_months": 24"#;
    let florida = inline(&bands, mixed, "");
    assert_eq!(need(&florida, &[(7, 40), (4, 50)]).adults, 1, "1:15 for 11");
    assert_eq!(need(&florida, &[(8, 40), (8, 50)]).adults, 2, "a tie: 1:15 for 16");
    assert_eq!(need(&florida, &[(7, 40), (9, 50)]).adults, 1, "1:20 for 16");
    assert_eq!(need(&florida, &[(1, 18), (7, 40), (4, 50)]).adults, 2, "1:6 for 12");
}

/// 45 CFR 1302.21(b)(1) (verified): the majority of the class, fixed at the start of the year.
#[test]
fn a_fixed_majority_is_the_rooms_own_word() {
    let bands =
        [("under-3", Some(36), "4|8"), ("three", Some(48), "9|17"), ("four", None, "10|20")];
    let head_start = inline(&bands, &method("majority_fixed_at_start"), "");
    let children = mix(&[(9, 40), (9, 52)]);
    let at = |governing_age| {
        let need = head_start.need(&children, &Situation { governing_age, ..plain() });
        (need.adults, need.class_size)
    };
    assert_eq!(at(Some(40)), (2, Some(17)));
    assert_eq!(at(Some(50)), (2, Some(20)));
    assert_eq!(at(None), (2, Some(17)), "not fixed: the youngest");
    let one_young = mix(&[(1, 34), (9, 52)]);
    assert_eq!(head_start.need(&one_young, &plain()).adults, 3);
}

/// Georgia, group homes (secondary, dated): the youngest with any under 3, else the most.
#[test]
fn two_tiers_turn_on_one_age() {
    let bands = [
        ("0", Some(12), "6"),
        ("1", Some(24), "8"),
        ("2", Some(36), "10"),
        ("3", Some(48), "15"),
        ("4", None, "18"),
    ];
    let georgia = inline(&bands, r#""method": "two_tier", "below_months": 36"#, "");
    assert_eq!(need(&georgia, &[(1, 30), (12, 50)]).adults, 2, "1:10 for 13");
    assert_eq!(need(&georgia, &[(3, 40), (14, 50)]).adults, 1, "1:18 for 17");
}

/// Scotland (verified from a provider's page): each age by itself.
#[test]
fn each_band_is_rounded_up_by_itself() {
    let bands = [("0", Some(24), "3"), ("2", Some(36), "5"), ("3", None, "8")];
    let more = r#", "least_adults": [{"from_children": 1, "adults": 2, "source": "s"}]"#;
    let scotland = inline(&bands, &method("per_band_sum"), more);
    assert_eq!(need(&scotland, &[(1, 12), (1, 30), (4, 40)]).adults, 3);
    assert_eq!((scotland.least_adults(0), scotland.least_adults(1)), (0, 2));
}

/// New Zealand, schedule 2 and regulation 44A (verified): steps, and unused places.
#[test]
fn spare_places_of_the_young_take_older_children() {
    let young = r#"{"steps": {"up_to": [[5, 1], [10, 2]], "then_each": 5}}"#;
    let old = r#"{"steps": {"up_to": [[6, 1], [20, 2], [30, 3]], "then_each": 10}}"#;
    let bands = [("under-2", Some(24), young), ("two-and-over", None, old)];
    let spare = r#""method": "spare_capacity", "least_children": 3"#;
    let with = inline(&bands, spare, "");
    let without = inline(&bands, &method("per_band_sum"), "");
    assert_eq!(need(&without, &[(9, 12), (21, 30)]).adults, 5);
    assert_eq!(need(&with, &[(9, 12), (21, 30)]).adults, 4, "one older child in a free place");
    assert_eq!(need(&with, &[(10, 12), (21, 30)]).adults, 5, "no free place");
    assert_eq!(need(&with, &[(1, 12), (1, 30)]).adults, 2, "fewer than three children");
    let old_alone = |n| need(&with, &[(n, 30)]).adults;
    assert_eq!([6, 7, 20, 21, 30, 31, 41].map(old_alone), [1, 2, 2, 3, 3, 4, 5]);
}

/// 5 CSR 25-500.112 (verified): up to four twos count with the older ones.
#[test]
fn a_count_of_twos_decides() {
    let bands = [
        ("under-2", Some(24), "4|8"),
        ("two", Some(36), "8|16"),
        ("three", Some(60), "10|20"),
        ("five", None, "16|32"),
    ];
    let mixed = r#""method": "count_threshold", "band": "two", "at_most": 4"#;
    let missouri = inline(&bands, mixed, "");
    let by = |ages: &[(u32, u32)]| {
        let need = need(&missouri, ages);
        (need.adults, need.class_size)
    };
    assert_eq!(by(&[(4, 30), (12, 40)]), (2, Some(20)));
    assert_eq!(by(&[(5, 30), (11, 40)]), (2, Some(16)));
    assert_eq!(by(&[(5, 30), (12, 40)]), (3, Some(16)), "a 17th child is over size");
    assert_eq!(by(&[(1, 18), (4, 30), (4, 40)]), (3, Some(8)));
    assert_eq!(by(&[(4, 30)]), (1, Some(16)), "only twos");
}

/// British Columbia, multi-age (secondary): 1:8, at most 3 under 36 months and 1 under 12.
#[test]
fn sub_caps_hold_for_each_adult() {
    let mixed = r#""method": "subcaps", "children_per_adult": 8, "caps": [
        {"below_months": 36, "at_most": 3}, {"below_months": 12, "at_most": 1}]"#;
    let columbia = inline(&[("all", None, "8|8")], mixed, "");
    let by = |ages: &[(u32, u32)]| need(&columbia, ages).adults;
    assert_eq!(by(&[(1, 6), (2, 30), (5, 50)]), 1);
    assert_eq!(by(&[(2, 6), (1, 30), (5, 50)]), 2);
    assert_eq!(by(&[(4, 30), (4, 50)]), 2);
    assert_eq!(by(&[(9, 50)]), 2);
}

/// Wisconsin (table from memory): pro rata, exactly 2 stays 2.
#[test]
fn pro_rata_sums_that_are_whole_stay_whole() {
    let bands = [
        ("0", Some(24), "4"),
        ("2", Some(30), "6"),
        ("2-half", Some(36), "8"),
        ("3", Some(48), "10"),
        ("4", Some(60), "13"),
        ("5", None, "17"),
    ];
    let wisconsin = inline(&bands, &method("fraction_sum"), "");
    assert_eq!(need(&wisconsin, &[(10, 40), (13, 50)]).adults, 2);
    assert_eq!(need(&wisconsin, &[(10, 40), (14, 50)]).adults, 3);
    assert_eq!(need(&wisconsin, &[(2, 26), (2, 32), (6, 40), (4, 50)]).adults, 2);
    assert_eq!(need(&wisconsin, &[(3, 26), (10, 40), (5, 50)]).adults, 2);
}

/// A kindergarten room may fix its age; a room below it is judged by its own share.
#[test]
fn ontario_rooms_may_fix_their_age() {
    let standard = built_in("ontario");
    let children = mix(&[(1, 20), (5, 40)]);
    let at = |governing_age| standard.need(&children, &Situation { governing_age, ..plain() });
    assert_eq!(at(None).class_size, Some(24), "1 of 6 is under a fifth");
    assert_eq!(at(Some(40)).class_size, Some(24));
    assert_eq!(at(Some(20)).class_size, Some(15), "a toddler room stays one");
    assert_eq!(need(&standard, &[(1, 6), (9, 40)]).adults, 3, "an infant is no next younger");
}
