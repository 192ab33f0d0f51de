//! Foods in labels, and what holds of every word in every spelling.

use fairturn::standards::foods::Meeting;
use fairturn::standards::foods::{accounts_for, is_known, meeting, spellings, told_in};
use proptest::prelude::*;

#[test]
fn a_label_tells_of_its_foods_and_of_nothing_that_is_only_played() {
    let told = |label: &str| told_in(label).join("; ");
    for (label, foods) in [
        ("Pancakes", "pancakes"),
        ("Pancake pan", "pancake"),
        ("Baking", "baking"),
        ("Cooking", "cooking"),
        ("Peanut butter bird feeders", "bird feeders; peanut butter"),
        ("Little ferries of dough", "dough"),
        ("Egg-free pancakes on Tuesday", "egg-free pancakes on"),
        ("Pasta threading", "pasta"),
        ("Fish shop", ""),
        ("Fruit stall", ""),
        ("Toy cakes", ""),
        ("Water table", ""),
        ("Sand pit", ""),
        ("Painting", ""),
        ("Mud pies", ""),
        ("Milk crates", ""),
        ("Leaf printing", ""),
        ("Blocks and quay", ""),
        ("Floating and sinking", ""),
        ("Butterflies", ""),
    ] {
        assert_eq!(told(label), foods, "{label}");
    }
    assert!(accounts_for("egg", "pancakes") && accounts_for("none", "pancakes"));
    assert!(accounts_for("rice", "cooking") && !accounts_for("peanut butter", "toast"));
    assert!(!accounts_for("glimmer", "cooking"));
}

/// A word in other spellings: capitals, many, hyphens, more room between.
fn spelled(word: &str, how: u32) -> String {
    let mut spelled = word.to_owned();
    if how & 1 == 1 {
        spelled = spelled.to_uppercase();
    }
    if how & 2 == 2 {
        spelled = format!("  {}  ", spelled.replace(' ', "   "));
    }
    if how & 4 == 4 {
        spelled = spelled.trim().replace(' ', "-");
    }
    if how & 8 == 8 && !spelled.trim().ends_with(['s', 'S']) {
        spelled = format!("{}s", spelled.trim());
    }
    spelled
}

/// Allergies and materials of every kind.
const SOME: [&str; 6] = ["gluten", "egg", "milk", "nuts", "cake", "bath foam"];

#[test]
fn no_spelling_makes_anything_else_of_a_word() {
    for word in spellings() {
        for how in [1, 2, 4, 8, 15] {
            let otherwise = spelled(word, how);
            for some in SOME {
                let (as_material, as_allergy) = (meeting(word, some), meeting(some, word));
                assert_eq!(meeting(&otherwise, some), as_material, "{otherwise:?}, {some}");
                assert_eq!(meeting(some, &otherwise), as_allergy, "{some}, {otherwise:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

    #[test]
    fn what_surely_has_it_goes_on_having_it_with_more_words_beside_it(
        one in prop::sample::select(spellings().collect::<Vec<&str>>()),
        other in prop::sample::select(spellings().collect::<Vec<&str>>()),
        allergy in prop::sample::select(spellings().collect::<Vec<&str>>()),
    ) {
        let both = meeting(&format!("{one}, {other}"), allergy);
        prop_assert_eq!(both, meeting(one, allergy).max(meeting(other, allergy)));
    }

    #[test]
    fn letters_that_say_nothing_are_never_safe(word in "[b-df-hj-np-tv-z]{5,9}", allergy in prop::sample::select(vec!["egg", "peanut", "milk", "wheat"])) {
        prop_assume!(!is_known(&word));
        prop_assert_eq!(meeting(&word, allergy), Meeting::Unknown);
        prop_assert_eq!(meeting("flour", &word), Meeting::Unknown);
    }
}
