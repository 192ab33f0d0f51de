//! Worked examples of mixed-age arithmetic, each with its source.

use super::*;

/// Regulation 123 with the regulator's two examples, and ones that tell the methods apart.
#[test]
fn australia_fills_each_adult_youngest_first() {
    let by_band =
        |n: [u32; 4]| adults("australia", &[(n[0], 12), (n[1], 30), (n[2], 48), (n[3], 80)]);
    assert_eq!(by_band([3, 5, 12, 0]), 3, "published");
    assert_eq!(by_band([0, 0, 5, 19]), 2, "published");
    assert_eq!(by_band([1, 0, 8, 0]), 2, "a fraction sum would say 1");
    assert_eq!(by_band([0, 4, 1, 0]), 1, "each band rounded up would say 2");
    assert_eq!(by_band([2, 3, 6, 0]), 3);
}

/// The day of completing 24 months still belongs to "birth to 24 months".
#[test]
fn australia_counts_the_day_of_24_months_as_the_younger() {
    let standard = built_in("australia");
    let two_today = date().checked_sub_months(Months::new(24)).expect("a date");
    let child = |born| Head { months: 24, born, asleep: false };
    let five = |born| standard.need(&[child(born); 5], &plain()).adults;
    assert_eq!(five(two_today), 2, "1:4 on the day itself");
    assert_eq!(five(two_today - chrono::Days::new(1)), 1, "1:5 the day after");
}

/// The county committee's room, and the whole numbers that a float would miss.
#[test]
fn ireland_sums_exact_fractions_and_rounds_up_once() {
    let by_band =
        |n: [u32; 4]| adults("ireland-full-day", &[(n[0], 6), (n[1], 18), (n[2], 30), (n[3], 48)]);
    assert_eq!(by_band([2, 1, 0, 0]), 1, "2/3 and 1/5, published");
    assert_eq!(by_band([0, 3, 6, 4]), 3, "0.6, 1 and 0.5");
    assert_eq!(by_band([1, 0, 1, 4]), 1, "1/3, 1/6 and 1/2 are exactly 1");
    assert_eq!(by_band([5, 5, 2, 0]), 3, "5/3, 1 and 1/3 are exactly 3");
    assert_eq!(by_band([5, 5, 2, 1]), 4);
}

/// Toddlers above a fifth make their own ratio govern; the share falls with one more preschooler.
#[test]
fn ontario_judges_the_share_of_younger_children() {
    let room =
        |toddlers, preschoolers| need(&built_in("ontario"), &[(toddlers, 20), (preschoolers, 40)]);
    assert_eq!(room(3, 13), Need { adults: 2, class_size: Some(24), in_building: 2 });
    assert_eq!(room(4, 12), Need { adults: 4, class_size: Some(15), in_building: 4 });
    assert_eq!(room(4, 15).adults, 4, "4 of 19 are more than a fifth");
    assert_eq!(room(4, 16).adults, 3, "4 of 20 are a fifth");
    assert_eq!(adults("ontario", &[(3, 6)]), 1);
    assert_eq!(adults("ontario", &[(4, 6)]), 2, "3:10 of four infants is 1.2");
    assert_eq!(adults("ontario", &[(10, 6)]), 3);
}

/// A toddler governs ratio and class size, however many are older.
#[test]
fn cfoc_protects_infants_and_toddlers() {
    let with = need(&built_in("cfoc-centre"), &[(2, 20), (8, 40), (6, 50)]);
    assert_eq!((with.adults, with.class_size), (4, Some(8)));
    let without = need(&built_in("cfoc-centre"), &[(8, 40), (6, 50)]);
    assert_eq!((without.adults, without.class_size), (2, Some(14)), "threes are the most");
    let tie = need(&built_in("cfoc-centre"), &[(7, 40), (7, 50), (7, 62)]);
    assert_eq!((tie.adults, tie.class_size), (3, Some(14)), "no majority: the youngest");
}

/// 1:13 only with one of level 6 and another one of level 3.
#[test]
fn england_switches_with_the_adults_who_are_there() {
    let standard = built_in("england-eyfs");
    let children = mix(&[(26, 45)]);
    let level = |n: u32| vec![format!("level-{n}")];
    let (six, three, two) = (level(6), level(3), level(2));
    let with =
        |adults: &[&[String]]| standard.need(&children, &Situation { adults, ..plain() }).adults;
    assert_eq!(with(&[&six, &three]), 2);
    assert_eq!(with(&[&three, &six]), 2, "in any order");
    assert_eq!(with(&[&six, &six]), 2, "level 6 is level 3 as well");
    assert_eq!(with(&[&six]), 4, "the other one is away");
    assert_eq!(with(&[&six, &two]), 4);
    assert_eq!(with(&[&three, &three]), 4);
    let few = mix(&[(5, 45)]);
    let adults: &[&[String]] = &[&six, &three];
    assert_eq!(standard.need(&few, &Situation { adults, ..plain() }).adults, 1);
}

/// The table of 2019 by the youngest and the oldest child.
#[test]
fn netherlands_reads_the_span_of_ages() {
    let by_year =
        |n: [u32; 4]| adults("netherlands", &[(n[0], 6), (n[1], 18), (n[2], 30), (n[3], 42)]);
    assert_eq!(by_year([2, 3, 3, 4]), 2, "span 0 to 4, 12 children");
    assert_eq!(by_year([0, 5, 4, 4]), 2, "span 1 to 4, 13 children");
    assert_eq!(by_year([0, 0, 8, 8]), 2, "span 2 to 4, 16 children");
    assert_eq!(by_year([3, 0, 0, 13]), 3);
    assert_eq!(by_year([4, 0, 0, 12]), 4);
    assert_eq!(by_year([2, 5, 4, 0]), 3, "span 0 to 3, 11 children");
    assert_eq!(by_year([2, 5, 4, 1]), 3, "the table says 2 for 12 of 0 to 4: repaired");
    let babies = need(&built_in("netherlands"), &[(9, 6), (1, 18)]);
    assert_eq!(babies.class_size, Some(8), "at most 8 babies in a mixed group");
    assert_eq!(need(&built_in("netherlands"), &[(8, 6), (8, 18)]).class_size, Some(16));
}
