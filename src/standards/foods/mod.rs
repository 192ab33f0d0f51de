//! What is in foods and materials, read by meaning: the published major allergens with the everyday
//! words under each.
//!
//! ```
//! use fairturn::standards::foods::{Meeting, meeting};
//! assert_eq!(meeting("peanut butter", "peanuts"), Meeting::Yes);
//! assert_eq!(meeting("peanut butter", "milk"), Meeting::No);
//! assert_eq!(meeting("bread", "egg"), Meeting::MayBe);
//! assert_eq!(meeting("glimmer paste", "egg"), Meeting::Unknown);
//! ```
//!
//! Nothing is called safe that is not known: a word that is not in the table, a recipe that differs
//! from kitchen to kitchen, and whatever only says what is *not* in it have to be asked about.
//!
//! To add a word, find what is usually in it and put it in its row of `data/foods.json` (what only some
//! recipes have goes under `may`; `varies` says that anything else may be in it as well), with its pairs
//! in `tests/standards/foods.rs`, worked by hand.
//!
//! Map: `spelling` one word in its spellings, `table` the data file, `reading` a few words read.

mod reading;
pub mod spelling;
mod table;

pub use table::Group;

use super::Source;
use reading::read;
use spelling::phrase;
use table::table;

/// What a word for a food or material means to who has an allergy; the later, the worse.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Meeting {
    /// What the allergy is to is not in it.
    No,
    /// By some recipes it is, or it is only said what is not in it: ask.
    MayBe,
    /// One of the two words is not known here: ask.
    Unknown,
    /// It is in it.
    Yes,
}

/// What a word for a food or material means to who has an allergy, in whatever spelling.
///
/// A group and its kinds meet both ways: `wheat` is in what has `gluten` in it, as far as anybody
/// can say, and `gluten` is in wheat. A word of one's own meets itself. What an allergy is said to
/// be without (`egg free`, `no nuts`) is what it is to.
#[must_use]
pub fn meeting(material: &str, allergy: &str) -> Meeting {
    let (material, allergy, table) = (read(material), read(allergy), table());
    if material.none || allergy.none {
        return Meeting::No;
    }
    let related = |one: usize, other: usize| table.related(one, other);
    let to: Vec<usize> = allergy.has.iter().chain(&allergy.without).copied().collect();
    let named = !allergy.unknown.is_empty()
        && !material.negated
        && format!(" {} ", material.plain).contains(&format!(" {} ", allergy.plain));
    let surely = material.surely(table);
    if named || surely.iter().any(|m| to.iter().any(|a| related(*m, *a))) {
        return Meeting::Yes;
    }
    if !material.unknown.is_empty() || !allergy.unknown.is_empty() {
        return Meeting::Unknown;
    }
    let eaten = |at: usize| table.groups[at].is_food;
    let some_recipe = material.all().any(|m| allergy.all().any(|a| related(m, a)));
    let anything_in_it = (material.varies || material.negated) && allergy.all().any(eaten);
    if some_recipe || anything_in_it || (allergy.varies && material.all().any(eaten)) {
        return Meeting::MayBe;
    }
    Meeting::No
}

/// Whether every part of some words is in the table.
#[must_use]
pub fn is_known(word: &str) -> bool {
    read(word).unknown.is_empty()
}

/// The parts of some words that are not in the table, lower case.
#[must_use]
pub fn unknown_in(word: &str) -> Vec<String> {
    read(word).into_owned().unknown
}

/// Whether a word says that there is nothing: no allergy, or nothing to mind in a material.
#[must_use]
pub fn is_none(word: &str) -> bool {
    read(word).none
}

/// What is surely in what some words stand for, in the order of the table.
#[must_use]
pub fn groups_in(word: &str) -> Vec<&'static Group> {
    let mut groups = read(word).surely(table());
    groups.sort_unstable();
    groups.dedup();
    groups.into_iter().map(|at| &table().groups[at]).collect()
}

/// Where what is in it is published as an allergen: the first list of each of its groups, each once.
#[must_use]
pub fn lists_of(word: &str) -> Vec<&'static Source> {
    let mut lists: Vec<&Source> = Vec::new();
    for list in groups_in(word).into_iter().filter_map(|group| group.sources.first()) {
        if !lists.contains(&list) {
            lists.push(list);
        }
    }
    lists
}

/// The foods that a label or the name of an activity tells of, lower case; none where it says that
/// they are only played. What it says is not in them goes along.
#[must_use]
pub fn told_in(label: &str) -> Vec<String> {
    let reading = read(label);
    if reading.pretend || reading.told.is_empty() {
        return Vec::new();
    }
    if reading.negated {
        let known = label.to_lowercase();
        let unknown = |word: &&str| !reading.unknown.iter().any(|u| u == word);
        let words: Vec<&str> = known.split_whitespace().filter(unknown).collect();
        return vec![words.join(" ")];
    }
    let mut told = reading.into_owned().told;
    told.sort();
    told.dedup();
    told
}

/// Whether a material that was named accounts for a food that a label tells of: it is in it, or may
/// be, or anything may be in it.
#[must_use]
pub fn accounts_for(named: &str, told: &str) -> bool {
    let (named, told, table) = (read(named), read(told), table());
    let surely = named.surely(table);
    let in_it = surely.iter().any(|n| told.all().any(|t| table.related(*n, t)));
    named.none || in_it || (told.has.is_empty() && !surely.is_empty())
}

/// Whether two words are spellings of one.
#[must_use]
pub fn is_same(one: &str, other: &str) -> bool {
    phrase(one) == phrase(other)
}

/// Every food and material of the table, as it is written.
pub fn spellings() -> impl Iterator<Item = &'static str> {
    table().spellings.iter().map(String::as_str)
}
