//! Each mixed-age method, in the built-in standard that uses it.

use super::*;

/// Adults and class size.
fn both(id: &str, ages: &[(u32, u32)]) -> (u32, Option<u32>) {
    let need = need(&built_in(id), ages);
    (need.adults, need.class_size)
}

/// 55 Pa. Code 3270.55 (verified; group sizes from memory).
#[test]
fn the_youngest_governs_ratio_and_size() {
    assert_eq!(both("pennsylvania", &[(1, 30), (11, 48)]), (2, Some(12)));
    assert_eq!(both("pennsylvania", &[(11, 48)]), (2, Some(20)));
    let each = [(6, 4), (18, 5), (30, 6), (48, 10), (80, 12), (130, 15)];
    for (months, ratio) in each {
        assert_eq!(adults("pennsylvania", &[(ratio, months)]), 1, "{months}");
        assert_eq!(adults("pennsylvania", &[(ratio + 1, months)]), 2, "{months}");
    }
}

/// 8VAC20-780-350 (numbers from the older text): the two-year edge lies at 16 months.
#[test]
fn virginia_has_an_edge_at_16_months() {
    for (months, ratio) in [(15, 4), (16, 5), (24, 8), (36, 10), (80, 18), (110, 20)] {
        assert_eq!(adults("virginia", &[(ratio, months)]), 1, "{months}");
        assert_eq!(adults("virginia", &[(ratio + 1, months)]), 2, "{months}");
    }
    assert_eq!(both("virginia", &[(1, 30), (8, 48)]), (2, None));
}

/// WAC 388-150-190 (an older text): ages part at 30 months. Its rows "30 months to 5 years" and "5
/// years and over" overlap from 60 to 71 months: the stricter one is taken.
#[test]
fn washington_parts_the_ages_at_30_months_and_takes_the_stricter_of_two() {
    let each = [
        (11, 4, 8),
        (12, 7, 14),
        (29, 7, 14),
        (30, 10, 20),
        (59, 10, 20),
        (60, 10, 20),
        (71, 10, 20),
        (72, 15, 30),
    ];
    for (months, ratio, size) in each {
        assert_eq!(both("washington", &[(ratio, months)]), (1, Some(size)), "{months}");
        assert_eq!(both("washington", &[(ratio + 1, months)]).0, 2, "{months}");
    }
    assert_eq!(both("washington", &[(1, 65), (14, 80)]), (2, Some(20)), "a five-year-old governs");
}

/// Florida s. 402.305(4) (secondary): the largest age group, the youngest with under-twos.
#[test]
fn the_plurality_governs_and_a_tie_goes_to_the_stricter() {
    assert_eq!(both("florida", &[(7, 40), (4, 50)]), (1, None), "1:15 for 11");
    assert_eq!(adults("florida", &[(8, 40), (8, 50)]), 2, "a tie: 1:15 for 16");
    assert_eq!(adults("florida", &[(7, 40), (9, 50)]), 1, "1:20 for 16");
    assert_eq!(adults("florida", &[(1, 18), (7, 40), (4, 50)]), 2, "1:6 for 12");
}

/// 45 CFR 1302.21(b)(1) (verified): the majority of the class, fixed at the start of the year.
#[test]
fn a_fixed_majority_is_the_rooms_own_word() {
    let head_start = built_in("head-start");
    let children = mix(&[(9, 40), (9, 52)]);
    let at = |governing_age| {
        let need = head_start.need(&children, &Situation { governing_age, ..plain() });
        (need.adults, need.class_size)
    };
    assert_eq!(at(Some(40)), (3, Some(17)), "18 children at 2:17");
    assert_eq!(at(Some(50)), (2, Some(20)));
    assert_eq!(at(None), (3, Some(17)), "not fixed: the youngest");
    assert_eq!(adults("head-start", &[(1, 34), (9, 52)]), 3);
    assert_eq!(both("head-start", &[(8, 30)]), (2, Some(9)), "eight on two teachers");
    assert_eq!(both("head-start", &[(9, 30)]), (3, Some(9)), "nine on three");
    assert_eq!(both("head-start-double", &[(15, 40)]), (2, Some(15)));
    assert_eq!(both("head-start-double", &[(17, 50)]), (2, Some(17)));
    assert_eq!(head_start.least_adults(1), 2, "a teacher and another one");
    assert_eq!(head_start.brief_absence.as_ref().map(|b| (b.minutes, b.adults)), Some((5, 1)));
}

/// 45 CFR 1302.23(b) (memory): six with one provider, at most two of them under 24 months.
#[test]
fn a_head_start_home_has_two_under_two_to_one_provider() {
    assert_eq!(adults("head-start-home", &[(2, 12), (4, 40)]), 1);
    assert_eq!(both("head-start-home", &[(4, 12), (8, 40)]), (2, Some(12)));
    assert_eq!(adults("head-start-home", &[(3, 12), (1, 40)]), 2);
}

/// Georgia, group homes (secondary, dated): the youngest with any under 3, else the most.
#[test]
fn two_tiers_turn_on_one_age() {
    assert_eq!(adults("georgia", &[(1, 30), (12, 50)]), 2, "1:10 for 13");
    assert_eq!(adults("georgia", &[(3, 40), (14, 50)]), 1, "1:18 for 17");
}

/// Scotland (a provider's page): each age by itself, two adults at all times.
#[test]
fn each_band_is_rounded_up_by_itself() {
    assert_eq!(adults("scotland", &[(1, 12), (1, 30), (4, 40)]), 3);
    let scotland = built_in("scotland");
    assert_eq!((scotland.least_adults(0), scotland.least_adults(1)), (0, 2));
    assert_eq!(adults("scotland", &[(9, 40)]), 2);
    assert_eq!(adults("scotland-sessional", &[(10, 40)]), 1, "nobody for 4 hours or more");
}

/// New Zealand, schedule 2 and regulation 44A (verified): steps, and unused places.
#[test]
fn spare_places_of_the_young_take_older_children() {
    let by = |young, old| adults("new-zealand", &[(young, 12), (old, 30)]);
    assert_eq!(by(9, 21), 4, "one older child in a free place");
    assert_eq!(by(10, 21), 5, "no free place");
    assert_eq!(by(1, 1), 2, "fewer than three children");
    assert_eq!([5, 6, 10, 11].map(|n| by(n, 0)), [1, 2, 2, 3]);
    assert_eq!([6, 7, 20, 21, 30, 31, 41].map(|n| by(0, n)), [1, 2, 2, 3, 3, 4, 5]);
}

/// 5 CSR 25-500.112 (verified): up to four twos count with the older ones.
#[test]
fn a_count_of_twos_decides() {
    assert_eq!(both("missouri", &[(1, 18), (4, 30), (4, 40)]), (3, Some(8)));
    assert_eq!(both("missouri", &[(4, 30)]), (1, Some(16)), "only twos");
    assert_eq!(both("missouri", &[(4, 30), (12, 70)]), (2, Some(20)), "1:10, not 1:16");
    assert_eq!(both("missouri", &[(16, 70)]), (1, Some(32)));
}

/// British Columbia, multi-age (secondary): 1:8, at most 3 under 36 months and 1 under 12, in the group
/// of eight and not for each adult.
#[test]
fn sub_caps_hold_for_each_adult_and_for_the_group() {
    let by = |ages: &[(u32, u32)]| both("british-columbia", ages);
    assert_eq!(by(&[(1, 6), (2, 30), (5, 50)]), (1, Some(8)));
    assert_eq!(by(&[(2, 6), (1, 30), (5, 50)]), (2, Some(7)), "one baby has to leave");
    assert_eq!(by(&[(4, 30), (4, 50)]), (2, Some(7)));
    assert_eq!(by(&[(6, 30), (2, 50)]), (2, Some(5)), "two adults allow no six");
    assert_eq!(by(&[(3, 6), (1, 30), (2, 50)]), (3, Some(4)), "a baby, a toddler, two older ones");
    assert_eq!(by(&[(9, 50)]), (2, Some(8)));
    let words = built_in("british-columbia").sentence(&mix(&[(4, 30), (4, 50)]), &plain());
    assert!(
        words.ends_with(
            "at 1:8 of mixed age need 2 adults; at most 8 together, 8 here: within; at most 3 under \
             36 months, 4 here: too many."
        ),
        "{words}"
    );
}

/// 45 CFR 1302.23(b) (memory): twelve with an assistant, at most four under 24 months. Small homes (a
/// policy brief): six in all, at most two under 2 years.
#[test]
fn a_home_has_so_many_young_ones_in_all() {
    assert_eq!(both("head-start-home", &[(5, 12), (7, 40)]), (3, Some(11)));
    assert_eq!(both("head-start-home", &[(4, 12), (8, 40)]), (2, Some(12)));
    assert_eq!(both("cfoc-small-home", &[(3, 12)]), (2, Some(2)));
    assert_eq!(both("cfoc-small-home", &[(2, 12), (4, 40)]).1, Some(6));
    assert_eq!(both("cfoc-small-home", &[(7, 40)]), (2, Some(6)));
}

/// Childminders (secondary): six under 8, of these three young, of these one baby.
#[test]
fn a_childminder_has_three_young_ones_and_one_baby() {
    let by = |ages: &[(u32, u32)]| adults("england-childminder", ages);
    assert_eq!(by(&[(1, 6), (2, 40), (3, 80)]), 1);
    assert_eq!(by(&[(2, 6), (1, 40)]), 2, "two babies");
    assert_eq!(by(&[(4, 40)]), 2, "four young ones");
    assert_eq!(by(&[(7, 80)]), 2);
    let standard = built_in("england-childminder");
    let born = NaiveDate::from_ymd_opt(2020, 10, 1).expect("a date");
    let months = age_in_months(born, date()).expect("born before");
    let young = [Head { months, born, asleep: false }; 4];
    assert_eq!(standard.need(&young, &plain()).adults, 2, "five years old, not yet September");
}

/// Oregon (verified, in part) and small homes (memory): a table by how many are young.
#[test]
fn the_number_of_young_ones_picks_the_row() {
    let by = |young, old| adults("oregon", &[(young, 12), (old, 40)]);
    assert_eq!([by(0, 10), by(0, 11)], [1, 2]);
    assert_eq!([by(1, 7), by(1, 8)], [1, 2], "1:8 with one");
    assert_eq!([by(2, 5), by(2, 6)], [1, 2], "1:7 with two");
    assert_eq!([by(3, 1), by(3, 2)], [1, 2], "with three the youngest's 1:4");
    assert_eq!([by(4, 0), by(5, 0)], [1, 2], "of one age");
    let small = |young, old| adults("cfoc-small-home", &[(young, 12), (old, 40)]);
    assert_eq!([small(0, 6), small(1, 3), small(2, 0)], [1, 1, 1]);
    assert_eq!([small(0, 7), small(1, 4), small(2, 1)], [2, 2, 2]);
}

/// CFOC 1.1.1.2, large family homes (verified).
#[test]
fn large_homes_have_figures_of_their_own() {
    let each = [(6, 2, 6), (15, 2, 8), (30, 3, 12), (40, 7, 12), (50, 8, 12), (80, 10, 12)];
    for (months, ratio, size) in each {
        assert_eq!(both("cfoc-large-home", &[(ratio, months)]), (1, Some(size)), "{months}");
        assert_eq!(both("cfoc-large-home", &[(ratio + 1, months)]).0, 2, "{months}");
    }
}

/// Wisconsin: a group of several ages is at most what two workers can have pro rata.
#[test]
fn wisconsins_class_size_follows_from_the_fractions() {
    let size = |ages: &[(u32, u32)]| both("wisconsin", ages).1;
    assert_eq!(size(&[(10, 40), (13, 50)]), Some(23), "exactly two workers");
    assert_eq!(size(&[(10, 40), (14, 50)]), Some(23), "one too many");
    assert_eq!(size(&[(4, 26), (4, 40)]), Some(17), "2/3 and 2/5 leave 9 more of 3 years");
    assert_eq!(size(&[(1, 12), (4, 40)]), Some(8), "with a child under 2");
    assert_eq!(size(&[(5, 50)]), Some(24), "of one age");
}

/// Ireland: sessional and drop-in services have tables of their own.
#[test]
fn ireland_has_a_table_for_each_service() {
    assert_eq!(adults("ireland-sessional", &[(11, 40)]), 1);
    assert_eq!(adults("ireland-sessional", &[(5, 29)]), 1);
    assert_eq!(adults("ireland-sessional", &[(6, 29)]), 2, "under 2 and a half");
    assert_eq!(adults("ireland-drop-in", &[(2, 6), (2, 50)]), 1);
    assert_eq!(adults("ireland-drop-in", &[(5, 50)]), 2);
}

/// New South Wales asks for 1:10 where the others ask for 1:11.
#[test]
fn new_south_wales_is_stricter() {
    assert_eq!((adults("australia", &[(11, 48)]), adults("australia-nsw", &[(11, 48)])), (1, 2));
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
