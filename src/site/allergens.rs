//! Words for what children may be allergic to, and which of them stand for the same food.
//!
//! The names follow the fourteen groups of Regulation (EU) No 1169/2011, Annex II, consolidated
//! text (from memory); the spellings, and peanuts among the nuts, are common practice, on the
//! side of caution.

/// A food or another cause, with what else it is called and what belongs to it.
struct Allergen {
    name: &'static str,
    /// Other spellings of the same word.
    also: &'static [&'static str],
    /// Narrower words: whoever is allergic to the whole is allergic to each, and where the whole
    /// is in something, each may be.
    kinds: &'static [&'static str],
}

const fn plain(name: &'static str, also: &'static [&'static str]) -> Allergen {
    Allergen { name, also, kinds: &[] }
}

const fn group(
    name: &'static str,
    also: &'static [&'static str],
    kinds: &'static [&'static str],
) -> Allergen {
    Allergen { name, also, kinds }
}

const KNOWN: [Allergen; 51] = [
    group("gluten", &["cereals"], &["wheat", "spelt", "rye", "barley", "oat"]),
    plain("wheat", &["wheat flour"]),
    plain("spelt", &[]),
    plain("rye", &[]),
    plain("barley", &[]),
    plain("oat", &["oats"]),
    group("shellfish", &[], &["crustacean", "mollusc"]),
    plain("crustacean", &["crustaceans", "shrimp", "prawn", "crab", "lobster"]),
    plain("mollusc", &["molluscs", "mollusks", "mollusk", "mussel", "oyster", "squid"]),
    plain("egg", &["eggs", "hen's egg"]),
    plain("fish", &["cod", "salmon", "tuna"]),
    plain("peanut", &["peanuts", "groundnut", "groundnuts"]),
    plain("soy", &["soya", "soybean", "soybeans", "soya beans"]),
    plain("milk", &["dairy", "cow's milk", "lactose"]),
    group(
        "nuts",
        &["nut", "tree nut", "tree nuts"],
        &[
            "almond",
            "hazelnut",
            "walnut",
            "cashew",
            "pecan",
            "brazil nut",
            "pistachio",
            "macadamia",
            "pine nut",
            "peanut",
        ],
    ),
    plain("almond", &["almonds"]),
    plain("hazelnut", &["hazelnuts"]),
    plain("walnut", &["walnuts"]),
    plain("cashew", &["cashews"]),
    plain("pecan", &["pecans"]),
    plain("brazil nut", &["brazil nuts"]),
    plain("pistachio", &["pistachios"]),
    plain("macadamia", &["macadamias", "macadamia nuts"]),
    plain("pine nut", &["pine nuts"]),
    plain("celery", &["celeriac"]),
    plain("mustard", &[]),
    plain("sesame", &["sesame seeds"]),
    plain("sulphites", &["sulphite", "sulfites", "sulfite", "sulphur dioxide"]),
    plain("lupin", &["lupins", "lupine"]),
    // Not in the regulation, and common enough not to be taken for a slip of one above.
    plain("corn", &["maize"]),
    plain("rice", &[]),
    plain("pea", &["peas"]),
    plain("bean", &["beans"]),
    plain("lentil", &["lentils"]),
    plain("chickpea", &["chickpeas"]),
    plain("coconut", &["coconuts"]),
    plain("chestnut", &["chestnuts"]),
    plain("kiwi", &["kiwis", "kiwifruit"]),
    plain("banana", &["bananas"]),
    plain("strawberry", &["strawberries"]),
    plain("apple", &["apples"]),
    plain("pear", &["pears"]),
    plain("goat's milk", &["goat", "goat milk"]),
    plain("meat", &["beef", "ham", "pork"]),
    plain("tomato", &["tomatoes"]),
    plain("citrus", &["orange", "oranges", "lemon"]),
    plain("latex", &["rubber"]),
    plain("wool", &[]),
    plain("pollen", &["grass", "hay"]),
    plain("bee sting", &["bee stings", "bees", "wasps", "insect bites"]),
    plain("animal hair", &["cat", "cats", "dog", "dogs", "fur"]),
];

/// Whether a word, in any of its spellings, is one of the known causes.
#[must_use]
pub fn is_known(word: &str) -> bool {
    known(word).is_some()
}

/// Every spelling of every known cause.
pub fn spellings() -> impl Iterator<Item = &'static str> {
    KNOWN.iter().flat_map(|known| [known.name].into_iter().chain(known.also.iter().copied()))
}

/// Whether something with `allergen` in it is not for who is allergic to `allergy`: the same cause
/// in whatever spelling, or one of them is a kind of the other. Words are lower case.
#[must_use]
pub fn meets(allergen: &str, allergy: &str) -> bool {
    match (known(allergen), known(allergy)) {
        (Some(a), Some(b)) => {
            a.name == b.name || a.kinds.contains(&b.name) || b.kinds.contains(&a.name)
        }
        _ => allergen == allergy,
    }
}

fn known(word: &str) -> Option<&'static Allergen> {
    KNOWN.iter().find(|allergen| allergen.name == word || allergen.also.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::{KNOWN, meets, spellings};

    #[test]
    fn a_spelling_stands_for_one_cause_and_kinds_are_known() {
        let mut all: Vec<&str> = spellings().collect();
        all.sort_unstable();
        assert!(all.windows(2).all(|pair| pair[0] != pair[1]), "{all:?}");
        let kinds = KNOWN.iter().flat_map(|allergen| allergen.kinds);
        assert!(kinds.clone().all(|kind| KNOWN.iter().any(|known| known.name == *kind)));
    }

    #[test]
    fn a_kind_meets_its_group_both_ways_and_not_its_sisters() {
        assert!(meets("wheat", "gluten") && meets("gluten", "wheat") && meets("oats", "cereals"));
        assert!(meets("eggs", "egg") && meets("peanuts", "nut") && meets("prawn", "shellfish"));
        assert!(!meets("wheat", "rye") && !meets("almond", "peanut") && !meets("milk", "egg"));
        assert!(meets("bath foam", "bath foam") && !meets("bath foam", "bath salt"));
    }
}
